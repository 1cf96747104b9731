"""Tasks of the lesson on writing work orders: what can be found, what is fair, what a level is."""

from __future__ import annotations

import math
from collections.abc import Mapping
from functools import cache
from typing import TYPE_CHECKING, Any

from kit.machine.readings import reading
from kit.screens.instructor.texts import plain
from kit.screens.task import Reply, Task
from kit.screens.tasks._asked import choice, number
from kit.visit.outcome import Measure, line

if TYPE_CHECKING:
    from kit.screens.instructor.preview import Judged, Preview

MACHINE = "wall-12k-r32"
JOB: dict[str, Any] = {
    "machine": MACHINE, "mode": "cooling", "room_c": 299.15, "room_rh": 0.5,
    "outdoor_c": 304.15, "outdoor_rh": 0.45,
}  # fmt: skip
LEAKS = ("mild", "moderate", "severe")
LEAK_READINGS = ("split", "gas_line", "liquid_line", "discharge_line", "subcooling")
# Two jobs to compare. The reversing valve sticks where a job about cooling wants it.
FIRST = {**JOB, "fault_1": "dirty-filter", "severity_1": "moderate",
         "fault_2": "low-charge", "severity_2": "severe"}  # fmt: skip
SECOND = {**JOB, "fault_1": "stuck-reversing-valve", "severity_1": "failed"}
SOUND_AIRFLOW, WEAK_AIRFLOW = 0.189, 0.157  # made up: what a grid of readings gives [m3/s]
AIRFLOW_SHARE, AIRFLOW_PLUS = 0.15, 0.003  # accuracy of the grid, as in kit/machine/readings.py
ASKED_LEVEL, MOST_LOST = 0.5, 0.6  # of low-charge: at level 1 this share has leaked out
# NIST TN 1848 correlation, cooling, 30 % undercharge, 26.67 °C and 35 °C: datasets/published/
# charge.csv, row charge-cool-0.3-capacity. It is for a fixed-speed ducted machine.
PUBLISHED_CAPACITY = 0.798
RATING_K = (299.82, 308.15)


@cache
def leak(severity: str) -> Preview:
    """Return what the unit of these tasks reads with a leak of one degree.

    Args:
        severity: "mild", "moderate" or "severe".
    """
    return _preview({**JOB, "fault_1": "low-charge", "severity_1": severity})


@cache
def fair(first: bool) -> bool:
    """Return whether each fault of one of the two jobs can be found.

    Args:
        first: whether the first is meant.
    """
    return _preview(FIRST if first else SECOND).fair


def _preview(values: Mapping[str, Any]) -> Preview:
    from kit.screens.instructor.preview import preview

    return preview(values)


def shows(judged: Judged) -> str:
    """Return what a mild leak shows: "split", "small" (other readings only) or "nothing".

    Args:
        judged: the leak as the engine found it.
    """
    if "split" in judged.by:
        return "split"
    return "small" if judged.by else "nothing"


def _mild_leak(given: Mapping[str, Any]) -> Reply:
    seen = {name: leak(name).faults[0] for name in LEAKS}
    rows: list[tuple[Any, ...]] = [
        ("Reading that differs from a sound unit", *LEAKS),
        *((reading(name).title, *("yes" if name in seen[s].by else "no" for s in LEAKS))
          for name in LEAK_READINGS),
    ]  # fmt: skip
    rows.append(("Charge lost", *(Measure(_lost(s), "fraction") for s in LEAKS)))
    said = (
        line("Each column is the same unit, run until it settled; “yes” means by more than the "
             "tools can be wrong."),
        line("The expansion valve opens and makes up for a small loss. Until it stands fully "
             "open, the air side keeps its secret."),
        line("So a mild leak is no job for beginners: only one clamp, or gauges, would show it."),
    )  # fmt: skip
    return Reply(given["shows"] == shows(seen["mild"]), said, tuple(rows))


def _lost(severity: str) -> float:
    from kit.faults import fault
    from kit.machine import Condition

    return 1.0 - fault("low-charge").apply(Condition(), severity).charge_fraction


def _unfair(given: Mapping[str, Any]) -> Reply:
    wrong = "second" if fair(first=True) and not fair(first=False) else "first"
    if given["which"] != wrong:
        return Reply(False, (
            line("Two faults are fair as long as each shows by itself. Look for the job in which "
                 "nothing reads otherwise than on a sound unit."),))  # fmt: skip
    if given["why"] != "nothing":
        return Reply(False, (
            line("The right job, but not for that reason. Ask what a learner could read there "
                 "with and without the fault."),))  # fmt: skip
    by = len(_preview(FIRST).faults[0].by), len(_preview(FIRST).faults[1].by)
    return Reply(True, (
        line("In cooling the stuck valve lies just where it should: no reading gives it away. "
             "Make that job about heating."),
        line("In the other job {filter} readings show the filter and {leak} the leak.",
             filter=by[0], leak=by[1])))  # fmt: skip


def _jobs_table() -> tuple[tuple[Any, ...], ...]:
    return (
        ("What was chosen", "First job", "Second job"),
        ("Mode of the job", "Cooling", "Cooling"),
        ("Room", *(Measure(JOB["room_c"], "temperature"),) * 2),
        ("Outdoors", *(Measure(JOB["outdoor_c"], "temperature"),) * 2),
        (plain("Hidden"), "Dirty air filter (moderate)", "Reversing valve stuck in cooling"),
        ("Hidden as well", "Low charge from a leak (severe)", "–"),
    )


def off_by(value: float) -> float:
    """Return how far the grid of the anemometer may be wrong at an airflow [m3/s].

    Args:
        value: airflow [m3/s].
    """
    return AIRFLOW_PLUS + AIRFLOW_SHARE * value


