"""Outdoor recirculation: the discharge is turned back to the intake."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from kit.faults._definition import Cure, Fault, LookAlike, Sign, degrees, more

if TYPE_CHECKING:
    from kit.machine.condition import Condition


def turn(condition: Condition, level: float) -> Condition:
    """Return the condition with this fault added."""
    return replace(condition, outdoor_recirculation=more(condition.outdoor_recirculation, level))


FAULT = Fault(
    name="outdoor-recirculation",
    title="Outdoor air drawn in again",
    severities=degrees(0.35, 0.6, 0.9, hidden=1),
    turn=turn,
    signs=(
        Sign("outdoor_intake_over_air", "up", when="probe at the rear intake against shade air"),
        Sign("discharge_pressure", "up"),
        Sign("discharge_line", "up"),
    ),
    cure=Cure("clear_outdoor_air_path", ("outdoor_recirculation",)),
    look_alikes=(
        LookAlike("dirty-outdoor-coil", "outdoor_intake_over_air"),
        LookAlike("weak-outdoor-fan", "outdoor_intake_over_air"),
    ),
    hazards=("height",),
    clue="Warm air at the rear intake; a wall, net or plant before the outlet.",
    complaint="Since the screen was built around it, it is weak at midday.",
    source="common practice, no source",
)
