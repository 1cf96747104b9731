"""Moist air: the equations of ASHRAE Handbook - Fundamentals, chapter 1, on scalars or arrays.

The handbook's saturation-pressure polynomials are laid out once in a table of ln p (0.05 K steps,
within 2e-7 of the polynomials) because this is the innermost call of every coil. Temperatures are
[K], humidity ratios [kg water/kg dry air], enthalpies [J/kg dry air] above dry air and liquid
water at 0 degC. Nothing here checks its input: the envelope is checked where values enter.
"""

from __future__ import annotations

from typing import Final

import numpy as np

from kit.physics._types import Array

ZERO_C_K: Final = 273.15
TRIPLE_POINT_K: Final = 273.16
MOLAR_MASS_RATIO: Final = 0.621945  # water/dry air, handbook ch. 1 eq. 20
GAS_CONSTANT_DRY_AIR: Final = 287.042  # [J/(kg K)], handbook ch. 1 eq. 1
CP_DRY_AIR: Final = 1006.0  # [J/(kg K)], handbook ch. 1 eq. 30
CP_VAPOUR: Final = 1860.0  # [J/(kg K)], handbook ch. 1 eq. 30
CP_WATER: Final = 4186.0  # [J/(kg K)], handbook ch. 1 eq. 33
CP_ICE: Final = 2100.0  # [J/(kg K)], handbook ch. 1 eq. 35
H_FG: Final = 2_501_000.0  # [J/kg] evaporation at 0 degC, handbook ch. 1 eq. 30
H_IG: Final = 2_830_000.0  # [J/kg] sublimation at 0 degC, handbook ch. 1 eq. 35
H_IF: Final = H_IG - H_FG  # [J/kg] fusion, as the two above imply
STANDARD_PRESSURE_PA: Final = 101_325.0

_ICE = (-5.6745359e3, 6.3925247, -9.677843e-3, 6.2215701e-7, 2.0747825e-9, -9.484024e-13, 4.1635019)
_WATER = (-5.8002206e3, 1.3914993, -4.8640239e-2, 4.1764768e-5, -1.4452093e-8, 6.5459673)


def _ln_saturation_pressure(t: Array) -> Array:
    """Return ln p_ws [ln Pa] from the handbook's polynomials (ch. 1, eq. 5 ice and 6 water)."""
    a, b = _ICE, _WATER
    ice = a[0] / t + a[1] + t * (a[2] + t * (a[3] + t * (a[4] + t * a[5]))) + a[6] * np.log(t)
    water = b[0] / t + b[1] + t * (b[2] + t * (b[3] + t * b[4])) + b[5] * np.log(t)
    return np.where(t <= TRIPLE_POINT_K, ice, water)


_STEP_K: Final = 0.05
_FIRST_K: Final = TRIPLE_POINT_K - 2100 * _STEP_K  # a node lies on the triple point
_T_NODES = _FIRST_K + _STEP_K * np.arange(4201)
_LNP_NODES = _ln_saturation_pressure(_T_NODES)
_LNP_SLOPES = np.diff(_LNP_NODES)
_LAST = float(len(_LNP_SLOPES) - 1)


def pressure_pa(altitude_m: Array) -> Array:
    """Return the standard atmosphere's pressure at a height.

    Args:
        altitude_m: height above sea level [m], -5000 to 11000.

    Returns:
        Pressure [Pa].

    Source: ASHRAE Handbook - Fundamentals ch. 1, eq. 3.
    """
    return STANDARD_PRESSURE_PA * (1.0 - 2.25577e-5 * altitude_m) ** 5.2559


def saturation_pressure_pa(t_k: Array) -> Array:
    """Return the saturation pressure of water, over ice up to the triple point, else over water.

    Args:
        t_k: temperature [K], 173 to 378.

    Returns:
        Pressure [Pa].

    Source: ASHRAE Handbook - Fundamentals ch. 1, eqs. 5 and 6 (see the module's note).
    """
    u = (t_k - _FIRST_K) * (1.0 / _STEP_K)
    i = np.minimum(np.maximum(u, 0.0), _LAST).astype(np.intp)
    return np.exp(_LNP_NODES.take(i, mode="clip") + (u - i) * _LNP_SLOPES.take(i, mode="clip"))


