"""Tasks of the lesson on gauges: when they are justified, and how their figures are read."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from kit.quantities import STANDARD_ATMOSPHERE_PA
from kit.screens.plots import cycle_chart
from kit.screens.task import Reply, Task
from kit.screens.tasks._asked import choice, number
from kit.screens.tasks._circuit import (
    COOLPROP_NAMES,
    across,
    card_k,
    each,
    published,
    ran,
    saturation_k,
    us,
    words,
)
from kit.screens.tasks._gauge_trials import (
    MACHINE,
    ROOM_K,
    chart_table,
    four_sheets,
    hose_kg,
    summer,
    three_conditions,
)
from kit.visit.outcome import Measure, line

GAUGE_STEP_PA = us("gauge_pressure", 1)  # steps of one psi on a good digital gauge
READ_K = 0.11  # half of the last digit of two readings, in the coarser of the two unit systems
# Made-up readings of a sound unit with the blend.
SUCTION_PA, GAS_LINE_K = us("gauge_pressure", 118), us("temperature", 55.2)
HEAD_PA, SMALL_LINE_K = us("gauge_pressure", 340), us("temperature", 92.6)
ASKED_CHART = "saturation-R410A-bubble100F"
UNITS = (words("sound"), words("a fifth of the charge gone"), words("dirty filter"))
SHEETS = {"a": "A", "b": "B", "c": "C", "d": "D"}
STATES = {"standing": "standing", "cooling": "cooling", "heating": "heating"}


def _pressure_guessed(given: Mapping[str, Any]) -> Reply:
    truths = ran(MACHINE, three_conditions(), summer())
    _, short, filthy = (float(truth.suction_pa) for truth in truths)
    lower = "short" if short < filthy - GAUGE_STEP_PA else "filter"
    truth = "same" if abs(short - filthy) <= GAUGE_STEP_PA else lower
    table = across(
        words("Trial"),
        UNITS,
        (words("Suction pressure"), *each(truths, "suction_pa", "gauge_pressure")),
        (words("Superheat"), *each(truths, "superheat_k", "temperature_difference")),
        (words("Split"), *each(truths, "split_k", "temperature_difference")),
        (words("Airflow"), *each(truths, "airflow_m3_s", "airflow")),
    )
    said = (
        line("Three runs of one machine, each until it settled."),
        line("The valve gives way and keeps the suction up while charge is lost; weak air "
             "cannot be made good by any valve."),
        line("Whoever adds gas because suction is low fills up a unit with a dirty filter."),
    )  # fmt: skip
    shown = tuple(zip(UNITS, truths, strict=True))
    return Reply(given["lower"] == truth, said, table, (cycle_chart("R-32", shown),))


def _sheet_table() -> tuple[tuple[Any, ...], ...]:
    sheets = tuple(four_sheets().values())

    def row(title: str, key: str, kind: str = "") -> tuple[Any, ...]:
        return (title, *(Measure(s[key], kind) if kind else s[key] for s in sheets))

    return across(
        words("Job sheet"),
        tuple(SHEETS.values()),
        row(words("Humidity of the room"), "rh", "relative_humidity"),
        row(words("Demand"), "demand", "temperature_difference"),
        row(words("Fan"), "fan"),
        row(words("Filter and coils"), "seen"),
        row(words("Target for this air"), "target", "temperature_difference"),
        row(words("Split"), "split", "temperature_difference"),
    )


def _gate_checked(given: Mapping[str, Any]) -> Reply:
    hints = {
        "a": "Hold the split of A against its own target. The air is wet; the unit does its work.",
        "b": "On B dirt was seen. Clean, run again and read again; gauges prove nothing before.",
        "d": "D was asked for next to nothing. Set a full demand, fan on auto, and read again.",
    }
    if given["sheet"] in hints:
        return Reply(False, (line(hints[given["sheet"]]),))
    if given["why"] != "cleared":
        hint = "The sheet is right, the reason is not. A low split alone stands on all four."
        return Reply(False, (line(hint),))
    said = (
        line("Humidity counted, demand full, air side clean, and still far below its target: now "
             "the circuit is asked."),
        line("A is left alone, B is washed first, D is run again with a full demand."),
    )  # fmt: skip
    return Reply(True, said)


def _sheet_worked_out(given: Mapping[str, Any]) -> Reply:
    name = given["refrigerant"]
    p_pa = given["pressure"] + STANDARD_ATMOSPHERE_PA
    dew, bubble = (saturation_k(name, p_pa, side) for side in ("dew", "bubble"))
    rows = (
        (words("Absolute pressure"), Measure(p_pa, "pressure")),
        (words("Dew, for superheat"), Measure(dew, "temperature")),
        (words("Bubble, for subcooling"), Measure(bubble, "temperature")),
        (words("Glide"), Measure(abs(dew - bubble), "temperature_difference")),
    )
    said = line("Worked out by CoolProp at sea level.")
    return Reply(None, (said,), (("", name), *rows))


def _chart_checked(given: Mapping[str, Any]) -> Reply:
    p_pa = us("gauge_pressure", published("saturation", ASKED_CHART))
    want = saturation_k("R-410A", p_pa + STANDARD_ATMOSPHERE_PA, "bubble")
    if abs(given["bubble"] - want) > READ_K:
        as_absolute = saturation_k("R-410A", p_pa, "bubble")
        other = saturation_k("R-32", p_pa + STANDARD_ATMOSPHERE_PA, "bubble")
        if abs(given["bubble"] - as_absolute) <= 0.3:
            said = "A gauge shows zero in open air. You have taken its figure for absolute."
        elif abs(given["bubble"] - other) <= 0.3:
            said = "That is R-32. Each refrigerant has its own chart; read the nameplate first."
        else:
            said = "Type the printed pressure into the sheet above and read the bubble line."
        return Reply(False, (line(said),))
    said = "The charts agree with CoolProp: R-410A to the last digit, the blend nearly."
    return Reply(True, (line(said),), chart_table())


def _absolute_checked(given: Mapping[str, Any]) -> Reply:
    want = SUCTION_PA + STANDARD_ATMOSPHERE_PA
    if abs(given["absolute"] - want) > us("pressure", 0.1):
        if abs(given["absolute"] - SUCTION_PA) < us("pressure", 0.6):
            hint = "That is what the gauge shows. In open air it shows zero; add the air's own."
        elif abs(given["absolute"] - SUCTION_PA + STANDARD_ATMOSPHERE_PA) < us("pressure", 0.6):
            hint = "The wrong way. The air presses on the gauge from outside; add it."
        else:
            hint = "Absolute is what the gauge shows and the pressure of the air together."
        return Reply(False, (line(hint),))
    rows = []
    for title, shown in ((words("gauge reading and air"), SUCTION_PA),
                         (words("gauge reading taken as absolute"),
                          SUCTION_PA - STANDARD_ATMOSPHERE_PA)):  # fmt: skip
        dew = card_k("R-454B", shown, "dew")
        superheat = Measure(GAS_LINE_K - dew, "temperature_difference")
        rows.append((title, Measure(dew, "temperature"), superheat))
    said = line("Forget the air, and the same line looks starved: see what becomes of superheat.")
    head = (words("Looked up with"), words("Dew"), words("Superheat"))
    return Reply(True, (said,), (head, *rows))


def _card(*gauges_psi: float) -> tuple[tuple[Any, ...], ...]:
    head = (words("R-454B, gauge at sea level"), words("Bubble"), words("Dew"))
    rows = []
    for psi in gauges_psi:
        shown = us("gauge_pressure", psi)
        bubble, dew = (card_k("R-454B", shown, side) for side in ("bubble", "dew"))
        rows.append((Measure(shown, "gauge_pressure"), Measure(bubble, "temperature"),
                     Measure(dew, "temperature")))  # fmt: skip
    return (head, *rows)


def _superheat_checked(given: Mapping[str, Any]) -> Reply:
    want = GAS_LINE_K - card_k("R-454B", SUCTION_PA, "dew")
    mixed = GAS_LINE_K - card_k("R-454B", SUCTION_PA, "bubble")
    if abs(given["superheat"] - want) <= READ_K:
        said = (
            line("Line minus dew: vapour is measured from the point where the last drop is gone."),
            line("A sound unit usually shows {low} to {high} (from memory).",
                 low=Measure(us("temperature_difference", 4), "temperature_difference"),
                 high=Measure(us("temperature_difference", 12), "temperature_difference")),
        )  # fmt: skip
        return Reply(True, said)
    return _saturation_hint(given["superheat"], want, mixed,
                            "You have measured from bubble. In the gas line the last drop counts, "
                            "so it is dew.")  # fmt: skip


def _subcooling_checked(given: Mapping[str, Any]) -> Reply:
    want = card_k("R-454B", HEAD_PA, "bubble") - SMALL_LINE_K
    mixed = card_k("R-454B", HEAD_PA, "dew") - SMALL_LINE_K
    if abs(given["subcooling"] - want) <= READ_K:
        said = "Bubble minus line: liquid is measured from the point where the first bubble comes."
        return Reply(True, (line(said),))
    return _saturation_hint(given["subcooling"], want, mixed,
                            "You have measured from dew. In the small line the first bubble "
                            "counts, so it is bubble.")  # fmt: skip


def _saturation_hint(given: float, want: float, mixed: float, side: str) -> Reply:
    """Return the hint that fits a superheat or subcooling that is not right."""
    if abs(given - mixed) <= READ_K:
        return Reply(False, (line(side),))
    if min(abs(given + want), abs(given + mixed)) <= READ_K:
        said = "The sign is turned round. Superheat is above dew, subcooling is below bubble."
        return Reply(False, (line(said),))
    said = "Find the pressure on the card, take dew or bubble beside it, and the difference."
    return Reply(False, (line(said),))


def _hose_guessed(given: Mapping[str, Any]) -> Reply:
    from kit.machine import load_spec

    charge, held = load_spec(MACHINE).charge_kg, hose_kg()
    dearest = max(held, key=lambda name: held[name])
    rows = tuple(
        (STATES[name], Measure(mass, "small_mass"), Measure(10 * mass, "small_mass"),
         Measure(10 * mass / charge, "fraction"))
        for name, mass in held.items()
    )  # fmt: skip
    head = (words("The port is opened while it is"), words("In hose and gauges"),
            words("Ten times"), words("Ten times, of the charge"))  # fmt: skip
    said = (
        line("In heating this port carries hot gas of high pressure; it condenses in the cool "
             "hose, and liquid is heavy. That half of the hose fills: common practice, no "
             "source."),
        line("Low-loss fittings and drawing the hose back into the running suction side save most "
             "of it. Not screwing it on saves all of it."),
    )  # fmt: skip
    return Reply(given["state"] == dearest, said, (head, *rows))


def _measure(value: float, kind: str) -> Measure:
    return Measure(value, kind)


TASKS = (
    Task(
        "guess-pressure",
        "Say it first: who reads low?",
        (
            line("Three units of one make on a hot day, full demand: one is sound, one has lost a "
                 "fifth of its charge, one has a dirty filter."),
            line("On which of the two sick ones does the gauge show the lower suction pressure?"),
        ),
        (
            choice("lower", "Lower suction pressure",
                short="the one that is short of charge",
                filter="the one with the dirty filter",
                same="both the same",
            ),
        ),
        "Say it and run the units",
        _pressure_guessed,
        once=True,
    ),
    Task(
        "gate",
        "Which sheet asks for gauges?",
        (
            line("Four units, one room temperature of {room}, and four splits that are nearly the "
                 "same. Each ran long enough, none shows a code.",
                 room=_measure(ROOM_K, "temperature")),
            line("On which one are gauges justified now, and why?"),
        ),
        (
            choice("sheet", "Gauges on sheet", **SHEETS),
            choice("why", "Because",
                low="its split is low",
                cleared="all that is not the circuit has been ruled out",
                habit="pressures belong to every visit",
            ),
        ),
        "Check it",
        _gate_checked,
        table=_sheet_table,
    ),
    Task(
        "guess-hose",
        "Say it first: what a look costs",
        (
            line("One hose is screwed on and taken off again with what is in it, on a mild day. "
                 "When does that cost the most charge?"),
        ),
        (choice("state", "While the unit is", **STATES),),
        "Say it and work it out",
        _hose_guessed,
        once=True,
    ),
    Task(
        "pressure-sheet",
        "Pressure sheet",
        (line("Give a refrigerant and what a gauge shows at sea level; the rest follows."),),
        (
            choice("refrigerant", "Refrigerant", **{name: name for name in COOLPROP_NAMES}),
            number("pressure", "Gauge pressure", "gauge_pressure", 0.0, 3.9e6),
        ),
        "Work it out",
        _sheet_worked_out,
    ),
    Task(
        "chart",
        "Does the chart agree?",
        (
            line("A published chart prints {p} for R-410A. Work it out on the pressure sheet: at "
                 "which bubble temperature?",
                 p=_measure(us("gauge_pressure", published("saturation", ASKED_CHART)),
                            "gauge_pressure")),
        ),
        (number("bubble", "Bubble temperature", "temperature", 223.15, 343.15),),
        "Compare with the chart",
        _chart_checked,
    ),
    Task(
        "absolute",
        "Gauge and absolute",
        (
            line("At sea level the air presses with {air}. The gauge on the port shows {shown}. "
                 "How much is that absolute?",
                 air=_measure(STANDARD_ATMOSPHERE_PA, "pressure"),
                 shown=_measure(SUCTION_PA, "gauge_pressure")),
        ),
        (number("absolute", "Absolute pressure", "pressure", 0.0, 5e6),),
        "Check it",
        _absolute_checked,
    ),
    Task(
        "superheat",
        "Superheat of a blend",
        (
            line("Cooling, R-454B. The gauge at the gas line's port shows {p}, the clamp on the "
                 "gas line {t}.",
                 p=_measure(SUCTION_PA, "gauge_pressure"), t=_measure(GAS_LINE_K, "temperature")),
        ),
        (number("superheat", "Superheat", "temperature_difference", -60.0, 60.0),),
        "Check it",
        _superheat_checked,
        table=lambda: _card(114, 118, 122),
    ),
    Task(
        "subcooling",
        "Subcooling of a blend",
        (
            line("Heating, R-454B. The same port now shows {p}; the clamp on the small line, which "
                 "now comes before the valve, shows {t}.",
                 p=_measure(HEAD_PA, "gauge_pressure"), t=_measure(SMALL_LINE_K, "temperature")),
        ),
        (number("subcooling", "Subcooling", "temperature_difference", -60.0, 60.0),),
        "Check it",
        _subcooling_checked,
        table=lambda: _card(330, 340, 350),
    ),
)  # fmt: skip
