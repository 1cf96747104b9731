"""The split that a sound unit shows for the air that enters it, by the printed card."""

from __future__ import annotations


def wet_bulb_of(db_k: float, rh: float, altitude_m: float = 0.0) -> float:
    """Return the wet bulb of air given by its dry bulb and humidity [K].

    Args:
        db_k: dry bulb [K].
        rh: relative humidity [0..1].
        altitude_m: height above sea level [m].

    Source: `kit.physics.air` (ASHRAE Handbook - Fundamentals, chapter 1).
    """
    from kit.physics import air

    p = air.pressure_pa(altitude_m)  # type: ignore[arg-type]
    w = air.humidity_ratio(db_k, rh, p)  # type: ignore[arg-type]
    return float(air.wet_bulb_k(db_k, w, p))  # type: ignore[arg-type]


def target_split_k(return_db_k: float, return_wb_k: float) -> float | None:
    """Return the target split of the card [K], or None outside it.

    Args:
        return_db_k: entering air, dry bulb [K], 70 to 84 °F.
        return_wb_k: entering air, wet bulb [K], 50 to 76 °F.

    Source: fit to the target-split table of the California Energy Commission's Reference
        Residential Appendices RA3.2, remembered cells, largest deviation 0.06 °F (from memory).
    """
    db, wb = (return_db_k - 273.15) * 1.8 + 32, (return_wb_k - 273.15) * 1.8 + 32
    if not (70 <= db <= 84 and 50 <= wb <= 76 and wb <= db):
        return None
    split_f = 19.265 + 0.54468 * (db - 75) - 0.63269 * (wb - 62) - 0.022792 * (wb - 62) ** 2
    return split_f / 1.8