def humidity_ratio(db_k: Array, rh: Array, p_pa: Array) -> Array:
    """Return the humidity ratio from relative humidity.

    Args:
        db_k: dry-bulb temperature [K].
        rh: relative humidity [0..1].
        p_pa: barometric pressure [Pa].

    Returns:
        Humidity ratio [kg/kg].

    Source: ASHRAE Handbook - Fundamentals ch. 1, eqs. 20 and 22.
    """
    vapour = rh * saturation_pressure_pa(db_k)
    return MOLAR_MASS_RATIO * vapour / (p_pa - vapour)


def saturation_humidity_ratio(t_k: Array, p_pa: Array) -> Array:
    """Return the humidity ratio of saturated air.

    Args:
        t_k: temperature [K].
        p_pa: barometric pressure [Pa].

    Returns:
        Humidity ratio [kg/kg].

    Source: ASHRAE Handbook - Fundamentals ch. 1, eq. 21.
    """
    vapour = saturation_pressure_pa(t_k)
    return MOLAR_MASS_RATIO * vapour / (p_pa - vapour)


def enthalpy_j_kg(db_k: Array, w: Array) -> Array:
    """Return the enthalpy of moist air.

    Args:
        db_k: dry-bulb temperature [K].
        w: humidity ratio [kg/kg].

    Returns:
        Enthalpy [J/kg dry air].

    Source: ASHRAE Handbook - Fundamentals ch. 1, eq. 30.
    """
    t = db_k - ZERO_C_K
    return CP_DRY_AIR * t + w * (H_FG + CP_VAPOUR * t)


def saturation_enthalpy_j_kg(t_k: Array, p_pa: Array) -> Array:
    """Return the enthalpy of saturated air.

    Args:
        t_k: temperature [K].
        p_pa: barometric pressure [Pa].

    Returns:
        Enthalpy [J/kg dry air].

    Source: ASHRAE Handbook - Fundamentals ch. 1, eqs. 21 and 30.
    """
    return enthalpy_j_kg(t_k, saturation_humidity_ratio(t_k, p_pa))


def dry_bulb_from_enthalpy_k(h_j_kg: Array, w: Array) -> Array:
    """Return the dry-bulb temperature of air of known enthalpy and humidity ratio.

    Args:
        h_j_kg: enthalpy [J/kg dry air].
        w: humidity ratio [kg/kg].

    Returns:
        Dry-bulb temperature [K].

    Source: ASHRAE Handbook - Fundamentals ch. 1, eq. 30, solved for temperature.
    """
    return ZERO_C_K + (h_j_kg - H_FG * w) / (CP_DRY_AIR + CP_VAPOUR * w)


def relative_humidity(db_k: Array, w: Array, p_pa: Array) -> Array:
    """Return the relative humidity.

    Args:
        db_k: dry-bulb temperature [K].
        w: humidity ratio [kg/kg].
        p_pa: barometric pressure [Pa].

    Returns:
        Relative humidity [0..1]; above 1 where the air is supersaturated.

    Source: ASHRAE Handbook - Fundamentals ch. 1, eqs. 20 and 22.
    """
    return p_pa * w / (MOLAR_MASS_RATIO + w) / saturation_pressure_pa(db_k)


def dew_point_k(w: Array, p_pa: Array) -> Array:
    """Return the dew point (the frost point below the triple point).

    Args:
        w: humidity ratio [kg/kg], above 1e-7.
        p_pa: barometric pressure [Pa].

    Returns:
        Dew-point temperature [K].

    Source: ASHRAE Handbook - Fundamentals ch. 1, eqs. 5 and 6, inverted.
    """
    vapour = p_pa * w / (MOLAR_MASS_RATIO + w)
    return np.interp(np.log(np.maximum(vapour, 1e-9)), _LNP_NODES, _T_NODES)


def humidity_ratio_from_wet_bulb(db_k: Array, wb_k: Array, p_pa: Array) -> Array:
    """Return the humidity ratio from dry and thermodynamic wet bulb.

    Args:
        db_k: dry-bulb temperature [K].
        wb_k: wet-bulb temperature [K], not above the dry bulb.
        p_pa: barometric pressure [Pa].

    Returns:
        Humidity ratio [kg/kg].

    Source: ASHRAE Handbook - Fundamentals ch. 1, eq. 33 (water) and 35 (ice, below 0 degC).
    """
    wb = wb_k - ZERO_C_K
    w_s = saturation_humidity_ratio(wb_k, p_pa)
    latent, slope, cp_liquid = _wick(wb >= 0.0)
    above = db_k - wb_k
    vapour = CP_VAPOUR * (db_k - ZERO_C_K) + latent - cp_liquid * wb
    return ((latent - slope * wb) * w_s - CP_DRY_AIR * above) / vapour


