"""Frost and ice: which part of what a coil takes from the air freezes, and how fast ice melts."""

from __future__ import annotations

from typing import Any

import numpy as np

from kit.physics.coil import FUSION_J_KG

MELTING_K = 273.15
# Where the refrigerant enters, the fins are nearly as cold as it: common practice, no source.
INLET_SHARE = 0.1  # of the way from evaporating temperature to the mean surface


def frozen_share(evaporating_k: Any, surface_k: Any) -> Any:
    """Return the share of the moisture on a coil that freezes.

    Args:
        evaporating_k: evaporating temperature [K].
        surface_k: mean surface of the wet coil [K], not below `evaporating_k`.

    Returns:
        Share [0..1]: the part of the face below freezing.

    Source: linear surface temperature from the inlet's fins, as far above the mean at the other
        end as these are below it; common practice, no source.
    """
    below = (1.0 - INLET_SHARE) * np.maximum(surface_k - evaporating_k, 1e-6)
    return np.clip((MELTING_K - (surface_k - below)) / (2.0 * below), 0.0, 1.0)


def melt_kg_s(ice_kg: float, warm_k: float, rate_w_k: float, extra_w: float) -> float:
    """Return how fast ice melts off a coil.

    Args:
        ice_kg: ice on the coil [kg].
        warm_k: what warms it: air blown over it, or the metal under it [K].
        rate_w_k: heat it takes from there per kelvin above melting [W/K].
        extra_w: heat from elsewhere, as from a reversed cycle [W].

    Returns:
        Melting rate [kg/s]; zero without ice or heat.

    Source: heat balance with the heat of fusion.
    """
    if ice_kg <= 0.0:
        return 0.0
    return (max(warm_k - MELTING_K, 0.0) * rate_w_k + extra_w) / FUSION_J_KG
