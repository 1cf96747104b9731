"""Indoor coil matted with dirt: it acts as a second filter."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from kit.faults._definition import Cure, Fault, LookAlike, Sign, degrees, more

if TYPE_CHECKING:
    from kit.machine.condition import Condition


def turn(condition: Condition, level: float) -> Condition:
    """Return the condition with this fault added."""
    return replace(condition, indoor_coil_blockage=more(condition.indoor_coil_blockage, level))


FAULT = Fault(
    name="blocked-indoor-coil",
    title="Indoor coil matted with dirt",
    severities=degrees(0.5, 0.75, 0.92, hidden=1),
    turn=turn,
    signs=(
        Sign("indoor_coil_mat_look", "up", "off", when="covers off, seen from the intake side"),
        Sign("airflow", "down"),
        Sign("suction_pressure", "down"),
        Sign("discharge_pressure", "up", "heating"),
    ),
    cure=Cure("wash_indoor_coil", ("indoor_coil_blockage", "indoor_coil_film")),
    look_alikes=(
        LookAlike("dirty-filter", "filter_look", "off"),
        LookAlike("clogged-blower-wheel", "wheel_look", "off"),
    ),
    hazards=("mould", "chemicals", "sharp fins", "water near electricity"),
    clue="Felt of dust on the fins behind a clean filter.",
    complaint="It blows weakly although I washed the filter.",
    source=(
        "Siegel, Walker and Sherman, LBNL 2002 (dust on the coil raises its pressure drop); "
        "otherwise common practice, no source"
    ),
)
