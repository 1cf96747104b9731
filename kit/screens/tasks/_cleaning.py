"""One small wall unit before and after cleaning, and how sure a difference of readings is."""

from __future__ import annotations

import math
from functools import cache
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from kit.machine import Condition, Truth
    from kit.visit.instruments import Scale

MACHINE = "wall-9k-r410a-115v"
ROOM_K, ROOM_RH, OUTDOOR_K = 300.15, 0.48, 305.15
PROBE = "air_probe"
SURE = 2.0  # standard deviations that make a figure good for 95 of 100 cases, NIST TN 1297


@cache
def settled(condition: Condition, fan: str = "auto") -> Truth:
    """Return the unit at full demand in its room, once it has settled.

    Args:
        condition: its condition.
        fan: setting of the indoor fan.
    """
    from kit.machine import Command, Surroundings, load_spec, settle

    around = Surroundings(ROOM_K, ROOM_RH, OUTDOOR_K, 0.45)
    return settle(load_spec(MACHINE), condition, around, Command("cooling", 289.15, fan))


def greasy() -> Condition:
    """Return the unit as found over a kitchen hatch: film on the coil, some fluff in the mesh."""
    from kit.machine import Condition

    return Condition(filter_loading=0.3, indoor_coil_film=0.75)


def washed(condition: Condition) -> Condition:
    """Return a condition after filter and indoor coil were cleaned as they should be.

    Args:
        condition: the unit before.
    """
    from kit.visit import cures

    filtered = cures.filter_cleaned(condition, "vacuum_and_rinse")
    return cures.indoor_coil_cleaned(filtered, "along_fins")


def probe() -> Scale:
    """Return what the kit's air probe states about itself."""
    from kit.visit.instruments import instrument

    return instrument(PROBE).scale("dry_bulb")


def together(*errors: float) -> float:
    """Return what independent errors come to together, in the unit they are in.

    Args:
        errors: one a reading, all of the same kind (bounds that are as sure as each other).

    Source:
        Root of the sum of squares, NIST TN 1297, section 5.1.
    """
    return math.sqrt(sum(error * error for error in errors))


def fresh_change_k() -> float:
    """Return how sure a change of the split is when each reading had a probe of its own [K]."""
    return together(*(probe().accuracy,) * 4)


def same_change_k() -> float:
    """Return how sure a change of the split is when one probe took all four readings [K].

    Its own fixed error drops out; scatter and the last digit of each reading stay.

    Source:
        A last digit spreads evenly over its step: deviation of a step over root twelve, NIST
        TN 1297, section 4.6 (from memory).
    """
    scale = probe()
    one = together(scale.repeat, scale.resolution / math.sqrt(12.0))
    return SURE * together(*(one,) * 4)
