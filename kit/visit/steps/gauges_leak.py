"""Looking for a leak: oil, bubbles; the electronic detector is read like any instrument."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from kit.visit import circuit_places, circuit_time, circuit_work, clock
from kit.visit.actions import Argument, Effect, action
from kit.visit.circuit_tools import LEAK_PLACES
from kit.visit.outcome import Line, line
from kit.visit.state import PARTS, State, noted

METHODS = {"oil": "Look for oil", "bubbles": "Soap bubbles"}
BUBBLE_PA_M3_S = 1e-5  # smallest leak that bubbles show, 1e-4 mbar L/s: from memory
STREAM_PA_M3_S = 1e-3  # from here they grow while one looks; common practice, no source
BEHIND = {"indoor_coil": "front_panel"}


def reachable(state: State, args: Mapping[str, Any]) -> Line | None:
    """Return why a place of the circuit cannot be got at, or None."""
    cover = BEHIND.get(args["where"])
    if cover is not None and cover not in state.off:
        return line("You cannot reach that: the {part} is on.", part=PARTS[cover])
    return None


@action(
    "Search for a leak by oil or bubbles",
    "gauges",
    "outdoor",
    90,
    arguments=(
        Argument("where", "At", "choice", {n: p.title for n, p in LEAK_PLACES.items()}),
        Argument("method", "How", "choice", METHODS),
    ),
    needs=(reachable,),
    cautions=("refrigerant", "flammable"),
)
def search_leak(state: State, where: str, method: str) -> Effect:
    """Look at one place; under bubbles a leak shows as long as pressure stands behind it."""
    state = noted(clock.solved(state), "search_leak")
    title = LEAK_PLACES[where].title
    if method == "oil":
        found = any(leak.oily for leak in state.work.leaks if leak.place == where)
        words = "A dark, oily smear at {place}." if found else "Dry and clean: {place}."
        return Effect(state, (line(words, place=title),))
    out = sum(
        circuit_time.hole_pa_m3_s(state, leak) for leak in circuit_places.holes_at(state, where)
    )
    inside = circuit_work.pressure_at_pa(state, where)
    if inside < circuit_work.vessel_of(state).p_atm_pa * 1.05:
        said = line("No pressure stands behind {place}: bubbles cannot tell.", place=title)
    elif out < BUBBLE_PA_M3_S:
        said = line("The film lies still: {place}.", place=title)
    elif out < STREAM_PA_M3_S:
        said = line("After a minute fine foam stands at {place}.", place=title)
    else:
        said = line("Bubbles grow one after the other: {place}.", place=title)
    return Effect(state, (said,))
