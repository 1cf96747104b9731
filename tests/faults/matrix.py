"""Every fault at every named severity, in the three states an apprentice meets, solved at once."""

from __future__ import annotations

import math
from dataclasses import dataclass, fields
from functools import cache
from typing import Any

import numpy as np

from kit.faults import Fault, registry
from kit.machine import Command, Condition, Spec, Surroundings, Truth, load_spec, settle_many
from kit.machine.readings import READINGS, Case, take_all

MACHINE = "wall-12k-r32"
CONVERGED = 1e-7
# 80 F, 50 % RH in, 95 F out; setpoint 10 F below: full demand and no more.
COOLING = Surroundings(room_db_k=299.82, room_rh=0.5, outdoor_db_k=308.15, outdoor_rh=0.4)
# 70 F in, 47 F out.
HEATING = Surroundings(room_db_k=294.26, room_rh=0.5, outdoor_db_k=281.48, outdoor_rh=0.87)
# Standing with both units at one temperature, as the static test wants it.
STANDING = Surroundings(room_db_k=298.15, room_rh=0.5, outdoor_db_k=298.15, outdoor_rh=0.5)
SITUATIONS: dict[str, tuple[Surroundings, Command]] = {
    "cooling": (COOLING, Command("cooling", setpoint_k=299.82 - 5.6, fan="auto")),
    "heating": (HEATING, Command("heating", setpoint_k=294.26 + 5.6, fan="auto")),
    "off": (STANDING, Command("off")),
}


@dataclass(frozen=True)
class Row:
    """One condition in the three situations: truth and readings by (reading, mode)."""

    condition: Condition
    truths: dict[str, Truth]
    readings: dict[tuple[str, str], float]


def one_of(truths: Truth, index: int) -> Truth:
    """Return one case of a batch as a Truth of plain numbers."""
    values: dict[str, Any] = {}
    for f in fields(Truth):
        column = getattr(truths, f.name)
        values[f.name] = column if column is None else column[index]
        if isinstance(values[f.name], np.generic):
            values[f.name] = values[f.name].item()
    return Truth(**values)


def rows(spec: Spec, conditions: list[Condition]) -> list[Row]:
    """Return the rows of some conditions, each situation solved as one batch."""
    found: list[dict[str, Truth]] = [{} for _ in conditions]
    for mode, (around, command) in SITUATIONS.items():
        n = len(conditions)
        batch = settle_many(spec, conditions, [around] * n, [command] * n)
        for i in range(n):
            found[i][mode] = one_of(batch, i)
    return [
        Row(condition, truths, readings_of(spec, condition, truths))
        for condition, truths in zip(conditions, found, strict=True)
    ]


def readings_of(
    spec: Spec, condition: Condition, truths: dict[str, Truth]
) -> dict[tuple[str, str], float]:
    """Return every reading that can be taken, by (reading, mode)."""
    out: dict[tuple[str, str], float] = {}
    for mode, truth in truths.items():
        if not truth.residual < CONVERGED:  # no number of an unsolved case is looked at
            out |= {(name, mode): math.nan for name, r in READINGS.items() if mode in r.modes}
            continue
        case = Case(truth, spec, condition, SITUATIONS[mode][0], mode)
        out |= {(name, mode): value for name, value in take_all(case).items()}
    return out


@cache
def matrix(machine: str = MACHINE) -> tuple[Row, dict[tuple[str, str], Row]]:
    """Return the healthy row and the row of each (fault, severity name) of a machine."""
    spec = load_spec(machine)
    keys: list[tuple[str, str]] = []
    conditions = [Condition()]
    for name, one in registry().items():
        for severity in one.severities:
            keys.append((name, severity.name))
            conditions.append(one.apply(Condition(), severity.level))
    healthy, *others = rows(spec, conditions)
    return healthy, dict(zip(keys, others, strict=True))


def found_rows(one: Fault, machine: str = MACHINE) -> list[Row]:
    """Return a fault's rows at the severities that a visit is meant to find."""
    _, every = matrix(machine)
    return [every[one.name, s.name] for s in one.severities if s.found]
