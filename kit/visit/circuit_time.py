"""The circuit in time: leaks, the vacuum pump, water, gas that cools, ice in the valve."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING

from kit.visit import circuit_work
from kit.visit.circuit_tools import CORE, PUMP_HOSES, PUMPS
from kit.visit.circuit_work import CircuitWork, Leak, with_work

if TYPE_CHECKING:
    from kit.physics.evacuation import Path
    from kit.visit.state import State

# Common practice, no source.
COOLS_S = 300.0  # gas warmed by a fast filling comes back to its pipes
ICE_FULL_S = 600.0  # wet refrigerant below freezing closes the valve in about this time
MELTS_S = 900.0
ICING_WATER_KG = 5e-5  # below this the refrigerant carries the water in solution


def passed(state: State, dt_s: float) -> State:
    """Return the state with the circuit brought some time on.

    Args:
        state: the visit, its machine already brought on.
        dt_s: time that passed [s].
    """
    work = state.work
    if work.over_k > 0.0:
        over = work.over_k * math.exp(-dt_s / COOLS_S)
        state = replace(state, work=replace(work, over_k=over if over > 0.01 else 0.0))
    if circuit_work.gas_only(state) and not state.truth.running:
        return _gases(state, dt_s)
    return _iced(_leaked(state, dt_s), dt_s)


def leak_kg_s(state: State, leak: Leak) -> float:
    """Return the refrigerant that a hole loses now [kg/s].

    Args:
        state: the visit, solved up to its clock.
        leak: the hole.
    """
    from kit.physics import leak as physics

    inside = circuit_work.pressure_at_pa(state, leak.place)
    flow = hole_pa_m3_s(state, leak)
    v = circuit_work.vessel_of(state)
    mass = float(physics.mass_flow_kg_s(flow, v.molar_mass_kg_mol, v.t_k))
    if not circuit_work.gas_only(state):
        return max(mass, 0.0)
    gases = state.work.gases
    per_pa = physics.GAS_CONSTANT / v.molar_mass_kg_mol * v.t_k / v.volume_m3
    share = gases.refrigerant_kg * v.free_share * per_pa / max(inside, 1.0)
    return max(mass * share, 0.0)


def hole_pa_m3_s(state: State, leak: Leak) -> float:
    """Return the gas that a hole lets out, negative when air comes in [Pa m3/s].

    Args:
        state: the visit, solved up to its clock.
        leak: the hole.
    """
    from kit.physics import air
    from kit.physics import leak as physics

    inside = circuit_work.pressure_at_pa(state, leak.place)
    gas = "nitrogen" if circuit_work.gas_only(state) else state.spec.refrigerant
    outside = float(air.pressure_pa(state.around.altitude_m))
    viscosity = physics.VISCOSITY_PA_S[gas]
    return float(physics.throughput_pa_m3_s(leak.bore_m, inside, outside, viscosity))


def pump_path(work: CircuitWork) -> Path | None:
    """Return the tubes between circuit and pump; None when none is connected."""
    from kit.physics.evacuation import in_series

    if work.rig is None:
        return None
    hose = PUMP_HOSES[work.rig.hose][1]
    return hose if work.rig.cores_out else in_series((hose, CORE))


def _leaked(state: State, dt_s: float) -> State:
    """Take what has leaked from the charge."""
    if not state.work.leaks:
        return state
    lost = dt_s * sum(leak_kg_s(state, leak) for leak in state.work.leaks)
    return with_work(state, losing(state.work, lost))


def losing(work: CircuitWork, lost_kg: float) -> CircuitWork:
    """Return the circuit after refrigerant was lost to the air.

    Args:
        work: the circuit.
        lost_kg: how much [kg]; never more than there is.
    """
    lost_kg = min(lost_kg, work.charge_kg)
    return replace(
        work,
        gases=replace(work.gases, refrigerant_kg=work.charge_kg - lost_kg),
        ledger=replace(work.ledger, lost_kg=work.ledger.lost_kg + lost_kg),
    )


def _gases(state: State, dt_s: float) -> State:
    """Bring a circuit that holds gas only on, with the pump when it draws."""
    work, rig = state.work, state.work.rig
    draws = rig is not None and rig.draws
    wet = work.gases.water_kg > 0.0 or work.gases.vapour_kg > 0.0
    if not (draws or wet or work.leaks):
        return state
    from kit.physics import evacuation

    pump = PUMPS[rig.oil] if draws and rig is not None else None
    path = pump_path(work) if draws else None
    gases = evacuation.later(work.gases, circuit_work.vessel_of(state), dt_s, path, pump)
    lost = work.charge_kg - gases.refrigerant_kg
    ledger = replace(work.ledger, lost_kg=work.ledger.lost_kg + lost)
    return with_work(state, replace(work, gases=gases, ledger=ledger))


def _iced(state: State, dt_s: float) -> State:
    """Let free water freeze in the valve while it is cold, and thaw when it is not."""
    work, truth = state.work, state.truth
    cold = truth.running and float(truth.valve_outlet_k) < 273.15
    wet = work.gases.water_kg + work.gases.vapour_kg > ICING_WATER_KG
    if cold and wet:
        ice = min(1.0, work.valve_ice + dt_s / ICE_FULL_S)
    else:
        ice = work.valve_ice * math.exp(-dt_s / MELTS_S)
        ice = ice if ice > 0.02 else 0.0
    if ice == work.valve_ice:
        return state
    return replace(state, work=replace(work, valve_ice=round(ice, 3)))
