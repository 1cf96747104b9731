"""Weak blower motor: bearing, driver or speed command; wheel and filter are clean."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from kit.faults._definition import Cure, Fault, LookAlike, Sign, degrees

if TYPE_CHECKING:
    from kit.machine.condition import Condition


def turn(condition: Condition, level: float) -> Condition:
    """Return the condition with this fault added."""
    return replace(condition, indoor_fan_factor=condition.indoor_fan_factor * (1.0 - level))


FAULT = Fault(
    name="weak-indoor-fan",
    title="Weak blower motor",
    severities=degrees(0.3, 0.45, 0.6, hidden=1),
    turn=turn,
    signs=(
        Sign("indoor_fan_speed", "down", when="against the speed the display or the label gives"),
        Sign("airflow", "down"),
        Sign("suction_pressure", "down"),
    ),
    cure=Cure("replace_indoor_fan_motor", ("indoor_fan_factor",)),
    look_alikes=(
        LookAlike("clogged-blower-wheel", "indoor_fan_speed"),
        LookAlike("dirty-filter", "indoor_fan_speed"),
    ),
    hazards=("electric shock", "rotating parts", "stored charge"),
    clue="Clean filter, clean wheel, and it turns too slowly.",
    complaint="It got very quiet and hardly blows.",
    source="common practice, no source",
)
