"""Clogged blower wheel: dust on the hollow side of the blades takes their lift."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from kit.faults._definition import Cure, Fault, LookAlike, Sign, degrees, more

if TYPE_CHECKING:
    from kit.machine.condition import Condition


def turn(condition: Condition, level: float) -> Condition:
    """Return the condition with this fault added."""
    return replace(condition, wheel_fouling=more(condition.wheel_fouling, level))


FAULT = Fault(
    name="clogged-blower-wheel",
    title="Clogged blower wheel",
    severities=degrees(0.3, 0.6, 0.92, hidden=1),
    turn=turn,
    signs=(
        Sign("wheel_look", "up", "off", when="light through the outlet, isolated and proved dead"),
        Sign("airflow", "down", when="at the speed the display gives"),
    ),
    cure=Cure("clean_wheel", ("wheel_fouling",)),
    look_alikes=(
        LookAlike("dirty-filter", "filter_look", "off"),
        LookAlike("blocked-indoor-coil", "wheel_look", "off"),
        LookAlike("weak-indoor-fan", "indoor_fan_speed"),
    ),
    hazards=("rotating parts", "mould", "chemicals", "water near electricity"),
    clue="Blades packed on their hollow side, black specks, a fluttering sound.",
    complaint="It flutters, spits drops and hardly blows.",
    source=(
        "cross-flow fan in-flow study, Processes 7(12) 959, 2019 (direction); otherwise "
        "common practice, no source"
    ),
)
