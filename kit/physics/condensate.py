"""Condensate: from the coil into the pan, down the drain, or over the edge."""

from __future__ import annotations

import math
from typing import Any

WETTED_PAN_KG = (
    0.15  # water over the outlet at which a clear drain carries its full flow: common practice
)


def drain_per_kg(clear_kg_s: Any, blockage: Any, slope_fault: Any) -> Any:
    """Return the drain's flow per mass of water standing over its outlet.

    Args:
        clear_kg_s: flow of the clear drain with its outlet well covered [kg/s].
        blockage: share of the drain's bore that is closed [0..1].
        slope_fault: 0 a good fall, 1 the outlet runs uphill [0..1].

    Returns:
        Flow per standing mass [1/s], zero with the drain closed.

    Source: own form: flow follows the open area squared and the head; common practice, no source.
    """
    return clear_kg_s * (1.0 - blockage) ** 2 * (1.0 - 0.85 * slope_fault) / WETTED_PAN_KG


def next_pan(
    pan_kg: float,
    inflow_kg_s: float,
    clear_kg_s: float,
    blockage: float,
    slope_fault: float,
    pan_full_kg: float,
    dt_s: float,
) -> tuple[float, float, float]:
    """Return the pan's water a moment later.

    Args:
        pan_kg: water standing now [kg].
        inflow_kg_s: water coming off the coil [kg/s].
        clear_kg_s: flow of the clear drain [kg/s].
        blockage: closed share of the bore [0..1].
        slope_fault: lack of fall [0..1].
        pan_full_kg: water at the pan's edge [kg].
        dt_s: time step [s].

    Returns:
        Water in the pan [kg], mean drain flow [kg/s], water over the edge [kg]; they balance.

    Source: water balance, exact for a flow proportional to the standing water.
    """
    rate = drain_per_kg(clear_kg_s, blockage, slope_fault)
    share = -math.expm1(-rate * dt_s)  # of what stands now, the part that leaves in this time
    drained = pan_kg * share
    if rate > 0.0:
        drained += inflow_kg_s * (dt_s - share / rate)
    pan = pan_kg + inflow_kg_s * dt_s - drained
    over = max(0.0, pan - pan_full_kg)
    return pan - over, drained / dt_s, over


def pour_time_s(
    poured_kg: float,
    pan_kg: float,
    clear_kg_s: float,
    blockage: float,
    slope_fault: float,
    pan_full_kg: float,
) -> tuple[float, float]:
    """Return how long a poured amount takes to drain, and what runs over the edge meanwhile.

    Args:
        poured_kg: water poured in at 0.02 kg/s [kg].
        pan_kg: water standing before [kg].
        clear_kg_s: flow of the clear drain [kg/s].
        blockage: closed share of the bore [0..1].
        slope_fault: lack of fall [0..1].
        pan_full_kg: water at the pan's edge [kg].

    Returns:
        Time until a twentieth of what was poured is left [s] (infinite when it does not drain
        within an hour), water over the edge [kg].

    Source: water balance; pour rate common practice, no source.
    """
    t, pan, over, left = 0.0, pan_kg, 0.0, poured_kg
    while t < 3600.0:
        give = min(left, 0.02)
        left -= give
        pan, _, spill = next_pan(pan, give, clear_kg_s, blockage, slope_fault, pan_full_kg, 1.0)
        over += spill
        t += 1.0
        if left <= 0.0 and pan <= 0.05 * poured_kg:
            return t, over
    return math.inf, over
