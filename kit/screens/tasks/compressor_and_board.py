"""Tasks on units that do not cool at all: empty or dead, windings, board, and the ideal work."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

from kit.screens.plots import cycle_chart
from kit.screens.task import Reply, Task
from kit.screens.tasks._asked import choice, number
from kit.screens.tasks._dead_units import (
    AIR_K,
    ATMOSPHERE_PA,
    COOLPROP,
    case,
    dew_pa,
    ideal_compression,
    reading,
    saturation_gauge_pa,
)
from kit.screens.tasks._given import fahrenheit_k
from kit.visit.outcome import Line, Measure, line

LEADS_OHM = 0.24  # made up: what a meter shows with its tips held together
LAST_DIGIT_OHM = (0.0, 0.01, -0.01)  # three readings of one thing differ by it
STEP_F, TABLE_F = 75, (65, 70, 75, 80, 85, 90)
SHOWN_PA = 118 * 6894.757  # made up: far below saturation
# Point of the rows cycles-R32-* of datasets/published/cycles.csv.
POINT = {"evaporating_k": 280.35, "condensing_k": 327.55, "superheat_k": 11.1}
ROW_DISCHARGE_K, ROW_WORK_J = 101.0 + 273.15, 53.5e3
# NISTIR 7350, appendix D, no-fault test 9, R-410A (datasets/published/measured).
TEST = {"suction_pa": 160.65 * 6894.757, "suction_k": fahrenheit_k(71.38),
        "discharge_pa": 434.60 * 6894.757, "flow_kg_s": 433.15 * 0.45359237 / 3600,
        "power_w": 2249.9}  # fmt: skip
# Unit of the list: what is wrong with it, and where to look first.
UNITS: dict[str, tuple[str, str]] = {
    "a": ("board", "Unit {unit}: look at the DC bus before you look at the motor."),
    "b": ("earthed", "Unit {unit}: the way to earth is the column for it."),
    "c": ("leak", "Unit {unit}: it starts and runs. Compare its running current with the sound."),
    "d": ("open", "Unit {unit}: compare the three pairs with each other."),
    "e": ("locked", "Unit {unit}: the meter finds nothing. What does it draw when it tries?"),
}


def _standing_pa(unit: str) -> float:
    return float(case(unit, "off").truth.suction_pa) - ATMOSPHERE_PA


def _guessed_standing(given: Mapping[str, Any]) -> Reply:
    from kit.machine.readings import reading as tool

    shown = {"empty": "no refrigerant left", "short": "two fifths lost", "open": "winding open",
             "board": "board dead"}  # fmt: skip
    saturation = saturation_gauge_pa("R-32", AIR_K)
    seen = tool("standing_excess").absolute
    low = {unit for unit in shown if reading("standing_excess", unit, "off") < -seen}
    truth = {frozenset({"empty"}): "empty", frozenset({"empty", "short"}): "both"}
    rows = tuple(
        (title, Measure(reading("split", unit), "temperature_difference"),
         Measure(reading("current", unit), "current"),
         Measure(_standing_pa(unit), "gauge_pressure"))
        for unit, title in shown.items()
    )  # fmt: skip
    said = (
        line("Saturation at this temperature is {p}.", p=Measure(saturation, "gauge_pressure")),
        line("While any liquid is left, the standing pressure is that of saturation, full or half "
             "empty. It falls only when the last drop has boiled away."),
        line("The current says that the compressor stands; the standing pressure says whether "
             "there was anything to pump."),
    )  # fmt: skip
    head = ("Unit", "Split", "Current", "Standing pressure")
    return Reply(given["low"] == truth.get(frozenset(low), "all"), said, (head, *rows))


def _guessed_pump(given: Mapping[str, Any]) -> Reply:
    sound, leak = case("sound", "cooling").truth, case("leak", "cooling").truth
    suction = "up" if leak.suction_pa > sound.suction_pa else "down"
    current = "up" if leak.current_a > sound.current_a else "down"
    shown = {"sound": "sound", "leak": "gas slips back", "short": "two fifths of the charge lost"}
    rows = tuple(
        (title, *(Measure(reading(name, unit) - less, kind) for name, kind, less in (
            ("suction_pressure", "gauge_pressure", ATMOSPHERE_PA),
            ("discharge_pressure", "gauge_pressure", ATMOSPHERE_PA),
            ("discharge_line", "temperature", 0.0), ("current", "current", 0.0))))
        for unit, title in shown.items()
    )  # fmt: skip
    said = (
        line("The two pressures move towards each other, and with less to lift there is less "
             "work: the current falls by half."),
        line("A short charge pulls both pressures down and heats the discharge line. Confuse the "
             "two and you will weigh refrigerant into a worn compressor."),
    )  # fmt: skip
    head = ("Unit", "Suction", "Discharge", "Discharge line", "Current")
    right = (given["suction"], given["current"]) == (suction, current)
    plot = cycle_chart("R-32", [("sound", sound), ("gas slips back", leak)])
    return Reply(right, said, (head, *rows), (plot,))


def _standing_table() -> tuple[tuple[Any, ...], ...]:
    rows = (
        (Measure(fahrenheit_k(f), "temperature"),
         *(Measure(saturation_gauge_pa(name, fahrenheit_k(f)), "gauge_pressure")
           for name in ("R-32", "R-410A")))
        for f in TABLE_F
    )  # fmt: skip
    return (("Both units at", "R-32", "R-410A"), *rows)


def _standing_checked(given: Mapping[str, Any]) -> Reply:
    at_k = fahrenheit_k(STEP_F)
    want, other = (saturation_gauge_pa(name, at_k) for name in ("R-32", "R-410A"))
    step = 7e3  # one pound in the table
    said: list[Line] = []
    if abs(given["saturation"] - want - ATMOSPHERE_PA) <= step:
        said.append(line("That is the absolute pressure. A gauge counts from the air around it."))
    elif abs(given["saturation"] - other) <= step:
        said.append(line("That is the column of another refrigerant. Look at the nameplate."))
    elif abs(given["saturation"] - want) > step:
        said.append(line("Find the row of the temperature at which both units stand."))
    if given["means"] == "how_much":
        said.append(line("It stands below saturation. Can any liquid be left in it?"))
    elif given["means"] != "empty":
        said.append(line("Air in the circuit adds its own pressure. Is this above or below?"))
    if said:
        return Reply(False, tuple(said))
    return Reply(True, (
        line("No liquid is left: nearly all of it is gone. Find the leak before anything else."),
        line("At saturation you would know that some is left, and not how much."),
    ))  # fmt: skip


def _pairs() -> tuple[float, ...]:
    pairs = (reading(f"winding_{pair}", "sound", "off") for pair in ("uv", "vw", "wu"))
    return tuple(
        round(LEADS_OHM + pair + last, 2) for pair, last in zip(pairs, LAST_DIGIT_OHM, strict=True)
    )


def _winding_table() -> tuple[tuple[Any, ...], ...]:
    names = ("Leads together", "Winding U–V", "Winding V–W", "Winding W–U")
    values = (LEADS_OHM, *_pairs())
    rows = ((n, Measure(v, "resistance")) for n, v in zip(names, values, strict=True))
    return (("Held at", "The meter shows"), *rows)


def _winding_checked(given: Mapping[str, Any]) -> Reply:
    shown = _pairs()[0]
    want, error = shown - LEADS_OHM, given["winding"] - (shown - LEADS_OHM)
    said: list[Line] = []
    if abs(error - LEADS_OHM) <= 0.011:
        said.append(line("That is the winding and the leads. The meter's own leads come off."))
    elif abs(error - 2 * LEADS_OHM) <= 0.011:
        said.append(line("The leads are in the reading already: take them off, do not add them."))
    elif abs(error) > 0.011:  # the last digit of each reading
        said.append(line("Take what the leads show together from what the pair U–V shows."))
    hints = {
        "board": "Five hundred volts through a board's parts end them. What must come off first?",
        "vacuum": "Thin gas sparks over: a winding tested under vacuum can be burnt by the test.",
    }
    if given["tester"] in hints:
        said.append(line(hints[given["tester"]]))
    if said:
        return Reply(False, tuple(said))
    sound = "{ohm}, and three pairs alike: the copper is sound. To earth is the next question."
    return Reply(True, (line(sound, ohm=Measure(want, "resistance")),))


def _unit_row(title: str, unit: str) -> tuple[Any, ...]:
    pairs = (reading(f"winding_{pair}", unit, "off") for pair in ("uv", "vw", "wu"))
    return (
        title,
        *("no end" if math.isinf(ohm) else Measure(ohm, "resistance") for ohm in pairs),
        Measure(reading("insulation", unit, "off"), "insulation"),
        Measure(reading("bus", unit), "voltage"),
        Measure(reading("start_peak", unit), "current"),
        Measure(reading("current", unit), "current"),
    )


def _unit_table() -> tuple[tuple[Any, ...], ...]:
    head = ("Unit", "Winding U–V", "Winding V–W", "Winding W–U", "To earth", "DC bus",
            "Peak at a start", "Running")  # fmt: skip
    rows = (_unit_row(name.upper(), wrong) for name, (wrong, _) in UNITS.items())
    return (head, _unit_row("Sound", "sound"), *rows)


def _units_checked(given: Mapping[str, Any]) -> Reply:
    missed = [(name, hint) for name, (wrong, hint) in UNITS.items() if given[name] != wrong]
    if missed:
        name, hint = missed[0]
        count = line("{n} of {all} are right.", n=len(UNITS) - len(missed), all=len(UNITS))
        return Reply(False, (count, line(hint, unit=name.upper())))
    return Reply(True, (
        line("Five units that all blow room air, or nearly, and five different orders."),
        line("An earthed motor kills the next board. Test the motor before you order one."),
    ))  # fmt: skip


def _ideal_worked_out(given: Mapping[str, Any]) -> Reply:
    low_k, high_k = given["evaporating"], given["condensing"]
    if low_k >= high_k:
        swapped = "Heat is lifted: condensing is the higher one of the two. Look at both again."
        return Reply(False, (line(swapped),))
    name = given["refrigerant"]
    suction, discharge = dew_pa(name, low_k), dew_pa(name, high_k)
    work, hot_k = ideal_compression(name, suction, low_k + given["superheat"], discharge)
    rows = (
        ("Suction pressure", Measure(suction - ATMOSPHERE_PA, "gauge_pressure")),
        ("Discharge pressure", Measure(discharge - ATMOSPHERE_PA, "gauge_pressure")),
        ("Pressure ratio, absolute", f"{discharge / suction:.2f}"),
        ("Work without losses", f"{work / 1e3:.1f} kJ/kg"),
        ("Gas leaves at", Measure(hot_k, "temperature")),
    )
    said = (line("Worked out by CoolProp 8, equal entropy."),)
    return Reply(None, said, (("What it costs", "This lift"), *rows))


def _row_checked(given: Mapping[str, Any]) -> Reply:
    suction, discharge = (dew_pa("R-32", POINT[k]) for k in ("evaporating_k", "condensing_k"))
    start_k = POINT["evaporating_k"] + POINT["superheat_k"]
    work, hot_k = ideal_compression("R-32", suction, start_k, discharge)
    if abs(given["leaves"] - hot_k) > 0.5:  # the sheet's last digit, and the point's
        other = ideal_compression("R-410A", *(
            dew_pa("R-410A", POINT["evaporating_k"]), start_k,
            dew_pa("R-410A", POINT["condensing_k"])))[1]  # fmt: skip
        if abs(given["leaves"] - POINT["condensing_k"]) <= 0.5:
            said = "That is where it condenses. Squeezed gas leaves the compressor hotter."
        elif abs(given["leaves"] - other) <= 0.5:
            said = "That is the other refrigerant. Choose the one of the question on the sheet."
        else:
            said = "Type the three figures of the question into the sheet above; read its last row."
        return Reply(False, (line(said),))
    measured, _ = ideal_compression("R-410A", TEST["suction_pa"], TEST["suction_k"],
                                    TEST["discharge_pa"])  # fmt: skip
    ideal_w = measured * TEST["flow_kg_s"]
    table = (
        ("What is compared", "Worked out here", "To compare"),
        ("Gas leaves at", Measure(hot_k, "temperature"), Measure(ROW_DISCHARGE_K, "temperature")),
        ("Work without losses", f"{work / 1e3:.1f} kJ/kg", f"{ROW_WORK_J / 1e3:.1f} kJ/kg"),
        ("Tested unit, R-410A", Measure(ideal_w, "power"), Measure(TEST["power_w"], "power")),
    )
    return Reply(True, (
        line("First two rows: the same sum made earlier with CoolProp 8.0.0 and kept in the kit's "
             "tables, so the sheet is sound."),
        line("Last row: what a measured compressor would need without losses, and the power it "
             "took (NISTIR 7350, test 9): {share} of it was ideal work.",
             share=Measure(ideal_w / TEST["power_w"], "fraction")),
    ), table)  # fmt: skip


_WRONGS = {
    "open": "A winding is open", "locked": "The rotor is locked",
    "earthed": "A winding is earthed", "board": "The board is dead",
    "leak": "It does not pump",
}  # fmt: skip

TASKS = (
    Task(
        "guess-standing",
        "Say it first: four units that stand",
        (
            line("Four units, each switched off for an hour, both halves at {t}: one has lost all "
                 "its refrigerant, one has lost two fifths, one has an open winding, one a dead "
                 "board.", t=Measure(AIR_K, "temperature")),
            line("Gauges are put on each. Which ones stand clearly below saturation?"),
        ),
        (choice("low", "Below saturation", empty="only the empty one",
                both="the empty one and the short one", all="all four: nothing runs"),),
        "Say it and put the gauges on",
        _guessed_standing,
        once=True,
    ),
    Task(
        "standing",
        "Empty, or dead?",
        (
            line("Nameplate: R-32. It blows room air. Off for an hour; both units stand at {t}. "
                 "The gauge shows {p}.", t=Measure(fahrenheit_k(STEP_F), "temperature"),
                 p=Measure(SHOWN_PA, "gauge_pressure")),
        ),
        (
            number("saturation", "Saturation, as a gauge shows it", "gauge_pressure", 0.0, 4e6),
            choice("means", "This circuit", how_much="has some charge left, nobody knows how much",
                   empty="has no liquid left", air="has air in it"),
        ),
        "Check it",
        _standing_checked,
        table=_standing_table,
    ),
    Task(
        "windings",
        "Copper, without the leads",
        (
            line("Isolated, proved dead, DC bus measured, compressor leads off the board. The "
                 "meter shows:"),
        ),
        (
            number("winding", "The winding U–V itself", "resistance", 0.0, 1e3),
            choice("tester", "The insulation tester goes on", board="the board's terminals",
                   leads="the compressor's leads, pulled off the board",
                   vacuum="the leads, while the circuit is under vacuum"),
        ),
        "Check it",
        _winding_checked,
        table=_winding_table,
    ),
    Task(
        "which-one",
        "Five that do not cool",
        (line("Standing and called to run, the same tools on each. What is wrong with which?"),),
        tuple(choice(name, f"Unit {name.upper()}", **_WRONGS) for name in UNITS),
        "Check it",
        _units_checked,
        table=_unit_table,
    ),
    Task(
        "guess-pump",
        "Say it first: a compressor that does not pump",
        (line("A vane leaks: of what the compressor lifts, about two thirds slips back. Full "
              "demand, mild day. What do suction pressure and current do?"),),
        (
            choice("suction", "Suction pressure goes", up="up", down="down"),
            choice("current", "Current goes", up="up", down="down"),
        ),
        "Say it and run the unit",
        _guessed_pump,
        once=True,
    ),
    Task(
        "ideal-work",
        "Compression sheet",
        (line("What a compressor without losses would do. Temperatures are dew temperatures."),),
        (
            choice("refrigerant", "Refrigerant", **{name: name for name in COOLPROP}),
            number("evaporating", "Evaporating", "temperature", 243.15, 298.15),
            number("condensing", "Condensing", "temperature", 288.15, 338.15),
            number("superheat", "Superheat", "temperature_difference", 0.0, 40.0),
        ),
        "Work it out",
        _ideal_worked_out,
    ),
    Task(
        "kept-row",
        "Does it agree with what is kept?",
        (
            line("R-32 evaporates at {low}, condenses at {high}, superheat {sh}. At what "
                 "temperature would the gas leave a compressor without losses?",
                 low=Measure(POINT["evaporating_k"], "temperature"),
                 high=Measure(POINT["condensing_k"], "temperature"),
                 sh=Measure(POINT["superheat_k"], "temperature_difference")),
        ),
        (number("leaves", "It leaves at", "temperature", 273.15, 473.15),),
        "Compare",
        _row_checked,
    ),
)  # fmt: skip
