"""Displaced room sensor: it feels the coil instead of the room and the unit idles."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from kit.faults._definition import Cure, Fault, LookAlike, Sign, degrees

if TYPE_CHECKING:
    from kit.machine.condition import Condition


def turn(condition: Condition, level: float) -> Condition:
    """Return the condition with this fault added."""
    return replace(condition, room_sensor_offset_k=condition.room_sensor_offset_k - 12.0 * level)


FAULT = Fault(
    name="displaced-room-sensor",
    title="Room sensor out of its clip",
    severities=degrees(0.32, 0.42, 0.6),
    turn=turn,
    signs=(
        Sign(
            "room_sensor_error",
            "down",
            when="sensor's own resistance against the air at the grille",
        ),
        Sign("power", "down", when="the room warm and the setpoint low"),
    ),
    cure=Cure("reseat_room_sensor", ("room_sensor_offset_k",)),
    look_alikes=(LookAlike("coil-sensor-out-of-range", "coil_sensor_ratio", "off"),),
    hazards=("rotating parts", "electric shock"),
    clue="The room thermistor lies against the coil; the unit thinks the room is cool.",
    complaint="It cools for a while and then idles though it is warm here.",
    source="common practice, no source",
)
