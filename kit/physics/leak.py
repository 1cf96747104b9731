"""Leaks: flow through a fine hole, what is lost in a year, and what it is in a room's air."""

from __future__ import annotations

import math
from typing import Any, Final

from kit.physics._types import Array

GAS_CONSTANT: Final = 8.314462618  # [J/(mol K)], CODATA 2018
YEAR_S: Final = 365.25 * 86_400.0
# Viscosity near 25 degC and 1 bar [Pa s]; CoolProp 8, rounded; R-454B by moles of its parts.
VISCOSITY_PA_S: Final = {
    "air": 1.84e-5,
    "nitrogen": 1.78e-5,
    "R-32": 1.34e-5,
    "R-410A": 1.29e-5,
    "R-454B": 1.32e-5,
}
MOLAR_MASS_KG_MOL: Final = {"air": 0.028966, "nitrogen": 0.0280134}  # ASHRAE ch. 1; IUPAC
SEAT_M: Final = 1e-3  # length of the hole along a flare's seat: common practice, no source


def throughput_pa_m3_s(
    bore_m: Array, high_pa: Array, low_pa: Array, viscosity_pa_s: Array, length_m: Array = SEAT_M
) -> Array:
    """Return the flow of gas through a fine round hole, in pressure times volume.

    Args:
        bore_m: diameter of the hole [m], up to some 5e-5.
        high_pa: pressure on the one side [Pa absolute].
        low_pa: pressure on the other side [Pa absolute]; above `high_pa` it flows back.
        viscosity_pa_s: viscosity of the gas [Pa s].
        length_m: length of the hole [m].

    Returns:
        Flow, negative when it flows back [Pa m3/s].

    Source: Hagen-Poiseuille for an ideal gas at one temperature, pi d^4 (p1^2 - p2^2)/(256 eta L);
        textbook.
    """
    squares = high_pa * high_pa - low_pa * low_pa
    return math.pi * bore_m**4 * squares / (256.0 * viscosity_pa_s * length_m)


def mass_flow_kg_s(throughput_pa_m3_s: Array, molar_mass_kg_mol: Array, t_k: Array) -> Array:
    """Return the mass that a flow in pressure times volume carries.

    Args:
        throughput_pa_m3_s: flow [Pa m3/s].
        molar_mass_kg_mol: molar mass of the gas [kg/mol].
        t_k: temperature [K].

    Returns:
        Mass flow [kg/s].

    Source: ideal gas.
    """
    return throughput_pa_m3_s * molar_mass_kg_mol / (GAS_CONSTANT * t_k)


def yearly_loss_kg(mass_flow_kg_s: Array) -> Array:
    """Return what a steady leak loses in a year, as leak detectors are rated.

    Args:
        mass_flow_kg_s: leak [kg/s].

    Returns:
        Mass lost in a year [kg].

    Source: definition.
    """
    return mass_flow_kg_s * YEAR_S


def detector_signal_kg_s(
    leak_kg_s: Array, response: Array, other_vapour_kg_s: Array = 0.0
) -> Array:
    """Return the leak that an electronic detector believes to smell.

    Args:
        leak_kg_s: refrigerant that leaks where it is held [kg/s].
        response: its response to this refrigerant over the one it is rated for [0..1].
        other_vapour_kg_s: vapour of a cleaner that it takes for refrigerant [kg/s].

    Returns:
        Apparent leak [kg/s].

    Source: common practice, no source (detectors answer to cleaners too).
    """
    return response * leak_kg_s + other_vapour_kg_s


def flammable_share(mass_kg: Array, volume_m3: Array, lfl_kg_m3: Any) -> Array:
    """Return the concentration of a release over the lower flammability limit.

    Args:
        mass_kg: refrigerant set free [kg].
        volume_m3: air that it mixes with [m3].
        lfl_kg_m3: lower flammability limit [kg/m3]; None for a refrigerant that does not burn.

    Returns:
        Share of the limit [-]; 0 for one that does not burn.

    Source: definition of the limit (ISO 817); even mixing.
    """
    if lfl_kg_m3 is None:
        return 0.0 * mass_kg
    return mass_kg / (volume_m3 * lfl_kg_m3)
