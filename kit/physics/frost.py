"""Frost and ice: growth is what the coil takes from the air below 0 degC; here is the melting."""

from __future__ import annotations

from kit.physics.coil import FUSION_J_KG

MELTING_K = 273.15


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
