"""Dead inverter board: test the motor's insulation before fitting another."""

from __future__ import annotations

from typing import TYPE_CHECKING

from kit.faults._definition import Cure, Fault, LookAlike, Sign, failed, set_state

if TYPE_CHECKING:
    from kit.machine.condition import Condition


def turn(condition: Condition, _level: float) -> Condition:
    """Return the condition with this fault added."""
    return set_state(condition, "inverter_state", "dead")


FAULT = Fault(
    name="dead-inverter-board",
    title="Inverter board dead",
    severities=failed(),
    turn=turn,
    signs=(
        Sign("bus", "down", when="by a qualified person, or right after isolation"),
        Sign("board_look", "up", "off", when="covers off, proved dead"),
        Sign("split", "down"),
        Sign("power", "down"),
    ),
    cure=Cure("replace_inverter_board", ("inverter_state",)),
    look_alikes=(
        LookAlike("chewed-communication-wire", "bus"),
        LookAlike("locked-rotor", "bus"),
        LookAlike("open-winding", "winding_uv", "off"),
        LookAlike("earthed-winding", "insulation", "off"),
        LookAlike("no-charge", "standing_excess", "off"),
        LookAlike("failed-outdoor-fan", "bus"),
        LookAlike("iced-outdoor-coil", "outdoor_ice_look", "off"),
    ),
    hazards=("electric shock", "stored charge"),
    clue="No lamp on the outdoor board, a burnt smell, no DC bus.",
    complaint="After the thunderstorm it only blows.",
    source="common practice, no source",
)