def _together(given: Mapping[str, Any]) -> Reply:
    one, other = off_by(SOUND_AIRFLOW), off_by(WEAK_AIRFLOW)
    want, typed, step = math.hypot(one, other), given["span"], 0.00071  # 1.5 cfm: two roundings
    if abs(typed - (one + other)) <= step:
        return Reply(False, (line(
            "That is the sum. Both readings are seldom wrong to the full and in opposite "
            "directions: add their squares and take the root."),))  # fmt: skip
    if min(abs(typed - one), abs(typed - other)) <= step:
        return Reply(False, (line("That is one reading alone. Two are compared."),))
    if abs(typed - want) > step:
        return Reply(False, (line(
            "Take the square of each reading's possible error, add the two and take the root."),))
    change = SOUND_AIRFLOW - WEAK_AIRFLOW
    return Reply(True, (
        line("The change is {change}; together the two readings may be wrong by {span}. So this "
             "filter cannot be found by airflow: it has to be looked at.",
             change=Measure(change, "airflow"), span=Measure(want, "airflow")),
        line("The desk does the same for every reading of your work order.")))  # fmt: skip


def _airflow_table() -> tuple[tuple[Any, ...], ...]:
    rows = (("Sound", SOUND_AIRFLOW), ("With the dirty filter", WEAK_AIRFLOW))
    return (
        ("The unit", "Airflow at the outlet", "May be wrong by"),
        *((name, Measure(v, "airflow"), Measure(off_by(v), "airflow")) for name, v in rows),
    )


def label_kg() -> float:
    """Return the charge on the label of the unit of these tasks [kg]."""
    from kit.machine import load_spec

    return float(load_spec(MACHINE).factory_charge_kg)


@cache
def capacity_left() -> float:
    """Return the share of capacity that the engine leaves this unit at the level asked for."""
    from kit.faults import fault
    from kit.machine import Command, Condition, Surroundings, load_spec, settle

    spec, around = load_spec(MACHINE), Surroundings(RATING_K[0], 0.5, RATING_K[1], 0.4)
    low = fault("low-charge").apply(Condition(), ASKED_LEVEL)
    sound, leaky = (
        settle(spec, one, around, Command("cooling", 294.15)) for one in (Condition(), low)
    )
    return float(leaky.capacity_w / sound.capacity_w)


def _missing(given: Mapping[str, Any]) -> Reply:
    label = label_kg()
    want, typed, step = label * MOST_LOST * ASKED_LEVEL, given["missing"], 0.0029  # 0.1 oz
    if abs(typed - label * ASKED_LEVEL) <= step:
        return Reply(False, (line(
            "A level is no share of the charge. It says how far the fault has gone towards its "
            "worst, and at its worst {most} has leaked out.",
            most=Measure(MOST_LOST, "fraction")),))  # fmt: skip
    if abs(typed - (label - want)) <= step:
        return Reply(False, (line("That is what is left in the unit. What has leaked out?"),))
    if abs(typed - want) > step:
        return Reply(False, (line(
            "Level times what is lost at the worst gives the share; that share of the label has "
            "leaked out."),))  # fmt: skip
    said = line(
        "That much has to be weighed in again after the repair. The published correlation is for "
        "a fixed-speed ducted machine; this unit's valve and speed make up for more of the loss."
    )
    return Reply(True, (said,), (
        ("Capacity left", plain("Share")),
        ("this unit, by the engine", Measure(capacity_left(), "fraction")),
        ("NIST TN 1848, ducted split", Measure(PUBLISHED_CAPACITY, "fraction")),
    ))  # fmt: skip


TASKS = (
    Task(
        "mild-leak",
        "Say it first: a mild leak",
        (
            line(
                "You hide a mild leak, and nothing else, in a 12,000 Btu/h unit. The room is at "
                "{room}, outdoors it is {outdoor}.",
                room=Measure(JOB["room_c"], "temperature"),
                outdoor=Measure(JOB["outdoor_c"], "temperature"),
            ),
            line("What will your learners be able to read, once the unit has settled?"),
        ),
        (
            choice(
                "shows", "They will find", split="a split that is clearly smaller",
                small="no smaller split, but a change on the pipes",
                nothing="nothing at all",
            ),
        ),
        "Say it and run the unit",
        _mild_leak,
        once=True,
    ),
    Task(
        "off-by",
        "How much can two readings be wrong together?",
        (
            line(
                "An anemometer grid may be wrong by {share} of its reading and {plus} more. It "
                "was held at the outlet twice.",
                share=Measure(AIRFLOW_SHARE, "fraction"), plus=Measure(AIRFLOW_PLUS, "airflow"),
            ),
            line("How far apart must two readings be before they mean anything?"),
        ),
        (number("span", "Together they may be wrong by", "airflow", 0.0, 0.5),),
        "Check it",
        _together,
        table=_airflow_table,
    ),
    Task(
        "unfair",
        "Which of these two is unfair?",
        (line("Both are written for the same unit. One of them no learner can solve."),),
        (
            choice("which", "Unfair is", first="the first job", second="the second job"),
            choice(
                "why", "Because", many="it hides more than one fault",
                hot="the weather is too mild for the mode", nothing="no reading shows its fault",
            ),
        ),
        "Check it",
        _unfair,
        table=_jobs_table,
    ),
    Task(
        "missing",
        "What a level means",
        (
            line(
                "The label says {label}. You choose low charge at the exact level {level}. At "
                "level 1, {most} of the charge has leaked out.",
                label=Measure(label_kg(), "small_mass"), level=ASKED_LEVEL,
                most=Measure(MOST_LOST, "fraction"),
            ),
        ),
        (number("missing", "Leaked out", "small_mass", 0.0, 2.0),),
        "Check it",
        _missing,
    ),
)  # fmt: skip
