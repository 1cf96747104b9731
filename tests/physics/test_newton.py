"""Damped Newton on systems with known answers."""

from __future__ import annotations

import numpy as np
import pytest

from kit.physics import newton

LOW, HIGH = np.array([-50.0, -50.0]), np.array([50.0, 50.0])
LONGEST, PROBE = np.array([2.0, 2.0]), np.array([1e-6, 1e-6])


def circle_and_line(radii):
    """Return the residuals of x**2 + y**2 = r**2 and x = y, one row a radius."""

    def residual(x, rows):
        r = radii[rows][:, None]
        return np.stack([(x[0] ** 2 + x[1] ** 2 - r**2) / 10.0, x[0] - x[1]])

    return residual


def test_each_row_finds_its_own_answer() -> None:
    """Rows with different numbers are solved together, each to its own root."""
    radii = np.array([1.0, 3.0, 7.0])
    start = np.full((2, 3), 2.0)

    x, solved = newton.solve(
        circle_and_line(radii), start, LOW, HIGH, LONGEST, PROBE, iterations=40, fine=1e-9
    )

    assert solved.all()
    assert x[0] == pytest.approx(radii / np.sqrt(2.0), rel=1e-8)
    assert x[1] == pytest.approx(x[0], rel=1e-8)


def test_a_row_alone_has_the_same_answer() -> None:
    """No row depends on its neighbours, to the bit."""
    radii = np.array([1.0, 3.0, 7.0])
    together, _ = newton.solve(
        circle_and_line(radii), np.full((2, 3), 2.0), LOW, HIGH, LONGEST, PROBE, 40, 1e-9
    )
    alone, _ = newton.solve(
        circle_and_line(radii[1:2]), np.full((2, 1), 2.0), LOW, HIGH, LONGEST, PROBE, 40, 1e-9
    )

    assert together[:, 1] == pytest.approx(alone[:, 0], rel=1e-12)


def test_without_an_answer_nothing_is_called_solved() -> None:
    """x**2 + 1 = 0 has no real root: the row says so."""

    def residual(x, rows):
        return np.stack([x[0] ** 2 + 1.0, x[1]])

    _, solved = newton.solve(
        residual, np.full((2, 1), 3.0), LOW, HIGH, LONGEST, PROBE, iterations=60, fine=1e-9
    )

    assert not solved.any()


def test_bounds_are_kept() -> None:
    """A root outside of the bounds is not reached, and no bound is crossed on the way."""
    seen = []

    def residual(x, rows):
        seen.append(x.copy())
        return np.stack([x[0] - 100.0, x[1]])

    x, solved = newton.solve(
        residual, np.zeros((2, 1)), LOW, HIGH, LONGEST, PROBE, iterations=60, fine=1e-9
    )

    assert not solved.any()
    assert max(s[0].max() for s in seen) <= HIGH[0] + 1e-5
    assert x[0, 0] <= HIGH[0]
