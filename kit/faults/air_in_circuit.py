"""Air in the circuit: the evacuation was skipped; its pressure adds to the refrigerant's."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from kit.faults._definition import Cure, Fault, LookAlike, Sign, degrees

if TYPE_CHECKING:
    from kit.machine.condition import Condition


def turn(condition: Condition, level: float) -> Condition:
    """Return the condition with this fault added."""
    return replace(condition, noncondensable_kg=condition.noncondensable_kg + 0.008 * level)


FAULT = Fault(
    name="air-in-circuit",
    title="Air in the circuit",
    severities=degrees(0.25, 0.65, 1.0, hidden=1),
    turn=turn,
    signs=(
        Sign("standing_excess", "up", "off", when="off, equalised, both units at one temperature"),
        Sign("discharge_pressure", "up"),
        Sign("head_over_coil", "up", when="gauge saturation against the coil's bend"),
        Sign("power", "up"),
    ),
    cure=Cure("evacuate_and_weigh_in", ("noncondensable_kg", "charge_fraction")),
    look_alikes=(
        LookAlike("overcharge", "standing_excess", "off"),
        LookAlike("dirty-outdoor-coil", "standing_excess", "off"),
    ),
    hazards=("flammable refrigerant", "pressure"),
    clue="The high-side needle shakes and stands above what the coil's warmth says.",
    complaint="It was moved here last month and has been hungry for current since.",
    source=(
        "partial pressures add (Dalton), ref-wiki.com 31242; otherwise common practice, no source"
    ),
)
