"""The repair: a new flare, a new part, a new core; or what should not be done instead."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from kit.visit import circuit_work, clock, hazards_circuit, streams
from kit.visit.actions import Argument, Effect, action
from kit.visit.circuit_tools import LEAK_PLACES
from kit.visit.circuit_work import CircuitWork, Leak
from kit.visit.outcome import Line, line
from kit.visit.state import State, noted
from kit.visit.steps.gauges_leak import reachable
from kit.visit.steps.gauges_recover import stopped

METHODS = {
    "new_flare": "Cut, deburr, new flare, oil on its back, nut on",
    "replace_part": "Replace the part, braze",
    "new_core": "New valve core through the core tool",
    "tighten": "Tighten the nut some more",
    "sealant": "Put in a sealant",
}
TIGHTENED = {
    "torque_wrench": "With the torque wrench, set to the label",
    "by_feel": "By feel",
    "very_tight": "As tight as it goes",
}
TAKES_S = {"new_flare": 1500, "replace_part": 5400, "new_core": 420, "tighten": 240, "sealant": 600}
# What a joint that was tightened otherwise leaks; common practice, no source.
LOOSE_M, CRACKED_M = 5e-6, 9e-6
OPEN_WATER_KG_S = 1.5e-8  # moisture that creeps into an open circuit: the same
SEALANT_CLOSES = 0.25  # restriction that it leaves: the same


def _fits(_: State, args: Mapping[str, Any]) -> Line | None:
    cure, method = LEAK_PLACES[args["where"]].cure, args["method"]
    flare = cure == "new_flare"
    if method in ("sealant", cure) or (method == "tighten" and flare):
        return None
    return line("That cannot be done there: {place}.", place=LEAK_PLACES[args["where"]].title)


@action(
    "Repair",
    "gauges",
    "outdoor",
    0,
    arguments=(
        Argument("where", "At", "choice", {n: p.title for n, p in LEAK_PLACES.items()}),
        Argument("method", "How", "choice", METHODS),
        Argument("tightened", "Nut tightened", "choice", TIGHTENED, required=False,
                 default="torque_wrench"),
        Argument("nitrogen_flow", "A little nitrogen flows while it is open", "flag",
                 required=False, default=False),
    ),
    needs=(reachable, stopped, _fits),
    rules=(
        hazards_circuit.unqualified, hazards_circuit.opened_full, hazards_circuit.torch,
        hazards_circuit.flammable(), hazards_circuit.opened_live, hazards_circuit.sealed_in,
    ),
    cautions=("refrigerant", "pressure", "flammable"),
)  # fmt: skip
def repair_leak(
    state: State, where: str, method: str, tightened: str, nitrogen_flow: bool
) -> Effect:
    """Mend a place; whether it was the right one and is tight now shows in what follows."""
    state = clock.solved(state)
    if method in ("new_flare", "replace_part"):
        state = opened(state, nitrogen_flow, TAKES_S[method])
    state = clock.solved(clock.later(state, TAKES_S[method]))
    work = state.work
    if method == "sealant":
        return _sealed(state)
    if method == "tighten":
        work = replace(work, leaks=tuple(_turned(state, one, where) for one in work.leaks))
    else:
        others = tuple(one for one in work.leaks if one.place != where)
        work = replace(work, leaks=others + _new_leak(state, where, method, tightened))
    state = circuit_work.with_work(state, work)
    said = line(_SAID[method], place=LEAK_PLACES[where].title, how=TIGHTENED[tightened].lower())
    return Effect(noted(state, "repair_leak"), (said,))


_SAID = {
    "new_flare": "A new flare, bright and even, at {place}; the nut is tightened {how}.",
    "replace_part": "The new part is in and brazed: {place}.",
    "new_core": "A new core is in: {place}.",
    "tighten": "The nut moves a little further: {place}.",
}


def opened(state: State, nitrogen_flow: bool, seconds: float) -> State:
    """Let out what gas is left and let air, or nitrogen, take its place."""
    from kit.physics import evacuation
    from kit.physics.evacuation import R_AIR, R_NITROGEN, Gases

    work, v = state.work, circuit_work.vessel_of(state)
    g = work.gases
    kept = g.refrigerant_kg * (1.0 - v.free_share)
    # What the oil gives off before the joint is shut again leaves less room for the other gas.
    shut = evacuation.pressure_pa(Gases(refrigerant_kg=kept), v)
    fill = max(v.p_atm_pa - shut, 0.0) * v.volume_m3 / v.t_k
    gases = Gases(
        air_kg=0.0 if nitrogen_flow else fill / R_AIR,
        nitrogen_kg=fill / R_NITROGEN if nitrogen_flow else 0.0,
        refrigerant_kg=kept,
        vapour_kg=0.0 if nitrogen_flow else fill / R_AIR * v.outdoor_w,
        water_kg=g.water_kg + (0.0 if nitrogen_flow else OPEN_WATER_KG_S * seconds),
        wet_k=v.t_k,
    )
    ledger = replace(work.ledger, lost_kg=work.ledger.lost_kg + g.refrigerant_kg - kept)
    return circuit_work.with_work(
        state, work, gases=gases, ledger=ledger, was_opened=True, over_k=0.0
    )


def _new_leak(state: State, where: str, method: str, tightened: str) -> tuple[Leak, ...]:
    """Return the hole a badly tightened joint leaves."""
    if method != "new_flare" or tightened == "torque_wrench":
        return ()
    if tightened == "very_tight":
        return (Leak(where, CRACKED_M, oily=False),)
    lucky = streams.uniform(state.seed, "flare", where, state.count) > 0.6
    return () if lucky else (Leak(where, LOOSE_M, oily=False),)


def _turned(state: State, leak: Leak, where: str) -> Leak:
    """Return a leak after the nut on its old flare was turned further."""
    if leak.place != where:
        return leak
    better = streams.uniform(state.seed, "tighten", where, state.count) > 0.5
    return replace(leak, bore_m=leak.bore_m * (0.7 if better else 1.3))


def _sealed(state: State) -> Effect:
    work: CircuitWork = replace(
        state.work,
        sealant=True,
        leaks=tuple(replace(one, bore_m=0.6 * one.bore_m) for one in state.work.leaks),
    )
    share = 1.0 - (1.0 - state.condition.liquid_restriction) * (1.0 - SEALANT_CLOSES)
    state = clock.with_condition(circuit_work.with_work(state, work), liquid_restriction=share)
    said = line("The sealant is in. The label promises much.")
    return Effect(noted(state, "repair_leak"), (said,))