def _wick(is_water: Array) -> tuple[Array, Array, Array]:
    """Return latent heat, its fall with temperature and the wick's specific heat."""
    return (
        np.where(is_water, H_FG, H_IG),
        np.where(is_water, CP_WATER - CP_VAPOUR, CP_ICE - CP_VAPOUR),
        np.where(is_water, CP_WATER, CP_ICE),
    )


def wet_bulb_k(db_k: Array, w: Array, p_pa: Array) -> Array:
    """Return the thermodynamic wet bulb, by seven Newton steps from the dry bulb.

    The residual is convex and rising, so the steps approach from above without overshoot. Water
    is assumed on the wick when the air is at least as moist as at a wet bulb of 0 degC over
    water, else ice.

    Args:
        db_k: dry-bulb temperature [K], 230 to 340.
        w: humidity ratio [kg/kg], from 0 to saturation.
        p_pa: barometric pressure [Pa].

    Returns:
        Wet-bulb temperature [K].

    Source: ASHRAE Handbook - Fundamentals ch. 1, eqs. 33 and 35, solved for wet bulb.
    """
    is_water = w >= humidity_ratio_from_wet_bulb(db_k, ZERO_C_K + 0.0 * db_k, p_pa)
    latent, slope, cp_liquid = _wick(is_water)
    db = db_k - ZERO_C_K
    wb = np.where(is_water, db, np.minimum(db, 0.0))
    for _ in range(7):
        u = (wb + (ZERO_C_K - _FIRST_K)) * (1.0 / _STEP_K)
        i = np.minimum(np.maximum(u, 0.0), _LAST).astype(np.intp)
        d_lnp = _LNP_SLOPES.take(i, mode="clip")
        vapour = np.exp(_LNP_NODES.take(i, mode="clip") + (u - i) * d_lnp)
        dry = p_pa - vapour
        w_s = MOLAR_MASS_RATIO * vapour / dry
        evaporation = latent - slope * wb
        balance = (
            evaporation * w_s
            - CP_DRY_AIR * (db - wb)
            - w * (latent + CP_VAPOUR * db - cp_liquid * wb)
        )
        dw_s = w_s * d_lnp * (p_pa / _STEP_K) / dry
        wb = wb - balance / (evaporation * dw_s - slope * w_s + CP_DRY_AIR + cp_liquid * w)
    return wb + ZERO_C_K


def specific_volume_m3_kg(db_k: Array, w: Array, p_pa: Array) -> Array:
    """Return the volume of moist air for each kilogram of dry air.

    Args:
        db_k: dry-bulb temperature [K].
        w: humidity ratio [kg/kg].
        p_pa: barometric pressure [Pa].

    Returns:
        Specific volume [m3/kg dry air].

    Source: ASHRAE Handbook - Fundamentals ch. 1, eq. 26.
    """
    return GAS_CONSTANT_DRY_AIR * db_k * (1.0 + 1.607858 * w) / p_pa


def density_kg_m3(db_k: Array, w: Array, p_pa: Array) -> Array:
    """Return the density of moist air, water included.

    Args:
        db_k: dry-bulb temperature [K].
        w: humidity ratio [kg/kg].
        p_pa: barometric pressure [Pa].

    Returns:
        Density [kg/m3].

    Source: ASHRAE Handbook - Fundamentals ch. 1, eq. 11.
    """
    return (1.0 + w) / specific_volume_m3_kg(db_k, w, p_pa)


def specific_heat_j_kgk(w: Array) -> Array:
    """Return the specific heat of moist air at constant humidity ratio.

    Args:
        w: humidity ratio [kg/kg].

    Returns:
        Specific heat [J/(kg dry air K)].

    Source: ASHRAE Handbook - Fundamentals ch. 1, eq. 30, differentiated.
    """
    return CP_DRY_AIR + CP_VAPOUR * w
