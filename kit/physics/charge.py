"""Refrigerant inventory: where the charge lies while the machine runs and when it stands."""

from __future__ import annotations

from typing import Any

import numpy as np

from kit.physics.refrigerant import Refrigerant

GAS_CONSTANT_AIR = 287.055  # J/(kg K); ASHRAE Fundamentals ch. 1 eq. 1
# Refrigerant dissolved in the compressor's oil, kg per kg at running state: common practice.
OIL_SOLUBILITY = 0.12
THIN = 0.03  # share of saturated density below which vapour is taken as ideal
OIL_FULL_KG = 0.1  # charge from which the oil holds all it can: common practice, no source


def free_kg(charge_kg: Any, oil_kg: Any) -> Any:
    """Return the refrigerant that the oil of a standing machine does not hold.

    Args:
        charge_kg: refrigerant in the machine [kg].
        oil_kg: oil in the compressor [kg].

    Returns:
        Free refrigerant [kg].

    Source: common practice, no source (in step with the charge while little is left).
    """
    dissolved = oil_kg * OIL_SOLUBILITY * np.minimum(1.0, charge_kg / OIL_FULL_KG)
    return np.maximum(charge_kg - dissolved, 0.0)


def air_pressure_pa(air_kg: Any, volume_m3: Any, t_k: Any) -> Any:
    """Return the partial pressure of air shut in a volume.

    Args:
        air_kg: mass of air [kg].
        volume_m3: volume of the gas space [m3].
        t_k: temperature [K].

    Returns:
        Partial pressure [Pa].

    Source: ideal gas; partial pressures add (Dalton).
    """
    return air_kg * GAS_CONSTANT_AIR * t_k / volume_m3


def standing_pressure_pa(refrigerant: Refrigerant, mass_kg: Any, volume_m3: Any, t_k: Any) -> Any:
    """Return the refrigerant's pressure in a machine that has stood until equalised.

    Args:
        refrigerant: property tables.
        mass_kg: free refrigerant [kg].
        volume_m3: volume of the whole circuit [m3].
        t_k: temperature of the coldest soaked part [K].

    Returns:
        Pressure [Pa]: saturation while liquid remains, less when all is vapour.

    Source: two-phase equilibrium; all-vapour states by density from the property tables.
    """
    lnp_sat = refrigerant.lnp_dew(t_k)
    density = mass_kg / volume_m3
    sat = refrigerant.sat(lnp_sat)
    lnp = lnp_sat + np.log(np.clip(density / sat.rho_v, THIN, 1.0))
    for _ in range(12):  # fixed point on p = rho_wanted * p / rho(p, T); contracts by 1 - z
        here = refrigerant.sat(lnp)
        rho = refrigerant.vapour_pt(lnp, np.maximum(t_k - here.t_dew_k, 0.0)).rho
        lnp = np.minimum(lnp + np.log(np.maximum(density, THIN * sat.rho_v) / rho), lnp_sat)
    vapour = np.exp(lnp) * np.minimum(1.0, density / (THIN * sat.rho_v))
    liquid_left = density >= sat.rho_v
    bubble = np.exp(refrigerant.lnp_bubble(t_k))
    # With much liquid a blend stands near its bubble pressure; quality by the lever rule on volume.
    quality = np.clip(
        (1.0 / np.maximum(density, 1e-9) - 1.0 / sat.rho_l) / (1.0 / sat.rho_v - 1.0 / sat.rho_l),
        0.0,
        1.0,
    )
    mixed = bubble + (np.exp(lnp_sat) - bubble) * quality
    return np.where(liquid_left, mixed, vapour)
