"""The machine's own controls: demand, fan speeds, and what stops it."""

from __future__ import annotations

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
# The outdoor fan slows to keep condensing above the room in cooling, evaporating below it in heating.
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
        Speed without upper or lower bound, full speed, loss of speed per kelvin [1/s, 1/s, 1/(s K)].
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
