"""NTC thermistors: resistance from temperature and back, with the tolerance of a sound part.

Every function takes numbers or numpy arrays.
"""

from __future__ import annotations

from typing import Any, cast

import numpy as np
from numpy.typing import NDArray

from kit.errors import OutOfRangeError

Reals = float | NDArray[np.float64]

T25_K = 298.15


def ntc_resistance_ohm(temperature_k: Reals, r25_ohm: float, beta_k: float) -> Reals:
    """Give the resistance of an NTC thermistor by the two-point beta law.

    Args:
        temperature_k: temperature of the thermistor [K], 200 to 450.
        r25_ohm: resistance at 25 C [ohm], above 0.
        beta_k: beta value [K], 1000 to 6000.

    Returns:
        Resistance [ohm].

    Raises:
        OutOfRangeError: a value outside its range.

    Source: R = R25 exp(B (1/T - 1/298.15)), component sheets, e.g. dtsheet.com 356761.
    """
    inside("temperature_k", temperature_k, 200.0, 450.0)
    inside("r25_ohm", r25_ohm, 1.0, 1e7)
    inside("beta_k", beta_k, 1000.0, 6000.0)
    return cast("Reals", r25_ohm * np.exp(beta_k * (1.0 / np.asarray(temperature_k) - 1.0 / T25_K)))


def ntc_temperature_k(resistance_ohm: Reals, r25_ohm: float, beta_k: float) -> Reals:
    """Give the temperature at which an NTC thermistor has a resistance (beta law).

    Args:
        resistance_ohm: resistance measured, leads taken off [ohm], 1 to 1e8.
        r25_ohm: resistance at 25 C [ohm], above 0.
        beta_k: beta value [K], 1000 to 6000.

    Returns:
        Temperature [K].

    Raises:
        OutOfRangeError: a value outside its range; an open or shorted thermistor has none.

    Source: inverse of the law in `ntc_resistance_ohm`.
    """
    inside("resistance_ohm", resistance_ohm, 1.0, 1e8)
    inside("r25_ohm", r25_ohm, 1.0, 1e7)
    inside("beta_k", beta_k, 1000.0, 6000.0)
    return cast(
        "Reals", 1.0 / (1.0 / T25_K + np.log(np.asarray(resistance_ohm) / r25_ohm) / beta_k)
    )


def ntc_tolerance(
    temperature_k: Reals, beta_k: float, r25_tolerance: float, beta_tolerance: float
) -> Reals:
    """Give the largest relative deviation of a sound thermistor from its table.

    Args:
        temperature_k: temperature of the thermistor [K], 200 to 450.
        beta_k: beta value [K], 1000 to 6000.
        r25_tolerance: tolerance of the resistance at 25 C [fraction], 0 to 0.2.
        beta_tolerance: tolerance of beta [fraction], 0 to 0.1.

    Returns:
        Relative deviation [fraction].

    Raises:
        OutOfRangeError: a value outside its range.

    Source: equation (3) of a standardized R/T characteristics sheet, docplayer.gr/21620017.
    """
    inside("temperature_k", temperature_k, 200.0, 450.0)
    inside("beta_k", beta_k, 1000.0, 6000.0)
    inside("r25_tolerance", r25_tolerance, 0.0, 0.2)
    inside("beta_tolerance", beta_tolerance, 0.0, 0.1)
    apart = np.abs(1.0 / np.asarray(temperature_k) - 1.0 / T25_K)
    return cast("Reals", r25_tolerance + beta_tolerance * beta_k * apart)


def inside(name: str, value: Any, low: float, high: float) -> None:
    """Refuse any value outside a closed range, or not a number.

    Args:
        name: what was given, with its unit.
        value: the value, or an array of values [any].
        low: lowest value allowed [as value].
        high: highest value allowed [as value].

    Raises:
        OutOfRangeError: any value outside the range.

    Source: none, a check of input.
    """
    array = np.asarray(value, dtype=float)
    if not bool(np.all((array >= low) & (array <= high))):
        raise OutOfRangeError(f"electrics: {name}", value, low, high, "Give a value in this range.")
