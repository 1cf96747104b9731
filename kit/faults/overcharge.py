"""Overcharge: liquid backs up in the condenser; the split looks right."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from kit.faults._definition import Cure, Fault, LookAlike, Sign, degrees

if TYPE_CHECKING:
    from kit.machine.condition import Condition


def turn(condition: Condition, level: float) -> Condition:
    """Return the condition with this fault added."""
    return replace(condition, charge_fraction=condition.charge_fraction * (1.0 + 0.4 * level))


FAULT = Fault(
    name="overcharge",
    title="Overcharge",
    severities=degrees(0.3, 0.6, 0.9, hidden=1),
    turn=turn,
    signs=(
        Sign("subcooling", "up"),
        Sign("discharge_pressure", "up"),
        Sign("discharge_pressure", "up", "heating"),
    ),
    cure=Cure("recover_and_weigh_in", ("charge_fraction",)),
    look_alikes=(
        LookAlike("air-in-circuit", "standing_excess", "off"),
        LookAlike("dirty-outdoor-coil", "outdoor_coil_look", "off"),
    ),
    hazards=("flammable refrigerant", "pressure"),
    clue="Nothing to see; somebody was here with a cylinder.",
    complaint="Someone added gas last year; now it trips in spring when heating.",
    source="NIST TN 1848 charge correlations and NIST 14/16 SEER signs (SC+ Tdis+ W+ Pdis+)",
)
