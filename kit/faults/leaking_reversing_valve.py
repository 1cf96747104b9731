"""Leaking reversing valve: hot gas slips to the suction side in both modes."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from kit.faults._definition import Cure, Fault, LookAlike, Sign, degrees, more

if TYPE_CHECKING:
    from kit.machine.condition import Condition


def turn(condition: Condition, level: float) -> Condition:
    """Return the condition with this fault added."""
    return replace(condition, reversing_valve_leak=more(condition.reversing_valve_leak, level))


FAULT = Fault(
    name="leaking-reversing-valve",
    title="Reversing valve leaking",
    severities=degrees(0.5, 0.7, 0.9),
    turn=turn,
    signs=(
        Sign("valve_warming", "up", when="permanent suction pipe, before and after the valve"),
        Sign("split", "down"),
        Sign("suction_pressure", "up"),
        Sign("split", "down", "heating"),
    ),
    cure=Cure("replace_reversing_valve", ("reversing_valve_leak",)),
    look_alikes=(LookAlike("compressor-not-pumping", "valve_warming"),),
    hazards=("flammable refrigerant", "pressure", "hot surface"),
    clue="The suction pipe leaves the valve warmer than it came.",
    complaint="Neither heating nor cooling is what it was.",
    source="common practice, no source",
)
