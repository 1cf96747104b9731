"""A tape measure: the outlet, so that a speed becomes a flow."""

from __future__ import annotations

from kit.visit.actions import Effect, action
from kit.visit.outcome import Measure, line
from kit.visit.places import OUTLET_OF_FACE
from kit.visit.state import State, noted

SLOT_M = 0.07  # height of the outlet slot of a wall unit: common practice, no source


def outlet_size_m(face_m2: float) -> tuple[float, float]:
    """Return width and height of the outlet as a tape shows them [m], to a millimetre.

    Args:
        face_m2: face of the indoor coil [m2].
    """
    return round(OUTLET_OF_FACE * face_m2 / SLOT_M, 3), SLOT_M


@action("Measure the outlet with a tape", "measure", "indoor", 60)
def measure_outlet(state: State) -> Effect:
    """Measure width and height of the opening that the air leaves by."""
    width, height = outlet_size_m(state.spec.indoor.face_m2)
    said = line(
        "Opening of the outlet: {width} wide, {height} high.",
        width=Measure(width, "small_length"),
        height=Measure(height, "small_length"),
    )
    return Effect(noted(state, "measure_outlet"), (said,))
