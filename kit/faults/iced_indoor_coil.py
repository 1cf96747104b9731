"""Iced indoor coil: always the consequence of something else; thaw, then find the cause."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from kit.faults._definition import Cure, Fault, LookAlike, Sign, degrees, more

if TYPE_CHECKING:
    from kit.machine.condition import Condition


def turn(condition: Condition, level: float) -> Condition:
    """Return the condition with this fault added."""
    return replace(condition, indoor_coil_ice=more(condition.indoor_coil_ice, level))


FAULT = Fault(
    name="iced-indoor-coil",
    title="Iced indoor coil",
    severities=degrees(0.7, 0.85, 0.96),
    turn=turn,
    signs=(
        Sign("ice_look", "up", "off", when="before anything is thawed"),
        Sign("airflow", "down"),
    ),
    cure=Cure("thaw_coil", ("indoor_coil_ice",)),
    look_alikes=(
        LookAlike("blocked-indoor-coil", "ice_look", "off"),
        LookAlike("dirty-filter", "ice_look", "off"),
        LookAlike("low-charge", "ice_look", "off"),
        LookAlike("clogged-blower-wheel", "ice_look", "off"),
    ),
    hazards=("electric shock", "water near electricity"),
    clue="White ice behind the filter, silence at the outlet, later a flood.",
    complaint="It stopped blowing, then water came down the wall.",
    source="common practice, no source",
)
