"""Iced outdoor coil: defrost cannot keep up; thaw, then find out why."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from kit.faults._definition import Cure, Fault, LookAlike, Sign, degrees, more

if TYPE_CHECKING:
    from kit.machine.condition import Condition


def turn(condition: Condition, level: float) -> Condition:
    """Return the condition with this fault added."""
    return replace(condition, outdoor_coil_ice=more(condition.outdoor_coil_ice, level))


FAULT = Fault(
    name="iced-outdoor-coil",
    title="Iced outdoor coil",
    severities=degrees(0.6, 0.8, 0.95, hidden=1),
    turn=turn,
    signs=(
        Sign("outdoor_ice_look", "up", "off", when="before anything is thawed"),
        Sign("outdoor_airflow", "down", "heating"),
        Sign("suction_pressure", "down", "heating"),
    ),
    cure=Cure("thaw_outdoor_coil", ("outdoor_coil_ice",)),
    look_alikes=(
        LookAlike("dirty-outdoor-coil", "outdoor_ice_look", "off"),
        LookAlike("weak-outdoor-fan", "outdoor_ice_look", "off"),
        LookAlike("open-winding", "outdoor_ice_look", "off"),
        LookAlike("locked-rotor", "outdoor_ice_look", "off"),
        LookAlike("earthed-winding", "outdoor_ice_look", "off"),
        LookAlike("dead-inverter-board", "outdoor_ice_look", "off"),
        LookAlike("chewed-communication-wire", "outdoor_ice_look", "off"),
        LookAlike("no-charge", "outdoor_ice_look", "off"),
        LookAlike("failed-outdoor-fan", "outdoor_ice_look", "off"),
    ),
    hazards=("electric shock", "rotating parts", "height"),
    clue="Solid ice over the outdoor coil; light frost would be normal.",
    complaint="The outdoor unit is a block of ice and the air is lukewarm.",
    source="common practice, no source",
)
