"""From the solved circuit of a running machine to the fields of Truth."""

from __future__ import annotations

from typing import Any

import numpy as np

from kit.machine.inputs import Inputs
from kit.machine.spec import Spec
from kit.physics import air, compressor, condensate, frost
from kit.physics.circuit import Circuit
from kit.physics.cycle import Cycle

# All common practice, no source.
BEND_SHARE = 0.3  # of condensing over air, by which the coil's sensor place is colder
WIDE = 3.9  # restriction's area over the valve's above which it is none

Fields = dict[str, Any]


def running_fields(spec: Spec, inputs: Inputs, rows: Any, c: Circuit, s: Cycle) -> Fields:
    """Return the fields of running machines.

    Args:
        spec: the machine.
        inputs: columns of the batch.
        rows: which cases run [m].
        c: their circuits.
        s: their solved states.

    Returns:
        Fields of Truth as columns (m, 1).
    """
    indoor, water = _indoor(spec, inputs, rows, c, s)
    electric = _electric(spec, inputs, rows, s, indoor["indoor_fan_w"])
    return {
        **indoor,
        **water,
        **_refrigerant(c, s),
        **electric,
        **_outdoor(spec, inputs, rows, c, s, electric),
        "room_db_k": c.room_k,
        "room_w": c.room_w,
    }


def _indoor(spec: Spec, inputs: Inputs, rows: Any, c: Circuit, s: Cycle) -> tuple[Fields, Fields]:
    """Return the air through the indoor unit, and its water."""
    cool, warm = c.cool, 1.0 - c.cool
    fan_w = inputs.indoor_fan_w[rows]
    capacity = cool * s.evaporation.q_w + warm * s.condensation.q_w
    moisture = cool * s.evaporation.moisture_kg_s
    intake = s.intake_k
    return_w = cool * s.evaporation.indoor_w + warm * c.room_w
    supply_w = return_w - moisture / c.i_mass
    # Condensate leaves as liquid at the coil: its own enthalpy is inside the total.
    gain = (warm - cool) * capacity + fan_w
    supply_h = air.enthalpy_j_kg(intake, return_w) + gain / c.i_mass
    supply = air.dry_bulb_from_enthalpy_k(supply_h, supply_w)
    latent = cool * s.evaporation.latent_w
    sign = 2.0 * inputs.asked_cool[rows] - 1.0
    coil_k = s.condensing.t_dew_k - BEND_SHARE * (s.condensing.t_dew_k - intake)
    fields = {
        "return_db_k": intake,
        "return_wb_k": air.wet_bulb_k(intake, return_w, c.p_atm),
        "return_w": return_w,
        "supply_db_k": supply,
        "supply_w": supply_w,
        "supply_rh": np.minimum(air.relative_humidity(supply, supply_w, c.p_atm), 1.0),
        "split_k": sign * (intake - supply),
        "airflow_m3_s": c.i_mass * air.specific_volume_m3_kg(intake, return_w, c.p_atm),
        "capacity_w": capacity,
        "net_capacity_w": capacity + (warm - cool) * fan_w,
        "sensible_w": capacity - latent,
        "latent_w": latent,
        "indoor_fan_w": fan_w,
        "indoor_fan_rpm": inputs.indoor_speed[rows] * spec.indoor_fan.full_rpm,
        "indoor_coil_surface_k": cool * s.suction.surface_k + warm * coil_k,
    }
    return fields, _water(spec, inputs, rows, c, s)


def _water(spec: Spec, inputs: Inputs, rows: Any, c: Circuit, s: Cycle) -> Fields:
    """Return what the moisture of the evaporating coil becomes."""
    frozen = frost.frozen_share(s.evaporating.t_dew_k, s.suction.surface_k)
    moisture = s.evaporation.moisture_kg_s
    water = c.cool * moisture * (1.0 - frozen)
    blockage, slope = (inputs.knobs[k][rows] for k in ("drain_blockage", "drain_slope_fault"))
    per_kg = condensate.drain_per_kg(spec.pan_drain_kg_s, blockage, slope)
    pan_kg = 1000.0 * spec.pan_m3
    drained = np.minimum(water, per_kg * pan_kg)
    return {
        "condensate_kg_s": water,
        "drained_kg_s": drained,
        "pan_water_kg": np.where(drained < water, pan_kg, drained / np.maximum(per_kg, 1e-9)),
        "frost_kg_s": moisture * frozen,
    }


