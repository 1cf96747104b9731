"""Trials of the lesson on heating: colder air outdoors, less air indoors, a damp morning."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING

from kit.screens.tasks._given import fahrenheit_k, published, words

if TYPE_CHECKING:
    from kit.machine import Truth
    from kit.screens.task import Plot

MACHINE = "wall-12k-r32"
ROOM_K, ROOM_RH = fahrenheit_k(70), 0.5
RATED_F, COLD_F = 47, 17
OUTDOOR_F = (62, RATED_F, 35, COLD_F, 5)
OUTDOOR_RH = 0.73  # as at 47/43 °F, the rating point
FILTERS = (0.0, 0.3, 0.5, 0.65, 0.8)  # loading, up to where a limit would act
# A damp morning just above freezing: the air for which a frost model was evaluated.
DAMP_K, DAMP_RH = 274.82, 0.818  # 1.67 °C dry bulb, 0.56 °C wet bulb
PIECE_S, MORNING_MIN = 30.0, 80


@cache
def heated(outdoor_f: tuple[float, ...]) -> Truth:
    """Return a sound unit heating at full demand, a row for each outdoor air in °F."""
    from kit.machine import Command, Condition, Surroundings, load_spec, settle_many

    n = len(outdoor_f)
    arounds = [Surroundings(ROOM_K, ROOM_RH, fahrenheit_k(f), OUTDOOR_RH) for f in outdoor_f]
    order = Command("heating", 305.15)
    return settle_many(load_spec(MACHINE), [Condition()] * n, arounds, [order] * n)


@cache
def filtered(mode: str) -> Truth:
    """Return the unit with its filter loaded step by step, in "heating" or "cooling"."""
    from kit.machine import Command, Condition, Surroundings, load_spec, settle_many

    n = len(FILTERS)
    around = Surroundings(ROOM_K, ROOM_RH, fahrenheit_k(RATED_F), OUTDOOR_RH)
    order = Command("heating", 305.15)
    if mode == "cooling":
        around = Surroundings(fahrenheit_k(80), 0.5, fahrenheit_k(95), 0.4)
        order = Command("cooling", 289.15)
    conditions = [Condition(filter_loading=x) for x in FILTERS]
    return settle_many(load_spec(MACHINE), conditions, [around] * n, [order] * n)


def winter_cycles() -> Plot:
    """Return the refrigerant's way round in heating, with a clean and with a loaded filter."""
    from kit.machine import Command, Condition, Surroundings, load_spec, settle
    from kit.screens.plots import cycle_chart

    spec, order = load_spec(MACHINE), Command("heating", 305.15)
    around = Surroundings(ROOM_K, ROOM_RH, fahrenheit_k(RATED_F), OUTDOOR_RH)
    names = words("clean filter, heating", "loaded filter, heating")
    truths = (settle(spec, Condition(filter_loading=x), around, order)
              for x in (FILTERS[0], FILTERS[-1]))  # fmt: skip
    return cycle_chart(spec.refrigerant, list(zip(names, truths, strict=True)))


@dataclass(frozen=True, slots=True)
class Moment:
    """What a bystander with a probe sees at one moment of the morning.

    Args:
        at_s: time since the start [s].
        rise_k: leaving less entering air [K]; 0 without any air.
        air: airflow over that in the long run [fraction].
        coil_k: outdoor coil [K].
        defrost: whether the board clears the outdoor coil.
    """

    at_s: float
    rise_k: float
    air: float
    coil_k: float
    defrost: bool


@cache
def morning() -> tuple[Moment, ...]:
    """Return a sound unit, started cold on a damp morning, in pieces of half a minute."""
    from kit.machine import Command, Condition, Surroundings, advance, load_spec, settle

    spec, sound = load_spec(MACHINE), Condition()
    around = Surroundings(ROOM_K, ROOM_RH, DAMP_K, DAMP_RH)
    order = Command("heating", 305.15)
    truth = settle(spec, sound, around, Command("off"))
    full = settle(spec, sound, around, order).airflow_m3_s
    found = []
    for piece in range(1, int(MORNING_MIN * 60 / PIECE_S) + 1):
        truth = advance(truth, spec, sound, around, order, PIECE_S)
        found.append(
            Moment(
                piece * PIECE_S,
                float(truth.split_k),
                float(truth.airflow_m3_s / full),
                float(truth.outdoor_coil_surface_k),
                "defrost" in truth.limits,
            )
        )
    return tuple(found)


def defrosts(moments: Sequence[Moment]) -> tuple[tuple[float, float], ...]:
    """Return start and end of each defrost that is over [s]."""
    found, start = [], None
    for one in moments:
        if one.defrost and start is None:
            start = one.at_s
        elif not one.defrost and start is not None:
            found.append((start, one.at_s))
            start = None
    return tuple(found)


def time_share(moments: Sequence[Moment]) -> float:
    """Return the share of the time that goes into defrosting, from one to the next [0..1]."""
    first, second = defrosts(moments)[:2]
    return (first[1] - first[0]) / (second[0] - first[0])


def expected(table: str, row: str) -> float:
    """Return a published ratio or share."""
    return float(published(table, row)["expected"])
