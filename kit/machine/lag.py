"""What has mass runs after the quasi-steady state with its own time constant."""

from __future__ import annotations

import math
from dataclasses import fields
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
HOT_START_K = 301.15  # indoor coil at which the fan starts in heating
HOT_START_BAND_K = 6.0
HOT_START_LONGEST_S = 300.0

_PRESSURES = ("suction_pa", "discharge_pa")
_COIL = ("sensible_w", "latent_w", "capacity_w", "indoor_coil_surface_k", "outdoor_coil_surface_k",
         "heat_rejected_w", "heat_absorbed_w", "return_db_k", "return_w", "condensate_kg_s", "frost_kg_s")
_PIPES = ("suction_line_k", "liquid_line_k", "liquid_line_drop_k", "valve_outlet_k", "superheat_k",
          "subcooling_k", "outdoor_supply_k")
_SHELL = ("discharge_line_k",)
_FAN = ("airflow_m3_s", "indoor_fan_w", "outdoor_fan_w", "indoor_fan_rpm", "outdoor_fan_rpm", "outdoor_airflow_m3_s")
_POWER = ("compressor_w", "refrigerant_kg_s", "valve_opening", "shell_loss_w")


def hot_start_share(truth: Truth, running_s: float) -> float:
    """Return how far the indoor fan is let go in heating while the coil warms up [0.05..1].

    Args:
        truth: state now.
        running_s: time since the compressor started [s].

    Returns:
        Share of the fan's speed; 1 once the coil is warm or five minutes have passed.
    """
    if running_s > HOT_START_LONGEST_S:
        return 1.0
    return min(1.0, max(0.05, (truth.indoor_coil_surface_k - HOT_START_K) / HOT_START_BAND_K))


def relaxed(truth: Truth, steady: Truth, spec: Spec, dt: float, p_pa: float, fan_held: float = 1.0) -> Truth:
    """Return the state after `dt` on its way from `truth` to `steady`.

    Args:
        truth: state now.
        steady: state that would be reached with time.
        spec: the machine.
        dt: time step [s].
        p_pa: atmospheric pressure [Pa].
        fan_held: share of the indoor fan's speed that the hot start allows [0..1].

    Returns:
        New Truth; supply air and split follow from the lagged heat and the airflow, saturation
        temperatures from the lagged pressures, so that the readings go on agreeing.
    """
    f = {x.name: getattr(steady, x.name) for x in fields(Truth)}

    def run_after(names: tuple[str, ...], tau: float) -> None:
        share = -math.expm1(-dt / tau)
        for name in names:
            old = getattr(truth, name)
            f[name] = old + (f[name] - old) * share

    if fan_held < 1.0:
        for name in ("airflow_m3_s", "indoor_fan_w", "indoor_fan_rpm", "capacity_w", "sensible_w"):
            f[name] *= fan_held
    run_after(_FAN, FAN_S)
    run_after(_COIL, COIL_S)
    run_after(_PIPES, PIPE_S)
    run_after(_SHELL, SHELL_S)
    run_after(_POWER, FAN_S if not steady.running else 15.0)
    tau = PRESSURE_S if steady.running else EQUALISE_S
    share = -math.expm1(-dt / tau)
    for name in _PRESSURES:
        f[name] = math.exp(math.log(getattr(truth, name)) * (1 - share) + math.log(f[name]) * share)
    _saturation(f, spec, steady)
    _supply(f, steady, p_pa)
    _electric(f, spec, steady, p_pa)
    return Truth(**f)


def _saturation(f: dict[str, Any], spec: Spec, steady: Truth) -> None:
    ref = refrigerant.load(spec.refrigerant)
    lowest, highest = math.exp(ref.lnp_min), math.exp(ref.lnp_max)
    low, high = (min(max(f[n], lowest), highest) for n in _PRESSURES)
    f["evaporating_k"] = float(ref.sat(np.log(low)).t_dew_k)
    f["condensing_k"] = float(ref.sat(np.log(high)).t_bubble_k)
    if steady.running and steady.suction_pa != f["suction_pa"]:
        # Saturation at the coil, not at the compressor: keep the suction line's drop.
        f["evaporating_k"] += steady.evaporating_k - float(ref.sat(np.log(steady.suction_pa)).t_dew_k)


def _supply(f: dict[str, Any], steady: Truth, p_pa: float) -> None:
    """Derive supply air from lagged heat, so that air side and heat go on agreeing."""
    flow = f["airflow_m3_s"]
    steady_mass = steady.airflow_m3_s / float(air.specific_volume_m3_kg(steady.return_db_k, steady.return_w, p_pa))
    mass = flow / float(air.specific_volume_m3_kg(f["return_db_k"], f["return_w"], p_pa))
    if flow < 1e-3 or steady_mass <= 0.0:
        f["supply_db_k"], f["supply_w"] = f["return_db_k"], f["return_w"]
        f["split_k"] = 0.0
        return
    cools = steady.indoor_coil_surface_k < steady.return_db_k
    sign = 1.0 if cools else -1.0
    h_in = float(air.enthalpy_j_kg(f["return_db_k"], f["return_w"]))
    f["net_capacity_w"] = f["capacity_w"] - sign * f["indoor_fan_w"]
    moisture = f["latent_w"] / 2_501_000.0 if cools else 0.0
    f["supply_w"] = max(f["return_w"] - moisture / mass, 1e-5)
    h_out = h_in - sign * f["net_capacity_w"] / mass
    f["supply_db_k"] = float(air.dry_bulb_from_enthalpy_k(h_out, f["supply_w"]))
    job = 1.0 if steady.split_k * (steady.return_db_k - steady.supply_db_k) >= 0 else -1.0
    f["split_k"] = job * (f["return_db_k"] - f["supply_db_k"])


def _electric(f: dict[str, Any], spec: Spec, steady: Truth, p_pa: float) -> None:
    f["supply_rh"] = min(1.0, float(air.relative_humidity(f["supply_db_k"], f["supply_w"], p_pa)))
    f["return_wb_k"] = float(air.wet_bulb_k(f["return_db_k"], f["return_w"], p_pa))
    power = f["compressor_w"] / spec.inverter_efficiency + f["indoor_fan_w"] + f["outdoor_fan_w"] + spec.standby_w
    per_watt = steady.current_a / steady.power_w if steady.power_w else 0.0
    f["power_w"], f["current_a"] = power, power * per_watt
