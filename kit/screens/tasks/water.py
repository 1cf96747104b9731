"""Tasks of the lesson on water: how much comes off a coil, where it goes, and why it drips."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

from kit.quantities import POUND_KG
from kit.screens.task import Plot, Reply, Task
from kit.screens.tasks import _pan
from kit.screens.tasks._air_side import Duty, air_of_humidity, duty_of
from kit.screens.tasks._asked import choice, number
from kit.screens.tasks._given import published
from kit.visit.outcome import Measure, line

GUESSED, ASKED = "wall-12k-r410a", "wall-18k-r32"
GUESSED_RH, ASKED_RH = 0.6, 0.55
ROOMS = (0.4, 0.5, 0.6, 0.7, 0.8)
BORES = (0.0, 0.5, 0.8, 0.9, 1.0)
NARROW, DAMP_RH, LONG_MIN = 0.8, 0.6, 120
# Worked example of datasets/published/psychrometrics.csv: 5 m3/s of air of 30 degC and 50 %, which
# leaves the coil saturated at 10 degC.
EXAMPLE = "psychrometrics-coil-condensate"
EX_FLOW_M3_S, EX_DB_K, EX_RH, EX_LEAVING_K = 5.0, 303.15, 0.5, 283.15
MOST_KG_S = 40000.0 * POUND_KG / 3600.0  # room enough to see grains taken for pounds
FALL = 1.0 / 96.0  # 1/8 inch per foot: International Mechanical Code 307, as adopted by cities
RUN_M, HIGH_M, LOW_M = 12 * 0.3048, 46.0 * 0.0254, 45.0 * 0.0254
READ_TO_M = 0.05 * 0.0254  # half a tenth of an inch, as it is typed


def _water(value: float) -> Measure:
    return Measure(value, "mass_flow")


def _kg(value: float) -> Measure:
    return Measure(value, "mass")


# ------------------------------------------------------------ until it runs over


def _overflow_guessed(given: Mapping[str, Any]) -> Reply:
    minutes = _pan.overflow_min(GUESSED, GUESSED_RH)
    found = "quick" if minutes < 10 else "hour" if minutes <= 60 else "long"
    rows = tuple(
        (
            Measure(rh, "relative_humidity"),
            _water(_pan.coil(GUESSED, rh).engine_kg_s),
            f"{_pan.overflow_min(GUESSED, rh)} min",
        )
        for rh in ROOMS
    )
    said = (
        line("Each row starts with a dry pan and a closed drain, and runs until the first drop."),
        line("The same fault drips within the visit on a damp day and after lunch on a dry one."),
    )
    head = ("Humidity of the room", "Water off the coil", "First drop over the edge")
    return Reply(given["when"] == found, said, (head, *rows), (_pan_chart(),))


def _pan_chart() -> Plot:
    from kit.screens.tasks._in_time import Curve, Limit, time_chart

    curves = tuple(
        Curve(line("room at {rh}", rh=Measure(rh, "relative_humidity")), _pan.filling(GUESSED, rh))
        for rh in (ROOMS[0], GUESSED_RH, ROOMS[-1])
    )
    edge = Limit(line("edge of the pan"), 1000.0 * _pan.machine(GUESSED).pan_m3)
    return time_chart("Water in the pan", "mass", curves, edge)


# ------------------------------------------------------------ how much water


def _coil_table() -> tuple[tuple[Any, ...], ...]:
    coil = _pan.coil(ASKED, ASKED_RH)
    return (
        ("Air of this unit", "Its value"),
        ("Dry air through the coil", _water(coil.dry_kg_s)),
        ("Water in the entering air", Measure(coil.entering.ratio, "humidity_ratio")),
        ("Water in the leaving air", Measure(coil.leaving.ratio, "humidity_ratio")),
    )


def _coil_chart() -> tuple[Plot, ...]:
    from kit.screens.plots import air_chart

    coil = _pan.coil(ASKED, ASKED_RH)
    airs = (("entering air", coil.entering), ("leaving air", coil.leaving))
    return (air_chart([(name, air.db_k, air.rh) for name, air in airs], joined=True),)


def _water_checked(given: Mapping[str, Any]) -> Reply:
    coil = _pan.coil(ASKED, ASKED_RH)
    want = coil.by_hand_kg_s
    if abs(given["water"] - want) <= 0.02 * want:  # last digits of what is shown
        table = (
            ("Water off the coil", "How much"),
            ("from the two airs, by psychrolib", _water(want)),
            ("from the engine's coil", _water(coil.engine_kg_s)),
        )
        said = "What the air has lost, the pan has gained. There is no third place for it."
        return Reply(True, (line(said),), table, _coil_chart())
    ratio = given["water"] / want
    mistakes = (
        (7000.0, 0.05, "A pound has 7,000 grains. Divide the grains before you call them pounds."),
        (1000.0, 0.05, "A kilogram has 1,000 grams. Divide before you call them kilograms."),
        (1.0 / 60.0, 0.05, "That looks like a minute's worth. The air was given for an hour."),
        (coil.entering.ratio * coil.dry_kg_s / want, 0.03,
         "That is all the water that comes in. Most of it leaves again with the cold air."),
    )  # fmt: skip
    for factor, near, hint in mistakes:
        if abs(ratio / factor - 1.0) <= near:
            return Reply(False, (line(hint),))
    said = "Dry air an hour, times what each part of it has lost: entering less leaving."
    return Reply(False, (line(said),))


def _sheet(given: Mapping[str, Any]) -> Reply:
    entering = air_of_humidity(given["db"], given["rh"])
    leaving = air_of_humidity(given["out_db"], given["out_rh"])
    duty = duty_of(given["flow"], entering, leaving)
    if duty.condensate_kg_s < 0.0:
        wetter = "By these figures the air leaves wetter than it came. Look at them again."
        return Reply(False, (line(wetter),))
    rows = (
        ("Dew point of the entering air", Measure(entering.dew_k, "temperature")),
        ("Water in the entering air", Measure(entering.ratio, "humidity_ratio")),
        ("Water in the leaving air", Measure(leaving.ratio, "humidity_ratio")),
        ("Water off the coil", _water(duty.condensate_kg_s)),
        ("Heat that the water cost", Measure(duty.latent_w, "heat_flow")),
    )
    said = line("Worked out by psychrolib at sea level.")
    return Reply(None, (said,), (("Worked out of it", "This coil"), *rows))


def example() -> Duty:
    """Return the worked example as psychrolib has it."""
    entering = air_of_humidity(EX_DB_K, EX_RH)
    return duty_of(EX_FLOW_M3_S, entering, air_of_humidity(EX_LEAVING_K, 1.0))


def _example_checked(given: Mapping[str, Any]) -> Reply:
    want = example().condensate_kg_s
    if abs(given["water"] - want) > 0.005 * want:
        if abs(given["water"] / want - 1.0 / 60.0) <= 0.002:
            minute = "That looks like a minute's worth. The sheet counts by the hour."
            return Reply(False, (line(minute),))
        again = "Type the example into the sheet above: flow, both airs, then read the water."
        return Reply(False, (line(again),))
    printed = float(published("psychrometrics", EXAMPLE)["expected"])
    table = (
        ("Water off that coil", "How much"),
        ("worked out here, psychrolib", _water(want)),
        ("published worked example", _water(printed)),
        ("they differ by", f"{100.0 * (printed / want - 1.0):.1f}%"),
    )
    said = (
        line("The source counts air as a real gas, psychrolib as a perfect one, and it prints "
             "three digits: less than one part in a hundred between them."),
    )  # fmt: skip
    return Reply(True, said, table)


# ------------------------------------------------------------ the pan


def _pan_table() -> tuple[tuple[Any, ...], ...]:
    return (
        ("Pan of this unit", "Its value"),
        ("Water it holds to the edge", _kg(1000.0 * _pan.machine(ASKED).pan_m3)),
        ("Water off the coil, settled", _water(_pan.coil(ASKED, ASKED_RH).engine_kg_s)),
    )


def pan_s() -> float:
    """Return the time in which the asked unit's settled coil fills its pan [s]."""
    return 1000.0 * _pan.machine(ASKED).pan_m3 / _pan.coil(ASKED, ASKED_RH).engine_kg_s


