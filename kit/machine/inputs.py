"""From data sheet, condition, surroundings and command to the numbers of the circuit."""

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
from kit.physics import air, blower, coil, refrigerant, valve
from kit.physics.circuit import Circuit

STILL_AIR = 0.04  # share of design airflow that natural draught keeps up: common practice, no source
_NUMERIC = tuple(k for k in KNOB_NAMES if k not in STATE_NAMES and k != "bleed_resistor_open")
_AROUND = ("room_db_k", "room_rh", "outdoor_db_k", "outdoor_rh", "altitude_m")


@dataclass(frozen=True, slots=True)
class Inputs:
    """Columns (n, 1) of a batch: knobs, airs, flows, reasons to stand still, and the circuit."""

    circuit: Circuit
    cool: Any  # 1 where the circuit runs as cooling (whatever was asked)
    asked_cool: Any  # 1 where cooling was asked
    stopped: list[tuple[str, ...]]  # protections that stop the machine before it runs
    idle: Any  # True where nothing is to be solved (n,)
    knobs: dict[str, Any]
    room_w: Any
    outdoor_w: Any
    p_atm: Any
    indoor_m3_s: Any  # at the room's state
    indoor_speed: Any
    indoor_fan_w: Any
    outdoor_m3_s: Any
    outdoor_speed: Any
    outdoor_fan_w: Any
    room_k: Any
    outdoor_k: Any


def columns(objects: Sequence[Any], names: Sequence[str]) -> dict[str, Any]:
    """Return attributes of a list of objects as (n, 1) arrays; None becomes NaN."""
    table = np.array([[getattr(o, n) for n in names] for o in objects], dtype=float)
    return {n: table[:, i : i + 1] for i, n in enumerate(names)}


def _stops(
    conditions: Sequence[Condition], commands: Sequence[Command], sensor_k: Any, cool: Any, outdoor_k: Any
) -> list[tuple[str, ...]]:
    """Return for each case the protections that keep the compressor from starting."""
    out = []
    low, high = controls.SENSOR_RANGE_K
    for i, (c, order) in enumerate(zip(conditions, commands, strict=True)):
        why = []
        if order.mode in ("cooling", "heating"):
            lowest, highest = controls.COOLING_OUTDOOR_K if cool[i] > 0.5 else controls.HEATING_OUTDOOR_K
            if not lowest <= outdoor_k[i] <= highest:
                why.append("operating_range_stop")
            if c.communication_state != "ok":
                why.append("communication_stop")
            if c.supply_voltage_factor < controls.UNDER_VOLTAGE:
                why.append("under_voltage_stop")
            if not low <= sensor_k[i] + c.coil_sensor_offset_k <= high:
                why.append("coil_sensor_stop")
            if c.compressor_state in ("locked_rotor", "earthed_winding", "open_winding"):
                why.append("over_current_stop")
            if c.charge_fraction < controls.LEAST_CHARGE:
                why.append("low_pressure_stop")
        out.append(tuple(why))
    return out


