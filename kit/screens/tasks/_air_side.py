"""Moist air and the duty of a coil from readings, as several lessons work them out."""

from __future__ import annotations

from typing import NamedTuple

from kit.visit.outcome import Line, line
from kit.visit.target import humidity_of

PRESSURE_PA = 101325.0  # sea level, as handbooks' examples
ZERO_C_K = 273.15


class Moist(NamedTuple):
    """One state of moist air at sea level: [K], [0..1], [kg/kg], [J/kg] and [m3/kg] of dry air."""

    db_k: float
    rh: float
    wet_bulb_k: float
    dew_k: float
    ratio: float
    enthalpy_j_kg: float
    volume_m3_kg: float


class Duty(NamedTuple):
    """What a cooling coil takes from the air [W], and the water it takes out [kg/s]."""

    total_w: float
    sensible_w: float
    latent_w: float
    condensate_kg_s: float


def air_of_wet_bulb(db_k: float, wb_k: float) -> Moist:
    """Return the air that a psychrometer shows.

    Args:
        db_k: dry bulb [K].
        wb_k: wet bulb [K], not above the dry bulb.

    Source:
        psychrolib 2.5, which follows the ASHRAE Handbook - Fundamentals, chapter 1.
    """
    import psychrolib

    psychrolib.SetUnitSystem(psychrolib.SI)
    ratio, dew_c, rh, _, h, v, _ = psychrolib.CalcPsychrometricsFromTWetBulb(
        db_k - ZERO_C_K, wb_k - ZERO_C_K, PRESSURE_PA
    )
    saturated_at_most = min(rh, 1.0)  # equal bulbs come out a last bit above
    return Moist(db_k, saturated_at_most, wb_k, dew_c + ZERO_C_K, ratio, h, v)


def impossible(db_k: float, wb_k: float) -> Line | None:
    """Return why no air can show these two bulbs, or None.

    Args:
        db_k: dry bulb [K].
        wb_k: wet bulb [K].
    """
    if wb_k > db_k:
        return line("A wet bulb cannot be above the dry bulb. Look at both again.")
    if humidity_of(db_k, wb_k) <= 0.0:
        return line("No air is so dry that its wet bulb would be this low. Look at both again.")
    return None


def air_of_humidity(db_k: float, rh: float) -> Moist:
    """Return the air that a hygrometer shows.

    Args:
        db_k: dry bulb [K].
        rh: relative humidity [0..1].

    Source:
        psychrolib 2.5, which follows the ASHRAE Handbook - Fundamentals, chapter 1.
    """
    import psychrolib

    psychrolib.SetUnitSystem(psychrolib.SI)
    ratio, wb_c, dew_c, _, h, v, _ = psychrolib.CalcPsychrometricsFromRelHum(
        db_k - ZERO_C_K, rh, PRESSURE_PA
    )
    return Moist(db_k, rh, wb_c + ZERO_C_K, dew_c + ZERO_C_K, ratio, h, v)


def duty_of(airflow_m3_s: float, entering: Moist, leaving: Moist) -> Duty:
    """Return what a coil takes from an air stream, by the air-enthalpy method.

    Args:
        airflow_m3_s: volume flow of the entering air [m3/s].
        entering: air before the coil.
        leaving: air after it.

    Source:
        ANSI/ASHRAE Standard 37, indoor air enthalpy method (from memory), with psychrolib's
        enthalpies; the sensible part is that of the leaving air's mixture.
    """
    import psychrolib

    psychrolib.SetUnitSystem(psychrolib.SI)
    dry_kg_s = airflow_m3_s / entering.volume_m3_kg
    warm = psychrolib.GetMoistAirEnthalpy(entering.db_k - ZERO_C_K, leaving.ratio)
    total = dry_kg_s * (entering.enthalpy_j_kg - leaving.enthalpy_j_kg)
    sensible = dry_kg_s * (warm - leaving.enthalpy_j_kg)
    water = dry_kg_s * (entering.ratio - leaving.ratio)
    return Duty(total, sensible, total - sensible, water)
