"""Damped Newton for many small systems at once."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np

TOLERANCE = 1e-9


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
    call. Steps are cut to `longest_step` and kept inside the bounds; a step that makes the residual
    grow is halved.

    Args:
        residual: (x [m, n, k], rows [n]) -> [m, n, k], scaled so that 1 is large.
        start: first guess [m, n].
        lowest: lower bounds [m].
        highest: upper bounds [m].
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
    lo, hi, longest = lowest[:, None], highest[:, None], longest_step[:, None]
    for _ in range(iterations):
        values = residual(x[:, rows, None] + offsets, rows)
        r0 = values[:, :, 0]
        norm = np.sqrt(np.einsum("ij,ij->j", r0, r0))
        worst = np.abs(r0).max(axis=0)
        np.minimum.at(best, rows, worst) if False else None
        best[rows] = worst
        # The last allowed decrease: accept growth early on, since the pieces of the path differ.
        ok = (norm <= 1.0001 * base_norm[rows]) | (damp[rows] < 0.06)
        done = worst < tolerance
        jac = np.transpose((values[:, :, 1:] - r0[:, :, None]) / probe, (1, 0, 2))
        good = ok & ~done
        if good.any():
            g = rows[good]
            delta = _newton_step(jac[good], r0[:, good])
            cut = np.minimum(1.0, (longest / np.maximum(np.abs(delta), 1e-300)).min(axis=0))
            step[:, g] = delta * cut
            base[:, g], base_norm[g], damp[g] = x[:, g], norm[good], 1.0
        bad = ~ok & ~done
        if bad.any():
            damp[rows[bad]] *= 0.4
        rows = rows[~done]
        if rows.size == 0:
            break
        x[:, rows] = np.minimum(np.maximum(base[:, rows] + damp[rows] * step[:, rows], lo), hi)
    return x, best


def _newton_step(jac: Any, r: Any) -> Any:
    """Return -J^-1 r, with a touch of damping where J is singular."""
    try:
        return -np.linalg.solve(jac, r.T[:, :, None])[:, :, 0].T
    except np.linalg.LinAlgError:
        eye = np.eye(jac.shape[1]) * 1e-6
        return -np.linalg.solve(jac + eye, r.T[:, :, None])[:, :, 0].T
