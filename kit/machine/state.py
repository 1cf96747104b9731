"""From solved unknowns, or from a machine at rest, to the fields of Truth."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import fields
from typing import Any

import numpy as np

from kit.machine.inputs import Inputs
from kit.machine.spec import Spec
from kit.machine.surroundings import Command
from kit.machine.truth import Truth
from kit.physics import air, charge, circuit, condensate, frost
from kit.physics.circuit import Circuit

# All common practice, no source.
STANDING_POWER_FACTOR = 0.6  # of a fan and a board alone
VAPOUR_SHARE_AT_REST = 0.7  # of the circuit's volume, liquid in the rest
EMPTY_SHARE = 0.02  # of the charge, below which a leak has let air in


def empty_truth(n: int) -> dict[str, Any]:
    """Return all of Truth's fields for n cases, zero, to be filled."""
    special = {"limits": [()] * n, "running": np.zeros(n, dtype=bool), "memory": None}
    names = [f.name for f in fields(Truth) if f.name not in special]
    return {name: np.zeros(n) for name in names} | special


def fill_standing(
    spec: Spec, inputs: Inputs, commands: Sequence[Command], rows: Any, truth: dict[str, Any]
) -> None:
    """Write the fields of machines whose compressor stands, pressures equalised.

    Args:
        spec: the machine.
        inputs: columns of the batch.
        commands: one a case.
        rows: which cases stand [m].
        truth: fields to fill, arrays (n,).
    """
    c = inputs.circuit.take(rows)
    ref = c.refrigerant
    room_k, room_w = c.room_k, c.room_w
    p_all = standing_pressure_pa(spec, c, np.minimum(room_k, c.outdoor_k))
    sat = ref.sat(np.log(np.clip(p_all, np.exp(ref.lnp_min), np.exp(ref.lnp_max))))
    on = np.array([[commands[i].mode != "off"] for i in rows])
    fan_w = np.where(on, inputs.indoor_fan_w[rows], 0.0)
    volts = spec.supply_v * inputs.knobs["supply_voltage_factor"][rows]
    v_in = np.where(on, inputs.indoor_m3_s[rows], 0.0)
    mass = v_in / air.specific_volume_m3_kg(room_k, room_w, c.p_atm)
    rise = np.where(v_in > 0, fan_w / np.maximum(mass * air.specific_heat_j_kgk(room_w), 1e-9), 0.0)
    sign = np.where(inputs.asked_cool[rows] > 0.5, 1.0, -1.0)
    power = spec.standby_w + fan_w
    f: dict[str, Any] = {
        "return_db_k": room_k,
        "return_wb_k": air.wet_bulb_k(room_k, room_w, c.p_atm),
        "return_w": room_w,
        "supply_db_k": room_k + rise,
        "supply_rh": air.relative_humidity(room_k + rise, room_w, c.p_atm),
        "supply_w": room_w,
        "split_k": -sign * rise,
        "airflow_m3_s": v_in,
        "net_capacity_w": -sign * fan_w,
        "evaporating_k": sat.t_dew_k,
        "condensing_k": sat.t_bubble_k,
        "suction_pa": p_all,
        "discharge_pa": p_all,
        "indoor_fan_w": fan_w,
        "power_w": power,
        "current_a": power / (volts * STANDING_POWER_FACTOR),
        "charge_kg": c.charge_kg,
        "indoor_coil_surface_k": room_k,
        "indoor_fan_rpm": np.where(on, inputs.indoor_speed[rows], 0.0) * spec.indoor_fan.full_rpm,
        "room_db_k": room_k,
        "room_w": room_w,
    }
    for name in (
        "suction_line_k", "discharge_line_k", "liquid_line_k", "valve_outlet_k", "outdoor_supply_k",
        "outdoor_coil_surface_k",
    ):
        f[name] = c.outdoor_k
    for name, column in truth.items():
        if name in f:
            column[rows] = np.broadcast_to(f[name], (rows.size, 1))[:, 0]
        elif isinstance(column, np.ndarray):
            column[rows] = 0
    for i in rows:
        truth["limits"][i] = inputs.stopped[i]


