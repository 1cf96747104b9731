"""The machine's own controls: demand, fan speeds, and what stops it."""

from __future__ import annotations

import math
from typing import Any

import numpy as np

from kit.machine.spec import Spec

# All common practice, no source: generic inverter behaviour.
FULL_DEMAND_K = 2.6  # room-to-setpoint difference from which full speed is asked
THERMOSTAT_OFF_K = -1.0  # overshoot at which the compressor stops
AUTO_FAN_LOWEST = 0.55  # share of full fan speed on auto when the room is at the setpoint
UNDER_VOLTAGE = 0.75  # share of rated supply below which the board stops the machine
SENSOR_RANGE_K = (233.15, 368.15)  # coil sensor readings outside are taken as a broken sensor
LOW_PRESSURE_PA = 0.12e6  # suction at which low-pressure protection stops the compressor
LEAST_CHARGE = 0.12  # below this share the low-pressure switch never lets the compressor start
HIGH_PRESSURE_MARGIN_K = 3.0  # condensing above the end of its limit at which the machine stops
DISCHARGE_MARGIN_K = 8.0  # likewise for the discharge line
# Outdoor air between which the board lets the compressor run [K].
COOLING_OUTDOOR_K = (268.15, 325.15)
HEATING_OUTDOOR_K = (248.15, 300.15)
# Starting, stopping and changing speed.
RESTART_DELAY_S = 180.0  # after a stop, so that pressures equalise
SOFT_START_S = 40.0  # held at low speed so that oil comes back
SOFT_START_RPS = 28.0
RAMP_UP_RPS_S = 0.55
RAMP_DOWN_RPS_S = 2.0
SPEED_STEP_RPS = 0.5  # inverters move in steps; it also keeps solves few
# Protections that stop a running compressor; it tries again, and gives up after some tries.
TRIPS = ("high_pressure_stop", "discharge_temperature_stop", "low_pressure_stop")
TRIPS_TO_GIVE_UP = 3
GOOD_RUN_S = 900.0  # run after which earlier trips are forgotten
# Hot start in heating: the indoor fan waits for a warm coil.
HOT_START_K = 301.15
HOT_START_BAND_K = 6.0
HOT_START_LONGEST_S = 300.0
# Defrost by reversed cycle.
DEFROST_AFTER_S = 2100.0  # shortest heating time between two
DEFROST_COIL_K = 271.15  # outdoor coil below which it may begin
DEFROST_FROST_SHARE = 0.18  # of the ice that closes the face
DEFROST_DONE_K = 281.15  # outdoor coil at which it ends
DEFROST_LONGEST_S = 600.0
# The outdoor fan slows to keep condensing above the room in cooling, and evaporating below it in
# heating.
HEAD_OVER_ROOM_K = 0.5
HEAD_LEAST_K = 296.15
EVAPORATING_UNDER_ROOM_K = 2.0
EVAPORATING_MOST_K = 288.15


def outdoor_fan_hold_k(cool: Any, room_k: Any) -> Any:
    """Return the refrigerant temperature at which the outdoor fan is at its slowest.

    Args:
        cool: 1 in cooling, 0 in heating.
        room_k: room dry-bulb [K].

    Returns:
        Condensing (cooling) or evaporating (heating) temperature [K].
    """
    head = np.maximum(room_k + HEAD_OVER_ROOM_K, HEAD_LEAST_K)
    cap = np.minimum(room_k - EVAPORATING_UNDER_ROOM_K, EVAPORATING_MOST_K)
    return np.where(cool > 0.5, head, cap)


def demand_k(cool: Any, room_k: Any, sensor_offset_k: Any, setpoint_k: Any) -> Any:
    """Return how far the room sensor is from the setpoint, positive when there is demand.

    Args:
        cool: 1 in cooling, 0 in heating.
        room_k: air at the room sensor [K].
        sensor_offset_k: sensor reading minus truth [K].
        setpoint_k: temperature asked for [K].

    Returns:
        Demand [K].
    """
    error = room_k + sensor_offset_k - setpoint_k
    return np.where(cool > 0.5, error, -error)


