"""Recovery of refrigerant: how long it takes, and how much a cylinder may hold."""

from __future__ import annotations

from typing import Any, Final

import numpy as np

from kit.physics import charge
from kit.physics._types import Array
from kit.physics.refrigerant import Refrigerant

FILL_LIMIT: Final = 0.8  # share of a cylinder's volume that liquid at 25 degC may take
FILL_AT_K: Final = 298.15  # 77 degF
STEP_S: Final = 5.0


def fill_limit_kg(refrigerant: Refrigerant, water_capacity_kg: Array) -> Array:
    """Return the mass of refrigerant that a recovery cylinder may hold.

    Args:
        refrigerant: what is in it.
        water_capacity_kg: water it would hold when full, stamped on its collar [kg].

    Returns:
        Net mass of refrigerant [kg].

    Source: AHRI Guideline K as told in the trade press (achrnews.com/articles/111771): 80 % of
        the water capacity times the specific gravity at 77 degF.
    """
    return FILL_LIMIT * water_capacity_kg * refrigerant.rho_liquid(FILL_AT_K) / 1000.0


def standing_kg(
    refrigerant: Refrigerant, pressure_pa: float, volume_m3: float, t_k: float, oil_kg: float
) -> float:
    """Return the mass left in a standing circuit that holds vapour only, oil's share included.

    Args:
        refrigerant: property tables.
        pressure_pa: pressure of the refrigerant [Pa absolute], below saturation.
        volume_m3: volume of the circuit [m3].
        t_k: its temperature [K].
        oil_kg: oil in the compressor [kg].

    Returns:
        Total mass [kg].

    Source: vapour by volume and density, then `charge.free_kg` inverted.
    """
    free = volume_m3 * float(vapour_density_kg_m3(refrigerant, pressure_pa, t_k))
    held = oil_kg * charge.OIL_SOLUBILITY
    while_thin = free / (1.0 - held / charge.OIL_FULL_KG)
    return while_thin if while_thin <= charge.OIL_FULL_KG else free + held


def recovered(
    refrigerant: Refrigerant,
    start_kg: float,
    stop_pa: float,
    volume_m3: float,
    t_k: float,
    oil_kg: float,
    displacement_m3_s: float,
) -> tuple[float, float]:
    """Return what is left after vapour recovery down to a pressure, and how long it takes.

    Args:
        refrigerant: property tables.
        start_kg: refrigerant in the circuit [kg].
        stop_pa: pressure at which the machine is stopped [Pa absolute].
        volume_m3: volume of the circuit [m3].
        t_k: its temperature [K].
        oil_kg: oil in the compressor [kg].
        displacement_m3_s: volume that the recovery machine draws in through its hose [m3/s].

    Returns:
        Mass left [kg], time [s].

    Source: steady displacement of vapour at the circuit's pressure; the circuit is taken to stay
        at its temperature (common practice, no source).
    """
    left = min(start_kg, standing_kg(refrigerant, stop_pa, volume_m3, t_k, oil_kg))
    mass, elapsed = start_kg, 0.0
    while mass > left:
        free = charge.free_kg(mass, oil_kg)
        pressure = charge.standing_pressure_pa(refrigerant, free, volume_m3, t_k)
        flow = displacement_m3_s * float(vapour_density_kg_m3(refrigerant, pressure, t_k))
        step = min(STEP_S, (mass - left) / flow)
        mass, elapsed = mass - flow * step, elapsed + step
        if mass - left < 1e-9:
            break
    return left, elapsed


def vapour_density_kg_m3(refrigerant: Refrigerant, pressure_pa: Any, t_k: Any) -> Array:
    """Return the density of refrigerant vapour, an ideal gas below the tables.

    Args:
        refrigerant: property tables.
        pressure_pa: pressure [Pa absolute], at or below saturation.
        t_k: temperature [K].

    Returns:
        Density [kg/m3].

    Source: CoolProp 8, tabulated; ideal gas below the tables' lowest pressure.
    """
    lnp = np.log(np.maximum(pressure_pa, 1e-3))
    inside = np.clip(lnp, refrigerant.lnp_min, refrigerant.lnp_max)
    here = refrigerant.sat(inside)
    rho = refrigerant.vapour_pt(inside, np.maximum(t_k - here.t_dew_k, 0.0)).rho
    return rho * np.exp(np.minimum(lnp - inside, 0.0))
