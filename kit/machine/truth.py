"""What is true of a machine at one moment; hidden from the learner, who has instruments."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

# Names of the protections that can hold a machine back or stop it (Truth.limits).
LIMIT_NAMES = (
    "discharge_temperature",  # speed reduced: hot discharge line
    "condensing_pressure",  # speed reduced: high condensing temperature
    "coil_freeze",  # speed reduced: cold indoor coil in cooling
    "current",  # speed reduced: input current
    "high_pressure_stop",  # stopped
    "discharge_temperature_stop",  # stopped
    "low_pressure_stop",  # stopped: suction near or below atmosphere, or no refrigerant
    "over_current_stop",  # stopped: locked rotor or earthed winding
    "under_voltage_stop",  # stopped: supply too low
    "communication_stop",  # stopped: no word between the units
    "operating_range_stop",  # stopped: outdoors too cold to cool, or too warm to heat
    "coil_sensor_stop",  # stopped: a coil sensor reads out of range
    "restart_delay",  # waiting after a stop
    "defrost",  # reverse cycle running
    "float_switch_stop",  # stopped: water high in the pan
)


@dataclass(frozen=True, slots=True)
class Truth:
    """State of the whole machine, SI: floats, or arrays (n,) from `settle_many`.

    `airflow_m3_s` is at the return air's state. `capacity_w` is the total duty of the indoor coil
    on the air before the fan's heat is taken off (cooling) or added (heating), `net_capacity_w`
    after.
    `split_k` is positive in both modes when the machine does its job. For a blend with glide
    `evaporating_k` is dew at suction pressure and `condensing_k` bubble at condenser pressure;
    superheat uses dew, subcooling bubble. All pressures are absolute.
    """

    return_db_k: Any
    return_wb_k: Any
    return_w: Any  # humidity ratio [kg/kg]
    supply_db_k: Any
    supply_rh: Any
    supply_w: Any
    split_k: Any
    airflow_m3_s: Any
    capacity_w: Any
    net_capacity_w: Any
    sensible_w: Any
    latent_w: Any
    condensate_kg_s: Any
    evaporating_k: Any
    condensing_k: Any
    suction_pa: Any
    discharge_pa: Any
    superheat_k: Any
    subcooling_k: Any
    suction_line_k: Any
    discharge_line_k: Any
    liquid_line_k: Any  # at the condenser's outlet, before the valve
    liquid_line_drop_k: Any  # cooling across a restriction in the liquid line; 0 without one
    valve_outlet_k: Any  # two-phase after the valve: the small line of a cooling wall unit
    compressor_rps: Any
    valve_opening: Any
    refrigerant_kg_s: Any
    compressor_w: Any
    indoor_fan_w: Any
    outdoor_fan_w: Any
    power_w: Any
    current_a: Any
    charge_kg: Any
    outdoor_airflow_m3_s: Any
    outdoor_supply_k: Any  # air leaving the outdoor unit
    heat_rejected_w: Any  # duty of the condensing coil, whichever it is
    heat_absorbed_w: Any  # duty of the evaporating coil
    shell_loss_w: Any
    indoor_coil_surface_k: Any
    outdoor_coil_surface_k: Any
    indoor_fan_rpm: Any
    outdoor_fan_rpm: Any
    room_db_k: Any  # room air away from the jet (the return differs when the jet falls back)
    room_w: Any
    frost_kg: Any
    frost_kg_s: Any  # frost forming on the evaporating coil now
    pan_water_kg: Any
    drained_kg_s: Any
    overflow_kg: Any  # water that left the pan over its edge, total so far
    limits: Any  # tuple[str, ...]; for settle_many a list of tuples
    running: Any  # True while the compressor turns
    residual: Any  # largest scaled residual of the solve; below 1e-8 when converged
    memory: Any = field(default=None, repr=False, compare=False)  # for `advance` only
