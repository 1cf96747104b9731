"""Solve the circuits of a batch: a first guess, Newton, and the speed apart where that fails."""

from __future__ import annotations

from typing import Any

import numpy as np

from kit.physics import air, coil, compressor, cycle, newton, valve
from kit.physics.circuit import Circuit
from kit.physics.cycle import Cycle

CONVERGED = 1e-7
# Unknowns in the order of `cycle`: largest step, finite difference, bounds.
LONGEST = np.array([10.0, 7.0, 0.35, 0.3, 5.0, 0.5])
PROBE = np.array([1e-5, 1e-5, 1e-6, 1e-6, 1e-5, 1e-6])
LOWEST = np.array([-50.0, -50.0, -60.0, -30.0, 230.0, -1.0])
HIGHEST = np.array([400.0, 200.0, 12.0, 2.0, 370.0, 2.0])
ROUGH = 1e-9  # residual from which a solution is polished
FINE, FINEST = 3e-5, 1e-9  # scaled step that ends a solve, and a polish
FIRST_TRY = 30  # evaluations
POLISH = 12
LATER_TRY = 40
# Of the first guess; a solution does not depend on them.
ROUNDS = 2
MIX = 0.45  # of the old value, from one round to the next
EFFECT = 0.88  # refrigerating effect over latent heat
HEAD = 1.15  # condenser's load over the evaporator's
LATENT_K = air.H_FG / air.CP_DRY_AIR
FEW = 0.2  # lack of charge from which the valve is thought open
SPEED_TRIES = 24
SPEED_CLOSE = 1e-5  # share of the speed
# Other places to start from: evaporating colder [K], valve's place.
STARTS: tuple[tuple[float, float | None], ...] = (
    (0.0, None),
    (12.0, None),
    (25.0, None),
    (0.0, -0.5),
    (0.0, 2.0),
    (20.0, 4.0),
)


def solve(c: Circuit, full_kg: float) -> tuple[Cycle, Any]:
    """Return the steady states of a batch of circuits.

    Args:
        c: the circuits, columns (n, 1).
        full_kg: charge of the healthy machine [kg].

    Returns:
        State at the solution, arrays (n, 1), and the largest scaled residual (n,).
    """
    with np.errstate(all="ignore"):
        x, solved = _newton(c, guess(c, full_kg), cycle.UNKNOWNS, FIRST_TRY)
        left = np.flatnonzero(~solved)
        if left.size:
            x[:, left] = by_speed(c.take(left), full_kg)
        point, worst = _look(c, x)
        rough = np.flatnonzero(~(worst < ROUGH))
        if rough.size:
            sub = c.take(rough)
            polished, _ = _newton(sub, x[:, rough], cycle.UNKNOWNS, POLISH, FINEST)
            better = _look(sub, polished)[1] < worst[rough]
            x[:, rough[better]] = polished[:, better]
            point, worst = _look(c, x)
    return point, worst


def _look(c: Circuit, x: Any) -> tuple[Cycle, Any]:
    """Return the state at given unknowns and its largest residual, infinite where it has none."""
    point = cycle.evaluate(x[:, :, None], c)
    worst = np.abs(point.residual[:, :, 0]).max(axis=0)
    return point, np.where(np.isfinite(worst), worst, np.inf)


def guess(
    c: Circuit, full_kg: float, leave: Any = 1.0, colder_k: float = 0.0, place: Any = None
) -> Any:
    """Return a first guess of the unknowns.

    Args:
        c: the circuits, columns (n, 1).
        full_kg: charge of the healthy machine [kg].
        leave: share of the asked speed that the protections leave [0..1].
        colder_k: how much colder than normal the evaporator may be [K].
        place: the valve's place [-]; None lets the load decide.

    Returns:
        Unknowns [6, n].
    """
    ref = c.refrigerant
    asked = np.minimum(np.maximum(c.speed_asked, c.speed_low), c.speed_full)
    speed = c.speed_low + (asked - c.speed_low) * leave
    short = np.maximum(0.0, 1.0 - 1.25 * c.charge_kg / full_kg)
    swept = c.swept_m3 * speed * 0.85 * (1.0 - short) ** 2
    swept = swept * (1.0 - compressor.LEAK_FLOW * c.leak) * (1.0 - c.valve_leak)
    e_air = c.e_rate * coil.effectiveness(c.e_air, c.e_rate)
    c_w_k = c.c_rate * coil.effectiveness(coil.series(c.c_air, c.c_ref), c.c_rate)
    air_w = np.where(c.cool > 0.5, c.room_w, c.outdoor_w)
    pull = 12.0
    for _ in range(ROUNDS):  # capacity by displacement at the guessed suction state
        sat = ref.sat(ref.lnp_dew(c.source_k - pull))
        flow = swept * sat.rho_v
        load = flow * EFFECT * (sat.h_v - sat.h_l)
        inside = load / (c.e_ref * (flow / c.design_kg_s) ** coil.REFRIGERANT_EXPONENT)
        surface = c.source_k - pull + inside
        damp = np.maximum(air_w - air.saturation_humidity_ratio(surface, c.p_atm), 0.0)
        wet = 1.0 + LATENT_K * damp / np.maximum(pull - inside, 1.0)
        pull = np.minimum(MIX * pull + (1.0 - MIX) * (inside + load / (e_air * wet)), 45.0)
    te = np.maximum(c.source_k - pull, 225.0)
    tc = np.minimum(c.sink_k + HEAD * load / c_w_k, c.condensing_limit[1] + 1.0)
    tc = np.maximum(tc, te + 8.0)
    te = np.where(c.cool > 0.5, te, np.minimum(te, c.fan_hold_k - 1.5)) - colder_k
    tc = np.where(c.cool > 0.5, np.maximum(tc, c.fan_hold_k + 1.5), tc)
    if place is None:
        k = ref.sat(ref.lnp_dew(tc))
        drop = np.exp(ref.lnp_dew(tc)) - np.exp(ref.lnp_dew(te))
        full = valve.orifice_kg_s(c.valve_m2, c.restriction_m2, k.rho_l, drop)
        place = np.minimum(np.maximum(flow / full, c.valve_low), c.valve_high)
        place = np.where(short > FEW, c.valve_high + 0.7 * short, place)
    parts = (c.source_k - te, tc - c.sink_k, place, inside / pull, c.room_k, leave)
    n = c.cool.shape
    return np.stack([np.broadcast_to(p, n)[:, 0] for p in parts])


