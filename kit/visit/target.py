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

    p = air.pressure_pa(altitude_m)
    w = air.humidity_ratio(db_k, rh, p)
    return float(air.wet_bulb_k(db_k, w, p))


def target_split_k(return_db_k: float, return_wb_k: float) -> float | None:
    """Return the target split of the card [K], or None outside it.

    Args:
        return_db_k: entering air, dry bulb [K], 70 to 84 °F.
        return_wb_k: entering air, wet bulb [K], 50 to 70 °F.

    Source: `kit.physics.textbook.target_split_k` (California Energy Commission, Reference
        Residential Appendices RA3.2; from memory), inside the printed table's range.
    """
    db, wb = (return_db_k - 273.15) * 1.8 + 32, (return_wb_k - 273.15) * 1.8 + 32
    if not (70 <= db <= 84 and 50 <= wb <= 70 and wb <= db):
        return None
    from kit.physics import textbook

    return float(textbook.target_split_k(return_db_k, return_wb_k))
