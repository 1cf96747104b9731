"""A machine in time: start-up, ramps, heat stored in coil and shell, water, frost, the room.

The circuit is solved quasi-steadily at the compressor's present speed; what has mass runs after
it with its own time constant. A solve is repeated only when something it depends on has changed.
"""

from __future__ import annotations

import math
from dataclasses import replace

from kit.errors import OutOfRangeError
from kit.machine import controls
from kit.machine.condition import Condition
from kit.machine.lag import hot_start_share, relaxed
from kit.machine.memory import COIL_WATER_KG_M2, Memory, first_memory, ice_full_kg
from kit.machine.settle import settle
from kit.machine.spec import Spec
from kit.machine.surroundings import Command, Surroundings
from kit.machine.truth import Truth
from kit.physics import air, condensate, frost, room

# All common practice, no source: generic inverter behaviour.
RESTART_DELAY_S = 180.0
SOFT_START_S = 40.0
SOFT_START_RPS = 28.0
RAMP_RPS_S = 0.55
SPEED_STEP_RPS = 0.5  # inverters move in steps; it also keeps solves few
DEFROST_AFTER_S = 2100.0
DEFROST_FROST_SHARE = 0.18
DEFROST_LONGEST_S = 600.0
DEFROST_HEAT_W_PER_W = 0.75  # reversed cycle's heat over rated heating capacity
BRISK_STEP_S = 5.0
CALM_STEP_S = 20.0
ROOM_STEP_K = 0.05  # change of the room at which the circuit is solved anew
ROOM_STEP_W = 5e-5
ICE_STEP = 0.02


def advance(
    truth: Truth, spec: Spec, condition: Condition, around: Surroundings, command: Command, dt_s: float
) -> Truth:
    """Return the machine's state a while later.

    Args:
        truth: state now, from `settle` or `advance`.
        spec: the machine.
        condition: its condition during the step (may differ from before: a repair, a wash).
        around: air outdoors; the room's first state, or its fixed one where `room_load_w` is None.
        command: what the remote asks for.
        dt_s: time to pass [s], 0 to 86400; cut into steps inside.

    Returns:
        Truth with floats and `memory`.

    Raises:
        OutOfRangeError: dt_s negative, not finite or above a day.
        NotConvergedError: the circuit could not be solved on the way.
    """
    if not (math.isfinite(dt_s) and 0.0 <= dt_s <= 86400.0):
        raise OutOfRangeError("dt_s", dt_s, 0.0, 86400.0, "Advance by at most a day at a time.")
    memory = truth.memory or first_memory(truth, spec, condition)
    memory = _mind_knobs(memory, spec, condition, around)
    left = dt_s
    while left > 1e-9:
        calm = memory.running_s > 300.0 and memory.defrost_s <= 0.0
        step = min(left, CALM_STEP_S if calm else BRISK_STEP_S)
        truth, memory = _step(truth, memory, spec, condition, around, command, step)
        left -= step
    return replace(truth, memory=memory)


def _mind_knobs(memory: Memory, spec: Spec, condition: Condition, around: Surroundings) -> Memory:
    """Take over ice knobs that were turned since the last look, and a room that is held."""
    seen = (condition.indoor_coil_ice, condition.outdoor_coil_ice)
    if seen != memory.seen_ice:
        memory = replace(
            memory,
            indoor_ice_kg=seen[0] * ice_full_kg(spec.indoor.face_m2),
            outdoor_frost_kg=seen[1] * ice_full_kg(spec.outdoor.face_m2),
            seen_ice=seen,
        )
    if around.room_load_w is None:
        p = float(air.pressure_pa(around.altitude_m))
        w = float(air.humidity_ratio(around.room_db_k, around.room_rh, p))
        memory = replace(memory, room_db_k=around.room_db_k, room_w=w)
    return memory