def _newton(c: Circuit, start: Any, m: int, iterations: int, fine: float = FINE) -> tuple[Any, Any]:
    """Solve the first m unknowns of every row; the others stay."""
    n = start.shape[1]
    rest = start[m:, :, None]

    def residual(x: Any, rows: Any) -> Any:
        sub = c if rows.size == n else c.take(rows)
        if m < cycle.UNKNOWNS:
            fixed = rest if rows.size == n else rest[:, rows]
            x = np.concatenate([x, np.broadcast_to(fixed, (len(rest), *x.shape[1:]))])
        return cycle.evaluate(x, sub).residual[:m]

    limits = (LOWEST[:m], HIGHEST[:m], LONGEST[:m], PROBE[:m])
    x, solved = newton.solve(residual, start[:m], *limits, iterations, fine)
    return np.concatenate([x, start[m:]]), solved


def by_speed(c: Circuit, full_kg: float) -> Any:
    """Return the unknowns of circuits that are hard to solve at once.

    At a given speed the circuit is tame. What the protections leave of the speed then is the zero
    of a function between the lowest speed, where it is not negative, and the asked one.

    Args:
        c: the circuits, columns (n, 1).
        full_kg: charge of the healthy machine [kg].

    Returns:
        Unknowns [6, n].
    """
    n = c.cool.shape[0]
    high, low = np.ones(n), np.zeros(n)
    x, f_high = _at_speed(c, full_kg, high, None)
    rows = np.flatnonzero(~(f_high >= -SPEED_CLOSE))
    if not rows.size:
        return x
    sub = c.take(rows)
    x[:, rows], f_low = _at_speed(sub, full_kg, low[rows], None)
    rising = ~(f_low <= SPEED_CLOSE)
    rows, sub, f_low = rows[rising], sub.take(rising), f_low[rising]
    low, high = low[rows], high[rows]
    f_low, f_high = np.nan_to_num(f_low, nan=1.0), np.nan_to_num(f_high[rows], nan=-1.0)
    for tries in range(SPEED_TRIES):
        if not rows.size:
            break
        share = np.clip(f_low / (f_low - f_high), 0.02, 0.98) if tries % 3 < 2 else 0.5
        here = low + share * (high - low)
        x[:, rows], f = _at_speed(sub, full_kg, here, x[:, rows])
        above = f > 0.0
        f_high = np.where(above, 0.5 * f_high, np.nan_to_num(f, nan=-1.0))
        f_low = np.where(above, f, 0.5 * f_low)
        low, high = np.where(above, here, low), np.where(above, high, here)
        open_ = ~(np.abs(f) <= SPEED_CLOSE) & (high - low > 1e-12)
        rows, sub, low, high = rows[open_], sub.take(open_), low[open_], high[open_]
        f_low, f_high = f_low[open_], f_high[open_]
    return x


def _at_speed(c: Circuit, full_kg: float, leave: Any, near: Any) -> tuple[Any, Any]:
    """Return the unknowns at a share of the asked speed, and what protections leave beyond it."""
    n = leave.size
    x, todo = np.full((cycle.UNKNOWNS, n), np.nan), np.arange(n)
    for colder_k, place in (*(() if near is None else ((-1.0, None),)), *STARTS):
        sub = c if todo.size == n else c.take(todo)
        start = (
            near[:, todo]
            if colder_k < 0.0
            else guess(sub, full_kg, leave[todo, None], colder_k, place)
        )
        start = start.copy()
        start[5] = leave[todo]
        found, solved = _newton(sub, start, 5, LATER_TRY)
        x[:, todo[solved]] = found[:, solved]
        todo = todo[~solved]
        if not todo.size:
            break
    left = cycle.evaluate(x[:, :, None], c).held_back.prod(axis=0)[:, 0]
    return x, left - leave
