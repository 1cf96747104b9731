"""Steady state of a machine: one case or many at once."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import fields, replace
from typing import Any

import numpy as np

from kit.errors import KitError, NotConvergedError
from kit.machine import controls
from kit.machine.condition import Condition
from kit.machine.inputs import Inputs, build
from kit.machine.spec import Spec
from kit.machine.state import empty_truth, fill_standing, running_truth
from kit.machine.surroundings import Command, Surroundings
from kit.machine.truth import Truth
from kit.physics import circuit, newton

CONVERGED = 1e-7
_LONGEST = np.array([0.35, 0.25, 0.35, 0.15, 0.3, 5.0, 0.35])
_PROBE = np.array([1e-6, 1e-6, 1e-6, 1e-6, 1e-6, 1e-4, 1e-6])
# Other places to start from where the first guess leads nowhere.
_RETRIES: tuple[dict[str, float], ...] = (
    {"starved_k": 8.0, "outlet": -0.05},
    {"flooded": 0.1, "outlet": 0.02},
    {"starved_k": 25.0, "outlet": -0.3},
    {"starved_k": 15.0, "outlet": 0.15},
    {"flooded": 0.4, "outlet": -0.1},
    {"place": 0.25, "outlet": 0.3},
    {"place": 0.8, "outlet": -0.1},
)


def settle(
    spec: Spec, condition: Condition, around: Surroundings, command: Command, speed_cap_rps: float | None = None
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
    values: dict[str, Any] = {}
    for f in fields(Truth):
        v = getattr(many, f.name)
        if f.name == "limits":
            values[f.name] = v[0]
        elif f.name == "running":
            values[f.name] = bool(v[0])
        elif f.name == "memory":
            values[f.name] = None
        else:
            values[f.name] = float(v[0])
    if not values["residual"] < CONVERGED:
        raise NotConvergedError(
            f"The circuit of {spec.name} was not solved (largest residual {values['residual']:.1e}) for "
            f"{condition}, {around}, {command}. Try a value nearer to the healthy one and report the case."
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
            f"settle_many got {n} conditions, {len(arounds)} surroundings and {len(commands)} commands; give one of each a case."
        )
    inputs = build(spec, conditions, arounds, commands, speed_cap_rps)
    run = np.flatnonzero(~inputs.idle)
    stand = np.flatnonzero(inputs.idle)
    truth = empty_truth(n)
    if run.size:
        x, residual, stops = _solve(spec, inputs, run)
        alive = np.array([not s for s in stops])
        for i, why in zip(run, stops, strict=True):
            inputs.stopped[i] = inputs.stopped[i] + why
        rows = run[alive]
        stand = np.concatenate([stand, run[~alive]])
        if rows.size:
            running_truth(spec, inputs, rows, x[:, alive], residual[alive], truth)
    if stand.size:
        fill_standing(spec, inputs, commands, stand, truth)
    return Truth(**truth)


def guess(
    c: Any, spec: Spec, cool: Any, place: float = 0.45, outlet: float = 0.1, starved_k: float = 0.0, flooded: float = 0.0
) -> Any:
    """Return a first guess of the unknowns [7, n] for circuits with columns (n, 1).

    Args:
        c: the circuit.
        spec: the machine.
        cool: 1 in cooling, 0 in heating (n, 1).
        place: valve opening at full capacity [-].
        outlet: share of the condenser that holds liquid; negative for flash gas [-].
        starved_k: how much colder than normal the evaporator may be [K].
        flooded: valve place short of its lowest, for an evaporator that floods [-].
    """
    ref = c.refrigerant
    n = np.shape(c.room_k)[0]
    speed = np.minimum(np.maximum(c.speed_asked, c.speed_low), c.speed_full)
    e_ua = 1.0 / (1.0 / (1006.0 * c.e_mass * 0.9) + 1.0 / c.e_ref)
    c_ua = 1.0 / (1.0 / (1006.0 * c.c_mass * 0.8) + 1.0 / c.c_ref)
    e_air = np.where(cool > 0.5, c.room_k, c.outdoor_k)
    c_air = np.where(cool > 0.5, c.outdoor_k, c.room_k)
    wet = np.where(cool > 0.5, 0.72, 0.9)
    te = e_air - 12.0
    for _ in range(2):  # capacity by displacement at the guessed suction state
        sat = ref.sat(ref.lnp_dew(te))
        flow = c.swept_m3 * speed * 0.85 * sat.rho_v * np.minimum(1.0, c.charge_kg / spec.charge_kg + 0.1)
        load = flow * 0.8 * (sat.h_v - sat.h_l)
        te = np.maximum(0.5 * te + 0.5 * (e_air - np.minimum(wet * load / e_ua, 30.0)), 225.0)
    tc = np.minimum(c_air + np.minimum(1.15 * load / c_ua, 30.0), 334.0)
    tc = np.maximum(tc, te + 8.0)
    te = np.where(cool > 0.5, te, np.minimum(te, c.fan_hold_k - 1.5))
    te = np.maximum(te - starved_k, 222.0)
    tc = tc - 0.25 * starved_k
    tc = np.where(cool > 0.5, np.maximum(tc, c.fan_hold_k + 1.5), tc)
    full = load / spec.rated_cooling_w
    shape = (n, 1)
    at = np.minimum(np.maximum(place * full, c.valve_low), c.valve_high)
    if starved_k:
        at = c.valve_high + 0.025 * starved_k
    if flooded:
        at = c.valve_low - flooded
    parts = [
        ref.lnp_dew(te), ref.lnp_dew(tc), at, np.full(shape, outlet),
        0.25, c.room_k, speed / circuit.SPEED_SCALE,
    ]
    return np.stack([np.broadcast_to(p, shape)[:, 0] for p in parts])


def _bounds(c: Any, cool: Any) -> tuple[Any, Any]:
    """Return bounds of the unknowns [7, n]: heat flows only downhill, so pressures stay apart."""
    ref = c.refrigerant
    n = cool.shape[0]
    low = np.repeat(np.array([[ref.lnp_min - 6.0, ref.lnp_min, -3.0, -8.0, -0.5, 240.0, 0.1]]).T, n, axis=1)
    high = np.repeat(np.array([[ref.lnp_max, ref.lnp_max + 6.0, 30.0, 4.0, 1.0, 360.0, 2.4]]).T, n, axis=1)
    cooling = cool > 0.5
    sink = np.where(cooling, np.maximum(c.outdoor_k, c.fan_hold_k), c.room_k)
    source = np.where(cooling, c.room_k, np.minimum(c.outdoor_k, c.fan_hold_k))
    low[1] = ref.lnp_dew(sink[:, 0] + 0.05)
    high[0] = ref.lnp_dew(source[:, 0] - 0.05)
    return low, high


def _solve(spec: Spec, inputs: Inputs, run: Any) -> tuple[Any, Any, list[tuple[str, ...]]]:
    c = inputs.circuit.take(run)
    cool = inputs.cool[run]

    def attempt(rows: Any, sub: Any, start: Any, iterations: int = 40) -> tuple[Any, Any]:
        def residual(x: Any, which: Any) -> Any:
            return circuit.evaluate(x, sub if which.size == rows.size else sub.take(which))

        with np.errstate(all="ignore"):
            low, high = _bounds(sub, cool[rows])
            return newton.solve(residual, start, low, high, _LONGEST, _PROBE, iterations)

    everything = np.arange(run.size)
    x, residual = attempt(everything, c, guess(c, spec, cool))
    for retry in _RETRIES:
        bad = np.flatnonzero(~(residual < CONVERGED))
        if not bad.size:
            break
        sub = c.take(bad)
        xb, rb = attempt(bad, sub, guess(sub, spec, cool[bad], **retry), 60)
        better = rb < residual[bad]
        x[:, bad[better]], residual[bad[better]] = xb[:, better], rb[better]
    bad = np.flatnonzero(~(residual < CONVERGED))
    if bad.size:
        x[:, bad], residual[bad] = _by_speed(spec, c.take(bad), cool[bad], bad, attempt)
    stops = _stops_while_running(spec, c, x, residual)
    return x, residual, stops


def _by_speed(spec: Spec, c: Any, cool: Any, rows: Any, attempt: Any) -> tuple[Any, Any]:
    """Solve hard cases by halving: at each fixed speed the circuit, then the speed the limits want."""
    low, high = c.speed_low + np.zeros_like(cool), np.maximum(c.speed_full, c.speed_low) + np.zeros_like(cool)
    x = guess(c, spec, cool)
    known = np.zeros(rows.size, dtype=bool)
    residual = np.full(rows.size, np.inf)
    for step in range(14):
        speed = high if step == 0 else low if step == 1 else 0.5 * (low + high)
        fixed = replace(c, speed_low=speed, speed_asked=speed, speed_full=speed, demand_gain=0.0)
        start = x.copy()
        start[6] = speed[:, 0] / circuit.SPEED_SCALE
        x, residual = _with_retries(spec, fixed, cool, rows, start, attempt)
        with np.errstate(all="ignore"):
            wanted = circuit.evaluate(x[:, :, None], c, full=True)["wanted"]
        solved = (residual < CONVERGED)[:, None]
        lower = (wanted < speed) & solved
        if step == 1:
            continue
        high, low = np.where(lower, speed, high), np.where(lower | ~solved, low, speed)
        known |= solved[:, 0]
    return attempt(rows, c, x, 60)


def _with_retries(spec: Spec, c: Any, cool: Any, rows: Any, start: Any, attempt: Any) -> tuple[Any, Any]:
    """Solve from a start, then from the other starting places what is left."""
    x, residual = attempt(rows, c, start, 60)
    for retry in ({}, *_RETRIES):
        bad = np.flatnonzero(~(residual < CONVERGED))
        if not bad.size:
            break
        sub = c.take(bad)
        xb, rb = attempt(rows[bad], sub, guess(sub, spec, cool[bad], **retry), 60)
        better = rb < residual[bad]
        x[:, bad[better]], residual[bad[better]] = xb[:, better], rb[better]
    return x, residual


def _stops_while_running(spec: Spec, c: Any, x: Any, residual: Any) -> list[tuple[str, ...]]:
    """Return for each solved case the protections that would stop it."""
    with np.errstate(all="ignore"):
        s = circuit.evaluate(x[:, :, None], c, full=True)
    ok = residual < CONVERGED
    high = s["c_dew"][:, 0] > np.broadcast_to(c.condensing_limit[1], s["c_dew"].shape)[:, 0] + controls.HIGH_PRESSURE_MARGIN_K
    hot = s["t2"][:, 0] > c.discharge_limit[1] + controls.DISCHARGE_MARGIN_K
    weak = (s["ps"][:, 0] < controls.LOW_PRESSURE_PA) | (s["lean"][:, 0] > 0)
    high = high | (s["brimful"][:, 0] > 0)
    out: list[tuple[str, ...]] = []
    for i in range(x.shape[1]):
        names = (
            ("high_pressure_stop", high), ("discharge_temperature_stop", hot), ("low_pressure_stop", weak),
        )
        out.append(tuple(n for n, flag in names if ok[i] and flag[i]))
    return out