def _step(
    truth: Truth, memory: Memory, spec: Spec, condition: Condition, around: Surroundings, command: Command, dt: float
) -> tuple[Truth, Memory]:
    """Return state and memory one short step later."""
    memory = _thermostat(truth, memory, condition, command)
    speed = _speed(truth, memory, spec, command, dt)
    steady, memory = _steady(memory, spec, condition, around, command, speed)
    stops = tuple(name for name in steady.limits if name.endswith("_stop"))
    runs = bool(steady.running) or memory.defrost_s > 0.0
    if memory.defrost_s > 0.0:
        steady = _defrosting(steady, spec)
    memory = replace(
        memory,
        elapsed_s=memory.elapsed_s + dt,
        speed_rps=steady.compressor_rps if runs else 0.0,
        running_s=memory.running_s + dt if runs else 0.0,
        stopped_s=0.0 if runs else memory.stopped_s + dt,
    )
    if truth.running and not runs:
        memory = replace(memory, stopped_s=0.0)
    held = hot_start_share(truth, memory.running_s) if command.mode == "heating" and runs else 1.0
    p_pa = float(air.pressure_pa(around.altitude_m))
    truth = relaxed(truth, steady, spec, dt, p_pa, held)
    memory, truth = _water_and_frost(truth, memory, spec, condition, command, dt)
    memory = _room(truth, memory, around, dt)
    delay = memory.stopped_s < RESTART_DELAY_S and not runs and command.mode in ("cooling", "heating")
    limits = steady.limits + (("restart_delay",) if delay and not stops else ())
    return replace(truth, limits=limits, running=runs), memory


def _thermostat(truth: Truth, memory: Memory, condition: Condition, command: Command) -> Memory:
    """Hold the compressor off past the setpoint and let it on again at the setpoint."""
    cool = 0.0 if command.mode == "heating" else 1.0
    here = truth.return_db_k if truth.running else memory.room_db_k
    demand = float(controls.demand_k(cool, here, condition.room_sensor_offset_k, command.setpoint_k))
    if command.compressor_rps is not None:
        return replace(memory, satisfied=False)
    if demand < controls.THERMOSTAT_OFF_K:
        return replace(memory, satisfied=True)
    return replace(memory, satisfied=memory.satisfied and demand < 0.0)


def _speed(truth: Truth, memory: Memory, spec: Spec, command: Command, dt: float) -> float:
    """Return the highest speed that start-up and ramp allow now, zero to stand still."""
    wants = command.mode in ("cooling", "heating") and not memory.satisfied
    waiting = not truth.running and memory.stopped_s < RESTART_DELAY_S
    if not wants or waiting:
        return 0.0
    full = spec.speed_heating_rps if command.mode == "heating" else spec.speed_cooling_rps
    goal = command.compressor_rps or full
    if memory.running_s < SOFT_START_S:
        return min(SOFT_START_RPS, goal)
    cap = max(memory.speed_rps, spec.speed_min_rps) + RAMP_RPS_S * dt
    cap = math.ceil(cap / SPEED_STEP_RPS) * SPEED_STEP_RPS
    return min(cap, goal)


def _steady(
    memory: Memory, spec: Spec, condition: Condition, around: Surroundings, command: Command, speed: float
) -> tuple[Truth, Memory]:
    """Return the quasi-steady state at this speed, solved anew only when needed."""
    ice = memory.indoor_ice_kg / ice_full_kg(spec.indoor.face_m2)
    rime = memory.outdoor_frost_kg / ice_full_kg(spec.outdoor.face_m2)
    now = replace(
        condition,
        indoor_coil_ice=min(round(ice / ICE_STEP) * ICE_STEP, 1.0),
        outdoor_coil_ice=min(round(rime / ICE_STEP) * ICE_STEP, 1.0),
    )
    key = (now, around, command, speed)
    if memory.steady is not None and memory.steady_key == key:
        drift = abs(memory.room_db_k - memory.steady.room_db_k)
        damp = abs(memory.room_w - memory.steady.room_w)
        if around.room_load_w is None or (drift < ROOM_STEP_K and damp < ROOM_STEP_W):
            return memory.steady, memory
    here = around
    if around.room_load_w is not None:
        p = float(air.pressure_pa(around.altitude_m))
        rh = float(air.relative_humidity(memory.room_db_k, memory.room_w, p))
        here = replace(around, room_db_k=memory.room_db_k, room_rh=min(rh, 0.95))
    order = command
    if speed <= 0.0 and command.mode in ("cooling", "heating"):
        order = replace(command, mode="fan" if command.mode == "cooling" else "off")
    steady = settle(spec, now, here, order, speed_cap_rps=speed if speed > 0.0 else None)
    return steady, replace(memory, steady=steady, steady_key=key)


