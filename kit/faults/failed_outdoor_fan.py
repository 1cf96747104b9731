"""Failed outdoor fan: pressure protection trips within minutes."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from kit.faults._definition import Cure, Fault, LookAlike, Sign, failed

if TYPE_CHECKING:
    from kit.machine.condition import Condition


def turn(condition: Condition, _level: float) -> Condition:
    """Return the condition with this fault added."""
    return replace(condition, outdoor_fan_factor=0.0)


FAULT = Fault(
    name="failed-outdoor-fan",
    title="Failed outdoor fan",
    severities=failed(),
    turn=turn,
    signs=(
        Sign("outdoor_fan_speed", "down", when="with the compressor asked to run"),
        Sign("outdoor_airflow", "down"),
        Sign("split", "down"),
    ),
    cure=Cure("replace_outdoor_fan_motor", ("outdoor_fan_factor",)),
    look_alikes=(
        LookAlike("weak-outdoor-fan", "outdoor_fan_speed"),
        LookAlike("dirty-outdoor-coil", "outdoor_fan_speed"),
        LookAlike("dead-inverter-board", "bus"),
        LookAlike("open-winding", "winding_uv", "off"),
        LookAlike("locked-rotor", "start_peak"),
        LookAlike("earthed-winding", "insulation", "off"),
        LookAlike("chewed-communication-wire", "signal_swing"),
        LookAlike("no-charge", "standing_excess", "off"),
        LookAlike("iced-outdoor-coil", "outdoor_ice_look", "off"),
    ),
    hazards=("electric shock", "rotating parts", "stored charge", "hot surface", "height"),
    clue="No breeze from the outdoor unit while it hums and heats up.",
    complaint="It cools for a minute, stops, and tries again.",
    source="common practice, no source",
)
