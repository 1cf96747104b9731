"""From data sheet, condition, surroundings and command to the numbers of the circuit."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any

import numpy as np

from kit.machine import controls
from kit.machine.condition import Condition
from kit.machine.orders import Airs, Orders, airs, knobs, orders
from kit.machine.spec import Coil, Fan, Spec
from kit.machine.surroundings import Command, Surroundings
from kit.physics import air, blower, coil, refrigerant, valve
from kit.physics.circuit import Circuit

# All common practice, no source.
STILL_AIR = 0.04  # share of design airflow that natural draught keeps up
VALVE_SHUT = 0.03  # share of the valve's area that leaks when it is shut
VALVE_LEAST = 0.08  # smallest opening the controller uses
LATENT_J_KG = 2.6e5  # refrigerating effect by which the design flow is reckoned
OUTDOOR_RETURN = 0.6  # share of discharge drawn in again at outdoor_recirculation = 1
REVERSING_SLIP = 0.5  # share of the flow that slips at reversing_valve_leak = 1
BEYOND_STOP_K = 2.0  # condensing above its stop at which the circuit is no longer followed
BEYOND_STOP = 0.8  # suction over its stop, likewise


@dataclass(frozen=True, slots=True)
class Flow:
    """One fan: airflow at the entering air's state [m3/s], speed over full speed [-], input [W]."""

    m3_s: Any
    share: Any
    fan_w: Any


@dataclass(frozen=True, slots=True)
class Inputs:
    """Columns (n, 1) of a batch and the circuit to solve."""

    circuit: Circuit
    around: Airs
    orders: Orders
    indoor: Flow
    outdoor: Flow
    knobs: dict[str, Any]

    @property
    def cool(self) -> Any:
        """Return 1 where the circuit runs as cooling."""
        return self.orders.cool

    @property
    def asked_cool(self) -> Any:
        """Return 1 where cooling was asked."""
        return self.orders.asked_cool

    @property
    def stopped(self) -> list[tuple[str, ...]]:
        """Return the protections that stop each case."""
        return self.orders.stopped

    @property
    def idle(self) -> Any:
        """Return True (n,) where the compressor stands."""
        return self.orders.idle

    @property
    def indoor_m3_s(self) -> Any:
        """Return indoor airflow at the room's state [m3/s]."""
        return self.indoor.m3_s

    @property
    def indoor_speed(self) -> Any:
        """Return indoor fan speed over full speed."""
        return self.indoor.share

    @property
    def indoor_fan_w(self) -> Any:
        """Return indoor fan input [W]."""
        return self.indoor.fan_w

    @property
    def outdoor_m3_s(self) -> Any:
        """Return outdoor airflow [m3/s]."""
        return self.outdoor.m3_s

    @property
    def outdoor_speed(self) -> Any:
        """Return outdoor fan speed over full speed."""
        return self.outdoor.share

    @property
    def outdoor_fan_w(self) -> Any:
        """Return outdoor fan input [W]."""
        return self.outdoor.fan_w


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
    k = knobs(conditions)
    around = airs(arounds)
    order = orders(spec, conditions, commands, k, around, speed_cap_rps)
    i, o = spec.indoor_fan, spec.outdoor_fan
    indoor = _flow(
        i,
        spec.indoor,
        order.fan_share,
        k["filter_loading"],
        (k["indoor_coil_blockage"], k["indoor_coil_ice"]),
        k["wheel_fouling"],
    )
    out_share = k["outdoor_fan_factor"] * ~order.idle[:, None]
    outdoor = _flow(
        o, spec.outdoor, out_share, 0.0, (k["outdoor_coil_blockage"], k["outdoor_coil_ice"]), 0.0
    )
    return Inputs(
        _circuit(spec, k, around, order, indoor, outdoor), around, order, indoor, outdoor, k
    )


def _flow(
    fan: Fan, coil_: Coil, share: Any, loading: Any, shut: tuple[Any, Any], fouling: Any
) -> Flow:
    """Return the airflow of a fan against its filter and coil."""
    resistance = fan.resistance * (
        blower.filter_resistance(fan.filter_share, loading)
        + blower.blocked_resistance(fan.coil_share, *shut)
        + (1.0 - fan.filter_share - fan.coil_share)
    )
    design = coil_.airflow_m3_s
    free = design * math.sqrt(1.0 + fan.resistance)
    flow = blower.airflow_m3_s(free, share, resistance, fouling)
    power = blower.fan_power_w(fan.power_w, share, flow / np.maximum(design * share, 1e-6))
    return Flow(flow, share, power)


@dataclass(frozen=True, slots=True)
class _Side:
    """One coil with the air over it: dry-air flow [kg/s], air-side conductance [W/K]."""

    mass: Any
    air_w_k: Any
    flow_ratio: Any


def _side(
    coil_: Coil, flow: Flow, air_k: Any, air_w: Any, p_atm: Any, state: tuple[Any, ...]
) -> _Side:
    """Return flow and conductance of a coil; `state` is blockage, ice, film, bypass."""
    blockage, ice, film, bypass = state
    ratio = np.maximum(flow.m3_s / coil_.airflow_m3_s, STILL_AIR)
    mass = ratio * coil_.airflow_m3_s / air.specific_volume_m3_kg(air_k, air_w, p_atm)
    face = blower.open_face(blockage, ice)
    through = ratio * (1.0 - bypass)
    return _Side(mass, coil.air_conductance(coil_.air_w_k, through, film, face, ice), ratio)


