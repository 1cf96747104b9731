"""Trials of the lesson on the outdoor unit: one machine, its outdoor air taken away."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from functools import cache
from typing import TYPE_CHECKING

from kit import library
from kit.screens.tasks._given import fahrenheit_k, published, words

if TYPE_CHECKING:
    from kit.machine import Condition, Truth
    from kit.screens.task import Plot

MACHINE = "wall-12k-r32"
ROOM_K, ROOM_RH, OUTDOOR_K = fahrenheit_k(80), 0.5, fahrenheit_k(95)
# Tests of a sound split heat pump in cooling, NISTIR 7350, appendix D.
REPORT, TESTS = "nistir7350", ("7", "9")
# Three units that read alike until somebody looks twice: cause, knob, level.
SUSPECTS = (
    ("recirculation", "outdoor_recirculation", 0.85),
    ("coil", "outdoor_coil_blockage", 0.79),
    ("fan", "outdoor_fan_factor", 0.42),
)
_TOLD = (
    *("split", "current", "outdoor_coil_over_air", "outdoor_intake_over_air"),
    "outdoor_fan_speed",
)


@cache
def run(conditions: tuple[Condition, ...]) -> Truth:
    """Return the machine run until it settled, a row for each condition."""
    from kit.machine import Command, Surroundings, load_spec, settle_many

    around, n = Surroundings(ROOM_K, ROOM_RH, OUTDOOR_K, 0.4), len(conditions)
    order = Command("cooling", 289.15)
    return settle_many(load_spec(MACHINE), conditions, [around] * n, [order] * n)


def closed(shares: Sequence[float]) -> Truth:
    """Return the machine with shares of its outdoor coil's face closed, a row for each."""
    from kit.machine import Condition

    return run(tuple(Condition(outdoor_coil_blockage=x) for x in shares))


@cache
def half_air() -> float:
    """Return the share of the face that is closed when half of the outdoor air is left."""
    shares = [0.7 + 0.002 * i for i in range(76)]
    flow = closed([0.0, *shares]).outdoor_airflow_m3_s
    return min(shares, key=lambda x: abs(flow[1 + shares.index(x)] / flow[0] - 0.5))


def over_k(truth: Truth, row: int = 0) -> float:
    """Return condensing over outdoor air in one row [K]."""
    return float(truth.condensing_k[row]) - OUTDOOR_K


def cycles() -> Plot:
    """Return the refrigerant's way round, with a clean coil and with half of the outdoor air."""
    from kit.machine import Command, Condition, Surroundings, load_spec, settle
    from kit.screens.plots import cycle_chart

    spec, around = load_spec(MACHINE), Surroundings(ROOM_K, ROOM_RH, OUTDOOR_K, 0.4)
    order, names = Command("cooling", 289.15), words("clean coil", "half of the outdoor air")
    conditions = (Condition(), Condition(outdoor_coil_blockage=half_air()))
    truths = (settle(spec, condition, around, order) for condition in conditions)
    return cycle_chart(spec.refrigerant, list(zip(names, truths, strict=True)))


def laboratory() -> tuple[tuple[float, float, float], ...]:
    """Return, for each measured test, outdoor air, condensing worked out and as printed [K]."""
    import math

    from kit.physics import refrigerant
    from kit.quantities import PSI_PA

    fluid, found = refrigerant.load("R-410A"), []
    for test in TESTS:
        outdoor_k, psia = fahrenheit_k(_measured("od_db_F", test)), _measured("cond_in_psia", test)
        worked_k = float(fluid.sat(math.log(psia * PSI_PA)).t_dew_k)
        printed = published(REPORT, f"{REPORT}-t{test}-cond-sat")["expected"]
        found.append((outdoor_k, worked_k, fahrenheit_k(float(printed))))
    return tuple(found)


def _measured(quantity: str, test: str) -> float:
    """Return a figure of a test as the report prints it [its own unit]."""
    text = library.datasets("published", "measured", f"{REPORT}_nofault.csv").read_text("utf-8")
    table = {name: rest for name, *rest in (row.split(";") for row in text.splitlines())}
    return float(table[quantity][table["cond"].index(test)])


@cache
def suspects() -> tuple[Mapping[str, float], ...]:
    """Return the readings of the three units, each with one thing wrong outdoors."""
    from kit.machine import Command, Condition, Surroundings, load_spec, settle
    from kit.machine.readings import Case, take

    spec, around = load_spec(MACHINE), Surroundings(ROOM_K, ROOM_RH, OUTDOOR_K, 0.4)
    found = []
    for _, knob, level in SUSPECTS:
        condition = replace(Condition(), **{knob: level})  # type: ignore[arg-type]  # by its name
        truth = settle(spec, condition, around, Command("cooling", 289.15))
        case = Case(truth, spec, condition, around, "cooling")
        found.append({name: take(name, case) for name in _TOLD})
    return tuple(found)
