"""Earthed winding: burnt through to the shell; a new board would die of it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from kit.faults._definition import Cure, Fault, LookAlike, Sign, failed, set_state

if TYPE_CHECKING:
    from kit.machine.condition import Condition


def turn(condition: Condition, _level: float) -> Condition:
    """Return the condition with this fault added."""
    return set_state(condition, "compressor_state", "earthed_winding")


FAULT = Fault(
    name="earthed-winding",
    title="Compressor winding earthed",
    severities=failed(),
    turn=turn,
    signs=(
        Sign(
            "insulation",
            "down",
            "off",
            when="500 V tester, leads off the board, never under vacuum",
        ),
        Sign("split", "down"),
        Sign("power", "down"),
    ),
    cure=Cure("replace_compressor", ("compressor_state",)),
    look_alikes=(
        LookAlike("open-winding", "insulation", "off"),
        LookAlike("locked-rotor", "insulation", "off"),
        LookAlike("dead-inverter-board", "insulation", "off"),
        LookAlike("chewed-communication-wire", "insulation", "off"),
        LookAlike("no-charge", "standing_excess", "off"),
        LookAlike("failed-outdoor-fan", "insulation", "off"),
        LookAlike("iced-outdoor-coil", "outdoor_ice_look", "off"),
    ),
    hazards=("electric shock", "stored charge", "flammable refrigerant"),
    clue="The breaker trips, or the board stops at once after each reset.",
    complaint="The breaker went; since then it only blows.",
    source=(
        "1 megohm and 100 kilohm rule: reagle.org, testing earth fault resistance; otherwise "
        "common practice, no source"
    ),
)
