"""From conditions, surroundings and commands to columns: airs, demand, speeds, reasons to stand."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from kit.machine import controls
from kit.machine.condition import KNOB_NAMES, STATE_NAMES, Condition
from kit.machine.spec import Spec
from kit.machine.surroundings import Command, Surroundings
from kit.physics import air

_NUMERIC = tuple(k for k in KNOB_NAMES if k not in STATE_NAMES and k != "bleed_resistor_open")
_AROUND = ("room_db_k", "room_rh", "outdoor_db_k", "outdoor_rh", "altitude_m")


@dataclass(frozen=True, slots=True)
class Airs:
    """Air at both units, columns (n, 1): dry-bulb [K], humidity ratio [kg/kg], pressure [Pa]."""

    room_k: Any
    room_w: Any
    outdoor_k: Any
    outdoor_w: Any
    p_atm: Any


@dataclass(frozen=True, slots=True)
class Orders:
    """What the controls make of the command, columns (n, 1).

    `cool` is 1 where the circuit runs as cooling, whatever was asked; `asked_cool` 1 where cooling
    was asked. Speeds are lowest, asked (without bounds), full [1/s] and the loss of asked speed
    per kelvin between room and intake. `idle` (n,) is True where the compressor stands.
    """

    cool: Any
    asked_cool: Any
    fan_share: Any
    speeds: tuple[Any, Any, Any, Any]
    stopped: list[tuple[str, ...]]
    idle: Any


def columns(objects: Sequence[Any], names: Sequence[str]) -> dict[str, Any]:
    """Return attributes of a list of objects as (n, 1) arrays; None becomes NaN."""
    table = np.array([[getattr(o, n) for n in names] for o in objects], dtype=float)
    return {n: table[:, i : i + 1] for i, n in enumerate(names)}


def knobs(conditions: Sequence[Condition]) -> dict[str, Any]:
    """Return the numeric knobs of a batch as columns (n, 1)."""
    return columns(conditions, _NUMERIC)


def airs(arounds: Sequence[Surroundings]) -> Airs:
    """Return the air at both units of a batch."""
    a = columns(arounds, _AROUND)
    p_atm = air.pressure_pa(a["altitude_m"])
    return Airs(
        room_k=a["room_db_k"],
        room_w=air.humidity_ratio(a["room_db_k"], a["room_rh"], p_atm),
        outdoor_k=a["outdoor_db_k"],
        outdoor_w=air.humidity_ratio(a["outdoor_db_k"], a["outdoor_rh"], p_atm),
        p_atm=p_atm,
    )


def orders(
    spec: Spec,
    conditions: Sequence[Condition],
    commands: Sequence[Command],
    k: dict[str, Any],
    around: Airs,
    speed_cap_rps: float | None,
) -> Orders:
    """Return what the controls make of the commands.

    Args:
        spec: the machine.
        conditions: one a case.
        commands: one a case.
        k: their knobs as columns.
        around: air at both units.
        speed_cap_rps: speed that start-up allows so far [1/s]; None for no cap.

    Returns:
        Columns of the batch.
    """
    modes = [c.mode for c in commands]
    asked_cool = np.array([[m != "heating"] for m in modes], dtype=float)
    cool = _cycle(conditions, asked_cool)
    setpoint = np.array([[c.setpoint_k] for c in commands])
    forced = np.array(
        [[math.nan if c.compressor_rps is None else c.compressor_rps] for c in commands]
    )
    demand = controls.demand_k(asked_cool, around.room_k, k["room_sensor_offset_k"], setpoint)
    demand = np.where(np.isnan(forced), demand, 10.0)
    satisfied = demand < controls.THERMOSTAT_OFF_K
    stopped = _stops(conditions, commands, around, cool)
    standing = [
        bool(why) or mode not in ("cooling", "heating") or c.inverter_state != "ok"
        for why, mode, c in zip(stopped, modes, conditions, strict=True)
    ]
    share = controls.fan_share(spec, [c.fan for c in commands], demand, satisfied)
    share = share * np.array([[m != "off"] for m in modes]) * k["indoor_fan_factor"]
    return Orders(
        cool=cool,
        asked_cool=asked_cool,
        fan_share=share,
        speeds=_speeds(spec, asked_cool, demand, forced, speed_cap_rps),
        stopped=stopped,
        idle=np.array(standing) | satisfied[:, 0],
    )


def _cycle(conditions: Sequence[Condition], asked_cool: Any) -> Any:
    """Return 1 where the circuit runs as cooling: as asked, unless the reversing valve is stuck."""
    place = {"stuck_cooling": 1.0, "stuck_heating": 0.0}
    rows = zip(conditions, asked_cool[:, 0], strict=True)
    return np.array([[place.get(c.reversing_valve_state, asked)] for c, asked in rows])


def _stops(
    conditions: Sequence[Condition],
    commands: Sequence[Command],
    around: Airs,
    cool: Any,
) -> list[tuple[str, ...]]:
    """Return for each case the protections that keep the compressor from starting."""
    out = []
    low, high = controls.SENSOR_RANGE_K
    for i, (c, order) in enumerate(zip(conditions, commands, strict=True)):
        why = []
        if order.mode in ("cooling", "heating"):
            lowest, highest = (
                controls.COOLING_OUTDOOR_K if cool[i, 0] > 0.5 else controls.HEATING_OUTDOOR_K
            )
            if not lowest <= around.outdoor_k[i, 0] <= highest:
                why.append("operating_range_stop")
            if c.communication_state != "ok":
                why.append("communication_stop")
            if c.supply_voltage_factor < controls.UNDER_VOLTAGE:
                why.append("under_voltage_stop")
            if not low <= around.room_k[i, 0] + c.coil_sensor_offset_k <= high:
                why.append("coil_sensor_stop")
            if c.compressor_state in ("locked_rotor", "earthed_winding", "open_winding"):
                why.append("over_current_stop")
            if c.charge_fraction < controls.LEAST_CHARGE:
                why.append("low_pressure_stop")
        out.append(tuple(why))
    return out


def _speeds(
    spec: Spec, cool: Any, demand: Any, forced: Any, cap_rps: float | None
) -> tuple[Any, Any, Any, Any]:
    """Return lowest, asked, full speed and gain, a forced speed in place of demand."""
    asked, full, gain = controls.asked_speed(spec, cool, demand)
    fixed = ~np.isnan(forced)
    low = np.where(fixed, np.fmin(spec.speed_min_rps, forced), spec.speed_min_rps)
    full = np.where(fixed, forced, full)
    if cap_rps is not None:
        full = np.minimum(full, cap_rps)
        low = np.minimum(low, full)
    return low, np.where(fixed, forced, asked), full, np.where(fixed, 0.0, gain)
