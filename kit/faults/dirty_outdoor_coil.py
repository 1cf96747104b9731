"""Dirty outdoor coil: the heat cannot leave, until a limit holds the compressor back."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from kit.faults._definition import Cure, Fault, LookAlike, Sign, degrees, more

if TYPE_CHECKING:
    from kit.machine.condition import Condition


def turn(condition: Condition, level: float) -> Condition:
    """Return the condition with this fault added."""
    return replace(condition, outdoor_coil_blockage=more(condition.outdoor_coil_blockage, level))


FAULT = Fault(
    name="dirty-outdoor-coil",
    title="Dirty outdoor coil",
    severities=degrees(0.4, 0.7, 0.92, hidden=1),
    turn=turn,
    signs=(
        Sign("outdoor_coil_look", "up", "off", when="from the rear face"),
        Sign("outdoor_airflow", "down"),
        Sign("outdoor_coil_over_air", "up"),
        Sign("discharge_pressure", "up"),
        Sign("discharge_line", "up"),
    ),
    cure=Cure("wash_outdoor_coil", ("outdoor_coil_blockage", "outdoor_coil_film")),
    look_alikes=(
        LookAlike("weak-outdoor-fan", "outdoor_fan_speed"),
        LookAlike("outdoor-recirculation", "outdoor_intake_over_air"),
        LookAlike("air-in-circuit", "standing_excess", "off"),
        LookAlike("overcharge", "outdoor_coil_look", "off"),
        LookAlike("failed-outdoor-fan", "outdoor_fan_speed"),
    ),
    hazards=("electric shock", "rotating parts", "sharp fins", "height", "water near electricity"),
    clue="Dirt on the rear face, hot air that hardly moves.",
    complaint="It cools at night and gives up on hot afternoons.",
    source=(
        "signs of condenser blockage: NIST 14/16 SEER laboratory data (SH+ Tdis+ COP- W+ "
        "Pdis+); bands common practice, no source"
    ),
)
