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
from kit.machine.drive import WORKING, Drive, drive
from kit.machine.lag import Pull, relaxed
from kit.machine.memory import Memory, first_memory, with_held_room, with_ice
from kit.machine.spec import Spec
from kit.machine.surroundings import Command, Surroundings
from kit.machine.truth import Truth
from kit.machine.water import melting_w, next_ice, next_water
from kit.physics import air, room

LONGEST_S = 86_400.0
# Steps of the machine's own grid [s]: short while speed or fan change, long at rest.
BRISK_STEP_S = 5.0
CALM_STEP_S = 20.0
REST_STEP_S = 60.0
BRISK_FOR_S = 300.0  # after a start or a defrost
REST_AFTER_S = 600.0  # of standing still
ROUNDING_S = 1e-7


def advance(
    truth: Truth,
    spec: Spec,
    condition: Condition,
    around: Surroundings,
    command: Command,
    dt_s: float,
) -> Truth:
    """Return the machine's state a while later, however the time is cut into pieces.

    Args:
        truth: state now, from `settle` or `advance`.
        spec: the machine.
        condition: its condition from now on (may differ from before: a repair, a wash).
        around: air outdoors; the room's first state, or its fixed one where `room_load_w` is None.
        command: what the remote asks for.
        dt_s: time to pass [s], 0 to 86400; cut into steps inside.

    Returns:
        Truth with floats and `memory`.

    Raises:
        OutOfRangeError: dt_s negative, not finite or above a day; a room with a load has left the
            range in which the machine is modelled.
        NotConvergedError: the circuit could not be solved on the way.
    """
    if not (math.isfinite(dt_s) and 0.0 <= dt_s <= LONGEST_S):
        raise OutOfRangeError("dt_s", dt_s, 0.0, LONGEST_S, "Advance by at most a day at a time.")
    orders = (condition, around, command)
    memory: Memory = truth.memory or first_memory(truth, spec, orders)
    if memory.orders != orders:
        if memory.pending_s > ROUNDING_S:  # what has passed, passed under the old orders
            memory = _step(memory, spec, memory.pending_s)
        memory = replace(with_ice(memory, spec, condition), orders=orders, pending_s=0.0)
    memory = with_held_room(memory, around)
    left = memory.pending_s + dt_s
    while left >= (step := _grid_step_s(memory)) - ROUNDING_S:
        memory = _step(memory, spec, step)
        left = max(left - step, 0.0)
    memory = replace(memory, pending_s=left)
    shown = _step(memory, spec, left).truth if left > ROUNDING_S else memory.truth
    return replace(shown, memory=memory)


def _grid_step_s(memory: Memory) -> float:
    """Return the next step of the machine's own grid [s]."""
    if not memory.truth.running:
        if memory.orders[2].mode in WORKING:  # it may start any moment
            waits = memory.stopped_s < controls.RESTART_DELAY_S - CALM_STEP_S
            return CALM_STEP_S if waits else BRISK_STEP_S
        return REST_STEP_S if memory.stopped_s >= REST_AFTER_S else CALM_STEP_S
    young = min(memory.running_s, memory.warming_s) < BRISK_FOR_S
    aim = memory.target.truth.compressor_rps if memory.target else memory.speed_rps
    brisk = young or memory.defrost_s >= 0.0 or aim != memory.speed_rps
    return BRISK_STEP_S if brisk else CALM_STEP_S


def _step(memory: Memory, spec: Spec, dt_s: float) -> Memory:
    """Return the memory, and the truth in it, one short step later."""
    condition, around, command = memory.orders
    p_atm = float(air.pressure_pa(around.altitude_m))
    memory, now = drive(memory, spec, dt_s)
    old = memory.truth
    blown_w, still_w = melting_w(old, now.steady, memory, p_atm, dt_s)
    pull = Pull(
        dt_s=dt_s,
        p_atm_pa=p_atm,
        heats=command.mode == "heating",
        fan_held=_fan_held(memory, now),
        melt_w=blown_w,
        room_db_k=memory.room_db_k,
        room_w=memory.room_w,
    )
    truth, gives = relaxed(old, memory.gives, now.steady, spec, pull)
    truth = replace(truth, running=now.runs, limits=now.limits)
    memory = next_ice(truth, now.steady, memory, spec, blown_w + still_w, dt_s)
    dried_before = memory.dried_kg
    memory, drained = next_water(truth, memory, spec, condition, blown_w + still_w, dt_s)
    memory = _next_room(truth, memory, around, p_atm, dt_s, memory.dried_kg - dried_before)
    truth = replace(
        truth,
        frost_kg=memory.indoor_ice_kg + memory.outdoor_frost_kg,
        pan_water_kg=memory.pan_water_kg,
        drained_kg_s=drained,
        overflow_kg=memory.overflow_kg,
    )
    return replace(memory, truth=truth, gives=gives)


def _fan_held(memory: Memory, now: Drive) -> float:
    """Return the share of the indoor fan's speed that the hot start leaves it [0..1]."""
    if memory.ran_mode != "heating" or not now.runs:
        return 1.0
    return controls.hot_start_share(memory.truth.indoor_coil_surface_k, memory.warming_s)


def _next_room(
    truth: Truth,
    memory: Memory,
    around: Surroundings,
    p_atm: float,
    dt_s: float,
    dried_kg: float,
) -> Memory:
    """Let the room follow its load, where it has one; what dries off the coil moistens it."""
    if around.room_load_w is None:
        return memory
    volume = float(air.specific_volume_m3_kg(truth.return_db_k, truth.return_w, p_atm))
    mass = truth.airflow_m3_s / volume
    rate = mass * float(air.specific_heat_j_kgk(truth.return_w))
    db_k, w = room.next_room(
        memory.room_db_k,
        memory.room_w,
        around.room_volume_m3,
        p_atm,
        around.room_load_w - rate * (truth.return_db_k - truth.supply_db_k),
        around.room_moisture_kg_s - mass * (truth.return_w - truth.supply_w) + dried_kg / dt_s,
        dt_s,
    )
    return replace(memory, room_db_k=db_k, room_w=w)
