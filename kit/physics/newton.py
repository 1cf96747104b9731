"""Damped Newton for many small systems at once."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np

CUT = 0.4  # of a step that does not bring the point nearer
CUTS = 4  # after which a step is taken all the same: pieces of the path differ
CUTS_TO_GIVE_UP = 12  # where the point after the step has no value
TO_BOUND = 0.9  # of the way to a bound that a step may go


def solve(
    residual: Callable[[Any, Any], Any],
    start: Any,
    lowest: Any,
    highest: Any,
    longest: Any,
    probe: Any,
    iterations: int,
    fine: float,
) -> tuple[Any, Any]:
    """Solve n independent systems of m equations by Newton with finite differences.

    Every evaluation carries the point and its m probes, so that an accepted step costs one call.
    A step is cut as a whole, so that its direction stays. It is judged by the step that the old
    slopes give at the new point, which must not be longer. No row depends on another.

    Args:
        residual: (x [m, n, 1 + m], rows [n]) -> [m, n, 1 + m], scaled so that 1 is large.
        start: first guess [m, n].
        lowest: lower bounds [m].
        highest: upper bounds [m].
        longest: largest change in one step, which also scales the unknowns [m].
        probe: finite-difference steps [m].
        iterations: most evaluations [-].
        fine: scaled step after which a point needs no further one [-].

    Returns:
        Solution [m, n], and True where the last step was too small to matter [n].

    Source: affine-invariant Newton with restricted monotonicity test: Deuflhard, Newton Methods
        for Nonlinear Problems, from memory.
    """
    m, n = start.shape
    scale, low, high = longest[:, None], lowest[:, None], highest[:, None]
    offsets = np.concatenate([np.zeros((m, 1)), np.diag(probe)], axis=1)[:, None, :]
    x, solved, rows = start.copy(), np.zeros(n, dtype=bool), np.arange(n)
    here, base, step = start, start.copy(), np.zeros_like(start)
    inverse, size, share, cuts = np.zeros((n, m, m)), np.full(n, np.inf), np.ones(n), np.zeros(n)
    for _ in range(iterations):
        values = residual(here[:, :, None] + offsets, rows)
        r = values[:, :, 0]
        sound = np.isfinite(values.sum(axis=(0, 2)))
        nearer = _length(_times(inverse, r) / scale) <= size
        taken = sound & (nearer | (cuts >= CUTS))
        at = slice(None) if taken.all() else np.flatnonzero(taken)
        slopes = (values[:, at, 1:] - r[:, at, None]) / probe
        inverse[at] = _inverse(np.transpose(slopes, (1, 0, 2)))
        step[:, at], base[:, at] = -_times(inverse[at], r[:, at]), here[:, at]
        size[at] = _length(step[:, at] / scale)
        longer = np.abs(step / scale).max(axis=0)
        share = np.where(taken, 1.0 / np.maximum(longer, 1.0), CUT * share)
        cuts = np.where(taken, 0, cuts + 1)
        done = taken & (longer < fine)
        over = done | ~np.isfinite(longer) | (~sound & (cuts > CUTS_TO_GIVE_UP))
        if over.any():
            x[:, rows[done]] = base[:, done] + step[:, done]
            solved[rows[done]] = True
            keep = ~over
            rows, base, step = rows[keep], base[:, keep], step[:, keep]
            inverse, size, share, cuts = inverse[keep], size[keep], share[keep], cuts[keep]
            if not rows.size:
                break
        there = np.maximum(base + share * step, (1.0 - TO_BOUND) * base + TO_BOUND * low)
        here = np.minimum(there, (1.0 - TO_BOUND) * base + TO_BOUND * high)
    return x, solved


def _times(matrices: Any, vectors: Any) -> Any:
    """Return n matrices [n, m, m] times n vectors [m, n]."""
    return (matrices @ vectors.T[:, :, None])[:, :, 0].T


def _length(scaled: Any) -> Any:
    """Return the length of each column."""
    return np.sqrt(np.einsum("ij,ij->j", scaled, scaled))


def _inverse(matrices: Any) -> Any:
    """Return n inverses, NaN where there is none."""
    try:
        return np.linalg.inv(matrices)
    except np.linalg.LinAlgError:
        out = np.full_like(matrices, np.nan)
        for i, one in enumerate(matrices):
            if np.linalg.matrix_rank(one) == len(one):
                out[i] = np.linalg.inv(one)
        return out
