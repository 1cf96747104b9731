"""Low charge: hidden by the valve until it is fully open, then a starved, half-dry coil."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from kit.faults._definition import Cure, Fault, LookAlike, Sign, degrees

if TYPE_CHECKING:
    from kit.machine.condition import Condition


def turn(condition: Condition, level: float) -> Condition:
    """Return the condition with this fault added."""
    return replace(condition, charge_fraction=condition.charge_fraction * (1.0 - 0.6 * level))


FAULT = Fault(
    name="low-charge",
    title="Low charge from a leak",
    severities=degrees(0.25, 0.5, 0.75, hidden=1),
    turn=turn,
    signs=(
        Sign("superheat", "up", when="once the valve is fully open"),
        Sign("gas_line", "up", when="the far end of the coil is dry and warm"),
        Sign("discharge_line", "up", when="once the valve is fully open"),
        Sign("discharge_pressure", "down"),
        Sign("split", "down", when="once the valve is fully open"),
        Sign("split", "down", "heating"),
    ),
    cure=Cure("repair_leak_and_weigh_in", ("charge_fraction", "noncondensable_kg")),
    look_alikes=(
        LookAlike("liquid-line-restriction", "subcooling"),
        LookAlike("valve-stuck-closed", "subcooling"),
        LookAlike("film-on-indoor-coil", "superheat"),
        LookAlike("no-charge", "standing_excess", "off"),
    ),
    hazards=("flammable refrigerant", "pressure", "cold burn", "hot surface"),
    clue="Frost where the coil begins, its far end warm; oil at a flare.",
    complaint="Every year it cools a little less.",
    source=(
        "NIST TN 1848 charge correlations and NIST 14/16 SEER signs (SH+ SC- Tdis+ W- Psuc- Pdis-)"
    ),
)
