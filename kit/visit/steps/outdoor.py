"""The outdoor unit: open, look, wash."""

from __future__ import annotations

from dataclasses import replace

from kit.visit import clock, cures, handwork, hazards, hazards_work
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
    needs=(can_come_off, hazards_work.ladder_need),
    rules=(hazards.cover_off_live, hazards.untagged, hazards_work.ladder_wrong),
    cautions=("mains", "stored_charge", "height"),
)
def open_outdoor(state: State, part: str) -> Effect:
    """Take something off the outdoor unit; the terminals behind it count as live until proved."""
    state = clock.with_off(state, state.off | {part})
    return Effect(state, (line("Off now: {part}.", part=PARTS[part]),))


def _fins_washed(state: State, method: str) -> State:
    """Return the state with the coil washed; folded fins stay, driven-in felt comes out badly."""
    bent, packed, c = state.harm.bent_outdoor, state.harm.packed, state.condition
    if method == "lance":
        state = clock.with_harm(state, bent_outdoor=max(bent, cures.BENT["outdoor"]))
        return replace(state, condition=cures.outdoor_coil_cleaned(c, method))
    dirt = replace(c, outdoor_coil_blockage=handwork.unbent(c.outdoor_coil_blockage, bent))
    c = cures.outdoor_coil_cleaned(dirt, method, packed)
    blocked = handwork.with_bent(c.outdoor_coil_blockage, bent)
    dirty = c.outdoor_coil_blockage > 0.1
    state = clock.with_harm(state, packed=dirty and (packed or method == "inwards"))
    return replace(state, condition=replace(c, outdoor_coil_blockage=blocked))


@action(
    "Wash the outdoor coil",
    "outdoor",
    "outdoor",
    900,
    arguments=(Argument("method", "How", "choice", cures.OUTDOOR_METHODS),),
    needs=(needs_off("outdoor_panels"), hazards_work.ladder_need),
    rules=(hazards.work_unproved, hazards.charged, hazards.eyes_bare, hazards.hands_bare,
           hazards.untagged, hazards_work.ladder_wrong),
    cautions=("water", "sharp_fins", "stored_charge", "height"),
)  # fmt: skip
def wash_outdoor_coil(state: State, method: str) -> Effect:
    """Wash the outdoor coil."""
    found: tuple[Hazard, ...] = ()
    bare = "outdoor_electrics" not in state.protected
    if bare:
        text = line("Spray runs over board and terminals that nothing covers.")
        found = (Hazard("electrics_sprayed", "near_miss", text),)
    state = clock.solved(state)
    if method == "acid":
        text = line("Acid eats fins and coating unless the unit's own instructions allow it.")
        found = (*found, Hazard("acid_on_fins", "note", text))
    state = _fins_washed(state, method)
    state = clock.with_dirt(state, outdoor_board_wet=bare or state.dirt.outdoor_board_wet)
    said = {
        "outwards": "Felt and seeds fall off the rear face; light comes through the fins.",
        "inwards": "The rear face looks cleaner. Deep between the fins the felt is packed.",
        "lance": "The rear face is clean, and rows of fins are folded flat.",
        "acid": "It foams and stings; the fins come out bright and dull in patches.",
    }[method]
    return Effect(noted(state, "wash_outdoor_coil"), (line(said),), hazards=found)
