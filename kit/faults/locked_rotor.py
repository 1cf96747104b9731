"""Locked rotor: the windings are sound and the shaft does not turn."""

from __future__ import annotations

from typing import TYPE_CHECKING

from kit.faults._definition import Cure, Fault, LookAlike, Sign, failed, set_state

if TYPE_CHECKING:
    from kit.machine.condition import Condition


def turn(condition: Condition, _level: float) -> Condition:
    """Return the condition with this fault added."""
    return set_state(condition, "compressor_state", "locked_rotor")


FAULT = Fault(
    name="locked-rotor",
    title="Compressor locked",
    severities=failed(),
    turn=turn,
    signs=(
        Sign("start_peak", "up", when="at each attempt to start"),
        Sign("split", "down"),
        Sign("power", "down"),
    ),
    cure=Cure("replace_compressor", ("compressor_state",)),
    look_alikes=(
        LookAlike("open-winding", "winding_uv", "off"),
        LookAlike("earthed-winding", "insulation", "off"),
        LookAlike("dead-inverter-board", "bus"),
        LookAlike("low-supply-voltage", "supply"),
        LookAlike("chewed-communication-wire", "signal_swing"),
        LookAlike("no-charge", "standing_excess", "off"),
        LookAlike("failed-outdoor-fan", "start_peak"),
        LookAlike("iced-outdoor-coil", "outdoor_ice_look", "off"),
    ),
    hazards=("electric shock", "stored charge", "flammable refrigerant"),
    clue="A short hum, a stop, and again after three minutes.",
    complaint="Outside it hums, clicks and gives up.",
    source="common practice, no source",
)