def standing_pressure_pa(spec: Spec, c: Circuit, coldest_k: Any) -> Any:
    """Return the equalised pressure of a machine at rest [Pa].

    Args:
        spec: the machine.
        c: the circuit (charge, air, ambient pressure).
        coldest_k: temperature of the coldest soaked part [K].

    Returns:
        Absolute pressure [Pa], air's partial pressure included.
    """
    volume = circuit_volume_m3(spec)
    free = charge.free_kg(c.charge_kg, spec.oil_kg)
    p = charge.standing_pressure_pa(c.refrigerant, free, volume, coldest_k)
    p = p + charge.air_pressure_pa(c.air_kg, volume * VAPOUR_SHARE_AT_REST, coldest_k)
    # Open to the air through the leak, an empty circuit stands at atmospheric pressure.
    empty = c.charge_kg < EMPTY_SHARE * spec.charge_kg
    return np.where(empty, np.maximum(p, c.p_atm), p)


def circuit_volume_m3(spec: Spec) -> float:
    """Return the inside volume of the whole circuit [m3]."""
    quarter = np.pi / 4.0
    lines = quarter * (spec.liquid_line_inner_m**2 + spec.gas_line_inner_m**2) * spec.line_m
    return float(spec.indoor.volume_m3 + spec.outdoor.volume_m3 + spec.shell_m3 + lines)


