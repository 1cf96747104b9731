"""Steady state of a machine: one case or many at once."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import fields
from typing import Any

import numpy as np

from kit.errors import KitError, NotConvergedError
from kit.machine import controls, solving
from kit.machine.condition import Condition
from kit.machine.inputs import Inputs, build
from kit.machine.running import running_fields
from kit.machine.solving import CONVERGED
from kit.machine.spec import Spec
from kit.machine.state import empty_truth, standing_fields
from kit.machine.surroundings import Command, Surroundings
from kit.machine.truth import Truth
from kit.physics.circuit import Circuit
from kit.physics.cycle import Cycle


def settle(
    spec: Spec,
    condition: Condition,
    around: Surroundings,
    command: Command,
    speed_cap_rps: float | None = None,
) -> Truth:
    """Return the steady state of one machine.

    Args:
        spec: data sheet from `load_spec`.
        condition: knobs of wear, dirt, charge and damage.
        around: air at both units.
        command: what the remote control asks for.
        speed_cap_rps: highest speed that start-up allows so far [1/s]; None for no cap.

    Returns:
        Truth with floats, SI.

    Raises:
        NotConvergedError: the equations were not solved; no number is returned.
    """
    many = settle_many(spec, [condition], [around], [command], speed_cap_rps)
    values = {name: getattr(many, name)[0] for name in _COLUMNS}
    values = {name: v if name == "limits" else v.item() for name, v in values.items()}
    if not values["residual"] < CONVERGED:
        raise NotConvergedError(
            f"The circuit of {spec.name} was not solved "
            f"(largest residual {values['residual']:.1e}) for "
            f"{condition}, {around}, {command}. "
            "Try a value nearer to the healthy one and report the case."
        )
    return Truth(**values)


def settle_many(
    spec: Spec,
    conditions: Sequence[Condition],
    arounds: Sequence[Surroundings],
    commands: Sequence[Command],
    speed_cap_rps: float | None = None,
) -> Truth:
    """Return the steady states of many cases of one machine, solved together.

    Args:
        spec: data sheet from `load_spec`.
        conditions: one a case.
        arounds: one a case.
        commands: one a case.
        speed_cap_rps: as in `settle`, for all cases.

    Returns:
        Truth with arrays of shape (n,), `limits` a list of tuples; where a case was not solved
        `residual` says so (1e-7 or more) and its readings are NaN.

    Raises:
        KitError: the three sequences differ in length.
    """
    n = len(conditions)
    if not (len(arounds) == len(commands) == n):
        raise KitError(
            f"settle_many got {n} conditions, {len(arounds)} surroundings "
            f"and {len(commands)} commands; give one of each a case."
        )
    inputs = build(spec, conditions, arounds, commands, speed_cap_rps)
    truth = empty_truth(n)
    stand, run = np.flatnonzero(inputs.idle), np.flatnonzero(~inputs.idle)
    if run.size:
        c = inputs.circuit if run.size == n else inputs.circuit.take(run)
        point, residual = solving.solve(c, spec.charge_kg)
        with np.errstate(all="ignore"):  # rows that were not solved
            found = running_fields(spec, inputs, run, c, point) | {"residual": residual[:, None]}
        failed = ~(residual < CONVERGED)
        _write(truth, run, found, failed if failed.any() else None)
        truth["running"][run] = True
        stopped = _holding(inputs, truth, run, _stopping(c, point) & ~failed[:, None], point)
        stand = np.concatenate([stand, run[stopped]])
    if stand.size:
        _write(truth, stand, standing_fields(spec, inputs, commands, stand), None)
        truth["running"][stand] = False
        for i in stand:
            truth["limits"][i] = inputs.stopped[i]
    return Truth(**truth)


_COLUMNS = tuple(f.name for f in fields(Truth) if f.name != "memory")
_STOPS = ("high_pressure_stop", "discharge_temperature_stop", "low_pressure_stop")
# What holds back, and where `cycle` gives what it leaves of the speed.
_HOLDS = ("discharge_temperature", "condensing_pressure", "coil_freeze", "current")
_PLACES = (1, 2, 0, 3)
_HELD = 0.999  # share of the speed below which a protection is said to hold the machine back


def _write(truth: dict[str, Any], rows: Any, found: dict[str, Any], failed: Any) -> None:
    """Write columns (m, 1) into rows of the batch: zero without any, NaN where it failed."""
    for name, column in truth.items():
        if isinstance(column, np.ndarray) and column.dtype == float:
            value = found.get(name)
            value = 0.0 if value is None else value[:, 0]
            if failed is not None and name != "residual":
                value = np.where(failed, np.nan, value)
            column[rows] = value


def _stopping(c: Circuit, s: Cycle) -> Any:
    """Return which protections would stop each case (m, 3), in the order of `_STOPS`."""
    dew_k = s.condensing.t_dew_k
    high = (dew_k > c.condensing_limit[1] + controls.HIGH_PRESSURE_MARGIN_K) | (s.choked_k > 0.0)
    hot = s.condensation.discharge_k > c.discharge_limit[1] + controls.DISCHARGE_MARGIN_K
    weak = (s.compression.suction_pa < controls.LOW_PRESSURE_PA) | (s.starved_k > 0.0)
    return np.concatenate([high, hot, weak], axis=1)


def _holding(inputs: Inputs, truth: dict[str, Any], run: Any, stops: Any, s: Cycle) -> Any:
    """Name what holds each case back or stops it; return which cases are stopped (m,)."""
    held = s.held_back[_PLACES, :, 0].T < _HELD
    for j in np.flatnonzero(held.any(axis=1)):
        truth["limits"][run[j]] = tuple(n for n, on in zip(_HOLDS, held[j], strict=True) if on)
    stopped = stops.any(axis=1)
    for j in np.flatnonzero(stopped):
        why = tuple(n for n, on in zip(_STOPS, stops[j], strict=True) if on)
        inputs.stopped[run[j]] = inputs.stopped[run[j]] + why
    return stopped
