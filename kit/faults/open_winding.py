"""Open winding: no start, and one phase infinite between two of the three pairs."""

from __future__ import annotations

from typing import TYPE_CHECKING

from kit.faults._definition import Cure, Fault, LookAlike, Sign, failed, set_state

if TYPE_CHECKING:
    from kit.machine.condition import Condition


def turn(condition: Condition, _level: float) -> Condition:
    """Return the condition with this fault added."""
    return set_state(condition, "compressor_state", "open_winding")


FAULT = Fault(
    name="open-winding",
    title="Compressor winding open",
    severities=failed(),
    turn=turn,
    signs=(
        Sign("winding_uv", "up", "off", when="leads off, isolated and proved dead"),
        Sign("split", "down"),
        Sign("power", "down"),
    ),
    cure=Cure("replace_compressor", ("compressor_state",)),
    look_alikes=(
        LookAlike("locked-rotor", "winding_uv", "off"),
        LookAlike("earthed-winding", "winding_uv", "off"),
        LookAlike("dead-inverter-board", "winding_uv", "off"),
        LookAlike("no-charge", "winding_uv", "off"),
        LookAlike("compressor-not-pumping", "winding_uv", "off"),
        LookAlike("chewed-communication-wire", "winding_uv", "off"),
        LookAlike("failed-outdoor-fan", "winding_uv", "off"),
        LookAlike("iced-outdoor-coil", "outdoor_ice_look", "off"),
    ),
    hazards=("electric shock", "stored charge", "flammable refrigerant"),
    clue="The indoor fan blows room air; one phase reads open.",
    complaint="It blows, but not cold, and a lamp blinks.",
    source="common practice, no source",
)
