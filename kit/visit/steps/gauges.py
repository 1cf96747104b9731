"""Gauges: only with a reason, by a certified person or under direct supervision."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from kit.visit import circuit_hoses, clock, hazards_circuit, measuring
from kit.visit.actions import Argument, Effect, action
from kit.visit.circuit_tools import FLARE_TORQUE_NM, GAUGE_SETS, PURGES, RATED_PA, SUPPLIES
from kit.visit.circuit_work import with_work
from kit.visit.outcome import Line, Measure, line
from kit.visit.state import State, noted

KNOWN = tuple(name for name in SUPPLIES if name != "R-22")
VALVES = {"gas": "Service valve of the large line", "small": "Service valve of the small line"}
CARE = {
    "ignition_clear": (
        "Clear every source of ignition",
        "You switch off and carry away what can spark or glow. A dry-powder extinguisher at hand.",
    ),
    "detector_on": (
        "Switch the gas detector on",
        "The detector for this refrigerant stands at your feet and blinks green.",
    ),
    "aired": (
        "Air the place",
        "Doors and windows open, a fan blows along the floor from behind you.",
    ),
}


def off_port(state: State, _: Mapping[str, Any]) -> Line | None:
    """Return why nothing can be done through the port: no gauges are on it."""
    return None if state.gauges_on else line("No gauges are attached.")


@action("Call your supervisor to stand by", "gauges", "customer", 600)
def call_supervisor(state: State) -> Effect:
    """Have a certified person stand by."""
    said = line("A certified colleague comes and stands by while you work on the circuit.")
    return Effect(noted(replace(state, supervised=True), "call_supervisor"), (said,))


@action(
    "Read the data sheet: charge, line set, test pressure, torque", "gauges", "job_sheet", 90,
)  # fmt: skip
def read_data_sheet(state: State) -> Effect:
    """Read what a charge is reckoned from."""
    spec = state.spec
    torque = ", ".join(f"{inch} in" for inch in FLARE_TORQUE_NM)
    lines = (
        line(
            "Factory charge {charge}, enough for {length} of lines; {extra} more for each "
            "{metre} beyond that.",
            charge=Measure(spec.factory_charge_kg, "small_mass"),
            length=Measure(spec.precharged_line_m, "length"),
            extra=Measure(spec.extra_charge_kg_m, "small_mass"),
            metre=Measure(1.0, "length"),
        ),
        line(
            "Highest pressure allowed, high side: {rated}.",
            rated=Measure(RATED_PA[spec.refrigerant], "gauge_pressure"),
        ),
        line(
            "Flare nuts {sizes}: {torques}.",
            sizes=torque,
            torques=line(
                "{a}, {b}, {c}",
                **{
                    key: Measure(sum(pair) / 2, "torque")
                    for key, pair in zip("abc", FLARE_TORQUE_NM.values(), strict=True)
                },
            ),
        ),
    )
    return Effect(noted(state, "read_data_sheet"), lines)


@action("Measure the length of the line set", "gauges", "outdoor", 180)
def measure_lines(state: State) -> Effect:
    """Measure the lines along their run with a tape, to a tenth of a metre."""
    length = Measure(round(state.spec.line_m, 1), "length")
    said = line("One way, bends and the way through the wall included: {length}.", length=length)
    return Effect(noted(state, "measure_lines"), (said,))


def _one_of_two(_: State, args: Mapping[str, Any]) -> Line | None:
    if (args["pressure_pa"] is None) == (args["temperature_k"] is None):
        return line("The card wants a pressure or a temperature, one of the two.")
    return None


@action(
    "Look up saturation on the pressure and temperature card",
    "gauges",
    "job_sheet",
    30,
    arguments=(
        Argument("refrigerant", "Refrigerant", "choice", {name: name for name in KNOWN}),
        Argument("pressure_pa", "Pressure", "number", measure="gauge_pressure",
                 low=-95e3, high=4.5e6, required=False),
        Argument("temperature_k", "... or temperature", "number", measure="temperature",
                 low=233.15, high=338.15, required=False),
    ),
    needs=(_one_of_two,),
)  # fmt: skip
def look_up_saturation(
    state: State, refrigerant: str, pressure_pa: float | None, temperature_k: float | None
) -> Effect:
    """Read the card of one refrigerant; the right card is the learner's own affair."""
    from kit.physics import air
    from kit.physics.refrigerant import load

    fluid = load(refrigerant)
    p_atm = float(air.pressure_pa(state.around.altitude_m))
    state = noted(state, "look_up_saturation")
    if temperature_k is not None:
        at_k = (fluid.lnp_bubble(temperature_k), fluid.lnp_dew(temperature_k))
        both = [math.exp(float(lnp)) - p_atm for lnp in at_k]
        at, kind = Measure(temperature_k, "temperature"), "gauge_pressure"
    else:
        lnp = math.log(max((pressure_pa or 0.0) + p_atm, 1.0))
        if not fluid.lnp_min <= lnp <= fluid.lnp_max:
            return Effect(state, (line("The card does not go that far."),))
        sat = fluid.sat(lnp)
        both = [float(sat.t_bubble_k), float(sat.t_dew_k)]
        at, kind = Measure(pressure_pa or 0.0, "gauge_pressure"), "temperature"
    said = line(
        "{name} at {at}: bubble {bubble}, dew {dew}.",
        name=refrigerant,
        at=at,
        bubble=Measure(both[0], kind),
        dew=Measure(both[1], kind),
    )
    return Effect(state, (said,))


