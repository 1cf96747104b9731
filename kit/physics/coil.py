"""Fin-and-tube coils: conductances, and heat between refrigerant zones and air."""

from __future__ import annotations

from typing import Any

import numpy as np

# Enthalpy of fusion of water at 0 degC [J/kg]: 333.4 kJ/kg, ASHRAE Fundamentals, from memory.
FUSION_J_KG = 333_400.0
VAPORISATION_J_KG = 2_501_000.0
# Part of the air-side conductance that film takes at full severity: common practice, no source.
FILM_SHARE = 0.85
# Likewise for ice, which insulates once it is thick; thin frost hardly does.
ICE_SHARE = 0.85
# Growth of the air-side coefficient with airflow, h ~ V**0.6: textbook plate-fin behaviour.
AIR_EXPONENT = 0.6
# Growth of the boiling or condensing coefficient with refrigerant flow: textbook, rounded.
REFRIGERANT_EXPONENT = 0.4


def air_conductance(
    rated_w_k: Any, flow_ratio: Any, film: Any, open_face: Any, ice: Any = 0.0
) -> Any:
    """Return the air-side conductance of a coil.

    Args:
        rated_w_k: conductance of the clean coil at design airflow [W/K].
        flow_ratio: airflow over design airflow [-].
        film: severity of the film on the fins [0..1].
        open_face: share of the face that is open [-].
        ice: share of the fins under ice or frost [0..1].

    Returns:
        Conductance [W/K].

    Source: h ~ V**0.6, with the local speed raised by 1/open over the open share of the area;
        film share common practice, no source.
    """
    return (
        rated_w_k
        * (flow_ratio / open_face) ** AIR_EXPONENT
        * open_face
        * (1.0 - FILM_SHARE * film)
        * (1.0 - ICE_SHARE * ice * ice)
    )


def effectiveness(conductance: Any, capacity_rate: Any) -> Any:
    """Return the effectiveness of air against a surface or fluid at one temperature.

    Args:
        conductance: [W/K].
        capacity_rate: mass flow times specific heat of the air [W/K].

    Returns:
        Effectiveness [0..1].

    Source: eps = 1 - exp(-NTU) for C* = 0, textbook effectiveness-NTU.
    """
    return -np.expm1(-conductance / capacity_rate)


def series(first: Any, second: Any) -> Any:
    """Return two conductances in series.

    Args:
        first: [W/K].
        second: [W/K].

    Returns:
        Conductance [W/K].

    Source: resistances in series add.
    """
    return first * second / (first + second)


def surface_flux(
    rate: Any, mass_kg_s: Any, pull_k: Any, excess_w: Any, surface_k: Any
) -> tuple[Any, Any, Any]:
    """Return what a cold (or warm) surface takes from the air over its whole face.

    Args:
        rate: capacity rate of the air that meets the surface [W/K].
        mass_kg_s: dry air that meets the surface [kg/s].
        pull_k: entering dry-bulb above the surface [K].
        excess_w: humidity ratio of the entering air above saturation at the surface [kg/kg].
        surface_k: effective surface temperature [K].

    Returns:
        Sensible [W], latent [W] (fusion included below 0 degC), moisture deposited [kg/s].

    Source: enthalpy method with one effective surface temperature and Lewis number 1, as in
        Braun's effectiveness model and the bypass-factor method; textbook.
    """
    moisture = mass_kg_s * np.maximum(excess_w, 0.0)
    # Frost gives its fusion heat as well; a 1 K ramp keeps the equations smooth.
    frozen = np.minimum(np.maximum(273.65 - surface_k, 0.0), 1.0)
    return rate * pull_k, moisture * (VAPORISATION_J_KG + FUSION_J_KG * frozen), moisture
