"""Runs that the lesson on splits and humidity shows; every figure is the engine's."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING, NamedTuple

from kit.screens.tasks._air_side import (
    ZERO_C_K,
    Duty,
    Moist,
    air_of_humidity,
    air_of_wet_bulb,
    duty_of,
)
from kit.visit.target import BAND_K, card_split_k, handbook_split_k, humidity_of

if TYPE_CHECKING:
    from kit.machine import Truth

MACHINE = "wall-12k-r32"
ON_K, OUTDOOR_K = 289.15, 308.15  # coldest setpoint of a remote; 95 °F as on a data sheet
ROOM_K = 27.0 + ZERO_C_K  # made up
HUMIDITIES = (0.3, 0.4, 0.5, 0.6, 0.7, 0.8)
DRY_RH, WET_RH = 0.4, 0.7

WET_BULB_K = 22.0 + ZERO_C_K  # made up; each room below has it
DRY_BULBS_K = tuple(c + ZERO_C_K for c in (25.0, 27.0, 29.0, 31.0, 33.0))

PARTS_ROOM_K, PARTS_RH = 26.0 + ZERO_C_K, 0.6  # made up
BUCKET_ROOM_K, BUCKET_RH, BUCKET_S = 25.5 + ZERO_C_K, 0.7, 1200.0  # made up

# Made up: room [K], humidity, film on the coil [0..1].
FOUR = {
    "a": (25.0 + ZERO_C_K, 0.75, 0.0),
    "b": (25.5 + ZERO_C_K, 0.30, 0.75),
    "c": (24.0 + ZERO_C_K, 0.50, 0.0),
    "d": (26.0 + ZERO_C_K, 0.62, 0.0),
}


# Worked example of a cooling coil solved with a moist-air table program, as kept in
# datasets/published: it takes off the heat of the water that runs away, 0.7 % of the total.
EXAMPLE_M3_S, EXAMPLE_IN, EXAMPLE_OUT = 5.0, (303.15, 295.15), (283.15, 283.15)
EXAMPLE_W, EXAMPLE_KG_S, EXAMPLE_WITHIN = 198.18e3, 0.0325, 0.01


class Shown(NamedTuple):
    """What instruments show at one unit: entering dry and wet bulb and the split [K], in tenths."""

    db_k: float
    wb_k: float
    split_k: float


def settled(room_k: float, rh: float, film: float = 0.0) -> Truth:
    """Return the unit at full demand once it has settled.

    Args:
        room_k: room [K].
        rh: its humidity [0..1].
        film: dirt film on the indoor coil [0..1].
    """
    from kit.machine import Command, Condition, Surroundings, load_spec, settle

    around = Surroundings(room_k, rh, OUTDOOR_K, 0.4)
    condition = Condition(indoor_coil_film=film)
    return settle(load_spec(MACHINE), condition, around, Command("cooling", ON_K))


@cache
def by_humidity() -> tuple[Truth, ...]:
    """Return the sound unit in rooms of one dry bulb, by `HUMIDITIES`."""
    return tuple(settled(ROOM_K, rh) for rh in HUMIDITIES)


@cache
def by_dry_bulb() -> tuple[tuple[Moist, Truth], ...]:
    """Return the sound unit in rooms of one wet bulb, by `DRY_BULBS_K`: (entering air, truth)."""
    rooms = (air_of_wet_bulb(db_k, WET_BULB_K) for db_k in DRY_BULBS_K)
    return tuple((room, settled(room.db_k, room.rh)) for room in rooms)


@cache
def in_parts() -> Truth:
    """Return the sound unit whose heat is taken apart."""
    return settled(PARTS_ROOM_K, PARTS_RH)


@cache
def over_the_bucket() -> Truth:
    """Return the sound unit whose water is caught."""
    return settled(BUCKET_ROOM_K, BUCKET_RH)


def bucket_kg() -> float:
    """Return the water caught [kg]."""
    return float(over_the_bucket().condensate_kg_s) * BUCKET_S


def leaving(truth: Truth) -> Moist:
    """Return the leaving air of a unit.

    Args:
        truth: the unit.
    """
    return air_of_humidity(float(truth.supply_db_k), float(truth.supply_rh))


@cache
def four_units() -> dict[str, Shown]:
    """Return the readings at the four units, in tenths as a display shows them."""
    shown = {}
    for name, (room_k, rh, film) in FOUR.items():
        truth = settled(room_k, rh, film)
        wet_k = round(float(truth.return_wb_k) - ZERO_C_K, 1) + ZERO_C_K
        shown[name] = Shown(room_k, wet_k, round(float(truth.split_k), 1))
    return shown


def targets(db_k: float, wb_k: float) -> tuple[float, float]:
    """Return the card's and the published table's split for entering air [K]; nan outside them.

    Args:
        db_k: dry bulb [K].
        wb_k: wet bulb [K].
    """
    card = card_split_k(MACHINE, "cooling", db_k, humidity_of(db_k, wb_k))
    return card, handbook_split_k("cooling", db_k, wb_k)


def below_target() -> list[str]:
    """Return those of the four units whose split is too low for their air."""
    return [
        name
        for name, shown in four_units().items()
        if shown.split_k < targets(shown.db_k, shown.wb_k)[0] - BAND_K
    ]


def example_duty() -> Duty:
    """Return the published example's duty, worked out here."""
    return duty_of(EXAMPLE_M3_S, air_of_wet_bulb(*EXAMPLE_IN), air_of_wet_bulb(*EXAMPLE_OUT))
