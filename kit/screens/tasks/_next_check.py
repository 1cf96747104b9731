"""Two causes, one job sheet: which check comes next? The engine says which ones separate them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache, partial
from typing import Any

from kit.screens.task import Reply, Task
from kit.screens.tasks._asked import choice
from kit.visit.outcome import Line, Measure, line

MACHINE = "wall-12k-r32"
SEA_PA = 101325.0
SEEN = 0.15  # grade of dirt that a trained eye is sure of, as in kit/machine/readings.py
# Reading of the engine: (mode it is taken in, what the learner calls it).
CHECKS: dict[str, tuple[str, str]] = {
    "split": ("cooling", "The split once more, ten minutes later"),
    "airflow": ("cooling", "Airflow at the outlet, nine points"),
    "current": ("cooling", "Running current"),
    "gas_line": ("cooling", "Large line at the outdoor unit, pipe clamp"),
    "discharge_line": ("cooling", "Discharge line, pipe clamp"),
    "valve_warming": ("cooling", "Suction pipe before and after the reversing valve, two clamps"),
    "outdoor_coil_over_air": ("cooling", "Bend of the outdoor coil over the air there"),
    "outdoor_airflow": ("cooling", "Airflow of the outdoor unit"),
    "indoor_fan_speed": ("cooling", "Speed of the wheel, tachometer"),
    "outdoor_fan_speed": ("cooling", "Speed of the outdoor fan, tachometer"),
    "signal_swing": ("cooling", "Swing of the signal line, multimeter"),
    "winding_uv": ("off", "Compressor windings, leads off"),
    "filter_look": ("off", "A look at the filter"),
    "suction_pressure": ("cooling", "Suction pressure, gauges"),
    "discharge_pressure": ("cooling", "Discharge pressure, gauges"),
    "superheat": ("cooling", "Superheat, gauges and pipe clamp"),
    "standing_excess": ("off", "Standing pressure over saturation, gauges"),
}
_KINDS = {
    "temperature": "temperature", "temperature_difference": "temperature_difference",
    "airflow": "airflow", "current": "current", "voltage": "voltage", "resistance": "resistance",
    "pressure_difference": "gauge_pressure",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Puzzle:
    """A unit that could have one of two faults.

    Args:
        name: name of the task.
        title: its label.
        told: what is known besides the readings.
        causes: the fault it has and the one that reads like it, each with how bad it is [0..1].
        shown: readings on the sheet; they do not separate the two.
        offered: checks to choose from.
    """

    name: str
    title: str
    told: Line
    causes: tuple[tuple[str, float], tuple[str, float]]
    shown: tuple[str, ...]
    offered: tuple[str, ...]


@cache
def taken(name: str, cause: str, severity: float) -> float:
    """Return a reading of a unit with one fault [SI], in the mode that `CHECKS` says.

    Args:
        name: a key of `CHECKS`.
        cause: name of a fault; "" for a sound unit.
        severity: how bad it is [0..1].
    """
    from kit.machine.readings import take

    return take(name, _case(CHECKS[name][0], cause, severity))


@cache
def _case(mode: str, cause: str, severity: float) -> Any:
    from kit.faults import fault
    from kit.machine import Command, Condition, Surroundings, load_spec, settle
    from kit.machine.readings import Case

    condition = fault(cause).apply(Condition(), severity) if cause else Condition()
    room_k = 299.82 if mode == "cooling" else 298.15
    around = Surroundings(room_k, 0.5, 308.15 if mode == "cooling" else room_k, 0.4)
    spec = load_spec(MACHINE)
    truth = settle(spec, condition, around, Command(mode, 289.15))
    return Case(truth, spec, condition, around, mode)


def separates(puzzle: Puzzle, check: str) -> bool:
    """Return whether a check differs between the two causes by more than its tool can be wrong.

    Args:
        puzzle: the two causes.
        check: a key of `CHECKS`.
    """
    from kit.machine.readings import reading

    one, other = (taken(check, *cause) for cause in puzzle.causes)
    return reading(check).apart(one, other)


def opens_the_circuit(check: str) -> bool:
    """Return whether a check needs gauges.

    Args:
        check: a key of `CHECKS`.
    """
    from kit.machine.readings import reading

    return reading(check).gauges


def shown(check: str, value: float) -> Measure | str:
    """Return a reading as a table shows it.

    Args:
        check: a key of `CHECKS`.
        value: what was read [SI].
    """
    from kit.machine.readings import reading

    quantity = reading(check).quantity
    if quantity == "grade":
        return "plain to see" if value > SEEN else "nothing to be seen"
    if quantity == "speed_rpm":
        return Measure(value / 60.0, "rotation")
    if quantity == "pressure":
        return Measure(value - SEA_PA, "gauge_pressure")
    return Measure(value, _KINDS[quantity])


def puzzle_task(puzzle: Puzzle) -> Task:
    """Return the task of a puzzle.

    Args:
        puzzle: the two causes, what is on the sheet and what can be checked.
    """
    ask = (puzzle.told, line("Which check comes next, so that one of the two is ruled out?"))
    offered = {name: CHECKS[name][1] for name in puzzle.offered}
    field = choice("check", "The next check", **offered)
    return Task(
        puzzle.name, puzzle.title, ask, (field,), "Make this check",
        partial(_checked, puzzle), table=partial(_sheet, puzzle),
    )  # fmt: skip


def _sheet(puzzle: Puzzle) -> tuple[tuple[Any, ...], ...]:
    cause = puzzle.causes[0]
    rows = (
        (CHECKS[name][1] if name != "split" else "Split",
         shown(name, taken(name, "", 0.0)), shown(name, taken(name, *cause)))
        for name in puzzle.shown
    )  # fmt: skip
    return (("On the job sheet", "Sound unit", "This unit"), *rows)


def _checked(puzzle: Puzzle, given: Mapping[str, Any]) -> Reply:
    check = given["check"]
    quiet = [c for c in puzzle.offered if separates(puzzle, c) and not opens_the_circuit(c)]
    if separates(puzzle, check) and (check in quiet or not quiet):
        return Reply(True, (_found(puzzle, check),), _all_checks(puzzle))
    if separates(puzzle, check):
        gauges = "It would tell them apart. Another check does so and leaves the circuit closed."
        return Reply(False, (line(gauges),))
    one, other = (taken(check, *cause) for cause in puzzle.causes)
    same = line("With both causes it reads alike, as far as the tool can tell: {one} and {other}.",
                one=_filling(shown(check, one)), other=_filling(shown(check, other)))  # fmt: skip
    return Reply(False, (same, line("Ask what each cause does to a part that the other spares.")))


def _found(puzzle: Puzzle, check: str) -> Line:
    from kit.faults import fault

    (cause, severity), (other, _) = puzzle.causes
    return line(
        "It reads {value}: {cause}. With the other ({other}) it would read {else_value}.",
        value=_filling(shown(check, taken(check, cause, severity))),
        cause=line(fault(cause).title),
        other=line(fault(other).title),
        else_value=_filling(shown(check, taken(check, *puzzle.causes[1]))),
    )


def _filling(value: Measure | str) -> Measure | Line:
    return value if isinstance(value, Measure) else line(value)


def _all_checks(puzzle: Puzzle) -> tuple[tuple[Any, ...], ...]:
    from kit.faults import fault

    titles = (fault(cause).title for cause, _ in puzzle.causes)
    head = ("One of these checks", *titles, "Tells them apart")
    rows = (
        (CHECKS[name][1], *(shown(name, taken(name, *cause)) for cause in puzzle.causes),
         "yes" if separates(puzzle, name) else "no")
        for name in puzzle.offered
    )  # fmt: skip
    return (head, *rows)
