"""The split that a sound unit shows for the air that enters it: the unit's card, and a handbook's.

The unit's card is worked out by the engine for the same machine in perfect condition, at full
demand and fan auto, as a data sheet would state it. The handbook's is a published table for
ducted units in cooling, for comparison.
"""

from __future__ import annotations

import math
from functools import lru_cache

from kit.errors import KitError

BAND_K = 5 / 3  # 3 °F: California Energy Commission, Reference Residential Appendices RA3.2
RATING_OUTDOOR_K = {"cooling": 308.15, "heating": 280.15}  # 95 °F and 45 °F stand in a data sheet
FULL_DEMAND_K = 10.0
STEP_DIGITS = 3  # finer than any card is printed; the same on every computer


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
    return float(air.wet_bulb_k(db_k, air.humidity_ratio(db_k, rh, p), p))


def humidity_of(db_k: float, wb_k: float, altitude_m: float = 0.0) -> float:
    """Return the relative humidity of air given by its dry and wet bulb [0..1].

    Args:
        db_k: dry bulb [K].
        wb_k: wet bulb [K], not above the dry bulb.
        altitude_m: height above sea level [m].

    Source: `kit.physics.air` (ASHRAE Handbook - Fundamentals, chapter 1).
    """
    from kit.physics import air

    p = air.pressure_pa(altitude_m)
    w = air.humidity_ratio_from_wet_bulb(db_k, wb_k, p)
    return min(float(air.relative_humidity(db_k, w, p)), 1.0)


@lru_cache(maxsize=512)
def card_split_k(
    machine: str,
    mode: str,
    return_db_k: float,
    return_rh: float,
    outdoor_db_k: float | None = None,
    altitude_m: float = 0.0,
) -> float:
    """Return the split of the same machine in perfect condition [K]; nan outside its envelope.

    Args:
        machine: name of the machine.
        mode: "cooling" or "heating".
        return_db_k: entering air, dry bulb [K].
        return_rh: its relative humidity [0..1].
        outdoor_db_k: outdoor air [K]; the usual rating point when None.
        altitude_m: height above sea level [m].

    Source: `kit.machine.settle` of a healthy machine.
    """
    from kit import machine as engine

    sign = -1 if mode == "cooling" else 1
    setpoint = min(max(return_db_k + sign * FULL_DEMAND_K, 289.15), 305.15)  # ends of the remote
    outdoor = RATING_OUTDOOR_K[mode] if outdoor_db_k is None else outdoor_db_k
    try:
        around = engine.Surroundings(return_db_k, return_rh, outdoor, 0.5, altitude_m)
        truth = engine.settle(
            engine.load_spec(machine),
            engine.Condition(),
            around,
            engine.Command(mode=mode, setpoint_k=setpoint),
        )
    except KitError:
        return math.nan
    return round(float(truth.split_k), STEP_DIGITS)


def handbook_split_k(mode: str, return_db_k: float, return_wb_k: float) -> float:
    """Return the published target split for ducted units in cooling [K]; nan outside its table.

    Args:
        mode: "cooling"; there is no such table for heating.
        return_db_k: entering air, dry bulb [K], 70 to 84 °F.
        return_wb_k: entering air, wet bulb [K], 50 to 70 °F.

    Source: `kit.physics.textbook.target_split_k` (California Energy Commission, Reference
        Residential Appendices RA3.2; from memory), inside the printed table's range.
    """
    db, wb = (return_db_k - 273.15) * 1.8 + 32, (return_wb_k - 273.15) * 1.8 + 32
    hair = 1e-6  # a limit converted from another unit must not fail by its last digit
    inside = 70 - hair <= db <= 84 + hair and 50 - hair <= wb <= 70 + hair and wb <= db
    if mode != "cooling" or not inside:
        return math.nan
    from kit.physics import textbook

    return round(float(textbook.target_split_k(return_db_k, return_wb_k)), STEP_DIGITS)
