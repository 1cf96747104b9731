"""Trials behind the lesson on weighing in: pumping down and decay tests, water, nitrogen, lines."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cache
from typing import TYPE_CHECKING

from kit.quantities import MICRON_PA
from kit.screens.tasks._circuit import COOLPROP_NAMES, us

if TYPE_CHECKING:
    from kit.physics.evacuation import Gases, Vessel

CIRCUIT_K = us("temperature", 72)
TRACE_KG = 30e-6  # water in the oil of a circuit that was kept dry; common practice, no source
DROP_KG = 2e-3
HOLE_M = 2e-5
PUMPED_S = 20 * 60.0
MINUTES = (0, 2, 5, 10, 20, 30)
MOST_BOILING_C, LEAST_BOILING_C = 99.0, -60.0


def circuit() -> Vessel:
    """Return the circuit of the 12,000 Btu/h machine with the long line set, as a vessel."""
    from kit.machine import load_spec
    from kit.machine.state import circuit_volume_m3
    from kit.physics.evacuation import Vessel
    from kit.physics.refrigerant import load

    spec = load_spec("wall-12k-r32-long-line")
    molar_mass = float(load(spec.refrigerant).molar_mass_kg_mol)
    return Vessel(circuit_volume_m3(spec), CIRCUIT_K, spec.oil_kg, 1.0, molar_mass)


def opened(water_kg: float) -> Gases:
    """Return what a circuit holds that was open to the air, and the water in it.

    Args:
        water_kg: water [kg].
    """
    from kit.physics.evacuation import R_AIR, Gases

    vessel = circuit()
    air_kg = vessel.p_atm_pa * vessel.volume_m3 / (R_AIR * vessel.t_k)
    return Gases(air_kg=air_kg, water_kg=water_kg, wet_k=vessel.t_k)


@cache
def decays() -> dict[str, tuple[float, ...]]:
    """Return three decay tests, pressure at each of `MINUTES` after the valve was shut [Pa]."""
    from kit.physics.evacuation import later, pressure_pa
    from kit.visit.circuit_tools import PUMP_HOSES, PUMPS

    tight = circuit()
    trials = {
        "dry": (opened(TRACE_KG), tight),
        "wet": (opened(DROP_KG), tight),
        "leak": (opened(TRACE_KG), replace(tight, bore_m=(HOLE_M,))),
    }
    found = {}
    for name, (gases, vessel) in trials.items():
        low = later(gases, vessel, PUMPED_S, PUMP_HOSES["wide"][1], PUMPS["fresh"])
        found[name] = tuple(
            pressure_pa(later(low, vessel, 60.0 * minute), vessel) for minute in MINUTES
        )
    return found


def pulled(hose: str, core_out: bool, oil: str, seconds: float) -> tuple[float, float]:
    """Return the pressure in a dry circuit and at the pump after some time under the pump [Pa].

    Args:
        hose: a key of `kit.visit.circuit_tools.PUMP_HOSES`.
        core_out: whether the valve core is out.
        oil: a key of `kit.visit.circuit_tools.PUMPS`.
        seconds: time under the pump [s].
    """
    from kit.physics.evacuation import in_series, inlet_pressure_pa, later, pressure_pa
    from kit.visit.circuit_tools import CORE, PUMP_HOSES, PUMPS

    path = PUMP_HOSES[hose][1]
    path = path if core_out else in_series((path, CORE))
    vessel, pump = circuit(), PUMPS[oil]
    unit = pressure_pa(later(opened(TRACE_KG), vessel, seconds, path, pump), vessel)
    return unit, inlet_pressure_pa(unit, path, pump)


def water_pa(t_k: float) -> float:
    """Return the vapour pressure of water, or of ice below freezing [Pa].

    Args:
        t_k: temperature [K].

    Source: psychrolib 2.5 (ASHRAE Handbook - Fundamentals ch. 1 eqs. 5 and 6).
    """
    import psychrolib

    psychrolib.SetUnitSystem(psychrolib.SI)
    return float(psychrolib.GetSatVapPres(t_k - 273.15))


def boils_at_k(p_pa: float) -> float:
    """Return the temperature at which water boils, or ice turns to vapour, at a pressure [K].

    Args:
        p_pa: pressure [Pa absolute].

    Source: `water_pa`, inverted by halving.
    """
    low, high = LEAST_BOILING_C + 273.15, MOST_BOILING_C + 273.15
    for _ in range(50):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if water_pa(middle) < p_pa else (low, middle)
    return 0.5 * (low + high)


def shut_in_pa(p_pa: float, t_k: float, new_t_k: float) -> float:
    """Return the pressure of nitrogen that is shut in, after its temperature has changed [Pa].

    Args:
        p_pa: pressure at first [Pa absolute].
        t_k: temperature at first [K].
        new_t_k: temperature afterwards [K].

    Source: CoolProp 8, nitrogen as a real gas at constant density.
    """
    from CoolProp.CoolProp import PropsSI

    density = PropsSI("D", "P", p_pa, "T", t_k, "Nitrogen")
    return float(PropsSI("P", "D", density, "T", new_t_k, "Nitrogen"))


def metre_kg(refrigerant: str, outside_m: float, wall_m: float, liquid_k: float) -> float:
    """Return the liquid that one metre of line holds [kg].

    Args:
        refrigerant: ASHRAE 34 number.
        outside_m: outer diameter [m].
        wall_m: wall [m].
        liquid_k: temperature of the liquid [K].

    Source: volume of the tube times the density of saturated liquid by CoolProp 8.
    """
    from CoolProp.CoolProp import PropsSI

    density = PropsSI("D", "T", liquid_k, "Q", 0.0, COOLPROP_NAMES[refrigerant])
    return math.pi / 4.0 * (outside_m - 2.0 * wall_m) ** 2 * float(density)


def microns(p_pa: float) -> float:
    """Return a pressure in microns of mercury.

    Args:
        p_pa: pressure [Pa].
    """
    return p_pa / MICRON_PA