def _circuit(
    spec: Spec, k: dict[str, Any], a: Airs, order: Orders, indoor: Flow, outdoor: Flow
) -> Circuit:
    """Return the circuit of a batch: each coil in the part that the cycle gives it."""
    bypass = blower.wheel_bypass(k["wheel_fouling"])
    state = (k["indoor_coil_blockage"], k["indoor_coil_ice"], k["indoor_coil_film"], bypass)
    inside = _side(spec.indoor, indoor, a.room_k, a.room_w, a.p_atm, state)
    state = (k["outdoor_coil_blockage"], k["outdoor_coil_ice"], k["outdoor_coil_film"], 0.0)
    outside = _side(spec.outdoor, outdoor, a.outdoor_k, a.outdoor_w, a.p_atm, state)

    def pick(in_cooling: Any, in_heating: Any) -> Any:
        return np.where(order.cool > 0.5, in_cooling, in_heating)

    i, o = spec.indoor, spec.outdoor
    through = inside.mass * (1.0 - bypass)
    low, asked, full, gain = order.speeds
    return Circuit(
        cool=order.cool,
        p_atm=a.p_atm,
        room_k=a.room_k,
        room_w=a.room_w,
        outdoor_k=a.outdoor_k,
        outdoor_w=a.outdoor_w,
        recirculation=OUTDOOR_RETURN * k["outdoor_recirculation"],
        jet=blower.jet_return(inside.flow_ratio, k["wheel_fouling"]),
        bypass=bypass,
        fan_heat_w=indoor.fan_w,
        i_mass=inside.mass,
        e_mass=pick(through, outside.mass),
        c_mass=pick(outside.mass, through),
        e_air=pick(inside.air_w_k, outside.air_w_k),
        e_ref=pick(i.refrigerant_w_k, o.refrigerant_w_k),
        c_air=pick(outside.air_w_k, inside.air_w_k),
        c_ref=pick(o.refrigerant_w_k, i.refrigerant_w_k),
        e_volume=pick(i.volume_m3, o.volume_m3),
        c_volume=pick(o.volume_m3, i.volume_m3),
        charge_kg=spec.charge_kg * k["charge_fraction"],
        air_kg=k["noncondensable_kg"],
        leak=k["compressor_leak"],
        valve_leak=REVERSING_SLIP * k["reversing_valve_leak"],
        restriction_m2=valve.restriction_area_m2(spec.valve_m2, k["liquid_restriction"]),
        speed_low=low,
        speed_asked=asked,
        speed_full=full,
        demand_gain=gain,
        coil_sensor_offset_k=k["coil_sensor_offset_k"],
        fan_hold_k=controls.outdoor_fan_hold_k(order.cool, a.room_k),
        **_fixed(spec),
        **_valve(k["valve_fixed_opening"]),
        **_limits(spec, k["supply_voltage_factor"], pick),
    )


def _fixed(spec: Spec) -> dict[str, Any]:
    """Return what the data sheet alone gives."""
    gas_area = math.pi / 4.0 * spec.gas_line_inner_m**2
    return {
        "refrigerant": refrigerant.load(spec.refrigerant),
        "small_line_m3": math.pi / 4.0 * spec.liquid_line_inner_m**2 * spec.line_m,
        "gas_line_m3": gas_area * spec.line_m,
        "shell_m3": spec.shell_m3,
        "oil_kg": spec.oil_kg,
        "accumulator_m3": spec.accumulator_m3,
        "design_kg_s": spec.rated_cooling_w / LATENT_J_KG,
        "swept_m3": spec.swept_m3,
        "best_efficiency": spec.best_efficiency,
        # Darcy's law with friction factor 0.02 and 4 m for bends and valves: textbook, rounded.
        "suction_k": 0.02 * (spec.line_m + 4.0) / (2.0 * spec.gas_line_inner_m * gas_area**2),
        "valve_m2": spec.valve_m2,
        "superheat_target_k": spec.superheat_target_k,
    }


def _valve(fixed_opening: Any) -> dict[str, Any]:
    """Return the valve's travel; a stuck valve has none."""
    stuck = ~np.isnan(fixed_opening)
    place = VALVE_SHUT + (1.0 - VALVE_SHUT) * np.where(stuck, fixed_opening, 0.0)
    return {
        "valve_low": np.where(stuck, place, VALVE_LEAST),
        "valve_high": np.where(stuck, place, 1.0),
    }


def _limits(spec: Spec, voltage_factor: Any, pick: Any) -> dict[str, Any]:
    """Return where the protections begin and end; the current limit as compressor input."""
    watts = spec.supply_v * voltage_factor * spec.power_factor * spec.inverter_efficiency
    both = zip(spec.condensing_limit_k, spec.heating_condensing_limit_k, strict=True)
    start, end = (pick(c, h) for c, h in both)
    return {
        "discharge_limit": spec.discharge_limit_k,
        "condensing_limit": (start, end),
        "freeze_limit": spec.freeze_limit_k,
        "current_limit": tuple(amps * watts for amps in spec.current_limit_a),
        "floor_k": _floor_k(spec.refrigerant),
        "ceiling_k": end + controls.HIGH_PRESSURE_MARGIN_K + BEYOND_STOP_K,
    }


@cache
def _floor_k(name: str) -> float:
    """Return the evaporating temperature below which the circuit is not followed."""
    lnp = math.log(BEYOND_STOP * controls.LOW_PRESSURE_PA)
    return float(refrigerant.load(name).sat(lnp).t_dew_k)
