"""Dirty filter: the mesh is loaded and the wheel's few tens of pascals no longer push the air."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from kit.faults._definition import Cure, Fault, LookAlike, Sign, degrees, more

if TYPE_CHECKING:
    from kit.machine.condition import Condition


def turn(condition: Condition, level: float) -> Condition:
    """Return the condition with this fault added."""
    return replace(condition, filter_loading=more(condition.filter_loading, level))


FAULT = Fault(
    name="dirty-filter",
    title="Dirty air filter",
    severities=degrees(0.35, 0.72, 0.95, hidden=1),
    turn=turn,
    signs=(
        Sign("filter_look", "up", "off", when="filter taken out and held to the light"),
        Sign("airflow", "down"),
        Sign("split", "up"),
        Sign("suction_pressure", "down"),
        Sign("split", "up", "heating"),
        Sign("discharge_pressure", "up", "heating"),
    ),
    cure=Cure("clean_filter", ("filter_loading",)),
    look_alikes=(
        LookAlike("blocked-indoor-coil", "filter_look", "off"),
        LookAlike("clogged-blower-wheel", "filter_look", "off"),
        LookAlike("weak-indoor-fan", "indoor_fan_speed"),
        LookAlike("iced-indoor-coil", "ice_look", "off"),
    ),
    hazards=("rotating parts", "mould"),
    clue="A grey mat on the filter and a weak throw of air.",
    complaint="It blows weakly and whistles a little.",
    source=(
        "trade matrix 2.0 and 2.1: airflow coefficients of Cutler et al., NREL/TP-5500-56354; "
        "otherwise common practice, no source"
    ),
)
