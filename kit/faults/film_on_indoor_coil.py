"""Film on the indoor coil: air passes, heat does not."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from kit.faults._definition import Cure, Fault, LookAlike, Sign, degrees, more

if TYPE_CHECKING:
    from kit.machine.condition import Condition


def turn(condition: Condition, level: float) -> Condition:
    """Return the condition with this fault added."""
    return replace(condition, indoor_coil_film=more(condition.indoor_coil_film, level))


FAULT = Fault(
    name="film-on-indoor-coil",
    title="Film on the indoor coil",
    severities=degrees(0.35, 0.6, 0.85, hidden=1),
    turn=turn,
    signs=(
        Sign("indoor_coil_film_look", "up", "off", when="covers off, both faces lit"),
        Sign("split", "down"),
        Sign("suction_pressure", "down"),
    ),
    cure=Cure("wash_indoor_coil", ("indoor_coil_film", "indoor_coil_blockage")),
    look_alikes=(LookAlike("low-charge", "superheat"),),
    hazards=("mould", "chemicals", "sharp fins", "water near electricity"),
    clue="Grey, slimy fins that still let the air through.",
    complaint="It smells musty and does not cool as it did.",
    source=(
        "common practice, no source; size of the loss with dirt: Ali and Ismail, HVAC&R "
        "Research 14(2), 2008"
    ),
)
