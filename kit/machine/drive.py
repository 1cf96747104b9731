"""The compressor in time: thermostat, restart delay, soft start, ramp, protections that trip."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from kit.errors import NotConvergedError, OutOfRangeError
from kit.machine import controls
from kit.machine.condition import Condition
from kit.machine.memory import Memory, Solved, ice_full_kg
from kit.machine.settle import settle
from kit.machine.spec import Spec
from kit.machine.surroundings import SURROUNDINGS_RANGES, Command, Surroundings
from kit.machine.truth import Truth
from kit.physics import air, refrigerant

WORKING = ("cooling", "heating")
ROOM_STEP_K = 0.05  # change of the room at which the circuit is solved anew
ROOM_STEP_W = 5e-5
ICE_STEP = 0.02  # likewise of the ice on a coil, as a share of the ice that closes it
# The reversed cycle of a defrost, both fans standing: common practice, no source.
DEFROST_EVAPORATING_K = 261.15
DEFROST_CONDENSING_K = 278.15
DEFROST_INDOOR_COIL_K = 268.15
DEFROST_DISCHARGE_K = 318.15
DEFROST_ICY_COIL_K = 273.65
DEFROST_CLEAR_COIL_K = 288.15
DEFROST_POWER_SHARE = 0.6  # compressor input over that in heating
DEFROST_HEAT_SHARE = 0.35  # heat at the outdoor coil over rated heating capacity


@dataclass(frozen=True, slots=True)
class Drive:
    """What the compressor does in a moment.

    Args:
        steady: state that the machine runs after.
        runs: True while the compressor turns.
        limits: protections that hold it back, stop it, or make it wait.
    """

    steady: Truth
    runs: bool
    limits: tuple[str, ...]


def drive(memory: Memory, spec: Spec, dt_s: float) -> tuple[Memory, Drive]:
    """Return what the compressor does in the next moment.

    Args:
        memory: what is remembered; its truth is the state now.
        spec: the machine.
        dt_s: time step [s].

    Returns:
        Memory with speed and times carried on, and what the compressor does.

    Raises:
        NotConvergedError: the circuit could not be solved.
        OutOfRangeError: a room with a load has left the range of the model.
    """
    command = memory.orders[2]
    if command.mode not in WORKING:
        memory = replace(memory, trips=0, tripped=())
    memory = _thermostat(memory)
    if command.mode not in WORKING or memory.satisfied:
        return _stand(memory, spec, dt_s, ())
    memory, target = _target(memory, spec)
    static = tuple(n for n in target.limits if n.endswith("_stop") and n not in controls.TRIPS)
    dead = not target.running and not target.limits
    if static or dead:
        return _stand(memory, spec, dt_s, static)
    was_running = bool(memory.truth.running)
    turned = was_running and memory.ran_mode != command.mode
    given_up = memory.trips >= controls.TRIPS_TO_GIVE_UP
    if given_up:
        return _stand(memory, spec, dt_s, memory.tripped)
    if turned or (not was_running and memory.stopped_s < controls.RESTART_DELAY_S):
        return _stand(memory, spec, dt_s, (*memory.tripped, "restart_delay"))
    return _run(memory, spec, target, dt_s)


def _thermostat(memory: Memory) -> Memory:
    """Hold the compressor off past the setpoint and let it on again at the setpoint."""
    condition, _, command = memory.orders
    if command.compressor_rps is not None or command.mode not in WORKING:
        return replace(memory, satisfied=False)
    here = memory.truth.return_db_k if memory.truth.running else memory.room_db_k
    cool = 0.0 if command.mode == "heating" else 1.0
    offset = condition.room_sensor_offset_k
    demand = float(controls.demand_k(cool, here, offset, command.setpoint_k))
    if demand < controls.THERMOSTAT_OFF_K:
        return replace(memory, satisfied=True)
    return replace(memory, satisfied=memory.satisfied and demand < 0.0)


def _target(memory: Memory, spec: Spec) -> tuple[Memory, Truth]:
    """Return the state that demand asks for, start-up and ramp left aside."""
    command = memory.orders[2]
    solved = _solve(memory.target, memory, spec, spec, command)
    return replace(memory, target=solved), solved.truth


def _solve(
    known: Solved | None, memory: Memory, spec: Spec, driven: Spec, command: Command
) -> Solved:
    """Return a state solved for the machine as it is now, the known one where it still holds."""
    around = memory.orders[1]
    condition = _iced(memory, spec)
    key = (condition, around, command, driven.speed_min_rps)
    if known is not None and known.key == key:
        drift = abs(memory.room_db_k - known.truth.room_db_k)
        damp = abs(memory.room_w - known.truth.room_w)
        if around.room_load_w is None or (drift < ROOM_STEP_K and damp < ROOM_STEP_W):
            return known
    return Solved(key, settle(driven, condition, _room_now(memory, around), command))


def _iced(memory: Memory, spec: Spec) -> Condition:
    """Return the condition with the ice there is, in steps counted from the ice first found."""
    condition = memory.orders[0]
    indoor = memory.indoor_ice_kg / ice_full_kg(spec.indoor.face_m2)
    outdoor = memory.outdoor_frost_kg / ice_full_kg(spec.outdoor.face_m2)
    return replace(
        condition,
        indoor_coil_ice=_stepped(indoor, condition.indoor_coil_ice),
        outdoor_coil_ice=_stepped(outdoor, condition.outdoor_coil_ice),
    )


def _stepped(share: float, found: float) -> float:
    steps = round((share - found) / ICE_STEP)
    return min(max(found + steps * ICE_STEP, 0.0), 1.0)


def _room_now(memory: Memory, around: Surroundings) -> Surroundings:
    """Return the surroundings with the room as it is now.

    Raises:
        OutOfRangeError: the room is too cold or too hot for the model.
    """
    if around.room_load_w is None:
        return around
    low, high = SURROUNDINGS_RANGES["room_db_k"]
    if not low <= memory.room_db_k <= high:
        raise OutOfRangeError(
            "The room's dry-bulb [K] under its load",
            round(memory.room_db_k, 2),
            low,
            high,
            "Give a smaller room_load_w, a larger room_volume_m3 or less time.",
        )
    p_pa = float(air.pressure_pa(around.altitude_m))
    rh = float(air.relative_humidity(memory.room_db_k, memory.room_w, p_pa))
    driest, dampest = SURROUNDINGS_RANGES["room_rh"]
    return replace(around, room_db_k=memory.room_db_k, room_rh=min(max(rh, driest), dampest))


def _stand(
    memory: Memory, spec: Spec, dt_s: float, limits: tuple[str, ...]
) -> tuple[Memory, Drive]:
    """Return the compressor standing still."""
    command = memory.orders[2]
    order = command
    if command.mode in WORKING:  # cold air is not blown about while heating waits
        order = replace(command, mode="fan" if command.mode == "cooling" else "off")
    solved = _solve(memory.steady, memory, spec, spec, order)
    stopped = 0.0 if memory.truth.running else memory.stopped_s
    memory = replace(
        memory,
        steady=solved,
        speed_rps=0.0,
        running_s=0.0,
        stopped_s=stopped + dt_s,
        defrost_s=-1.0,
    )
    return memory, Drive(solved.truth, runs=False, limits=limits)


def _run(memory: Memory, spec: Spec, target: Truth, dt_s: float) -> tuple[Memory, Drive]:
    """Return the compressor running, at the speed that start-up and ramp allow."""
    command = memory.orders[2]
    full = spec.speed_heating_rps if command.mode == "heating" else spec.speed_cooling_rps
    goal = target.compressor_rps if target.running else command.compressor_rps or full
    running_s = memory.running_s if memory.truth.running else 0.0
    speed = controls.next_speed(memory.speed_rps, goal, running_s, dt_s)
    steady = target
    if speed != goal or not target.running:
        memory, steady = _at_speed(memory, spec, target, speed)
        if not steady.running:
            names = tuple(n for n in steady.limits if n in controls.TRIPS)
            memory = replace(memory, trips=memory.trips + 1, tripped=names, stopped_s=0.0)
            return _stand(memory, spec, dt_s, names)
    limits = steady.limits
    if memory.defrost_s >= 0.0:
        steady, limits = _defrosting(steady, spec, memory), (*limits, "defrost")
    fresh = not memory.truth.running
    good = running_s > controls.GOOD_RUN_S
    memory = replace(
        memory,
        speed_rps=steady.compressor_rps,
        running_s=running_s + dt_s,
        stopped_s=0.0,
        warming_s=dt_s if fresh else memory.warming_s + dt_s,
        ran_mode=command.mode,
        trips=0 if good else memory.trips,
        tripped=() if good else memory.tripped,
    )
    return memory, Drive(steady, runs=True, limits=limits)


def _at_speed(memory: Memory, spec: Spec, target: Truth, speed: float) -> tuple[Memory, Truth]:
    """Return the state at a speed that start-up or ramp dictates, whatever demand asks for."""
    command = memory.orders[2]
    if command.compressor_rps is not None:
        command = replace(command, compressor_rps=speed)
    held = replace(spec, speed_min_rps=speed, speed_cooling_rps=speed, speed_heating_rps=speed)
    try:
        solved = _solve(memory.steady, memory, spec, held, command)
    except NotConvergedError:
        if not target.running:
            raise
        return memory, target  # the ramp passes a speed that has no solution
    return replace(memory, steady=solved), solved.truth


_STILL = (
    "airflow_m3_s", "capacity_w", "net_capacity_w", "sensible_w", "latent_w", "split_k",
    "indoor_fan_w", "outdoor_fan_w", "indoor_fan_rpm", "outdoor_fan_rpm", "outdoor_airflow_m3_s",
    "condensate_kg_s", "frost_kg_s", "superheat_k", "subcooling_k", "liquid_line_drop_k",
)  # fmt: skip


def _defrosting(steady: Truth, spec: Spec, memory: Memory) -> Truth:
    """Return the state while the reversed cycle melts the outdoor coil: both fans stand."""
    ref = refrigerant.load(spec.refrigerant)
    icy = memory.outdoor_frost_kg > 0.0
    outdoor_k = DEFROST_ICY_COIL_K if icy else DEFROST_CLEAR_COIL_K
    compressor_w = DEFROST_POWER_SHARE * steady.compressor_w
    power_w = compressor_w / spec.inverter_efficiency + spec.standby_w
    rejected_w = DEFROST_HEAT_SHARE * spec.rated_heating_w
    return replace(
        steady,
        **dict.fromkeys(_STILL, 0.0),
        supply_db_k=steady.return_db_k,
        supply_w=steady.return_w,
        suction_pa=math.exp(float(ref.lnp_dew(DEFROST_EVAPORATING_K))),
        discharge_pa=math.exp(float(ref.lnp_bubble(DEFROST_CONDENSING_K))),
        evaporating_k=DEFROST_EVAPORATING_K,
        condensing_k=DEFROST_CONDENSING_K,
        suction_line_k=DEFROST_EVAPORATING_K,
        valve_outlet_k=DEFROST_EVAPORATING_K,
        liquid_line_k=DEFROST_CONDENSING_K,
        discharge_line_k=DEFROST_DISCHARGE_K,
        indoor_coil_surface_k=DEFROST_INDOOR_COIL_K,
        outdoor_coil_surface_k=outdoor_k,
        outdoor_supply_k=outdoor_k,
        valve_opening=1.0,
        compressor_w=compressor_w,
        power_w=power_w,
        current_a=steady.current_a / steady.power_w * power_w,
        heat_rejected_w=rejected_w,
        heat_absorbed_w=max(rejected_w - compressor_w, 0.0),
    )
