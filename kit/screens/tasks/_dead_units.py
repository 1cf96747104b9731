"""Units that do not cool, as the engine has them, and the refrigerant's own figures."""

from __future__ import annotations

import math
from collections.abc import Mapping
from functools import cache
from typing import TYPE_CHECKING

from kit.screens.tasks._given import fahrenheit_k

if TYPE_CHECKING:
    from kit.machine import Condition
    from kit.machine.readings import Case

MACHINE = "wall-12k-r32"
AIR_K = fahrenheit_k(80)  # both units, so that the standing pressure means something
SHORT = 0.6  # charge of the unit that has leaked for years, as a share of the right one
LEAK = 0.65  # share of the gas that slips back in the compressor that does not pump
ATMOSPHERE_PA = 101325.0
COOLPROP = {"R-32": "R32", "R-410A": "R410A"}


def ideal_compression(
    name: str, suction_pa: float, suction_k: float, discharge_pa: float
) -> tuple[float, float]:
    """Return the work of a compression without losses [J/kg] and its discharge temperature [K].

    Args:
        name: "R-32" or "R-410A".
        suction_pa: pressure at the compressor's inlet [Pa absolute].
        suction_k: temperature there [K].
        discharge_pa: pressure at its outlet [Pa absolute].

    Source:
        Equal entropy before and after, properties of CoolProp 8.
    """
    from CoolProp.CoolProp import PropsSI

    fluid = COOLPROP[name]
    inlet = ("T", suction_k, "P", suction_pa, fluid)
    after = ("S", PropsSI("S", *inlet), "P", discharge_pa, fluid)
    return float(PropsSI("H", *after) - PropsSI("H", *inlet)), float(PropsSI("T", *after))


def dew_pa(name: str, temperature_k: float) -> float:
    """Return the pressure at which a refrigerant's vapour condenses [Pa absolute].

    Args:
        name: "R-32" or "R-410A".
        temperature_k: its dew temperature [K].

    Source:
        CoolProp 8.
    """
    from CoolProp.CoolProp import PropsSI

    return float(PropsSI("P", "T", temperature_k, "Q", 1, COOLPROP[name]))


def saturation_gauge_pa(name: str, temperature_k: float) -> float:
    """Return what a gauge shows of a refrigerant that stands with liquid in it [Pa].

    Args:
        name: name of the refrigerant.
        temperature_k: temperature of the units [K].

    Source:
        The kit's tables of CoolProp 8 (datasets/refrigerants).
    """
    from kit.physics import refrigerant

    pressure = math.exp(float(refrigerant.load(name).lnp_bubble(temperature_k)))
    return pressure - ATMOSPHERE_PA


@cache
def conditions() -> Mapping[str, Condition]:
    """Return the conditions that this lesson shows, by a short name."""
    from kit.machine import Condition

    return {
        "sound": Condition(),
        "empty": Condition(charge_fraction=0.01),
        "short": Condition(charge_fraction=SHORT),
        "open": Condition(compressor_state="open_winding"),
        "locked": Condition(compressor_state="locked_rotor"),
        "earthed": Condition(compressor_state="earthed_winding"),
        "board": Condition(inverter_state="dead"),
        "leak": Condition(compressor_leak=LEAK),
    }


@cache
def case(name: str, mode: str) -> Case:
    """Return a unit of this lesson as the engine has it: called to cool, or standing.

    Args:
        name: a key of `conditions`.
        mode: "cooling" or "off".
    """
    from kit.machine import Command, Surroundings, load_spec, settle
    from kit.machine.readings import Case

    spec, around = load_spec(MACHINE), Surroundings(AIR_K, 0.5, AIR_K, 0.5)
    condition = conditions()[name]
    truth = settle(spec, condition, around, Command(mode, 289.15))
    return Case(truth, spec, condition, around, mode)


def reading(name: str, unit: str, mode: str = "cooling") -> float:
    """Return a reading of a unit of this lesson [SI]; infinite where a meter shows no end.

    Args:
        name: name of the reading.
        unit: a key of `conditions`.
        mode: "cooling" or "off".
    """
    from kit.machine.readings import take

    return take(name, case(unit, mode))