def _refrigerant(c: Circuit, s: Cycle) -> Fields:
    """Return pressures, temperatures and flow of the refrigerant."""
    e, k, ref = s.evaporating, s.condensing, c.refrigerant
    discharge = s.discharge_pa
    apparent = ref.sat(np.minimum(np.log(discharge), ref.lnp_max)).t_bubble_k
    liquid = k.t_bubble_k - s.condensation.subcooling_k
    boiling_share = np.minimum(np.maximum(1.0 - s.evaporation.quality_in, 0.0), 1.0)
    line = ref.vapour_ph(s.lnp_e, s.compression.h_in - e.h_v).t
    return {
        "evaporating_k": e.t_dew_k,
        "condensing_k": apparent,
        "suction_pa": s.compression.suction_pa,
        "discharge_pa": discharge,
        "superheat_k": s.suction.superheat_k,
        "subcooling_k": np.where(s.condensation.flash > 0.0, 0.0, apparent - liquid),
        "suction_line_k": np.maximum(line, e.t_dew_k),
        "discharge_line_k": s.condensation.discharge_k,
        "liquid_line_k": liquid,
        "liquid_line_drop_k": _restriction_drop(c, s, liquid),
        "valve_outlet_k": e.t_dew_k - (e.t_dew_k - e.t_bubble_k) * boiling_share,
        "compressor_rps": s.speed,
        "valve_opening": s.suction.opening,
        "refrigerant_kg_s": s.compression.flow_kg_s,
        "charge_kg": s.held_kg,
        "heat_rejected_w": s.condensation.q_w,
        "heat_absorbed_w": s.evaporation.q_w,
    }


def _restriction_drop(c: Circuit, s: Cycle, liquid_k: Any) -> Any:
    """Return how far the liquid cools across a restriction in its line [K]."""
    speed = s.compression.flow_kg_s / c.restriction_m2
    after = np.exp(s.lnp_c) - 0.5 * speed * speed / s.valve_inlet_rho
    boiling = c.refrigerant.sat(np.maximum(np.log(np.maximum(after, 1.0)), s.lnp_e)).t_bubble_k
    return np.maximum(liquid_k - boiling, 0.0) * (c.restriction_m2 < WIDE * c.valve_m2)


def _electric(spec: Spec, inputs: Inputs, rows: Any, s: Cycle, indoor_fan_w: Any) -> Fields:
    """Return inputs and current."""
    input_w = s.compression.input_w
    breeze = s.side.breeze
    fan_w = inputs.outdoor_fan_w[rows] * breeze * breeze * breeze
    power = input_w / spec.inverter_efficiency + indoor_fan_w + fan_w + spec.standby_w
    volts = spec.supply_v * inputs.knobs["supply_voltage_factor"][rows]
    return {
        "compressor_w": input_w,
        "shell_loss_w": compressor.SHELL_LOSS_SHARE * input_w,
        "outdoor_fan_w": fan_w,
        "outdoor_fan_rpm": inputs.outdoor_speed[rows] * breeze * spec.outdoor_fan.full_rpm,
        "power_w": power,
        "current_a": power / (volts * spec.power_factor),
    }


def _outdoor(
    spec: Spec, inputs: Inputs, rows: Any, c: Circuit, s: Cycle, electric: Fields
) -> Fields:
    """Return the air through the outdoor unit."""
    cool, warm = c.cool, 1.0 - c.cool
    waste = electric["compressor_w"] * (1.0 / spec.inverter_efficiency - 1.0)
    waste = waste + electric["shell_loss_w"] + electric["outdoor_fan_w"]
    heat = cool * s.condensation.q_w - warm * s.evaporation.q_w + waste
    rate = cool * s.side.c_rate + warm * s.side.e_rate
    coil_k = s.condensing.t_dew_k - BEND_SHARE * (s.condensing.t_dew_k - s.side.outdoor_k)
    return {
        "outdoor_airflow_m3_s": inputs.outdoor_m3_s[rows] * s.side.breeze,
        "outdoor_supply_k": s.side.outdoor_k + heat / rate,
        "outdoor_coil_surface_k": warm * s.suction.surface_k + cool * coil_k,
    }
