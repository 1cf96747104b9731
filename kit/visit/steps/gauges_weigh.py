"""Charging: weighed in on a scale, or by guess."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from math import exp, sqrt
from typing import Any

from kit.machine.condition import KNOB_RANGES
from kit.visit import circuit_work, clock, hazards_circuit, hazards_gas, streams
from kit.visit.actions import Argument, Effect, action
from kit.visit.circuit_tools import HOSE_M3, PHASES_IN, SUPPLIES
from kit.visit.instruments import instrument
from kit.visit.outcome import Line, Measure, line
from kit.visit.state import State, noted
from kit.visit.steps.gauges import off_port
from kit.visit.steps.gauges_recover import valves_open

TARES = {
    "hose_filled": "Zero after the hose was filled",
    "hose_empty": "Zero before the hose was filled",
}
HOSE_AIR = {"purged": "Hose drawn empty first", "as_it_is": "Hose screwed on as it is"}
# Flow through a hose; common practice, no source.
WEIGHED_KG_S = {"liquid": 2.5e-3, "vapour": 0.5e-3}
GUESSED_KG_S = {"liquid": 4.0e-3, "vapour": 1.2e-3}
FULL_FLOW_PA = 0.4e6
LEVEL = 0.98  # of the cylinder's pressure, where nothing flows any more

_REFRIGERANT = Argument("refrigerant", "Refrigerant", "choice", {name: name for name in SUPPLIES})
_PHASE = Argument("phase", "Drawn off", "choice", PHASES_IN)


def cylinder_pa(state: State) -> float:
    """Return the pressure in the supply cylinder, which stands outdoors [Pa absolute]."""
    from kit.physics import refrigerant

    fluid = refrigerant.load(state.spec.refrigerant)
    return exp(float(fluid.lnp_bubble(state.around.outdoor_db_k)))


def _charged(state: State, _: Mapping[str, Any]) -> Line | None:
    rig = state.work.rig
    if rig is not None and rig.draws:
        return line("The vacuum pump draws. Shut its valve and stop it first.")
    if circuit_work.port_pa(state) > LEVEL * cylinder_pa(state):
        return line("Nothing flows: the circuit's pressure is as high as the cylinder's.")
    return None


def _tared(state: State, _: Mapping[str, Any]) -> Line | None:
    if not state.work.tare:
        return line("No cylinder stands on the scale, set to zero.")
    return None


def _fits(state: State, args: Mapping[str, Any]) -> Line | None:
    most = KNOB_RANGES["charge_fraction"][1] * state.spec.charge_kg
    if args["mass_kg"] is None or state.work.charge_kg + args["mass_kg"] <= most:
        return None
    return line("Your trainer shakes the head: that is more than half over what belongs in it.")


def _incoming(_: State, args: Mapping[str, Any]) -> float:
    return float(args.get("mass_kg") or 0.0)


@action(
    "Put the supply cylinder on the scale",
    "gauges",
    "outdoor",
    240,
    arguments=(
        Argument("tare", "Scale", "choice", TARES),
        Argument("hose", "Air in the hose", "choice", HOSE_AIR, required=False, default="purged"),
    ),
    needs=(off_port,),
    rules=(hazards_circuit.unqualified,),
    cautions=("refrigerant", "pressure", "flammable"),
)
def set_up_scale(state: State, tare: str, hose: str) -> Effect:
    """Level the scale, hang the hose so that it does not pull, set it to zero."""
    from kit.physics.evacuation import R_AIR

    state = clock.solved(state)
    work = replace(state.work, tare=tare)
    if hose == "as_it_is":
        v = circuit_work.vessel_of(state)
        came = v.p_atm_pa * HOSE_M3 / (R_AIR * state.around.outdoor_db_k)
        work = replace(work, gases=replace(work.gases, air_kg=work.gases.air_kg + came))
    state = circuit_work.with_work(state, work)
    said = line("The cylinder stands on the scale, the hose hangs free. The scale shows zero.")
    return Effect(noted(state, "set_up_scale"), (said,))


@action(
    "Weigh the charge in",
    "gauges",
    "outdoor",
    120,
    arguments=(
        _REFRIGERANT,
        _PHASE,
        Argument("mass_kg", "Amount", "number", measure="small_mass", low=0.005, high=5.0),
    ),
    needs=(off_port, valves_open, _tared, _charged, _fits),
    rules=(
        hazards_circuit.unqualified, hazards_gas.wrong_refrigerant,
        hazards_circuit.flammable(_incoming), hazards_circuit.bare_at_cylinder,
        hazards_gas.not_searched, hazards_gas.unknown_rest, hazards_gas.blend_as_vapour,
        hazards_gas.liquid_slug,
    ),
    cautions=("refrigerant", "pressure", "flammable"),
)  # fmt: skip
def weigh_in(state: State, refrigerant: str, phase: str, mass_kg: float) -> Effect:
    """Let in until the scale shows the amount; what the scale errs, the charge errs."""
    del refrigerant  # another was stopped
    state = clock.solved(state)
    wanted = max(mass_kg + scale_error_kg(state) - _in_hose(state), 0.0)
    came = min(wanted, _until_level_kg(state, phase))
    seconds = came / WEIGHED_KG_S[phase]
    state = clock.solved(clock.later(_let_in(state, came, phase), round(seconds)))
    shown = mass_kg if came == wanted else max(mass_kg - (wanted - came), 0.0)
    said = line("The scale shows {mass} gone from the cylinder.",
                mass=Measure(round(shown, 3), "small_mass"))  # fmt: skip
    if came < wanted:
        said = line(
            "At {mass} the scale stands still: the pressures are level, nothing flows any more.",
            mass=Measure(round(shown, 3), "small_mass"),
        )
    return Effect(noted(state, "weigh_in"), (said,))


def scale_error_kg(state: State) -> float:
    """Return by how much more goes in than the scale shows [kg], of its accuracy class."""
    scale = instrument("charging_scale").scale("mass")
    share = streams.bell(state.seed, "charging_scale", "net", state.count, limit=2.0)
    return 0.5 * scale.accuracy * share


def _in_hose(state: State) -> float:
    """Return what stays in the hose and was counted, when zero was set before filling it [kg]."""
    from kit.physics import refrigerant

    if state.work.tare != "hose_empty":
        return 0.0
    fluid = refrigerant.load(state.spec.refrigerant)
    return HOSE_M3 * float(fluid.rho_liquid(state.around.outdoor_db_k))


def _until_level_kg(state: State, phase: str) -> float:
    """Return how much a standing circuit takes as vapour before the pressures are level [kg]."""
    from kit.physics import recovery, refrigerant

    if phase == "liquid" or state.truth.running:
        return float("inf")
    v = circuit_work.vessel_of(state)
    fluid = refrigerant.load(state.spec.refrigerant)
    level_pa = LEVEL * min(cylinder_pa(state), exp(float(fluid.lnp_dew(v.t_k))))
    full = recovery.standing_kg(fluid, level_pa, v.volume_m3, v.t_k, v.oil_kg)
    return max(full - state.work.charge_kg, 0.0)


def _let_in(state: State, came_kg: float, phase: str) -> State:
    work = state.work
    shifted = phase == "vapour" and hazards_gas.is_zeotrope(state.spec.refrigerant)
    return circuit_work.with_work(
        state, work,
        gases=replace(work.gases, refrigerant_kg=work.charge_kg + came_kg),
        ledger=replace(work.ledger, supplied_kg=work.ledger.supplied_kg + came_kg),
        shifted=work.shifted or shifted,
    )  # fmt: skip


@action(
    "Top up without a scale",
    "gauges",
    "outdoor",
    60,
    arguments=(
        _REFRIGERANT,
        _PHASE,
        Argument("seconds", "Valve open for (seconds)", "number", low=5, high=600),
    ),
    needs=(off_port, valves_open, _charged),
    rules=(
        hazards_circuit.unqualified, hazards_gas.wrong_refrigerant,
        hazards_circuit.flammable(), hazards_circuit.bare_at_cylinder, hazards_gas.guessed,
        hazards_gas.not_searched, hazards_gas.blend_as_vapour, hazards_gas.liquid_slug,
    ),
    cautions=("refrigerant", "pressure", "flammable"),
)  # fmt: skip
def top_up(state: State, refrigerant: str, phase: str, seconds: float) -> Effect:
    """Open the cylinder for a while; how much went in nobody knows."""
    del refrigerant
    state = clock.solved(state)
    ahead = cylinder_pa(state) - circuit_work.port_pa(state)
    chance = 0.6 + 0.9 * streams.uniform(state.seed, "top up", state.count)
    rate = GUESSED_KG_S[phase] * chance * sqrt(min(max(ahead, 0.0) / FULL_FLOW_PA, 1.0))
    most = KNOB_RANGES["charge_fraction"][1] * state.spec.charge_kg - state.work.charge_kg
    came = min(rate * seconds, most, _until_level_kg(state, phase))
    state = clock.solved(clock.later(_let_in(state, max(came, 0.0), phase), seconds))
    said = [line("The hose is cold for a while, then you shut the cylinder.")]
    if rate * seconds > most:
        said.append(line("Your trainer has shut it before you: it is far too full by now."))
    return Effect(noted(state, "top_up"), tuple(said))