def _pan_checked(given: Mapping[str, Any]) -> Reply:
    want = pan_s()
    if abs(given["full"] - want) <= 60.0:  # what the last digit of the flow is worth
        table = (
            ("Pan full", "Time after the start"),
            ("pan over flow, by hand", f"{want / 60.0:.0f} min"),
            ("started dry, in the engine", f"{_pan.overflow_min(ASKED, ASKED_RH)} min"),
        )
        said = (
            line("The engine takes longer: the compressor ramps up, and dry fins hold the first "
                 "water."),
            line("And that is how long a blocked drain lets you believe that all is well."),
        )  # fmt: skip
        return Reply(True, said, table)
    upside_s = 3600.0 * 60.0 / want  # the flow over the pan, taken for minutes
    mistakes = (
        (want / 60.0, "That looks like hours in the field for minutes. Type the unit with it."),
        (upside_s, "Upside down: it is the pan over the flow."),
        (60.0 * upside_s, "Upside down: it is the pan over the flow."),
    )
    for value, hint in mistakes:
        if abs(given["full"] - value) <= 0.08 * value:
            return Reply(False, (line(hint),))
    otherwise = "What the pan holds over what comes in an hour: a part of an hour. Times sixty."
    return Reply(False, (line(otherwise),))


# ------------------------------------------------------------ a drain half closed


