"""Runs of sound units that the lesson on the baseline shows; every figure is the engine's."""

from __future__ import annotations

from functools import cache
from types import SimpleNamespace
from typing import TYPE_CHECKING, cast

from kit.screens.tasks._air_side import ZERO_C_K

if TYPE_CHECKING:
    from kit.machine import Truth
    from kit.visit.state import State

DEMAND_K = 5 / 1.8  # 5 °F: common practice, no source
STILL_K = 0.3  # what is called standing still here; common practice, no source

MACHINE = "wall-12k-r32"
ROOM_K, ROOM_RH, OUTDOOR_K = 26.5 + ZERO_C_K, 0.5, 33 + ZERO_C_K  # made up
ON_K, OFF_S = 289.15, 60.0  # coldest setpoint of a remote; a short stop
SHOWN_MIN = (1, 2, 3, 4, 6, 8, 10, 12)
EARLY_MIN, LATE_MIN = 2, 10
LOG_MACHINE, LOG_ROOM_K, LOG_RH, LOG_MIN = "wall-18k-r454b", 25 + ZERO_C_K, 0.6, 12

ASKED_ROOM_K = 24.5 + ZERO_C_K  # made up
DEMANDS_K = (0.2, 1.0, DEMAND_K, 5.0)

PROBED_MACHINE, PROBED_ROOM_K, PROBED_RH = "wall-9k-r32", 25.5 + ZERO_C_K, 0.45  # made up
LEAVING = ("supply", "supply_left", "supply_right", "supply_in_front", "supply_touching")


def minutes_of(
    machine: str, room_k: float, rh: float, minutes: int, stop_s: float = 0.0
) -> list[Truth]:
    """Return a sound unit, one state a minute: from rest, or after a short stop.

    Args:
        machine: its name.
        room_k: room [K].
        rh: its humidity [0..1].
        minutes: how many.
        stop_s: how long it had been off [s]; 0 for a long rest.
    """
    from kit.machine import Command, Condition, Surroundings, advance, load_spec, settle

    spec, around, sound = load_spec(machine), Surroundings(room_k, rh, OUTDOOR_K, 0.4), Condition()
    on, off = Command("cooling", ON_K), Command("off")
    truth = settle(spec, sound, around, on if stop_s else off)
    truth = advance(truth, spec, sound, around, off, stop_s)
    truths = []
    for _ in range(minutes):
        truth = advance(truth, spec, sound, around, on, 60.0)
        truths.append(truth)
    return truths


def minutes_s(count: int) -> list[float]:
    """Return the times of so many states, one a minute from the first minute on [s].

    Args:
        count: how many.
    """
    return [60.0 * at for at in range(1, count + 1)]


@cache
def first_minutes() -> tuple[Truth, ...]:
    """Return the sound unit of the prediction, one state a minute."""
    return tuple(minutes_of(MACHINE, ROOM_K, ROOM_RH, max(SHOWN_MIN)))


@cache
def log() -> tuple[float, ...]:
    """Return the split of the log's unit, one a minute from the start [K]."""
    run = minutes_of(LOG_MACHINE, LOG_ROOM_K, LOG_RH, LOG_MIN)
    return tuple(float(truth.split_k) for truth in run)


def standing_from(splits: tuple[float, ...]) -> int:
    """Return the first minute from which a split stays near its last value.

    Args:
        splits: one a minute, from the first on [K].
    """
    moving = [at for at, split in enumerate(splits, 1) if abs(split - splits[-1]) > STILL_K]
    return max(moving, default=0) + 1


@cache
def demanded() -> tuple[tuple[float, float, float], ...]:
    """Return the split of a sound unit by demand: (demand, fan auto, fan high), all [K]."""
    from kit.machine import Command, Condition, Surroundings, load_spec, settle

    around, spec = Surroundings(ASKED_ROOM_K, ROOM_RH, OUTDOOR_K, 0.4), load_spec(MACHINE)

    def split_k(demand_k: float, fan: str) -> float:
        order = Command("cooling", ASKED_ROOM_K - demand_k, fan)
        return float(settle(spec, Condition(), around, order).split_k)

    return tuple((d, split_k(d, "auto"), split_k(d, "high")) for d in DEMANDS_K)


@cache
def probed() -> tuple[tuple[str, float], ...]:
    """Return what a true probe shows at each place of one sound unit: (place, [K] in tenths)."""
    from kit.machine import Command, Condition, Surroundings, load_spec, settle
    from kit.visit.places import PLACES

    around = Surroundings(PROBED_ROOM_K, PROBED_RH, OUTDOOR_K, 0.4)
    order = Command("cooling", ON_K)
    truth = settle(load_spec(PROBED_MACHINE), Condition(), around, order)
    site = cast("State", SimpleNamespace(truth=truth, around=around))
    return tuple(
        (name, round(PLACES[name].values(site)["dry_bulb"] - ZERO_C_K, 1) + ZERO_C_K)
        for name in ("return_wall", "return_grille", *LEAVING)
    )
