"""From a machine at rest to the fields of Truth."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import fields
from typing import Any

import numpy as np

from kit.machine.inputs import Inputs
from kit.machine.spec import Spec
from kit.machine.surroundings import Command
from kit.machine.truth import Truth
from kit.physics import air, charge
from kit.physics.circuit import Circuit

# All common practice, no source.
STANDING_POWER_FACTOR = 0.6  # of a fan and a board alone
VAPOUR_SHARE_AT_REST = 0.7  # of the circuit's volume, liquid in the rest
EMPTY_SHARE = 0.02  # of the charge, below which a leak has let air in


def empty_truth(n: int) -> dict[str, Any]:
    """Return all of Truth's fields for n cases, zero, to be filled."""
    special = {"limits": [()] * n, "running": np.zeros(n, dtype=bool), "memory": None}
    return {f.name: np.zeros(n) for f in fields(Truth) if f.name not in special} | special


def standing_fields(
    spec: Spec, inputs: Inputs, commands: Sequence[Command], rows: Any
) -> dict[str, Any]:
    """Return the fields of machines whose compressor stands, pressures equalised.

    Args:
        spec: the machine.
        inputs: columns of the batch.
        commands: one a case.
        rows: which cases stand [m].

    Returns:
        Fields of Truth as columns (m, 1); what is not there is zero.
    """
    c = inputs.circuit.take(rows)
    ref = c.refrigerant
    p_all = standing_pressure_pa(spec, c, np.minimum(c.room_k, c.outdoor_k))
    sat = ref.sat(np.log(np.clip(p_all, np.exp(ref.lnp_min), np.exp(ref.lnp_max))))
    on = np.array([[commands[i].mode != "off"] for i in rows])
    soaked = dict.fromkeys(_SOAKED, c.outdoor_k)
    return (
        soaked
        | _still_air(spec, inputs, rows, c, on)
        | {
            "evaporating_k": sat.t_dew_k,
            "condensing_k": sat.t_bubble_k,
            "suction_pa": p_all,
            "discharge_pa": p_all,
            "charge_kg": c.charge_kg,
            "indoor_coil_surface_k": c.room_k,
            "room_db_k": c.room_k,
            "room_w": c.room_w,
        }
    )


_SOAKED = (
    "suction_line_k",
    "discharge_line_k",
    "liquid_line_k",
    "valve_outlet_k",
    "outdoor_supply_k",
    "outdoor_coil_surface_k",
)


def _still_air(spec: Spec, inputs: Inputs, rows: Any, c: Circuit, on: Any) -> dict[str, Any]:
    """Return the air through an indoor unit that only blows, and the input."""
    room_k, room_w = c.room_k, c.room_w
    fan_w = np.where(on, inputs.indoor_fan_w[rows], 0.0)
    flow = np.where(on, inputs.indoor_m3_s[rows], 0.0)
    mass = flow / air.specific_volume_m3_kg(room_k, room_w, c.p_atm)
    rate = np.maximum(mass * air.specific_heat_j_kgk(room_w), 1e-9)
    rise = np.where(flow > 0.0, fan_w / rate, 0.0)
    sign = np.where(inputs.asked_cool[rows] > 0.5, 1.0, -1.0)
    power = spec.standby_w + fan_w
    volts = spec.supply_v * inputs.knobs["supply_voltage_factor"][rows]
    share = np.where(on, inputs.indoor_speed[rows], 0.0)
    return {
        "return_db_k": room_k,
        "return_wb_k": air.wet_bulb_k(room_k, room_w, c.p_atm),
        "return_w": room_w,
        "supply_db_k": room_k + rise,
        "supply_rh": air.relative_humidity(room_k + rise, room_w, c.p_atm),
        "supply_w": room_w,
        "split_k": -sign * rise,
        "airflow_m3_s": flow,
        "net_capacity_w": -sign * fan_w,
        "indoor_fan_w": fan_w,
        "indoor_fan_rpm": share * spec.indoor_fan.full_rpm,
        "power_w": power,
        "current_a": power / (volts * STANDING_POWER_FACTOR),
    }


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