def running_truth(
    spec: Spec, inputs: Inputs, rows: Any, x: Any, residual: Any, truth: dict[str, Any]
) -> None:
    """Write the fields of running machines into the columns of `truth`.

    Args:
        spec: the machine.
        inputs: columns of the batch.
        rows: which cases ran [m].
        x: their unknowns [7, m].
        residual: largest scaled residual of each [m].
        truth: fields to fill, arrays (n,).
    """
    c = inputs.circuit.take(rows)
    with np.errstate(all="ignore"):
        s = circuit.evaluate(x[:, :, None], c, full=True)
    cool = c.cool
    warm = 1.0 - cool

    def of(name: str) -> Any:
        return getattr(inputs, name)[rows]

    def knob(name: str) -> Any:
        return inputs.knobs[name][rows]

    q_cond, q_evap = s["q_cond"], s["q_evap"]
    capacity = cool * q_evap + warm * q_cond
    sign = np.where(of("asked_cool") > 0.5, 1.0, -1.0) * np.where(cool == of("asked_cool"), 1.0, 1.0)
    fan_w = of("indoor_fan_w")
    intake, p_atm = s["intake"], c.p_atm
    moisture = cool * s["moisture"] * s["f_wet"]
    ret_w = cool * s["intake_w"] + warm * c.room_w
    supply_w = ret_w - moisture / c.i_mass
    supply_h = air.enthalpy_j_kg(intake, ret_w) + (-cool * q_evap + warm * q_cond + fan_w) / c.i_mass
    # Condensate leaves as liquid at the coil: its own enthalpy is inside the total.
    supply = air.dry_bulb_from_enthalpy_k(supply_h, supply_w)
    latent = cool * s["f_wet"] * s["latent"]
    frozen = frost.frozen_share(s["e_dew"], s["surface"])
    compressor_w = s["input_w"]
    inverter_in = compressor_w / spec.inverter_efficiency
    breeze = s["breeze"]
    out_fan_w = of("outdoor_fan_w") * breeze**3
    power = inverter_in + fan_w + out_fan_w + spec.standby_w
    volts = spec.supply_v * inputs.knobs["supply_voltage_factor"][rows]
    loss = compressor_w * 0.0 + s["shell_loss_w"]
    o_mass = cool * s["c_mass"] + warm * s["e_mass"]
    out_heat = cool * q_cond - warm * q_evap + loss + (inverter_in - compressor_w) + out_fan_w
    outdoor_in = s["out_k"]
    p_dis = s["pd"]
    lnpd = np.log(p_dis)
    apparent = c.refrigerant.sat(np.minimum(lnpd, c.refrigerant.lnp_max)).t_bubble_k
    liquid_k = s["c_bubble"] - s["subcooling"]
    drop_k = _restriction_drop(c, s, liquid_k)
    frost_rate = np.where(cool > 0.5, moisture * frozen, s["moisture"] * s["f_wet"] * frozen)
    water = moisture * (1.0 - frozen)
    per_kg = condensate.drain_per_kg(spec.pan_drain_kg_s, knob("drain_blockage"), knob("drain_slope_fault"))
    drained = np.minimum(water, per_kg * 1000.0 * spec.pan_m3)
    f: dict[str, Any] = {
        "return_db_k": intake,
        "return_wb_k": air.wet_bulb_k(intake, ret_w, p_atm),
        "return_w": ret_w,
        "supply_db_k": supply,
        "supply_w": supply_w,
        "supply_rh": np.minimum(air.relative_humidity(supply, supply_w, p_atm), 1.0),
        "split_k": sign * (intake - supply),
        "airflow_m3_s": c.i_mass * air.specific_volume_m3_kg(intake, ret_w, p_atm),
        "capacity_w": capacity,
        "net_capacity_w": capacity - cool * fan_w + warm * fan_w,
        "sensible_w": capacity - latent,
        "latent_w": latent,
        "condensate_kg_s": water,
        "drained_kg_s": drained,
        "pan_water_kg": np.where(drained < water, 1000.0 * spec.pan_m3, drained / np.maximum(per_kg, 1e-9)),
        "evaporating_k": s["e_dew"],
        "condensing_k": apparent,
        "suction_pa": s["ps"],
        "discharge_pa": p_dis,
        "superheat_k": s["superheat"],
        "subcooling_k": np.where(s["flash"] > 0, 0.0, apparent - liquid_k),
        "suction_line_k": s["suction_line_k"],
        "discharge_line_k": s["t2"],
        "liquid_line_k": liquid_k,
        "liquid_line_drop_k": drop_k,
        "valve_outlet_k": s["e_dew"] - (s["e_dew"] - s["e_bubble"]) * np.clip(1.0 - s["x4"], 0.0, 1.0),
        "compressor_rps": s["speed"],
        "valve_opening": s["opening"],
        "refrigerant_kg_s": s["m"],
        "compressor_w": compressor_w,
        "indoor_fan_w": fan_w,
        "outdoor_fan_w": out_fan_w,
        "power_w": power,
        "current_a": power / (volts * spec.power_factor),
        "charge_kg": s["held"],
        "outdoor_airflow_m3_s": of("outdoor_m3_s") * breeze,
        "outdoor_supply_k": outdoor_in + out_heat / (o_mass * 1006.0),
        "heat_rejected_w": q_cond,
        "heat_absorbed_w": q_evap,
        "shell_loss_w": loss,
        "indoor_coil_surface_k": cool * s["surface"] + warm * (s["c_dew"] - 0.3 * (s["c_dew"] - intake)),
        "outdoor_coil_surface_k": warm * s["surface"] + cool * (s["c_dew"] - 0.3 * (s["c_dew"] - outdoor_in)),
        "indoor_fan_rpm": of("indoor_speed") * spec.indoor_fan.full_rpm,
        "outdoor_fan_rpm": of("outdoor_speed") * breeze * spec.outdoor_fan.full_rpm,
        "room_db_k": c.room_k,
        "room_w": c.room_w,
        "frost_kg_s": frost_rate,
        "residual": residual[:, None],
    }
    bad = residual >= 1e-7
    for name, value in f.items():
        column = np.broadcast_to(value, (rows.size, 1))[:, 0]
        truth[name][rows] = column if name == "residual" else np.where(bad, np.nan, column)
    truth["running"][rows] = True
    for j, i in enumerate(rows):
        truth["limits"][i] = _holding(s, j)


def _restriction_drop(c: Any, s: dict[str, Any], liquid_k: Any) -> Any:
    """Return how far the liquid cools across a restriction in its line [K]."""
    after = np.maximum(s["pc"] - 0.5 * (s["m"] / c.restriction_m2) ** 2 / s["rho3"], s["pe"])
    boiling = c.refrigerant.sat(np.log(after)).t_bubble_k
    return np.maximum(liquid_k - boiling, 0.0) * (c.restriction_m2 < 3.9 * c.valve_m2)


def _holding(s: dict[str, Any], j: int) -> tuple[str, ...]:
    """Return the names of the protections that hold the speed back in row j."""
    names = (
        ("discharge_temperature", "hot"), ("condensing_pressure", "high"), ("coil_freeze", "freeze"), ("current", "load"),
    )
    return tuple(n for n, key in names if float(s[key][j, 0]) < 0.999)