def build(
    spec: Spec,
    conditions: Sequence[Condition],
    arounds: Sequence[Surroundings],
    commands: Sequence[Command],
    speed_cap_rps: float | None = None,
) -> Inputs:
    """Return the inputs of a batch of cases of one machine.

    Args:
        spec: the machine.
        conditions: one a case.
        arounds: one a case.
        commands: one a case.
        speed_cap_rps: speed that start-up allows so far [1/s]; None for no cap.

    Returns:
        Columns and circuit.
    """
    k = columns(conditions, _NUMERIC)
    a = columns(arounds, _AROUND)
    modes = [c.mode for c in commands]
    asked_cool = np.array([[m != "heating"] for m in modes], dtype=float)
    stuck = [c.reversing_valve_state for c in conditions]
    cool = np.array(
        [[1.0 if s == "stuck_cooling" else 0.0 if s == "stuck_heating" else q] for s, q in zip(stuck, asked_cool[:, 0], strict=True)]
    )
    p_atm = air.pressure_pa(a["altitude_m"])
    room_k, outdoor_k = a["room_db_k"], a["outdoor_db_k"]
    room_w = air.humidity_ratio(room_k, a["room_rh"], p_atm)
    outdoor_w = air.humidity_ratio(outdoor_k, a["outdoor_rh"], p_atm)

    setpoint = np.array([[c.setpoint_k] for c in commands])
    demand = controls.demand_k(asked_cool, room_k, k["room_sensor_offset_k"], setpoint)
    forced = np.array([[math.nan if c.compressor_rps is None else c.compressor_rps] for c in commands])
    is_forced = ~np.isnan(forced)
    demand = np.where(is_forced, 10.0, demand)
    satisfied = demand < controls.THERMOSTAT_OFF_K
    stopped = _stops(conditions, commands, room_k[:, 0], cool[:, 0], outdoor_k[:, 0])
    runs = np.array([m in ("cooling", "heating") for m in modes])
    dead = np.array([c.inverter_state != "ok" for c in conditions])
    held = np.array([bool(s) for s in stopped])
    idle = ~runs | dead | held | satisfied[:, 0]

    # Airflows.
    f = spec.indoor_fan
    share = controls.fan_share(spec, [c.fan for c in commands], demand, satisfied)
    share = share * np.array([[m != "off"] for m in modes]) * k["indoor_fan_factor"]
    design = spec.indoor.airflow_m3_s
    resistance = f.resistance * (
        blower.filter_resistance(f.filter_share, k["filter_loading"])
        + blower.blocked_resistance(f.coil_share, k["indoor_coil_blockage"], k["indoor_coil_ice"])
        + (1.0 - f.filter_share - f.coil_share)
    )
    free = design * math.sqrt(1.0 + f.resistance)
    v_in = blower.airflow_m3_s(free, share, resistance, k["wheel_fouling"])
    fan_w = blower.fan_power_w(f.power_w, share, v_in / np.maximum(design * share, 1e-6))
    o = spec.outdoor_fan
    low, asked, full, gain = _speeds(spec, asked_cool, demand, forced)
    if speed_cap_rps is not None:
        full = np.minimum(full, speed_cap_rps)
        low = np.minimum(low, full)
    out_share = k["outdoor_fan_factor"] * (~idle[:, None])
    out_res = o.resistance * (
        blower.blocked_resistance(o.coil_share, k["outdoor_coil_blockage"], k["outdoor_coil_ice"])
        + (1.0 - o.coil_share)
    )
    out_design = spec.outdoor.airflow_m3_s
    v_out = blower.airflow_m3_s(out_design * math.sqrt(1.0 + o.resistance), out_share, out_res)
    out_w = blower.fan_power_w(o.power_w, out_share, v_out / np.maximum(out_design * out_share, 1e-6))

    circuit = _circuit(
        spec, k, cool, p_atm, room_k, room_w, outdoor_k, outdoor_w, v_in, v_out, fan_w, fan_w + out_w,
        (low, asked, full, gain),
    )
    return Inputs(
        circuit, cool, asked_cool, stopped, idle, k, room_w, outdoor_w, p_atm, v_in, share, fan_w,
        v_out, out_share, out_w, room_k, outdoor_k,
    )


def _speeds(spec: Spec, cool: Any, demand: Any, forced: Any) -> tuple[Any, Any, Any, Any]:
    """Return lowest, asked, full speed and gain, a forced speed in place of demand."""
    asked, full, gain = controls.asked_speed(spec, cool, demand)
    fixed = ~np.isnan(forced)
    low = np.where(fixed, np.fmin(spec.speed_min_rps, forced), spec.speed_min_rps)
    return low, np.where(fixed, forced, asked), np.where(fixed, forced, full), np.where(fixed, 0.0, gain)


