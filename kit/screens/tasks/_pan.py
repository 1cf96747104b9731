"""Water off a cooling coil: how much, how long a pan holds it, and what a drain lets through."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING, NamedTuple

from kit.screens.tasks._air_side import Moist, air_of_humidity, duty_of

if TYPE_CHECKING:
    from kit.machine import Condition, Spec, Surroundings, Truth

ROOM_K, OUTDOOR_K = 299.15, 302.15
STEP_S = 60.0
LONGEST_MIN = 240
POURED_KG = 1.5


class Coil(NamedTuple):
    """A unit's coil at work: air before and after it [Moist], its flow of air and of water.

    Args:
        entering: air before.
        leaving: air after.
        airflow_m3_s: volume flow of the entering air [m3/s].
        dry_kg_s: dry air in it [kg/s].
        by_hand_kg_s: water, from the two states of the air [kg/s].
        engine_kg_s: water, as the engine's coil gives it up [kg/s].
    """

    entering: Moist
    leaving: Moist
    airflow_m3_s: float
    dry_kg_s: float
    by_hand_kg_s: float
    engine_kg_s: float


def machine(name: str) -> Spec:
    """Return a data sheet by the name of its machine."""
    from kit.machine import load_spec

    return load_spec(name)


def _around(rh: float) -> Surroundings:
    from kit.machine import Surroundings

    return Surroundings(ROOM_K, rh, OUTDOOR_K, 0.6)


@cache
def coil(name: str, rh: float) -> Coil:
    """Return a sound unit's coil at full demand in a room at sea level, settled.

    Args:
        name: name of the machine.
        rh: relative humidity of the room [0..1].
    """
    from kit.machine import Command, Condition, settle

    truth = settle(machine(name), Condition(), _around(rh), Command("cooling", 289.15))
    entering = air_of_humidity(ROOM_K, rh)
    leaving = air_of_humidity(truth.supply_db_k, truth.supply_rh)
    flow = float(truth.airflow_m3_s)
    water = duty_of(flow, entering, leaving).condensate_kg_s
    dry = flow / entering.volume_m3_kg
    return Coil(entering, leaving, flow, dry, water, float(truth.condensate_kg_s))


def _started(name: str, rh: float, condition: Condition, minutes: int) -> list[Truth]:
    """Return the machine at each full minute after it was switched on with a dry coil and pan."""
    from kit.machine import Command, advance, settle

    spec, around, asked = machine(name), _around(rh), Command("cooling", 289.15)
    truth = settle(spec, condition, around, Command("off", 289.15))
    seen = [truth]
    while len(seen) <= minutes and truth.overflow_kg <= 0.0:
        truth = advance(truth, spec, condition, around, asked, STEP_S)
        seen.append(truth)
    return seen


@cache
def filling(name: str, rh: float) -> tuple[tuple[float, float], ...]:
    """Return time [s] and water in the pan [kg], minute by minute until it first runs over.

    Args:
        name: name of the machine, started dry with its drain closed.
        rh: relative humidity of the room [0..1].
    """
    from kit.machine import Condition

    seen = _started(name, rh, Condition(drain_blockage=1.0), LONGEST_MIN)
    return tuple((STEP_S * i, float(truth.pan_water_kg)) for i, truth in enumerate(seen))


def overflow_min(name: str, rh: float) -> int:
    """Return the minute in which a pan with a closed drain first runs over, from a dry start.

    Args:
        name: name of the machine.
        rh: relative humidity of the room [0..1].
    """
    return len(filling(name, rh)) - 1


@cache
def standing_kg(name: str, rh: float, blockage: float, minutes: int) -> tuple[float, float]:
    """Return the water in the pan and over its edge after a run from a dry start [kg].

    Args:
        name: name of the machine.
        rh: relative humidity of the room [0..1].
        blockage: closed share of the drain's bore [0..1].
        minutes: length of the run; it ends when the pan runs over.
    """
    from kit.machine import Condition

    last = _started(name, rh, Condition(drain_blockage=blockage), minutes)[-1]
    return float(last.pan_water_kg), float(last.overflow_kg)


def poured(name: str, blockage: float) -> tuple[float, float]:
    """Return how long a pour test takes [s] and what runs over the edge meanwhile [kg].

    Args:
        name: name of the machine.
        blockage: closed share of the drain's bore [0..1].
    """
    from kit.physics import condensate

    spec = machine(name)
    return condensate.pour_time_s(
        POURED_KG, 0.0, spec.pan_drain_kg_s, blockage, 0.0, 1000.0 * spec.pan_m3
    )