def _defrosting(steady: Truth, spec: Spec) -> Truth:
    """Return the state while the reversed cycle melts the outdoor coil: both fans stand."""
    zero = {
        name: 0.0
        for name in ("airflow_m3_s", "capacity_w", "net_capacity_w", "sensible_w", "latent_w", "split_k",
                     "indoor_fan_w", "outdoor_fan_w", "indoor_fan_rpm", "outdoor_fan_rpm", "outdoor_airflow_m3_s",
                     "condensate_kg_s", "frost_kg_s")
    }
    return replace(
        steady, **zero, supply_db_k=steady.return_db_k, supply_w=steady.return_w,
        limits=(*steady.limits, "defrost"), running=True, outdoor_coil_surface_k=273.65,
    )


def _water_and_frost(
    truth: Truth, memory: Memory, spec: Spec, condition: Condition, command: Command, dt: float
) -> tuple[Memory, Truth]:
    """Move condensate to the pan and the drain, grow and melt ice, start and end a defrost."""
    cooling = truth.capacity_w > 0 and truth.indoor_coil_surface_k < truth.return_db_k
    indoor, outdoor = memory.indoor_ice_kg, memory.outdoor_frost_kg
    melted = 0.0
    if truth.frost_kg_s > 0.0 and truth.running:
        if cooling:
            indoor += truth.frost_kg_s * dt
        else:
            outdoor += truth.frost_kg_s * dt
    elif indoor > 0.0 and truth.indoor_coil_surface_k > 273.4:
        rate = 1206.0 * truth.airflow_m3_s * 0.6 + 4.0
        melted = min(indoor, frost.melt_kg_s(indoor, truth.return_db_k, rate, 0.0) * dt)
        indoor -= melted
    defrost_s, heating_s = memory.defrost_s, memory.heating_s
    if defrost_s > 0.0:
        reverse = DEFROST_HEAT_W_PER_W * spec.rated_heating_w
        outdoor -= min(outdoor, frost.melt_kg_s(outdoor, 273.15, 0.0, reverse) * dt)
        defrost_s = 0.0 if outdoor <= 0.0 else max(0.0, defrost_s - dt)
        heating_s = 0.0
    elif truth.running and command.mode == "heating" and not cooling:
        heating_s += dt
        share = outdoor / ice_full_kg(spec.outdoor.face_m2)
        sees_cold = truth.outdoor_coil_surface_k + condition.coil_sensor_offset_k < 271.15
        if heating_s > DEFROST_AFTER_S and sees_cold and share > DEFROST_FROST_SHARE:
            defrost_s = DEFROST_LONGEST_S
    elif truth.outdoor_coil_surface_k > 274.15 and outdoor > 0.0:
        outdoor -= min(outdoor, frost.melt_kg_s(outdoor, truth.outdoor_coil_surface_k, 15.0, 0.0) * dt)
    fresh = truth.condensate_kg_s * dt + melted
    film = COIL_WATER_KG_M2 * spec.indoor.face_m2
    cling = min(fresh, max(0.0, film - memory.coil_water_kg))
    pan, drained, over = condensate.next_pan(
        memory.pan_water_kg, (fresh - cling) / dt, spec.pan_drain_kg_s, condition.drain_blockage,
        condition.drain_slope_fault, 1000.0 * spec.pan_m3, dt,
    )
    memory = replace(
        memory, indoor_ice_kg=indoor, outdoor_frost_kg=outdoor, defrost_s=defrost_s, heating_s=heating_s,
        coil_water_kg=memory.coil_water_kg + cling, pan_water_kg=pan, overflow_kg=memory.overflow_kg + over,
    )
    truth = replace(
        truth, frost_kg=indoor + outdoor, pan_water_kg=pan, drained_kg_s=drained,
        overflow_kg=memory.overflow_kg,
    )
    return memory, truth


def _room(truth: Truth, memory: Memory, around: Surroundings, dt: float) -> Memory:
    """Let the room follow its load, where it has one."""
    if around.room_load_w is None:
        return memory
    cooling = truth.supply_db_k < truth.return_db_k
    sensible = truth.airflow_m3_s * 1206.0 * (truth.return_db_k - truth.supply_db_k)
    moisture = truth.latent_w / 2.5e6 if cooling else 0.0
    db, w = room.next_room(
        memory.room_db_k, memory.room_w, around.room_volume_m3, around.room_load_w - sensible,
        around.room_moisture_kg_s - moisture, dt,
    )
    return replace(memory, room_db_k=db, room_w=w)

