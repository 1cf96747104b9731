"""Coil sensor out of range: water in the plug or a broken lead makes the coil seem frozen."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from kit.faults._definition import Cure, Fault, LookAlike, Severity, Sign

if TYPE_CHECKING:
    from kit.machine.condition import Condition


def turn(condition: Condition, level: float) -> Condition:
    """Return the condition with this fault added."""
    return replace(condition, coil_sensor_offset_k=condition.coil_sensor_offset_k - 60.0 * level)


FAULT = Fault(
    name="coil-sensor-out-of-range",
    title="Coil sensor out of range",
    severities=(Severity("drifted", 0.25), Severity("open", 1.0)),
    turn=turn,
    signs=(
        Sign(
            "coil_sensor_ratio",
            "up",
            "off",
            when="resistance against the table at the coil's temperature",
        ),
        Sign("split", "down"),
    ),
    cure=Cure("replace_coil_sensor", ("coil_sensor_offset_k",)),
    look_alikes=(
        LookAlike("displaced-room-sensor", "room_sensor_error"),
        LookAlike("low-charge", "coil_sensor_ratio", "off"),
    ),
    hazards=("electric shock",),
    clue="A sensor code, or short runs as if the coil were freezing.",
    complaint="It stops every few minutes and shows a code.",
    source="common practice, no source",
)
