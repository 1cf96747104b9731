"""Drain blocked: nothing runs out; the pan spills or the float stops the machine."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from kit.faults._definition import Cure, Fault, LookAlike, Sign, failed

if TYPE_CHECKING:
    from kit.machine.condition import Condition


def turn(condition: Condition, _level: float) -> Condition:
    """Return the condition with this fault added."""
    return replace(condition, drain_blockage=1.0)


FAULT = Fault(
    name="blocked-drain",
    title="Drain blocked",
    severities=failed(),
    turn=turn,
    signs=(
        Sign("drain_test", "up", "off", when="one litre poured slowly into the pan"),
        Sign("drain_flow", "down", when="at the outlet, after twenty minutes"),
    ),
    cure=Cure("clear_drain", ("drain_blockage",)),
    look_alikes=(
        LookAlike("partly-blocked-drain", "drain_test", "off"),
        LookAlike("iced-indoor-coil", "drain_test", "off"),
        LookAlike("clogged-blower-wheel", "drain_test", "off"),
    ),
    hazards=("mould", "water near electricity", "electric shock"),
    clue="Water down the wall, a dry drain outlet.",
    complaint="Water runs down the wall behind it.",
    source="common practice, no source",
)
