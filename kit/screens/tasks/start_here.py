"""Tasks of the first lesson: humidity and the split, a split, a target, and air worked out."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from kit.screens.task import Reply, Task
from kit.screens.tasks._air_side import air_of_wet_bulb
from kit.screens.tasks._asked import choice, number
from kit.screens.tasks._given import fahrenheit_k
from kit.visit.outcome import Measure, line
from kit.visit.target import BAND_K, card_split_k, handbook_split_k, wet_bulb_of

ROOM_K = 80 / 1.8 + 459.67 / 1.8  # 80 °F
HUMIDITIES = (0.3, 0.4, 0.5, 0.6, 0.7, 0.8)
ENTERING_K, LEAVING_K = fahrenheit_k(78.4), fahrenheit_k(61.8)  # made up
MACHINE = "wall-12k-r32"
CARD_DB_F, CARD_RH = (74, 76, 78, 80), (0.4, 0.5, 0.6, 0.7)
ASKED_DB_F, ASKED_RH = 76, 0.6
SHOWN_SPLIT_K = 12.4 / 1.8
# ASHRAE Handbook - Fundamentals, chapter 1, worked example 1, as kept in psychrolib's own tests.
EXAMPLE = {"db_k": 313.15, "wb_k": 293.15, "rh": 0.14, "dew_k": 280.15, "ratio": 0.0065}


def air_values(db_k: float, wb_k: float) -> tuple[float, float, float]:
    """Return relative humidity [0..1], dew point [K] and humidity ratio [kg/kg] at sea level.

    Args:
        db_k: dry bulb [K].
        wb_k: wet bulb [K], not above the dry bulb.

    Source:
        psychrolib 2.5, which follows the ASHRAE Handbook - Fundamentals, chapter 1.
    """
    air = air_of_wet_bulb(db_k, wb_k)
    return air.rh, air.dew_k, air.ratio


def _split_of(rh: float) -> float:
    """Return the split of a sound 12,000 Btu/h unit in a room of 80 °F on a 95 °F day [K]."""
    from kit.machine import Command, Condition, Surroundings, load_spec, settle

    around = Surroundings(ROOM_K, rh, 308.15, 0.4)
    truth = settle(load_spec(MACHINE), Condition(), around, Command("cooling", 289.15))
    return float(truth.split_k)


def _guessed(given: Mapping[str, Any]) -> Reply:
    splits = [_split_of(rh) for rh in HUMIDITIES]
    truth = "smaller" if splits[-1] < splits[2] - 0.5 else "larger"
    rows = tuple(
        (Measure(rh, "relative_humidity"), Measure(split, "temperature_difference"))
        for rh, split in zip(HUMIDITIES, splits, strict=True)
    )
    said = (
        line("Each row is the same sound unit, run until it settled."),
        line("Wet air gives up water on the coil; that work does not show as a colder outlet."),
        line("So a split means nothing before the humidity beside it is known."),
    )
    head = ("Humidity of the room", "Split")
    return Reply(given["split"] == truth, said, (head, *rows))


def _split_checked(given: Mapping[str, Any]) -> Reply:
    want = ENTERING_K - LEAVING_K
    error = given["split"] - want
    if abs(error) <= 0.06:  # half of the last digit of both readings
        said = "Entering air minus leaving air, one figure for the coil's work."
        return Reply(True, (line(said),))
    if abs(error + 2 * want) <= 0.06:
        said = "The size is right. In cooling, take leaving from entering, so that it is positive."
        return Reply(False, (line(said),))
    if abs(given["split"] - (ENTERING_K + LEAVING_K) / 2 + 255.372) < 1.0:
        return Reply(False, (line("That looks like the mean. The split is the difference."),))
    return Reply(False, (line("Take the leaving air from the entering air, in one unit."),))


def _target_checked(given: Mapping[str, Any]) -> Reply:
    want = _card(ASKED_DB_F, ASKED_RH)
    right_number = abs(given["target"] - want) <= 0.3  # a little over half a degree Fahrenheit
    means = "below" if want - BAND_K > SHOWN_SPLIT_K else "within"
    said = []
    if not right_number:
        said.append(line("Find the row of the dry bulb and the column of the humidity again."))
    if given["means"] != means:
        band = Measure(BAND_K, "temperature_difference")
        said.append(line("Compare the split with the target, give or take {band}.", band=band))
    if said:
        return Reply(False, tuple(said))
    db_k = fahrenheit_k(ASKED_DB_F)
    ducted = handbook_split_k("cooling", db_k, wet_bulb_of(db_k, ASKED_RH))
    return Reply(
        True,
        (line("Too low for this air. Whether dirt or charge, only more checks can tell."),),
        (
            ("Target for this air", "Split"),
            ("this unit's card", Measure(want, "temperature_difference")),
            ("published table, ducted units", Measure(ducted, "temperature_difference")),
        ),
    )


def _card(db_f: float, rh: float) -> float:
    return card_split_k(MACHINE, "cooling", fahrenheit_k(db_f), rh)


def _fahrenheit(value: float) -> Measure:
    return Measure(fahrenheit_k(value), "temperature")


def _card_table() -> tuple[tuple[Any, ...], ...]:
    head = ("Dry bulb", *(Measure(rh, "relative_humidity") for rh in CARD_RH))
    rows = (
        (_fahrenheit(db), *(Measure(_card(db, rh), "temperature_difference") for rh in CARD_RH))
        for db in CARD_DB_F
    )
    return (head, *rows)


def _air_worked_out(given: Mapping[str, Any]) -> Reply:
    db_k, wb_k = given["db"], given["wb"]
    if wb_k > db_k:
        return Reply(False, (line("A wet bulb cannot be above the dry bulb. Look at both again."),))
    rh, dew_k, ratio = air_values(db_k, wb_k)
    rows = (
        ("Relative humidity", Measure(rh, "relative_humidity")),
        ("Dew point", Measure(dew_k, "temperature")),
        ("Water in the air", Measure(ratio, "humidity_ratio")),
    )
    return Reply(None, (line("Worked out by psychrolib at sea level."),), (("", "This air"), *rows))


def _handbook_checked(given: Mapping[str, Any]) -> Reply:
    rh, dew_k, ratio = air_values(EXAMPLE["db_k"], EXAMPLE["wb_k"])
    right = abs(given["rh"] - rh) <= 0.0101 and abs(given["dew"] - dew_k) <= 0.3
    table = (
        ("", "Worked out here", "Handbook"),
        *(
            (name, Measure(value, kind), Measure(EXAMPLE[key], kind))
            for name, value, kind, key in (
                ("Relative humidity", rh, "relative_humidity", "rh"),
                ("Dew point", dew_k, "temperature", "dew_k"),
                ("Water in the air", ratio, "humidity_ratio", "ratio"),
            )
        ),
    )
    if not right:
        said = "Type both temperatures of the question into the air sheet above and read it again."
        return Reply(False, (line(said),))
    said = "The same air twice; they agree to about one step of the last digit the handbook prints."
    return Reply(True, (line(said),), table)


TASKS = (
    Task(
        "guess-humidity",
        "Say it first: a humid day",
        (
            line(
                "A sound unit cools a room of {room} at {dry} humidity. After rain the room is at "
                "{wet}; nothing else changes.",
                room=Measure(ROOM_K, "temperature"),
                dry=Measure(0.5, "relative_humidity"),
                wet=Measure(0.8, "relative_humidity"),
            ),
            line("What becomes of the split, once it has settled again?"),
        ),
        (
            choice(
                "split", "The split becomes", larger="larger", same="the same", smaller="smaller"
            ),
        ),
        "Say it and run the unit",
        _guessed,
        once=True,
    ),
    Task(
        "split",
        "Work out a split",
        (
            line(
                "In cooling, a probe at the return reads {entering}; one in the supply reads "
                "{leaving}.",
                entering=Measure(ENTERING_K, "temperature"),
                leaving=Measure(LEAVING_K, "temperature"),
            ),
        ),
        (number("split", "The split is", "temperature_difference"),),
        "Check it",
        _split_checked,
    ),
    Task(
        "target",
        "Find the target for this air",
        (
            line(
                "The entering air is at {db} and {rh}. The unit of this card shows a split of "
                "{split}.",
                db=_fahrenheit(ASKED_DB_F),
                rh=Measure(ASKED_RH, "relative_humidity"),
                split=Measure(SHOWN_SPLIT_K, "temperature_difference"),
            ),
        ),
        (
            number("target", "The target split is", "temperature_difference"),
            choice(
                "means", "This unit's split is", below="below it", within="as it should be",
                above="above it",
            ),
        ),
        "Check it",
        _target_checked,
        table=_card_table,
    ),
    Task(
        "air-sheet",
        "Air sheet",
        (line("Give the two temperatures of a psychrometer; the rest follows."),),
        (
            number("db", "Dry bulb", "temperature", 253.15, 333.15),
            number("wb", "Wet bulb", "temperature", 253.15, 333.15),
        ),
        "Work it out",
        _air_worked_out,
    ),
    Task(
        "handbook",
        "Does the handbook agree?",
        (
            line(
                "Work out air of {db} dry bulb and {wb} wet bulb on the air sheet. What do you "
                "get?",
                db=Measure(EXAMPLE["db_k"], "temperature"),
                wb=Measure(EXAMPLE["wb_k"], "temperature"),
            ),
        ),
        (
            number("rh", "Relative humidity", "relative_humidity", 0.0, 1.0),
            number("dew", "Dew point", "temperature", 233.15, 333.15),
        ),
        "Compare with the handbook",
        _handbook_checked,
    ),
)  # fmt: skip
