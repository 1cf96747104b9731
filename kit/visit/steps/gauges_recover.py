"""Recovery into a cylinder; and what must never be done instead."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from kit.visit import circuit_work, clock, hazards_circuit, hazards_gas
from kit.visit.actions import Argument, Effect, action
from kit.visit.circuit_tools import CYLINDERS, RECOVERY_M3_S
from kit.visit.outcome import Line, Measure, line
from kit.visit.state import State, noted
from kit.visit.steps.gauges import off_port

SET_UP_S = 420.0  # hoses, purge, scale under the cylinder; common practice, no source


def stopped(state: State, _: Mapping[str, Any]) -> Line | None:
    """Return why nothing can be done at the circuit now: the unit runs."""
    if state.asked.mode != "off" or state.truth.running:
        return line("The unit is on. Switch it off first.")
    return None


def valves_open(state: State, _: Mapping[str, Any]) -> Line | None:
    """Return why only half of the circuit could be reached: a service valve is shut."""
    if state.work.valves_shut:
        return line("A service valve is shut: half of the circuit lies behind it. Open it first.")
    return None


def _something_in_it(state: State, _: Mapping[str, Any]) -> Line | None:
    if circuit_work.gas_only(state):
        return line("There is nothing to recover: the circuit stands at the air's pressure.")
    return None


@action(
    "Recover the refrigerant",
    "gauges",
    "outdoor",
    SET_UP_S,
    arguments=(
        Argument("cylinder", "Into", "choice", {n: c.title for n, c in CYLINDERS.items()}),
        Argument("until_pa", "Stop at", "number", measure="gauge_pressure", low=-80e3, high=2e6,
                 required=False, default=0.0),
    ),
    needs=(off_port, stopped, valves_open, _something_in_it),
    rules=(
        hazards_circuit.unqualified, hazards_gas.recovery_cylinder, hazards_circuit.flammable(),
        hazards_circuit.bare_at_pressure,
    ),
    cautions=("refrigerant", "pressure", "flammable"),
)  # fmt: skip
def recover(state: State, cylinder: str, until_pa: float) -> Effect:
    """Draw the refrigerant off as vapour down to a pressure; the cylinder gains what comes."""
    from kit.physics import recovery, refrigerant

    state = clock.solved(state)
    work, v = state.work, circuit_work.vessel_of(state)
    fluid = refrigerant.load(state.spec.refrigerant)
    coldest = min(state.around.room_db_k, state.around.outdoor_db_k)
    stop_pa = v.p_atm_pa + until_pa
    left, seconds = recovery.recovered(
        fluid, work.charge_kg, stop_pa, v.volume_m3, coldest, v.oil_kg, RECOVERY_M3_S
    )
    got = work.charge_kg - left + work.ledger.hose_kg
    # Air goes along in the same share.
    air = work.gases.air_kg * min(left / max(work.charge_kg, 1e-9), 1.0)
    ledger = replace(work.ledger, cylinder_kg=work.ledger.cylinder_kg + got, hose_kg=0.0)
    gases = replace(work.gases, refrigerant_kg=left, air_kg=air)
    state = circuit_work.with_work(state, work, gases=gases, ledger=ledger, cylinder=cylinder)
    state = noted(clock.solved(clock.later(state, round(seconds))), "recover")
    said = line(
        "The recovery machine ran {minutes} minutes and stopped at {level}. The pressure stays.",
        minutes=round(seconds / 60.0),
        level=Measure(circuit_work.gauge_pa(state), "gauge_pressure"),
    )
    return Effect(state, (said,))


@action(
    "Let it out to the air",
    "gauges",
    "outdoor",
    120,
    needs=(
        off_port,
        lambda state, _: None
        if circuit_work.gauge_pa(state) > 1e3
        else line("There is no pressure to let out."),
    ),
    rules=(hazards_circuit.unqualified, hazards_circuit.vented),
    cautions=("refrigerant", "flammable"),
)  # fmt: skip
def let_out(state: State) -> Effect:
    """Open the hose to the air: right for test gas, never for refrigerant."""
    state = clock.solved(state)
    v = circuit_work.vessel_of(state)
    stays = min(v.p_atm_pa / circuit_work.port_pa(state), 1.0)
    work = state.work
    g = work.gases
    refrigerant = g.refrigerant_kg * (1.0 - v.free_share * (1.0 - stays))
    gases = replace(
        g,
        air_kg=g.air_kg * stays,
        nitrogen_kg=g.nitrogen_kg * stays,
        vapour_kg=g.vapour_kg * stays,
        refrigerant_kg=refrigerant,
    )
    lost = work.ledger.lost_kg + g.refrigerant_kg - refrigerant
    ledger = replace(work.ledger, lost_kg=lost)
    held = hazards_gas.held_pa(state)
    state = circuit_work.with_work(
        state, work, gases=gases, ledger=ledger, over_k=0.0, set_pa=0.0, held_pa=held
    )
    said = line("The gas blows off through the hose, away from you, down to the air's pressure.")
    return Effect(noted(state, "let_out"), (said,))
