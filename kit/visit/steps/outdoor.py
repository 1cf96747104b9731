"""The outdoor unit: open, look, wash."""

from __future__ import annotations

from dataclasses import replace

from kit.visit import clock, cures, hazards
from kit.visit.actions import Argument, Effect, action
from kit.visit.outcome import Hazard, line
from kit.visit.state import PARTS, State, noted
from kit.visit.steps.indoor import can_come_off, needs_off

OUTDOOR_OFF = {name: PARTS[name] for name in ("terminal_cover", "outdoor_panels")}


@action(
    "Open or take off (outdoor unit)",
    "safe",
    "outdoor",
    120,
    arguments=(Argument("part", "Part", "choice", OUTDOOR_OFF),),
    needs=(can_come_off,),
    rules=(hazards.cover_off_live, hazards.untagged),
    cautions=("mains", "stored_charge", "height"),
)
def open_outdoor(state: State, part: str) -> Effect:
    """Take something off the outdoor unit; the terminals behind it count as live until proved."""
    state = clock.with_off(state, state.off | {part})
    return Effect(state, (line("Off now: {part}.", part=PARTS[part]),))


@action(
    "Wash the outdoor coil",
    "outdoor",
    "outdoor",
    900,
    arguments=(Argument("method", "How", "choice", cures.OUTDOOR_METHODS),),
    needs=(needs_off("outdoor_panels"),),
    rules=(hazards.work_unproved, hazards.charged, hazards.eyes_bare, hazards.hands_bare,
           hazards.untagged),
    cautions=("water", "sharp_fins", "stored_charge", "height"),
)  # fmt: skip
def wash_outdoor_coil(state: State, method: str) -> Effect:
    """Wash the outdoor coil."""
    found: tuple[Hazard, ...] = ()
    if "outdoor_electrics" not in state.protected:
        text = line("Spray runs over board and terminals that nothing covers.")
        found = (Hazard("electrics_sprayed", "near_miss", text),)
    state = clock.solved(state)
    state = replace(state, condition=cures.outdoor_coil_cleaned(state.condition, method))
    state = clock.with_dirt(state, outdoor_board_wet=bool(found) or state.dirt.outdoor_board_wet)
    said = {
        "outwards": "Felt and seeds fall off the rear face; light comes through the fins.",
        "inwards": "The rear face looks cleaner. Deep between the fins the felt is packed.",
        "lance": "The rear face is clean, and rows of fins are folded flat.",
    }[method]
    return Effect(noted(state, "wash_outdoor_coil"), (line(said),), hazards=found)