def _bore_row(bore: float) -> tuple[Any, ...]:
    pan, over = _pan.standing_kg(GUESSED, DAMP_RH, bore, LONG_MIN)
    seconds, spilt = _pan.poured(GUESSED, bore)
    empty = "does not empty" if math.isinf(seconds) else f"{seconds / 60.0:.1f} min"
    runs = "it runs over" if over > 0.0 else _kg(pan)
    return (Measure(bore, "fraction"), runs, empty, _kg(spilt))


def _pour_guessed(given: Mapping[str, Any]) -> Reply:
    drips = _pan.standing_kg(GUESSED, DAMP_RH, NARROW, LONG_MIN)[1] > 0.0
    spills = _pan.poured(GUESSED, NARROW)[1] > 0.0
    found = "both" if drips and spills else "day" if drips else "pour" if spills else "none"
    head = ("Bore closed by", "In the pan, two damp hours", "Pour test empties in",
            "Over the edge meanwhile")  # fmt: skip
    said = (
        line("A coil gives water by drops; a narrow hose copes, and dirt goes on settling in it."),
        line("The pour test asks for more than any day does. That is why it finds it early."),
    )
    return Reply(given["finds"] == found, said, (head, *(_bore_row(bore) for bore in BORES)))


def _slope_table() -> tuple[tuple[Any, ...], ...]:
    return (
        ("Hose in the wall cavity", "Its value"),
        ("Run, measured level", Measure(RUN_M, "length")),
        ("Height at the pan", Measure(HIGH_M, "small_length")),
        ("Height at the outlet", Measure(LOW_M, "small_length")),
    )


def _slope_checked(given: Mapping[str, Any]) -> Reply:
    want, has = FALL * RUN_M, HIGH_M - LOW_M
    enough = "yes" if has >= want else "no"
    said = []
    if abs(given["fall"] - want) > READ_TO_M:
        mistakes = (
            (2.0 * want, "A quarter inch per foot is what many choose; asked is the least."),
            (has, "That is the fall it has. How much does it need?"),
            (12.0 * want, "An eighth of an inch per foot gives inches, not feet."),
            (want / 12.0, "That is the fall of one foot of it."),
        )
        fits = [hint for value, hint in mistakes if abs(given["fall"] - value) <= 0.03 * value]
        said.append(line(fits[0] if fits else "Fall of each foot, times the feet of its run."))
    if given["enough"] != enough:
        said.append(line("Take the height at the outlet from the height at the pan, and compare."))
    if said:
        return Reply(False, tuple(said))
    right = "Too flat: water stands in it, and slime grows in standing water. Hang it anew."
    return Reply(True, (line(right),))


# ------------------------------------------------------------ whose water

CAUSES = {"full": "blocked", "flying": "carried", "outside": "sweat", "flood": "ice",
          "stops": "float"}  # fmt: skip
_CAUSE_HINTS = {
    "full": "A pan full to its edge and a dry end: what lies between them?",
    "flying": "The pan is nearly empty, so the drain does its work. What throws drops off fins?",
    "outside": "Inside of the hose all is well. Where does water on a cold outside come from?",
    "flood": "Nothing, then much, after a stop: it was there all the time, but not as water.",
    "stops": "It starts again once the pan is bailed out. What watches the level?",
}


def _causes_checked(given: Mapping[str, Any]) -> Reply:
    wrong = [clue for clue, cause in CAUSES.items() if given[clue] != cause]
    if wrong:
        return Reply(False, tuple(line(_CAUSE_HINTS[clue]) for clue in wrong[:2]))
    said = "Five kinds of water, and one of them is refrigeration. Look before you clean."
    return Reply(True, (line(said),))


