"""Valve stuck closed: a starved coil with the liquid backed up behind the valve."""

from __future__ import annotations

from typing import TYPE_CHECKING

from kit.faults._definition import Cure, Fault, LookAlike, Sign, degrees, set_state

if TYPE_CHECKING:
    from kit.machine.condition import Condition


def turn(condition: Condition, level: float) -> Condition:
    """Return the condition with this fault added."""
    opening = 0.7 * (1.0 - level)
    return set_state(condition, "valve_fixed_opening", opening)


FAULT = Fault(
    name="valve-stuck-closed",
    title="Expansion valve stuck nearly closed",
    severities=degrees(0.2, 0.4, 0.6),
    turn=turn,
    signs=(
        Sign("superheat", "up"),
        Sign("suction_pressure", "down"),
        Sign("split", "down"),
        Sign("discharge_line", "up"),
    ),
    cure=Cure("replace_expansion_valve", ("valve_fixed_opening",)),
    look_alikes=(
        LookAlike("low-charge", "subcooling"),
        LookAlike("liquid-line-restriction", "liquid_line_drop"),
    ),
    hazards=("flammable refrigerant", "pressure", "cold burn", "hot surface", "electric shock"),
    clue="Frost exactly at the valve, suction pulling towards vacuum.",
    complaint="It froze outside and cools badly.",
    source="common practice, no source",
)