def _circuit(
    spec: Spec, k: dict[str, Any], cool: Any, p_atm: Any, room_k: Any, room_w: Any,
    outdoor_k: Any, outdoor_w: Any, v_in: Any, v_out: Any, fan_w: Any, fans_w: Any, speeds: tuple[Any, ...],
) -> Circuit:
    i, o = spec.indoor, spec.outdoor
    open_i = blower.open_face(k["indoor_coil_blockage"], k["indoor_coil_ice"])
    open_o = blower.open_face(k["outdoor_coil_blockage"], k["outdoor_coil_ice"])
    bypass = blower.wheel_bypass(k["wheel_fouling"])
    flow_i = np.maximum(v_in / i.airflow_m3_s, STILL_AIR)
    flow_o = np.maximum(v_out / o.airflow_m3_s, STILL_AIR)
    i_mass = flow_i * i.airflow_m3_s / air.specific_volume_m3_kg(room_k, room_w, p_atm)
    o_mass = flow_o * o.airflow_m3_s / air.specific_volume_m3_kg(outdoor_k, outdoor_w, p_atm)
    coil_i = i_mass * (1.0 - bypass)
    air_i = coil.air_conductance(i.air_w_k, flow_i * (1.0 - bypass), k["indoor_coil_film"], open_i, k["indoor_coil_ice"])
    air_o = coil.air_conductance(o.air_w_k, flow_o, k["outdoor_coil_film"], open_o, k["outdoor_coil_ice"])

    def pick(indoor: Any, outdoor: Any) -> Any:
        return np.where(cool > 0.5, indoor, outdoor)

    stuck = ~np.isnan(k["valve_fixed_opening"])
    place = np.where(stuck, k["valve_fixed_opening"], 0.0) * 0.97 + 0.03
    design = spec.rated_cooling_w / 2.6e5
    volts = spec.supply_v * k["supply_voltage_factor"]
    amps = [v * volts * spec.power_factor * spec.inverter_efficiency for v in spec.current_limit_a]
    gas_area = math.pi / 4.0 * spec.gas_line_inner_m**2
    # Darcy's law with friction factor 0.02 and 4 m for bends and valves: textbook, rounded.
    slope = 0.02 * (spec.line_m + 4.0) / (2.0 * spec.gas_line_inner_m * gas_area**2)
    small = math.pi / 4.0 * spec.liquid_line_inner_m**2 * spec.line_m
    limit = pick(
        np.array(spec.condensing_limit_k)[:, None, None], np.array(spec.heating_condensing_limit_k)[:, None, None]
    )
    low, asked, full, gain = speeds
    return Circuit(
        refrigerant=refrigerant.load(spec.refrigerant),
        cool=cool, p_atm=p_atm, room_k=room_k, room_w=room_w, outdoor_k=outdoor_k, outdoor_w=outdoor_w,
        recirculation=0.6 * k["outdoor_recirculation"],
        jet=blower.jet_return(flow_i, k["wheel_fouling"]), bypass=bypass, fan_heat_w=fan_w, i_mass=i_mass,
        e_mass=pick(coil_i, o_mass), c_mass=pick(o_mass, coil_i),
        e_air=pick(air_i, air_o), e_ref=pick(i.refrigerant_w_k, o.refrigerant_w_k),
        c_air=pick(air_o, air_i), c_ref=pick(o.refrigerant_w_k, i.refrigerant_w_k),
        e_volume=pick(i.volume_m3, o.volume_m3), c_volume=pick(o.volume_m3, i.volume_m3),
        small_line_m3=small, gas_line_m3=gas_area * spec.line_m, shell_m3=spec.shell_m3, oil_kg=spec.oil_kg, accumulator_m3=spec.accumulator_m3,
        charge_kg=spec.charge_kg * k["charge_fraction"], air_kg=k["noncondensable_kg"],
        design_kg_s=design, swept_m3=spec.swept_m3, best_efficiency=spec.best_efficiency,
        leak=k["compressor_leak"], valve_leak=0.5 * k["reversing_valve_leak"], suction_k=slope,
        valve_m2=spec.valve_m2, restriction_m2=valve.restriction_area_m2(spec.valve_m2, k["liquid_restriction"]),
        valve_low=np.where(stuck, place, 0.08), valve_high=np.where(stuck, place, 1.0),
        superheat_target_k=spec.superheat_target_k,
        speed_low=low, speed_asked=asked, speed_full=full,
        discharge_limit=spec.discharge_limit_k, condensing_limit=(limit[0], limit[1]),
        freeze_limit=spec.freeze_limit_k, current_limit=(amps[0], amps[1]),
        coil_sensor_offset_k=k["coil_sensor_offset_k"], demand_gain=gain,
        lnp_floor=math.log(0.8 * controls.LOW_PRESSURE_PA),
        lnp_ceiling=refrigerant.load(spec.refrigerant).lnp_dew(limit[1] + controls.HIGH_PRESSURE_MARGIN_K + 2.0),
        fan_hold_k=controls.outdoor_fan_hold_k(cool, room_k),
    )