_CAUSE_LABELS = {
    "blocked": "blocked drain",
    "carried": "drops carried off a dirty coil or wheel",
    "sweat": "sweat where insulation is missing",
    "ice": "ice on the coil that melts",
    "float": "float switch doing its duty",
}

TASKS = (
    Task(
        "guess-overflow",
        "Say it first: the closed drain",
        (
            line("A 12,000 Btu/h unit starts with a dry pan; its drain is closed. The room is at "
                 "{db} and {rh}.", db=Measure(_pan.ROOM_K, "temperature"),
                 rh=Measure(GUESSED_RH, "relative_humidity")),
            line("When does the first drop run over the edge?"),
        ),
        (choice("when", "The first drop comes", quick="within ten minutes",
                hour="after ten minutes to an hour", long="after more than an hour"),),
        "Say it and let it run",
        _overflow_guessed,
        once=True,
    ),
    Task(
        "water",
        "How much water?",
        (line("An 18,000 Btu/h unit at work. How much water comes off its coil?"),),
        (number("water", "Water off the coil", "mass_flow", 0.0, MOST_KG_S),),
        "Check it",
        _water_checked,
        table=_coil_table,
    ),
    Task(
        "water-sheet",
        "Water sheet",
        (line("Give the flow of air and both its states; the water follows."),),
        (
            number("flow", "Flow of the entering air", "airflow", 0.01, 10.0),
            number("db", "Entering, dry bulb", "temperature", 273.15, 323.15),
            number("rh", "Entering, humidity", "relative_humidity", 0.05, 1.0),
            number("out_db", "Leaving, dry bulb", "temperature", 273.15, 323.15),
            number("out_rh", "Leaving, humidity", "relative_humidity", 0.05, 1.0),
        ),
        "Work it out",
        _sheet,
    ),
    Task(
        "example",
        "Does a published example agree?",
        (
            line("A large coil: {flow} of air at {db} and {rh} leaves it saturated at {out}. How "
                 "much water by the sheet?", flow=Measure(EX_FLOW_M3_S, "airflow"),
                 db=Measure(EX_DB_K, "temperature"), rh=Measure(EX_RH, "relative_humidity"),
                 out=Measure(EX_LEAVING_K, "temperature")),
        ),
        (number("water", "Water off that coil", "mass_flow", 0.0, MOST_KG_S),),
        "Compare with the example",
        _example_checked,
    ),
    Task(
        "pan",
        "How long does the pan hold?",
        (line("The same 18,000 Btu/h unit, drain closed. How long until its pan is full?"),),
        (number("full", "Full after", "time", 0.0, 360000.0),),
        "Check it",
        _pan_checked,
        table=_pan_table,
    ),
    Task(
        "guess-pour",
        "Say it first: a drain that is four fifths closed",
        (line("The 12,000 Btu/h unit again, on a damp day. Slime leaves a fifth of the bore."),
         line("What finds it: two hours of running, or {much} poured into the pan?",
              much=Measure(_pan.POURED_KG / 1000.0, "volume"))),
        (choice("finds", "Water over the edge", day="while it runs", pour="at the pour test alone",
                both="at both", none="at neither"),),
        "Say it and try both",
        _pour_guessed,
        once=True,
    ),
    Task(
        "slope",
        "Enough fall?",
        (line("The code asks for an eighth of an inch per foot at the least, one part in 96. How "
              "much fall does this hose need, and has it got that?"),),
        (
            number("fall", "It needs a fall of", "small_length", 0.0, 10.0),
            choice("enough", "It has", yes="enough", no="too little"),
        ),
        "Check it",
        _slope_checked,
        table=_slope_table,
    ),
    Task(
        "causes",
        "Whose water is it?",
        (line("Five calls about water. Which cause fits?"),),
        (
            choice("full", "Pan full to the edge, end of the hose dry", **_CAUSE_LABELS),
            choice("flying", "Pan nearly empty, drops fly out with the air", **_CAUSE_LABELS),
            choice("outside", "Pan and hose run free, the outside of the hose is wet",
                   **_CAUSE_LABELS),
            choice("flood", "Dry for hours, a flood after each stop", **_CAUSE_LABELS),
            choice("stops", "Stops by itself, runs again once the pan is bailed out",
                   **_CAUSE_LABELS),
        ),
        "Check it",
        _causes_checked,
    ),
)  # fmt: skip
