"""Tasks on a sound unit that reads low: what lowers a reading, and what gauges cost for nothing."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from kit.screens.plots import air_chart, split_chart
from kit.screens.task import Reply, Task
from kit.screens.tasks._asked import choice, number
from kit.screens.tasks._given import fahrenheit_k
from kit.screens.tasks._sound_unit import (
    EARLY,
    MACHINE,
    ROOM_K,
    SITUATIONS,
    air_duty_w,
    first_minutes,
    liquid_kg_m3,
    shown_split_k,
    sound,
    vapour_kg_m3,
)
from kit.visit.circuit_tools import CONDENSED_SHARE, GAUGES_M3
from kit.visit.outcome import ArgumentInfo, Line, Measure, line
from kit.visit.target import BAND_K, card_split_k, wet_bulb_of

if TYPE_CHECKING:
    from kit.machine import Truth
    from kit.screens.task import Plot

DEMAND_K = 5 / 1.8  # 5 °F: common practice, no source
REMOTE_K = 1.0  # step of a remote control
ASKED_RETURN_K = fahrenheit_k(77.4)  # made up
HOSE_AIR_K = 283.15
# R-32, liquid on the saturation line at 10 °C: allchemi.com, appendix 9 (datasets/published).
TABLE_LIQUID = 1019.295
def _leaving(truth: Truth) -> tuple[float, float]:
    db = float(truth.supply_db_k)
    return db, wet_bulb_of(db, min(float(truth.supply_rh), 1.0))


def _guessed(given: Mapping[str, Any]) -> Reply:
    splits = {name: shown_split_k(name) for name in SITUATIONS}
    usual, duty = splits["usual"], float(sound("usual")[0].capacity_w)
    others = {name: split for name, split in splits.items() if name != "usual"}
    lowest = min(others, key=lambda name: others[name])
    same = min(others, key=lambda name: abs(others[name] - usual))
    rows = tuple(
        (SITUATIONS[name], Measure(split, "temperature_difference"),
         Measure(float(sound(name)[0].capacity_w) / duty, "fraction"))
        for name, split in splits.items()
    )  # fmt: skip
    said = (
        line("One sound unit, seven readings. Not one of them is a reason for gauges."),
        line("In the humid room the split is small and the work is the greatest of all. The probe "
             "in front of the outlet changed nothing but your mind."),
        line("The curve shows the start: what you read before it is level is the unit's beginning, "
             "not the unit."),
    )  # fmt: skip
    times, curve = first_minutes()
    plot = split_chart([("from the start", times, curve)], usual, BAND_K)
    head = ("The unit and its reading", "Split shown", "Heat moved, of the usual")
    right = (given["lowest"], given["same"]) == (lowest, same)
    return Reply(right, said, (head, *rows), (plot,))


def _demand_checked(given: Mapping[str, Any]) -> Reply:
    demand = ASKED_RETURN_K - given["set"]
    if DEMAND_K - 0.01 <= demand < DEMAND_K + REMOTE_K:
        said = "The unit is asked for full work, and the fan left on auto gives its usual air."
        return Reply(True, (line(said),))
    if demand < 0.0:
        said = "Set above the room, a cooling unit rests. In cooling, go below."
    elif demand < DEMAND_K:
        said = "That leaves less demand than the rule asks for. Count again from the entering air."
    else:
        said = "That is demand enough and to spare; asked is the highest figure that still does."
    return Reply(False, (line(said),))


def _duty_table() -> tuple[tuple[Any, ...], ...]:
    rows = []
    for title, name in (("Room at 50 %", "usual"), ("Room at 80 %", "humid")):
        truth, around = sound(name)
        wet = wet_bulb_of(ROOM_K, around.room_rh)
        states = (ROOM_K, wet, *_leaving(truth))
        airflow = Measure(float(truth.airflow_m3_s), "airflow")
        rows.append((title, *(Measure(t, "temperature") for t in states), airflow))
    head = ("The room", "Entering, dry bulb", "wet bulb", "Leaving, dry bulb", "wet bulb",
            "Airflow")  # fmt: skip
    return (head, *rows)


def _duty_worked_out(given: Mapping[str, Any]) -> Reply:
    if given["in_wb"] > given["in_db"] or given["out_wb"] > given["out_db"] + 0.06:
        wet = "A wet bulb cannot be above its dry bulb. Look at both again."
        return Reply(False, (line(wet),))
    sensible, total = air_duty_w(
        (given["in_db"], given["in_wb"]),
        (given["out_db"], min(given["out_wb"], given["out_db"])),
        given["airflow"],
    )
    rows = (
        ("Felt: the air is colder", Measure(sensible, "heat_flow")),
        ("Not felt: the air is drier", Measure(total - sensible, "heat_flow")),
        ("In all", Measure(total, "heat_flow")),
    )
    said = (line("Worked out by psychrolib at sea level."),)
    return Reply(None, said, (("Which heat", "Heat taken out"), *rows))


def _duties(name: str) -> tuple[float, float]:
    truth, around = sound(name)
    wet = wet_bulb_of(ROOM_K, around.room_rh)
    return air_duty_w((ROOM_K, wet), _leaving(truth), float(truth.airflow_m3_s))


def _duty_checked(given: Mapping[str, Any]) -> Reply:
    (felt, want), (_, dry) = _duties("humid"), _duties("usual")
    near = 0.03 * want  # a tenth of a degree in each wet bulb makes three per cent
    if abs(given["total"] - want) > near:
        if abs(given["total"] - felt) <= near:
            said = "That is only what a thermometer feels. Count the water as well: read In all."
        elif abs(given["total"] - dry) <= near:
            said = "That is the other room. Take the row of the humid one."
        else:
            said = "Type the five figures of the humid room into the sheet; read its last row."
        return Reply(False, (line(said),))
    rooms = (("Room at 50 %", "usual", dry), ("Room at 80 %", "humid", want))
    table = (
        ("The room", "Split", "From the air, psychrolib", "In the engine"),
        *((title, Measure(shown_split_k(name), "temperature_difference"),
           Measure(duty, "heat_flow"), Measure(float(sound(name)[0].net_capacity_w), "heat_flow"))
          for title, name, duty in rooms),
    )  # fmt: skip
    harder = "A smaller split, and more heat: the humid room's unit is the hardest worker here."
    return Reply(True, (line(harder),), table, (_air_plot(),))


def _air_plot() -> Plot:
    states = []
    for title, name in (("Room at 50 %", "usual"), ("Room at 80 %", "humid")):
        truth, around = sound(name)
        states.append((title, ROOM_K, around.room_rh))
        supply_rh = min(float(truth.supply_rh), 1.0)
        states.append(("its supply air", float(truth.supply_db_k), supply_rh))
    return air_chart(states, joined=True)


SHEETS = {  # sheet: (situation, minutes run, demand, what to do)
    "a": ("humid", 12, "full demand", "leave"),
    "b": ("early", EARLY, "full demand", "again"),
    "c": ("film", 12, "full demand", "further"),
    "d": ("demand", 12, "little demand", "again"),
    "e": ("hot", 12, "full demand", "leave"),
}


def _target_k(situation: str) -> float:
    _, around = sound(situation)
    return card_split_k(MACHINE, "cooling", ROOM_K, around.room_rh, around.outdoor_db_k)


def _sheet_table() -> tuple[tuple[Any, ...], ...]:
    rows = (
        (name.upper(), Measure(sound(what)[1].room_rh, "relative_humidity"),
         Measure(sound(what)[1].outdoor_db_k, "temperature"), demand,
         Measure(60.0 * minutes, "time"),
         Measure(float(sound(what)[0].split_k), "temperature_difference"),
         Measure(_target_k(what), "temperature_difference"))
        for name, (what, minutes, demand, _) in SHEETS.items()
    )  # fmt: skip
    head = ("Job sheet", "Humidity of the room", "Outdoor air", "Demand", "Run for", "Split",
            "Target split")  # fmt: skip
    return (head, *rows)


_SHEET_HINTS = {
    "leave": "Sheet {sheet}: compare its split with its own target, give or take {band}.",
    "again": "Sheet {sheet}: was it measured so that its split may be compared at all?",
    "further": "Sheet {sheet}: it was measured well. Is its split within {band} of its target?",
}


def _sheets_checked(given: Mapping[str, Any]) -> Reply:
    band = Measure(BAND_K, "temperature_difference")
    missed = [name for name in SHEETS if given[name] != SHEETS[name][3]]
    if missed:
        count = line("{n} of {all} are right.", n=len(SHEETS) - len(missed), all=len(SHEETS))
        hint = line(_SHEET_HINTS[SHEETS[missed[0]][3]], sheet=missed[0].upper(), band=band)
        return Reply(False, (count, hint))
    return Reply(True, (
        line("Two are sound, two say nothing yet, and one is worth a torch and a brush."),
        line("None of the five is worth a hose."),
    ))  # fmt: skip


def _hose_checked(given: Mapping[str, Any]) -> Reply:
    truth, around = sound("usual")
    charge_g = 1e3 * float(truth.charge_kg)
    liquid, full = liquid_kg_m3(HOSE_AIR_K), 1e3 * GAUGES_M3
    want = CONDENSED_SHARE * full * liquid
    cool = full * vapour_kg_m3(float(truth.suction_pa), around.outdoor_db_k)
    said: list[Line] = []
    if abs(given["grams"] - full * liquid) <= 1.0:
        said.append(line("That is a hose full of liquid. Only half of it is."))
    elif abs(given["grams"] - want) > 1.0:  # the volume is given to a millilitre
        said.append(line("Volume times density, and half of that. A litre is 1000 mL."))
    if abs(given["share"] - want / charge_g) > 0.003:
        said.append(line("Divide the grams by the charge on the nameplate, in the same unit."))
    if said:
        return Reply(False, tuple(said))
    table = (
        ("What is weighed", "Worked out here", "To compare"),
        ("Liquid, per litre", f"{liquid:.0f} g", f"{TABLE_LIQUID:.0f} g"),
        ("Hose in heating", f"{want:.1f} g", f"{100 * want / charge_g:.1f} %"),
        ("Hose in cooling, vapour", f"{cool:.1f} g", f"{100 * cool / charge_g:.1f} %"),
    )
    return Reply(True, (
        line("CoolProp's density beside a printed table (allchemi.com, appendix 9): within half "
             "a per cent."),
        line("What is in the hose when it comes off is lost. Three such visits in heating, and a "
             "tenth of the charge is gone: the leak that the gauges were to find."),
    ), table)  # fmt: skip


def _hose_ask() -> tuple[Line, ...]:
    return (
        line("Heating, {t} outdoors. Gauges and hose hold {ml} mL. Hot gas meets the cold hose and "
             "condenses: half of it fills with liquid of {d} g a litre. The nameplate says {g} g.",
             t=Measure(HOSE_AIR_K, "temperature"), ml=f"{1e6 * GAUGES_M3:.0f}",
             d=f"{TABLE_LIQUID:.0f}", g=f"{CHARGE_G:.0f}"),
        line("How much liquid is in the hose, and what share of the charge is that?"),
    )  # fmt: skip


CHARGE_G = 690.0  # nameplate of the machine; held to its data sheet by a test
_CASES = {name: label for name, label in SITUATIONS.items() if name != "usual"}
_TODO = {
    "leave": "It is sound: leave it alone",
    "again": "It says nothing yet: measure again",
    "further": "Look further: dirt first",
}

TASKS = (
    Task(
        "guess-lowest",
        "Say it first: one sound unit, six ways to read it",
        (
            line("A sound unit in a room of {room} shows its usual split. Then one thing is "
                 "changed at a time.", room=Measure(ROOM_K, "temperature")),
        ),
        (
            choice("lowest", "The lowest split is shown when", **_CASES),
            choice("same", "The split hardly changes when", **_CASES),
        ),
        "Say it and run the unit",
        _guessed,
        once=True,
    ),
    Task(
        "demand",
        "Ask for enough",
        (
            line("Cooling. The air at the return grille is at {t}. The rule asks for at least "
                 "{demand} of demand; the remote goes in whole degrees.",
                 t=Measure(ASKED_RETURN_K, "temperature"),
                 demand=Measure(DEMAND_K, "temperature_difference")),
        ),
        (number("set", "Highest setting that does", "temperature", 283.15, 313.15),),
        "Check it",
        _demand_checked,
    ),
    Task(
        "duty-sheet",
        "Duty sheet",
        (line("Air before and after the coil, and how much of it: what was taken out of it?"),),
        (
            number("in_db", "Entering, dry bulb", "temperature", 273.15, 323.15),
            number("in_wb", "Entering, wet bulb", "temperature", 263.15, 323.15),
            number("out_db", "Leaving, dry bulb", "temperature", 263.15, 323.15),
            number("out_wb", "Leaving, wet bulb", "temperature", 263.15, 323.15),
            number("airflow", "Airflow", "airflow", 0.01, 1.0),
        ),
        "Work it out",
        _duty_worked_out,
    ),
    Task(
        "humid-duty",
        "Which unit works harder?",
        (line("The same sound unit in two rooms. How much heat does it take out of the humid one, "
              "felt and not felt together?"),),
        (number("total", "In all, humid room", "heat_flow", 0.0, 30000.0),),
        "Check it",
        _duty_checked,
        table=_duty_table,
    ),
    Task(
        "sheets",
        "Five job sheets",
        (line("Filters are clean, no codes. What is to be done about each?"),),
        tuple(choice(name, f"Sheet {name.upper()}", **_TODO) for name in SHEETS),
        "Check it",
        _sheets_checked,
        table=_sheet_table,
    ),
    Task(
        "hose",
        "What a look with gauges costs",
        _hose_ask(),
        (
            ArgumentInfo("grams", "Liquid in the hose, grams", "number", low=0.0, high=500.0),
            number("share", "Share of the charge", "fraction", 0.0, 1.0),
        ),
        "Check it",
        _hose_checked,
    ),
)  # fmt: skip