@action(
    "Precautions with a refrigerant that burns",
    "gauges",
    "outdoor",
    120,
    arguments=(
        Argument("measures", "Precautions", "choices", {k: v[0] for k, v in CARE.items()}),
    ),
    cautions=("flammable",),
)
def take_precautions(state: State, measures: list[str]) -> Effect:
    """Clear sparks, watch the air, keep it moving; it stays so until the end."""
    state = with_work(clock.solved(state), state.work, care=state.work.care | set(measures))
    said = tuple(line(CARE[name][1]) for name in measures)
    return Effect(noted(state, "take_precautions"), said or (line("Nothing chosen."),))


def _hose_only(state: State, _: Mapping[str, Any]) -> float:
    return circuit_hoses.contents_kg(state)


@action(
    "Attach the gauges",
    "gauges",
    "outdoor",
    240,
    arguments=(
        Argument("gauge_set", "Gauges", "choice", {n: s.title for n, s in GAUGE_SETS.items()},
                 required=False, default="gauges"),
        Argument("purge", "Air in the hose", "choice", PURGES, required=False, default="vacuum"),
    ),
    needs=(lambda state, _: line("They are on already.") if state.gauges_on else None,),
    rules=(
        hazards_circuit.unqualified, hazards_circuit.unfit_gauges,
        hazards_circuit.flammable(_hose_only), hazards_circuit.bare_at_pressure,
        hazards_circuit.purged_to_air,
    ),
    cautions=("refrigerant", "pressure", "flammable"),
)  # fmt: skip
def attach_gauges(state: State, gauge_set: str, purge: str) -> Effect:
    """Attach a hose to the port of the gas line; each time a little charge is lost."""
    state = circuit_hoses.attached(clock.solved(state), gauge_set, purge)
    said = line("The hose is on the port of the gas line. A short hiss: some charge is lost.")
    return Effect(noted(state, "attach_gauges"), (said,))


def _pump_still_on(state: State, _: Mapping[str, Any]) -> Line | None:
    return line("The vacuum pump hangs on them. Take it off first.") if state.work.rig else None


@action(
    "Take the gauges off",
    "gauges",
    "outdoor",
    120,
    arguments=(
        Argument("cap", "Cap back on the port", "flag", required=False, default=True),
    ),
    needs=(off_port, _pump_still_on),
    rules=(hazards_circuit.flammable(_hose_only), hazards_circuit.bare_at_pressure),
    cautions=("pressure",),
)  # fmt: skip
def remove_gauges(state: State, cap: bool) -> Effect:
    """Take the hose off; what is in it is lost. The cap is the seal, the core is not."""
    state = clock.solved(state)
    for name in GAUGE_SETS:
        state = measuring.lifted(state, name)
    state = circuit_hoses.removed(state, cap)
    capped = "The hose is off, core and cap are tight."
    said = line(capped if cap else "The hose is off; the cap lies on the step.")
    return Effect(noted(state, "remove_gauges"), (said,))


def _at_rest(state: State, args: Mapping[str, Any]) -> Line | None:
    if not args["open"] and state.truth.running:
        return None  # judged as a hazard
    shut = {v for v in args["valves"] if v in state.work.valves_shut}
    if args["open"] and not shut:
        return line("They are open already.")
    return None


@action(
    "Turn the service valves",
    "gauges",
    "outdoor",
    90,
    arguments=(
        Argument("valves", "Valves", "choices", VALVES),
        Argument("open", "Open (else shut)", "flag"),
    ),
    needs=(_at_rest,),
    rules=(hazards_circuit.unqualified, hazards_circuit.shut_while_running),
    cautions=("pressure", "refrigerant"),
)
def turn_valves(state: State, valves: list[str], open: bool) -> Effect:  # noqa: A002 - the word
    """Open or shut service valves with the hexagon key; their caps are off until put back."""
    state = clock.solved(state)
    shut = state.work.valves_shut - set(valves) if open else state.work.valves_shut | set(valves)
    caps = state.work.caps_off | {"valves"}
    state = with_work(state, state.work, valves_shut=shut, caps_off=caps)
    words = "Open to the stop: {what}." if open else "Shut to the stop: {what}."
    return Effect(state, (line(words, what=", ".join(VALVES[v] for v in valves)),))


@action(
    "Put caps back on port and valves, tight",
    "gauges",
    "outdoor",
    90,
    needs=(lambda state, _: None if state.work.caps_off else line("All caps are on."),),
    cautions=("pressure",),
)
def refit_caps(state: State) -> Effect:
    """Cap what was uncapped; a cap is a seal."""
    kept = frozenset({"port"} & state.work.caps_off) if state.gauges_on else frozenset()
    state = with_work(clock.solved(state), state.work, caps_off=kept)
    said = line("Clean caps with sound seals go on, hand tight and a little more by wrench.")
    return Effect(noted(state, "refit_caps"), (said,))
