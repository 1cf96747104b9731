"""Drain hose without fall: clean inside, yet water stands in it."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from kit.faults._definition import Cure, Fault, LookAlike, Sign, degrees, more

if TYPE_CHECKING:
    from kit.machine.condition import Condition


def turn(condition: Condition, level: float) -> Condition:
    """Return the condition with this fault added."""
    return replace(condition, drain_slope_fault=more(condition.drain_slope_fault, level))


FAULT = Fault(
    name="uphill-drain",
    title="Drain hose without fall",
    severities=degrees(0.6, 0.85, 1.0, hidden=1),
    turn=turn,
    signs=(
        Sign("drain_slope_look", "up", "off", when="sags, crushed or rising parts"),
        Sign("drain_test", "up", "off", when="one litre poured slowly into the pan"),
    ),
    cure=Cure("relay_drain_hose", ("drain_slope_fault",)),
    look_alikes=(
        LookAlike("partly-blocked-drain", "drain_slope_look", "off"),
        LookAlike("blocked-drain", "drain_slope_look", "off"),
    ),
    hazards=("mould", "water near electricity"),
    clue="The hose sags or rises before it leaves the wall.",
    complaint="It has dripped since the hose was moved.",
    source=(
        "fall of one eighth of an inch a foot: International Mechanical Code 307 as adopted "
        "(seen in excerpts)"
    ),
)
