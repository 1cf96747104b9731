"""Weak outdoor fan: bearing, driver or speed command; the coil itself is clean."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from kit.faults._definition import Cure, Fault, LookAlike, Sign, degrees

if TYPE_CHECKING:
    from kit.machine.condition import Condition


def turn(condition: Condition, level: float) -> Condition:
    """Return the condition with this fault added."""
    return replace(condition, outdoor_fan_factor=condition.outdoor_fan_factor * (1.0 - level))


FAULT = Fault(
    name="weak-outdoor-fan",
    title="Weak outdoor fan",
    severities=degrees(0.3, 0.5, 0.7, hidden=1),
    turn=turn,
    signs=(
        Sign("outdoor_fan_speed", "down", when="with a non-contact tachometer"),
        Sign("outdoor_airflow", "down"),
        Sign("outdoor_coil_over_air", "up"),
        Sign("discharge_pressure", "up"),
    ),
    cure=Cure("replace_outdoor_fan_motor", ("outdoor_fan_factor",)),
    look_alikes=(
        LookAlike("dirty-outdoor-coil", "outdoor_fan_speed"),
        LookAlike("failed-outdoor-fan", "outdoor_fan_speed"),
    ),
    hazards=("electric shock", "rotating parts", "stored charge", "height"),
    clue="The outdoor fan turns slowly, the coil is hot.",
    complaint="The outdoor unit got quieter and the room warmer.",
    source="common practice, no source",
)
