"""Compressor that does not pump: gas slips back past vane or valve."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from kit.faults._definition import Cure, Fault, LookAlike, Sign, degrees, more

if TYPE_CHECKING:
    from kit.machine.condition import Condition


def turn(condition: Condition, level: float) -> Condition:
    """Return the condition with this fault added."""
    return replace(condition, compressor_leak=more(condition.compressor_leak, level))


FAULT = Fault(
    name="compressor-not-pumping",
    title="Compressor that does not pump",
    severities=degrees(0.4, 0.65, 0.9),
    turn=turn,
    signs=(
        Sign("split", "down"),
        Sign("suction_pressure", "up"),
        Sign("discharge_pressure", "down"),
        Sign("split", "down", "heating"),
    ),
    cure=Cure("replace_compressor", ("compressor_leak",)),
    look_alikes=(
        LookAlike("leaking-reversing-valve", "valve_warming"),
        LookAlike("valve-stuck-open", "superheat"),
    ),
    hazards=("flammable refrigerant", "pressure", "electric shock", "stored charge"),
    clue="It runs quietly with a cool discharge pipe; suction high, discharge low.",
    complaint="It runs all day and the air is hardly cool.",
    source=(
        "compressor leakage lowers capacity and discharge pressure: Yoon, Payne and Domanski "
        "(NIST pub 906002)"
    ),
)
