"""What has mass runs after the quasi-steady state with its own time constant.

Lagged are the air's change per kilogram, the flows, the pressures and the pipes; capacity, supply
air, saturation temperatures and power follow from these, so that the readings go on agreeing.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, fields
from typing import Any

import numpy as np

from kit.machine.spec import Spec
from kit.machine.truth import Truth
from kit.physics import air, refrigerant

# Time constants [s]; common practice, no source (a wall unit's split settles in some minutes).
COIL_S = 75.0  # heat given to the air: metal, water film, refrigerant finding its place
PRESSURE_S = 30.0
EQUALISE_S = 70.0  # pressures after a stop
SHELL_S = 150.0  # discharge line and shell
PIPE_S = 45.0
FAN_S = 4.0
DRIVE_S = 15.0  # power and flow of a running compressor
STILL_M3_S = 1e-3  # airflow below which nothing is blown

_PRESSURES = ("suction_pa", "discharge_pa")
_LAGS = {
    "return_db_k": COIL_S,
    "return_w": COIL_S,
    "indoor_coil_surface_k": COIL_S,
    "outdoor_coil_surface_k": COIL_S,
    "heat_rejected_w": COIL_S,
    "heat_absorbed_w": COIL_S,
    "frost_kg_s": COIL_S,
    "suction_line_k": PIPE_S,
    "liquid_line_k": PIPE_S,
    "liquid_line_drop_k": PIPE_S,
    "valve_outlet_k": PIPE_S,
    "superheat_k": PIPE_S,
    "subcooling_k": PIPE_S,
    "outdoor_supply_k": PIPE_S,
    "discharge_line_k": SHELL_S,
    "airflow_m3_s": FAN_S,
    "indoor_fan_w": FAN_S,
    "outdoor_fan_w": FAN_S,
    "indoor_fan_rpm": FAN_S,
    "outdoor_fan_rpm": FAN_S,
    "outdoor_airflow_m3_s": FAN_S,
}
_DRIVEN = ("compressor_w", "refrigerant_kg_s", "valve_opening", "shell_loss_w")
_FLAT = tuple(f.name for f in fields(Truth))
_TAUS = (COIL_S, PRESSURE_S, EQUALISE_S, SHELL_S, PIPE_S, FAN_S, DRIVE_S)


@dataclass(frozen=True, slots=True)
class Pull:
    """What a moment adds to the quasi-steady state.

    Args:
        dt_s: time step [s].
        p_atm_pa: atmospheric pressure [Pa].
        heats: True where heating was asked; the split is positive then for a rise.
        fan_held: share of the indoor fan's speed that the hot start allows [0..1].
        melt_w: heat that ice on the indoor coil takes from the air [W].
        room_db_k: the room now, which may have moved since the state was solved [K].
        room_w: likewise [kg/kg].
    """

    dt_s: float
    p_atm_pa: float
    heats: bool
    fan_held: float
    melt_w: float
    room_db_k: float
    room_w: float


@dataclass(frozen=True, slots=True)
class Given:
    """What a kilogram of dry air gives to the indoor unit on its way through, fan heat taken off.

    It is kept while the fan stands: a coil warms up, or cools down, without air as well.

    Args:
        heat_j_kg: enthalpy given, below zero where the air is heated [J/kg].
        latent_j_kg: the share of it that is latent duty of the coil [J/kg].
        moisture: humidity ratio given [kg/kg].
    """

    heat_j_kg: float = 0.0
    latent_j_kg: float = 0.0
    moisture: float = 0.0


def given(truth: Truth, p_atm_pa: float) -> Given:
    """Return what the air gives in a state, nothing where it stands.

    Args:
        truth: a steady state.
        p_atm_pa: atmospheric pressure [Pa].

    Returns:
        What a kilogram of dry air gives.
    """
    mass = _dry_air_kg_s(truth.airflow_m3_s, truth.return_db_k, truth.return_w, p_atm_pa)
    if truth.airflow_m3_s < STILL_M3_S:
        return Given()
    h_in = float(air.enthalpy_j_kg(truth.return_db_k, truth.return_w))
    h_out = float(air.enthalpy_j_kg(truth.supply_db_k, truth.supply_w))
    return Given(h_in - h_out, truth.latent_w / mass, truth.return_w - truth.supply_w)


def relaxed(
    truth: Truth, before: Given, steady: Truth, spec: Spec, pull: Pull
) -> tuple[Truth, Given]:
    """Return the state a moment later on its way from `truth` to `steady`.

    Args:
        truth: state now.
        before: what a kilogram of air gives now.
        steady: state that would be reached with time.
        spec: the machine.
        pull: the time step and what goes on meanwhile.

    Returns:
        Truth with floats, equal to `steady` where `truth` was; and what the air gives then.
    """
    f: dict[str, Any] = {name: getattr(steady, name) for name in _FLAT}
    f["return_db_k"] += pull.room_db_k - steady.room_db_k
    f["return_w"] += pull.room_w - steady.room_w
    f["room_db_k"], f["room_w"] = pull.room_db_k, pull.room_w
    if pull.fan_held < 1.0:
        f["airflow_m3_s"] *= pull.fan_held
        f["indoor_fan_rpm"] *= pull.fan_held
        f["indoor_fan_w"] *= pull.fan_held**3
    left = {tau: math.exp(-pull.dt_s / tau) for tau in _TAUS}
    for name, tau in _LAGS.items():
        f[name] += (getattr(truth, name) - f[name]) * left[tau]
    for name in _DRIVEN:
        f[name] += (getattr(truth, name) - f[name]) * left[DRIVE_S if steady.running else FAN_S]
    for name in _PRESSURES:
        stay = left[PRESSURE_S if steady.running else EQUALISE_S]
        f[name] *= (getattr(truth, name) / f[name]) ** stay
    _saturation(f, spec, steady)
    end = given(steady, pull.p_atm_pa)
    after = Given(
        *(b + (a - b) * left[COIL_S] for a, b in zip(_parts(before), _parts(end), strict=True))
    )
    _air_side(f, after, steady, pull)
    _electric(f, spec, steady, pull.p_atm_pa)
    return Truth(**f), after


def _parts(g: Given) -> tuple[float, float, float]:
    return g.heat_j_kg, g.latent_j_kg, g.moisture


def _dry_air_kg_s(flow_m3_s: float, db_k: float, w: float, p_pa: float) -> float:
    return flow_m3_s / float(air.specific_volume_m3_kg(db_k, w, p_pa))


def _saturation(f: dict[str, Any], spec: Spec, steady: Truth) -> None:
    """Derive saturation temperatures from the lagged pressures, the suction line's drop kept."""
    ref = refrigerant.load(spec.refrigerant)
    pressures = np.array([f["suction_pa"], f["discharge_pa"], steady.suction_pa])
    sat = ref.sat(np.clip(np.log(pressures), ref.lnp_min, ref.lnp_max))
    f["evaporating_k"] = float(sat.t_dew_k[0]) + steady.evaporating_k - float(sat.t_dew_k[2])
    f["condensing_k"] = float(sat.t_bubble_k[1])


