"""Frost and ice: growth is what the coil takes from the air below 0 degC; here is the melting."""

from __future__ import annotations

from kit.physics.coil import FUSION_J_KG


def melt_kg_s(ice_kg: float, air_k: float, rate_w_k: float, reverse_heat_w: float) -> float:
    """Return how fast ice melts off a coil.

    Args:
        ice_kg: ice on the coil [kg].
        air_k: air blown over it [K].
        rate_w_k: capacity rate of that air times its contact factor [W/K].
        reverse_heat_w: heat from a reversed cycle [W].

    Returns:
        Melting rate [kg/s]; zero without ice or heat.

    Source: heat balance with the heat of fusion.
    """
    if ice_kg <= 0.0:
        return 0.0
    heat = max(air_k - 273.15, 0.0) * rate_w_k + reverse_heat_w
    return heat / FUSION_J_KG
