"""No charge: all of it has leaked away; the low-pressure protection keeps the compressor off."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from kit.faults._definition import Cure, Fault, LookAlike, Sign, failed

if TYPE_CHECKING:
    from kit.machine.condition import Condition


def turn(condition: Condition, _level: float) -> Condition:
    """Return the condition with this fault added."""
    # Leaked down to the air's pressure, the circuit still holds a hundredth of it as gas.
    return replace(condition, charge_fraction=0.01 * condition.charge_fraction)


FAULT = Fault(
    name="no-charge",
    title="No charge left",
    severities=failed(),
    turn=turn,
    signs=(
        Sign("split", "down"),
        Sign("standing_excess", "down", "off", when="off and equalised for half an hour"),
    ),
    cure=Cure("repair_leak_and_weigh_in", ("charge_fraction", "noncondensable_kg")),
    look_alikes=(
        LookAlike("open-winding", "standing_excess", "off"),
        LookAlike("locked-rotor", "standing_excess", "off"),
        LookAlike("dead-inverter-board", "standing_excess", "off"),
        LookAlike("low-charge", "standing_excess", "off"),
        LookAlike("earthed-winding", "standing_excess", "off"),
        LookAlike("chewed-communication-wire", "standing_excess", "off"),
        LookAlike("failed-outdoor-fan", "standing_excess", "off"),
        LookAlike("iced-outdoor-coil", "outdoor_ice_look", "off"),
    ),
    hazards=("flammable refrigerant", "pressure"),
    clue="No cooling, no frost, no sweating pipe; the pressure stands far below saturation.",
    complaint="It just blows room air.",
    source="common practice, no source",
)
