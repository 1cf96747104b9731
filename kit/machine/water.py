"""Water and ice of a machine in time: the wet coil, the pan, the drain, frost and its melting."""

from __future__ import annotations

import math
from dataclasses import replace

from kit.machine import controls
from kit.machine.condition import Condition
from kit.machine.drive import DEFROST_HEAT_SHARE
from kit.machine.memory import COIL_WATER_KG_M2, Memory, ice_full_kg
from kit.machine.spec import Spec
from kit.machine.truth import Truth
from kit.physics import air, condensate, frost
from kit.physics.coil import FUSION_J_KG

# All common practice, no source.
MELT_CONTACT = 0.3  # share of the blown air that gives its heat to ice on the indoor coil
STILL_W_K = 4.0  # heat that still air gives to an iced coil
SOAK_W_K = 15.0  # heat that the outdoor coil's metal gives to frost on it
THAWS_K = 273.4  # coil surface above which ice on it melts
DRY_FAN_S = 600.0  # a wet coil dries so fast with the fan running ...
DRY_STILL_S = 5400.0  # ... and so fast without


def melting_w(
    truth: Truth, steady: Truth, memory: Memory, p_atm_pa: float, dt_s: float
) -> tuple[float, float]:
    """Return the heat that melts ice on the indoor coil.

    Args:
        truth: state now.
        steady: state it runs after.
        memory: ice on the coil.
        p_atm_pa: atmospheric pressure [Pa].
        dt_s: time step [s]; no more melts than there is.

    Returns:
        Heat taken from the air on top of the coil's duty [W], and heat from the coil itself while
        the compressor runs, or from still air [W].
    """
    coil_k = steady.indoor_coil_surface_k
    cold = coil_k < steady.room_db_k
    freezing = steady.running and cold and (steady.frost_kg_s > 0.0 or coil_k <= THAWS_K)
    if memory.indoor_ice_kg <= 0.0 or freezing:
        return 0.0, 0.0
    volume = float(air.specific_volume_m3_kg(truth.return_db_k, truth.return_w, p_atm_pa))
    rate = truth.airflow_m3_s / volume * float(air.specific_heat_j_kgk(truth.return_w))
    if steady.running:  # the air's heat goes into the coil; ice gets what warmth that leaves it
        blown, other = 0.0, (MELT_CONTACT * rate + STILL_W_K) * (coil_k - frost.MELTING_K)
    else:
        warmth = max(truth.return_db_k - frost.MELTING_K, 0.0)
        blown, other = MELT_CONTACT * rate * warmth, STILL_W_K * warmth
    most = memory.indoor_ice_kg * FUSION_J_KG / dt_s
    cut = min(1.0, most / (blown + other)) if blown + other > 0.0 else 0.0
    return cut * blown, cut * other


def next_ice(
    truth: Truth, steady: Truth, memory: Memory, spec: Spec, melt_w: float, dt_s: float
) -> Memory:
    """Return the memory with ice grown and melted, a defrost begun or ended.

    Args:
        truth: state at the end of the step.
        steady: state it runs after; it tells which coil is the cold one.
        memory: what is remembered.
        spec: the machine.
        melt_w: heat that melts ice on the indoor coil [W].
        dt_s: time step [s].

    Returns:
        Memory; what melts indoors is added to `shed_kg` by `next_water`.
    """
    cools = steady.indoor_coil_surface_k < steady.room_db_k
    grown = truth.frost_kg_s * dt_s if truth.running and memory.defrost_s < 0.0 else 0.0
    indoor = memory.indoor_ice_kg - min(memory.indoor_ice_kg, melt_w / FUSION_J_KG * dt_s)
    outdoor = memory.outdoor_frost_kg
    defrost_s, heating_s = memory.defrost_s, memory.heating_s
    warming_s = memory.warming_s
    if defrost_s >= 0.0:
        reverse = DEFROST_HEAT_SHARE * spec.rated_heating_w
        outdoor -= min(outdoor, frost.melt_kg_s(outdoor, frost.MELTING_K, 0.0, reverse) * dt_s)
        defrost_s += dt_s
        ends = controls.defrost_ends(defrost_s, truth.outdoor_coil_surface_k, outdoor)
        if ends or not truth.running:
            defrost_s, heating_s, warming_s = -1.0, 0.0, 0.0
    elif truth.running and memory.ran_mode == "heating" and not cools:
        heating_s += dt_s
        outdoor += grown
        share = outdoor / ice_full_kg(spec.outdoor.face_m2)
        felt_k = truth.outdoor_coil_surface_k + memory.orders[0].coil_sensor_offset_k
        if controls.defrost_begins(heating_s, felt_k, share):
            defrost_s = 0.0
    else:
        indoor += grown
        soaked = frost.melt_kg_s(outdoor, truth.outdoor_coil_surface_k, SOAK_W_K, 0.0)
        outdoor -= min(outdoor, soaked * dt_s)
    return replace(
        memory,
        indoor_ice_kg=indoor,
        outdoor_frost_kg=outdoor,
        defrost_s=defrost_s,
        heating_s=heating_s,
        warming_s=warming_s,
    )


def next_water(
    truth: Truth, memory: Memory, spec: Spec, condition: Condition, melt_w: float, dt_s: float
) -> tuple[Memory, float]:
    """Return the memory with water moved from the coil to the pan, the drain or the floor.

    Args:
        truth: state at the end of the step.
        memory: what is remembered.
        spec: the machine.
        condition: its condition (drain).
        melt_w: heat that melted ice on the indoor coil [W].
        dt_s: time step [s].

    Returns:
        Memory, and the drain's flow at the end of the step [kg/s].
    """
    fresh = truth.condensate_kg_s * dt_s + melt_w / FUSION_J_KG * dt_s
    film = COIL_WATER_KG_M2 * spec.indoor.face_m2
    cling = min(fresh, max(0.0, film - memory.coil_water_kg))
    coil = memory.coil_water_kg + cling
    dried = 0.0
    if not truth.running:
        blown = truth.airflow_m3_s > 0.1 * spec.indoor.airflow_m3_s
        dried = coil * -math.expm1(-dt_s / (DRY_FAN_S if blown else DRY_STILL_S))
    pan, mean, over = condensate.next_pan(
        memory.pan_water_kg,
        (fresh - cling) / dt_s,
        spec.pan_drain_kg_s,
        condition.drain_blockage,
        condition.drain_slope_fault,
        1000.0 * spec.pan_m3,
        dt_s,
    )
    per_kg = condensate.drain_per_kg(
        spec.pan_drain_kg_s, condition.drain_blockage, condition.drain_slope_fault
    )
    memory = replace(
        memory,
        coil_water_kg=coil - dried,
        pan_water_kg=pan,
        shed_kg=memory.shed_kg + fresh,
        drained_kg=memory.drained_kg + mean * dt_s,
        dried_kg=memory.dried_kg + dried,
        overflow_kg=memory.overflow_kg + over,
    )
    return memory, per_kg * pan
