"""Open bleed resistor: no symptom at all, and a charge that can kill; the reason for measuring."""

from __future__ import annotations

from typing import TYPE_CHECKING

from kit.faults._definition import Cure, Fault, Sign, failed, set_state

if TYPE_CHECKING:
    from kit.machine.condition import Condition


def turn(condition: Condition, _level: float) -> Condition:
    """Return the condition with this fault added."""
    return set_state(condition, "bleed_resistor_open", True)


FAULT = Fault(
    name="open-bleed-resistor",
    title="Bleed resistor of the DC bus open",
    severities=failed(),
    turn=turn,
    signs=(
        Sign(
            "bus_after_wait",
            "up",
            "off",
            when="measured after the usual wait, before anything is touched",
        ),
    ),
    cure=Cure("replace_inverter_board", ("bleed_resistor_open", "inverter_state")),
    look_alikes=(),
    hazards=("stored charge", "electric shock"),
    clue="Nothing to see: the capacitors still hold full voltage after the wait.",
    complaint="Nothing was noticed.",
    source="common practice, no source",
)
