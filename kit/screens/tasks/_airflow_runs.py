"""Runs that the lesson on airflow faults shows; every figure is the engine's."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from itertools import pairwise
from typing import TYPE_CHECKING, Any, NamedTuple

from kit.screens.tasks._air_side import ZERO_C_K

if TYPE_CHECKING:
    from kit.machine import Condition, Truth

MACHINE = "wall-12k-r32"
ON_K, OUTDOOR_K = 289.15, 308.15  # coldest setpoint of a remote; 95 °F as on a data sheet
ROOM_K, ROOM_RH = 26.0 + ZERO_C_K, 0.5  # made up
FILTERS = (0.0, 0.3, 0.5, 0.7, 0.85, 1.0)
GUESSED_FILTER = 0.7  # about three quarters of the airflow is left
WHEELS = (0.0, 0.2, 0.4, 0.6, 0.75, 0.85, 0.92, 1.0)
THIRD_LESS = 0.79  # filter loading that leaves about 70 % of the airflow
BENCH_WHEEL, GRID_WHEEL = 0.55, 0.35  # made up

# Share of the mean speed at nine points of an uneven outlet, upper row first; made up, mean 1.
GRID = ((0.78, 0.95, 0.85), (1.10, 1.25, 1.16), (0.90, 1.06, 0.95))
OUTLET_M = (0.66, 0.07)  # width and height, as a tape shows them at this machine

PUBLISHED_COP = 4.0  # what the lower edge is asked for; this machine's is about that
METHODS = 0.06  # two ways of measuring capacity may differ by that: AHRI 210/240, from memory


class Case(NamedTuple):
    """One of the four units: what is wrong with it, and what its readings are."""

    cause: str
    airflow_m3_s: float
    filter_out_m3_s: float
    wheel_rps: float
    split_k: float
    packed: bool


def condition_of(**knobs: float) -> Condition:
    """Return a condition.

    Args:
        knobs: what is not as new.
    """
    from kit.machine import Condition

    turned: dict[str, Any] = dict(knobs)
    return replace(Condition(), **turned)


@cache
def settled(**knobs: float) -> Truth:
    """Return the unit at full demand once it has settled.

    Args:
        knobs: what is not as new.
    """
    from kit.machine import Command, Surroundings, load_spec, settle

    around = Surroundings(ROOM_K, ROOM_RH, OUTDOOR_K, 0.4)
    return settle(load_spec(MACHINE), condition_of(**knobs), around, Command("cooling", ON_K))


def by_filter() -> list[Truth]:
    """Return the unit by `FILTERS`."""
    return [settled(filter_loading=loading) for loading in FILTERS]


def by_wheel() -> list[Truth]:
    """Return the unit by `WHEELS`."""
    return [settled(wheel_fouling=fouling) for fouling in WHEELS]


def way_of(splits: list[float]) -> str:
    """Return how a split goes from first to last: "up", "down", "turns" or "other".

    Args:
        splits: in the order in which something gets worse [K].
    """
    top = splits.index(max(splits))
    rises = all(a < b for a, b in pairwise(splits[: top + 1]))
    falls = all(a > b for a, b in pairwise(splits[top:]))
    if not (rises and falls):
        return "other"
    return "up" if top == len(splits) - 1 else "down" if top == 0 else "turns"


# What is wrong with each of the four units, beside a little dust on its filter; made up.
DUST = 0.1
CAUSES = {
    "a": ("wheel", "wheel_fouling", 0.6),
    "b": ("filter", "filter_loading", 0.88),
    "c": ("fan", "indoor_fan_factor", 0.62),
    "d": ("coil", "indoor_coil_blockage", 0.78),
}


@cache
def four_units() -> dict[str, Case]:
    """Return the four units with what was read at them."""
    cases = {}
    for name, (cause, knob, level) in CAUSES.items():
        knobs = {"filter_loading": DUST, knob: level}
        found = settled(**knobs)
        out = settled(**{**knobs, "filter_loading": 0.0})
        cases[name] = Case(
            cause,
            float(found.airflow_m3_s),
            float(out.airflow_m3_s),
            float(found.indoor_fan_rpm) / 60.0,
            float(found.split_k),
            knobs.get("wheel_fouling", 0.0) > DUST,
        )
    return cases


def shares() -> tuple[float, float]:
    """Return what a filter that has taken a third has left of airflow and heat in all [0..1]."""
    clean, dirty = settled(), settled(filter_loading=THIRD_LESS)
    return (
        float(dirty.airflow_m3_s / clean.airflow_m3_s),
        float(dirty.net_capacity_w / clean.net_capacity_w),
    )


def published(flow_share: float) -> tuple[float, float]:
    """Return what two published correlations leave of the capacity at this airflow [0..1].

    Args:
        flow_share: airflow over the clean unit's [0..1].

    Source:
        Cutler et al., NREL/TP-5500-56354, and Cheung and Braun, NREL/SR-5500-65030.
    """
    from kit.physics.correlations import airflow_ratio, fault_ratio

    clean = settled()
    high = airflow_ratio("cooling", "capacity", flow_share)
    low = fault_ratio(
        "evaporator_airflow", "capacity", 1.0 - flow_share, clean.return_wb_k, OUTDOOR_K,
        PUBLISHED_COP,
    )  # fmt: skip
    return float(high), float(low)


def grid_m_s() -> list[list[float]]:
    """Return the speeds at nine points of the outlet, upper row first [m/s]."""
    width, height = OUTLET_M
    mean = float(settled(wheel_fouling=GRID_WHEEL).airflow_m3_s) / (width * height)
    return [[round(mean * share, 2) for share in row] for row in GRID]
