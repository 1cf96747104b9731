"""Chewed communication wire: the units no longer hear each other."""

from __future__ import annotations

from typing import TYPE_CHECKING

from kit.faults._definition import Cure, Fault, LookAlike, Sign, failed, set_state

if TYPE_CHECKING:
    from kit.machine.condition import Condition


def turn(condition: Condition, _level: float) -> Condition:
    """Return the condition with this fault added."""
    return set_state(condition, "communication_state", "open")


FAULT = Fault(
    name="chewed-communication-wire",
    title="Communication wire chewed through",
    severities=failed(),
    turn=turn,
    signs=(
        Sign("signal_swing", "down", when="at the outdoor terminals, by a qualified person"),
        Sign("wire_look", "up", "off", when="along the run and where it enters"),
        Sign("split", "down"),
        Sign("power", "down"),
    ),
    cure=Cure("replace_signal_cable", ("communication_state",)),
    look_alikes=(
        LookAlike("dead-inverter-board", "bus"),
        LookAlike("locked-rotor", "signal_swing"),
        LookAlike("open-winding", "winding_uv", "off"),
        LookAlike("earthed-winding", "insulation", "off"),
        LookAlike("no-charge", "standing_excess", "off"),
        LookAlike("failed-outdoor-fan", "signal_swing"),
        LookAlike("iced-outdoor-coil", "outdoor_ice_look", "off"),
    ),
    hazards=("electric shock", "height"),
    clue="A code on the display; supply is present outdoors, the signal line is dead.",
    complaint="A code came up in the night and the outdoor unit does not start.",
    source=(
        "common practice, no source; trade press names communication faults among the "
        "commonest codes (achrnews.com 152658)"
    ),
)