def asked_speed(spec: Spec, cool: Any, demand: Any) -> tuple[Any, Any, Any]:
    """Return the compressor speed that demand asks for, before limits.

    Args:
        spec: the machine.
        cool: 1 in cooling, 0 in heating.
        demand: [K].

    Returns:
        Speed without upper or lower bound [1/s], full speed [1/s], loss of speed per kelvin
        [1/(s K)].
    """
    full = np.where(cool > 0.5, spec.speed_cooling_rps, spec.speed_heating_rps)
    gain = (full - spec.speed_min_rps) / FULL_DEMAND_K
    return spec.speed_min_rps + gain * demand, full, gain


def fan_share(spec: Spec, fan: list[str], demand: Any, satisfied: Any) -> Any:
    """Return the indoor fan's speed over full speed.

    Args:
        spec: the machine.
        fan: fan setting of each case.
        demand: [K], shape (n, 1).
        satisfied: True where the thermostat holds the compressor off, shape (n, 1).

    Returns:
        Share of full speed (n, 1) [-].
    """
    rising = np.clip(demand / FULL_DEMAND_K, 0.0, 1.0)
    auto = np.where(satisfied, AUTO_FAN_LOWEST, AUTO_FAN_LOWEST + (1.0 - AUTO_FAN_LOWEST) * rising)
    fixed = np.array([[spec.speeds.get(f, np.nan)] for f in fan])
    return np.where(np.isnan(fixed), auto, fixed)


def hot_start_share(coil_k: float, warming_s: float) -> float:
    """Return how far the indoor fan is let go in heating while the coil warms up.

    Args:
        coil_k: indoor coil [K].
        warming_s: time since heat was turned on: a start, or the end of a defrost [s].

    Returns:
        Share of the fan's speed [0..1]; 1 once the coil is warm or five minutes have passed.
    """
    if warming_s > HOT_START_LONGEST_S:
        return 1.0
    return min(1.0, max(0.0, (coil_k - HOT_START_K) / HOT_START_BAND_K))


def defrost_begins(heating_s: float, coil_k: float, frost_share: float) -> bool:
    """Return whether the board reverses the cycle to clear the outdoor coil.

    Args:
        heating_s: compressor time in heating since the last defrost [s].
        coil_k: outdoor coil as its sensor reads it [K].
        frost_share: frost over the frost that closes the face [-].

    Returns:
        True to begin.
    """
    if heating_s <= DEFROST_AFTER_S or coil_k >= DEFROST_COIL_K:
        return False
    return frost_share > DEFROST_FROST_SHARE


def defrost_ends(defrost_s: float, coil_k: float, frost_kg: float) -> bool:
    """Return whether a running defrost is over.

    Args:
        defrost_s: time since it began [s].
        coil_k: outdoor coil [K].
        frost_kg: frost left [kg].

    Returns:
        True to end.
    """
    return defrost_s >= DEFROST_LONGEST_S or (frost_kg <= 0.0 and coil_k >= DEFROST_DONE_K)


def next_speed(speed_rps: float, goal_rps: float, running_s: float, dt_s: float) -> float:
    """Return the speed that soft start and ramp allow a moment later.

    Args:
        speed_rps: speed now [1/s].
        goal_rps: speed that demand and protections ask for [1/s].
        running_s: time since the compressor started [s].
        dt_s: time step [s].

    Returns:
        Speed, a whole number of steps or the goal itself [1/s].
    """
    if running_s < SOFT_START_S:
        return min(SOFT_START_RPS, goal_rps)
    highest = max(speed_rps, min(SOFT_START_RPS, goal_rps)) + RAMP_UP_RPS_S * dt_s
    lowest = speed_rps - RAMP_DOWN_RPS_S * dt_s
    if lowest <= goal_rps <= highest:
        return goal_rps
    bound = highest if goal_rps > highest else lowest
    return math.ceil(bound / SPEED_STEP_RPS) * SPEED_STEP_RPS
