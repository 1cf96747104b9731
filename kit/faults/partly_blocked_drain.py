"""Drain partly blocked: it keeps up on dry days only."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from kit.faults._definition import Cure, Fault, LookAlike, Sign, degrees, more

if TYPE_CHECKING:
    from kit.machine.condition import Condition


def turn(condition: Condition, level: float) -> Condition:
    """Return the condition with this fault added."""
    return replace(condition, drain_blockage=more(condition.drain_blockage, level))


FAULT = Fault(
    name="partly-blocked-drain",
    title="Drain partly blocked",
    severities=degrees(0.5, 0.7, 0.85),
    turn=turn,
    signs=(Sign("drain_test", "up", "off", when="one litre poured slowly into the pan"),),
    cure=Cure("clear_drain", ("drain_blockage",)),
    look_alikes=(LookAlike("blocked-drain", "drain_test", "off"),),
    hazards=("mould", "water near electricity"),
    clue="Gurgling, a smell, drops after long runs in humid weather.",
    complaint="It drips now and then when it is muggy.",
    source="common practice, no source",
)
