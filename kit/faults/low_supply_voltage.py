"""Low supply voltage: more current for the same power, until a limit slows the inverter."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from kit.faults._definition import Cure, Fault, LookAlike, Sign, degrees

if TYPE_CHECKING:
    from kit.machine.condition import Condition


def turn(condition: Condition, level: float) -> Condition:
    """Return the condition with this fault added."""
    return replace(
        condition, supply_voltage_factor=condition.supply_voltage_factor * (1.0 - 0.25 * level)
    )


FAULT = Fault(
    name="low-supply-voltage",
    title="Low supply voltage",
    severities=degrees(0.4, 0.6, 0.8),
    turn=turn,
    signs=(Sign("supply", "down", when="at the terminals, under load"), Sign("current", "up")),
    cure=Cure("restore_supply", ("supply_voltage_factor",)),
    look_alikes=(LookAlike("locked-rotor", "supply"),),
    hazards=("electric shock",),
    clue="Lights dim when it starts; a warm, discoloured lug.",
    complaint="The lights dim when it starts.",
    source=(
        "service voltage ranges of ANSI C84.1 (mimcoequip.com, reconit.ca); otherwise common "
        "practice, no source"
    ),
)
