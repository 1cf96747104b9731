"""Valve stuck open: liquid returns to the compressor."""

from __future__ import annotations

from typing import TYPE_CHECKING

from kit.faults._definition import Cure, Fault, LookAlike, Severity, Sign, set_state

if TYPE_CHECKING:
    from kit.machine.condition import Condition


def turn(condition: Condition, level: float) -> Condition:
    """Return the condition with this fault added."""
    return set_state(condition, "valve_fixed_opening", 0.6 + 0.4 * level)


FAULT = Fault(
    name="valve-stuck-open",
    title="Expansion valve stuck open",
    severities=(Severity("ajar", 0.5, found=False), Severity("wide open", 1.0)),
    turn=turn,
    signs=(Sign("superheat", "down"), Sign("subcooling", "down"), Sign("discharge_line", "down")),
    cure=Cure("replace_expansion_valve", ("valve_fixed_opening",)),
    look_alikes=(LookAlike("compressor-not-pumping", "superheat"),),
    hazards=("flammable refrigerant", "pressure", "electric shock"),
    clue="The compressor's shell sweats and its discharge pipe is cool.",
    complaint="It gurgles outside and cools a little less.",
    source="common practice, no source",
)
