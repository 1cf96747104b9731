"""What hoses take from the circuit and give back; each connection loses a little."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from kit.visit import circuit_time, circuit_work
from kit.visit.circuit_tools import CONDENSED_SHARE, GAUGE_SETS, GAUGES_M3

if TYPE_CHECKING:
    from kit.visit.circuit_work import CircuitWork
    from kit.visit.state import State


def contents_kg(state: State, volume_m3: float = GAUGES_M3) -> float:
    """Return the refrigerant in gauges and hose at the port's pressure [kg].

    Where hot gas of a higher pressure meets a hose at outdoor temperature, it condenses there.

    Args:
        state: the visit, solved up to its clock.
        volume_m3: inner volume [m3].

    Source: volume times density; the share filled with liquid is common practice, no source.
    """
    from math import exp

    from kit.physics import recovery, refrigerant

    if circuit_work.gas_only(state):
        return 0.0
    fluid = refrigerant.load(state.spec.refrigerant)
    hose_k, inside = state.around.outdoor_db_k, circuit_work.port_pa(state)
    saturation = exp(float(fluid.lnp_dew(hose_k)))
    vapour = float(recovery.vapour_density_kg_m3(fluid, min(inside, saturation), hose_k))
    if inside < 1.05 * saturation:
        return volume_m3 * vapour
    liquid = float(fluid.rho_liquid(hose_k))
    return volume_m3 * (CONDENSED_SHARE * liquid + (1.0 - CONDENSED_SHARE) * vapour)


def attached(state: State, gauge_set: str, purge: str) -> State:
    """Return the state with gauges attached; what is in their hose is no longer in the machine.

    Args:
        state: the visit, solved up to its clock.
        gauge_set: a key of `GAUGE_SETS`.
        purge: a key of `PURGES`.
    """
    from kit.physics.evacuation import R_AIR

    work = state.work
    inside = min(contents_kg(state), work.charge_kg)
    lost = GAUGE_SETS[gauge_set].spurt_kg if inside > 0.0 else 0.0
    lost += inside if purge == "puff" else 0.0
    work = circuit_time.losing(_moved(work, inside), lost)
    if purge == "none":
        v = circuit_work.vessel_of(state)
        came = v.p_atm_pa * GAUGES_M3 / (R_AIR * state.around.outdoor_db_k)
        work = replace(work, gases=replace(work.gases, air_kg=work.gases.air_kg + came))
    caps = work.caps_off | {"port"}
    return circuit_work.with_work(
        replace(state, gauges_on=True), work, gauge_set=gauge_set, caps_off=caps
    )


def removed(state: State, cap: bool) -> State:
    """Return the state with the gauges off; what is left in their hose is lost.

    Args:
        state: the visit, solved up to its clock.
        cap: whether the port is capped.
    """
    work = state.work
    spurt = GAUGE_SETS[work.gauge_set or "gauges"].spurt_kg
    work = settled(state)
    left = work.ledger.hose_kg
    ledger = replace(work.ledger, hose_kg=0.0, lost_kg=work.ledger.lost_kg + left)
    work = circuit_time.losing(replace(work, ledger=ledger), spurt if left > 0.0 else 0.0)
    caps = work.caps_off - {"port"} if cap else work.caps_off
    return circuit_work.with_work(
        replace(state, gauges_on=False), work, gauge_set="", caps_off=caps
    )


def settled(state: State) -> CircuitWork:
    """Return the circuit with the hose filled as the port's pressure is now.

    Args:
        state: the visit, solved up to its clock.
    """
    work = state.work
    wanted = contents_kg(state)
    return _moved(work, min(wanted - work.ledger.hose_kg, work.charge_kg))


def _moved(work: CircuitWork, into_hose_kg: float) -> CircuitWork:
    return replace(
        work,
        gases=replace(work.gases, refrigerant_kg=work.charge_kg - into_hose_kg),
        ledger=replace(work.ledger, hose_kg=work.ledger.hose_kg + into_hose_kg),
    )
