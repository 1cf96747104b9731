"""Reversing valve stuck: one mode is healthy, in the other it does the opposite."""

from __future__ import annotations

from typing import TYPE_CHECKING

from kit.faults._definition import Cure, Fault, LookAlike, Sign, failed, set_state

if TYPE_CHECKING:
    from kit.machine.condition import Condition


def turn(condition: Condition, _level: float) -> Condition:
    """Return the condition with this fault added."""
    return set_state(condition, "reversing_valve_state", "stuck_cooling")


FAULT = Fault(
    name="stuck-reversing-valve",
    title="Reversing valve stuck in cooling",
    severities=failed(),
    turn=turn,
    signs=(Sign("split", "down", "heating", when="heating asked"),),
    cure=Cure("replace_reversing_valve", ("reversing_valve_state",)),
    look_alikes=(LookAlike("leaking-reversing-valve", "split", "heating"),),
    hazards=("flammable refrigerant", "pressure", "electric shock"),
    clue="Cold air although heat is asked for; the outdoor coil is hot.",
    complaint="In autumn I set it to heat and it blew cold.",
    source="common practice, no source",
)