def _air_side(f: dict[str, Any], gives: Given, steady: Truth, pull: Pull) -> None:
    """Derive supply air, capacity and water from the lagged air, so that they go on agreeing."""
    cools = steady.indoor_coil_surface_k < steady.room_db_k if steady.running else not pull.heats
    mass = _dry_air_kg_s(f["airflow_m3_s"], f["return_db_k"], f["return_w"], pull.p_atm_pa)
    if f["airflow_m3_s"] < STILL_M3_S:
        f["supply_db_k"], f["supply_w"] = f["return_db_k"], f["return_w"]
        mass = 0.0
    else:
        heat = gives.heat_j_kg + pull.melt_w / mass
        f["supply_w"] = max(f["return_w"] - gives.moisture, 1e-5)
        h_out = float(air.enthalpy_j_kg(f["return_db_k"], f["return_w"])) - heat
        f["supply_db_k"] = float(air.dry_bulb_from_enthalpy_k(h_out, f["supply_w"]))
    drop = f["return_db_k"] - f["supply_db_k"]
    f["split_k"] = 0.0 - drop if pull.heats else drop
    sign = 1.0 if cools else -1.0
    coil = gives.heat_j_kg * mass + (pull.melt_w if mass > 0.0 else 0.0) + f["indoor_fan_w"]
    f["capacity_w"] = sign * coil if mass > 0.0 else 0.0
    f["net_capacity_w"] = f["capacity_w"] - sign * f["indoor_fan_w"]
    f["latent_w"] = gives.latent_j_kg * mass
    f["sensible_w"] = f["capacity_w"] - f["latent_w"]
    water = max(gives.moisture, 0.0) * mass
    taken = steady.condensate_kg_s + steady.frost_kg_s
    share = steady.frost_kg_s / taken if steady.running and cools and taken > 0.0 else 0.0
    f["condensate_kg_s"] = (1.0 - share) * water
    if cools:
        f["frost_kg_s"] = share * water
    elif not steady.running:
        f["frost_kg_s"] = 0.0


def _electric(f: dict[str, Any], spec: Spec, steady: Truth, p_pa: float) -> None:
    """Derive humidity, wet-bulb, input and current from the rest."""
    supply_rh = float(air.relative_humidity(f["supply_db_k"], f["supply_w"], p_pa))
    f["supply_rh"] = min(1.0, supply_rh)
    f["return_wb_k"] = float(air.wet_bulb_k(f["return_db_k"], f["return_w"], p_pa))
    fans = f["indoor_fan_w"] + f["outdoor_fan_w"]
    f["power_w"] = f["compressor_w"] / spec.inverter_efficiency + fans + spec.standby_w
    per_watt = steady.current_a / steady.power_w if steady.power_w else 0.0
    f["current_a"] = f["power_w"] * per_watt
