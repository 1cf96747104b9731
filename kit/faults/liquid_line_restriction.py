"""Liquid-line restriction: a second throttle, hidden until the valve is fully open."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from kit.faults._definition import Cure, Fault, LookAlike, Sign, degrees, more

if TYPE_CHECKING:
    from kit.machine.condition import Condition


def turn(condition: Condition, level: float) -> Condition:
    """Return the condition with this fault added."""
    return replace(condition, liquid_restriction=more(condition.liquid_restriction, level))


FAULT = Fault(
    name="liquid-line-restriction",
    title="Restriction in the liquid line",
    severities=degrees(0.35, 0.44, 0.52, hidden=1),
    turn=turn,
    signs=(
        Sign("liquid_line_drop", "up", when="pipe clamps before and after the strainer"),
        Sign("superheat", "up"),
        Sign("suction_pressure", "down"),
        Sign("split", "down"),
    ),
    cure=Cure("replace_restricted_part", ("liquid_restriction",)),
    look_alikes=(
        LookAlike("low-charge", "subcooling"),
        LookAlike("valve-stuck-closed", "liquid_line_drop"),
    ),
    hazards=("flammable refrigerant", "pressure", "cold burn", "hot surface"),
    clue="A pipe that turns cold, even frosted, at one point before the valve.",
    complaint="It cools less and less, and frost shows on a pipe.",
    source=(
        "textbook signs for a valve-fed machine (Rossi and Braun; Breuker and Braun), from "
        "memory; measured signs disagree and are not used"
    ),
)
