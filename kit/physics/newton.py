"""Damped Newton for many small systems at once."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np

TOLERANCE = 1e-9
SHORTEST = 0.06  # share of a Newton step below which it is no longer cut


def solve(
    residual: Callable[[Any, Any], Any],
    start: Any,
    lowest: Any,
    highest: Any,
    longest_step: Any,
    probe: Any,
    iterations: int = 40,
    tolerance: float = TOLERANCE,
) -> tuple[Any, Any]:
    """Solve n independent systems of m equations by Newton with finite differences.

    Every evaluation carries the point and its m probes, so that an accepted full step costs one
    call. Each unknown's step is cut to `longest_step` and kept inside the bounds; a step that makes the residual
    grow is halved.

    Args:
        residual: (x [m, n, k], rows [n]) -> [m, n, k], scaled so that 1 is large.
        start: first guess [m, n].
        lowest: lower bounds [m, n].
        highest: upper bounds [m, n].
        longest_step: largest change in one iteration [m].
        probe: finite-difference steps [m].
        iterations: most iterations.
        tolerance: largest scaled residual at the end.

    Returns:
        Solution [m, n] and the largest scaled residual of each system [n]; not converged where
        that is above the tolerance.

    Source: Newton's method with backtracking, textbook.
    """
    m, n = start.shape
    x = start.copy()
    best = np.full(n, np.inf)
    rows = np.arange(n)
    offsets = np.concatenate([np.zeros((m, 1)), np.diag(probe)], axis=1)[:, None, :]
    base, base_norm, step = x.copy(), np.full(n, np.inf), np.zeros_like(x)
    damp = np.ones(n)
    longest = longest_step[:, None]
    for _ in range(iterations):
        values = residual(x[:, rows, None] + offsets, rows)
        r0 = values[:, :, 0]
        norm = np.sqrt(np.einsum("ij,ij->j", r0, r0))
        sound = np.isfinite(values).all(axis=(0, 2))
        worst = np.where(sound, np.abs(r0).max(axis=0), np.inf)
        best[rows] = worst
        # A step cut short is taken even where the residual grows: the pieces of the path differ.
        ok = sound & ((norm <= 1.0001 * base_norm[rows]) | (damp[rows] < SHORTEST))
        done = (worst < tolerance) | (~sound & (damp[rows] < SHORTEST))
        jac = np.transpose((values[:, :, 1:] - r0[:, :, None]) / probe, (1, 0, 2))
        good = ok & ~done
        if good.any():
            g = rows[good]
            delta = _newton_step(jac[good], r0[:, good])
            step[:, g] = np.clip(np.nan_to_num(delta), -longest, longest)
            base[:, g], base_norm[g], damp[g] = x[:, g], norm[good], 1.0
        bad = ~ok & ~done
        if bad.any():
            damp[rows[bad]] *= 0.4
        rows = rows[~done]
        if rows.size == 0:
            break
        # Toward a bound a step goes nine tenths of the way at most.
        here, lo, hi = base[:, rows], lowest[:, rows], highest[:, rows]
        there = here + damp[rows] * step[:, rows]
        there = np.maximum(there, 0.1 * here + 0.9 * lo)
        x[:, rows] = np.minimum(there, 0.1 * here + 0.9 * hi)
    return x, best


def _newton_step(jac: Any, r: Any) -> Any:
    """Return -J^-1 r, with a touch of damping where J is singular."""
    try:
        return -np.linalg.solve(jac, r.T[:, :, None])[:, :, 0].T
    except np.linalg.LinAlgError:
        eye = np.eye(jac.shape[1]) * 1e-6
        return -np.linalg.solve(jac + eye, r.T[:, :, None])[:, :, 0].T
