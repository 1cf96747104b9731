"""Water in the pan: an exact balance, and a drain that slows as it closes."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kit.physics import condensate

CLEAR, FULL = 0.03, 0.6
SHARES = st.floats(0.0, 1.0)


@given(
    pan=st.floats(0.0, FULL),
    inflow=st.floats(0.0, 0.05),
    blockage=SHARES,
    slope=SHARES,
    dt=st.floats(0.01, 3600.0),
)
def test_water_in_is_water_kept_drained_or_spilt(
    pan: float, inflow: float, blockage: float, slope: float, dt: float
) -> None:
    """Nothing is lost or made: in = kept + drained + over the edge, each of them not negative."""
    left, drained, over = condensate.next_pan(pan, inflow, CLEAR, blockage, slope, FULL, dt)
    assert pan + inflow * dt == pytest.approx(left + drained * dt + over, abs=1e-9, rel=1e-9)
    assert 0.0 <= left <= FULL + 1e-12
    assert over >= 0.0
    assert drained >= -1e-12


@given(
    inflow=st.floats(0.0, 5e-3),
    blockage=st.floats(0.0, 0.9),
    first=st.floats(1.0, 600.0),
    second=st.floats(1.0, 600.0),
)
def test_two_steps_are_one(inflow: float, blockage: float, first: float, second: float) -> None:
    """Below the edge the solution is exact, so that a step may be cut anywhere."""
    whole = condensate.next_pan(0.01, inflow, CLEAR, blockage, 0.0, 1e3, first + second)
    half = condensate.next_pan(0.01, inflow, CLEAR, blockage, 0.0, 1e3, first)
    rest = condensate.next_pan(half[0], inflow, CLEAR, blockage, 0.0, 1e3, second)
    assert whole[0] == pytest.approx(rest[0], rel=1e-9, abs=1e-12)
    drained = half[1] * first + rest[1] * second
    assert whole[1] * (first + second) == pytest.approx(drained, rel=1e-9, abs=1e-12)


def test_the_pan_settles_where_the_drain_carries_what_comes() -> None:
    """In the long run the standing water drives just the inflow down the drain."""
    inflow = 4e-4
    left, drained, over = condensate.next_pan(0.0, inflow, CLEAR, 0.3, 0.2, FULL, 36000.0)
    rate = condensate.drain_per_kg(CLEAR, 0.3, 0.2)
    assert inflow / rate == pytest.approx(left, rel=1e-9)
    assert inflow == pytest.approx(drained, rel=0.02)
    assert 0.0 == over


@given(st.lists(SHARES, min_size=2, max_size=6, unique=True))
def test_a_drain_slows_as_it_closes_or_loses_its_fall(shares: list[float]) -> None:
    """More dirt or less fall never drains faster; shut, nothing passes; without fall, a little."""
    by_dirt = [condensate.drain_per_kg(CLEAR, b, 0.0) for b in sorted(shares)]
    by_fall = [condensate.drain_per_kg(CLEAR, 0.0, s) for s in sorted(shares)]
    assert by_dirt == sorted(by_dirt, reverse=True)
    assert by_fall == sorted(by_fall, reverse=True)
    assert 0.0 == condensate.drain_per_kg(CLEAR, 1.0, 0.0)
    assert 0.0 < condensate.drain_per_kg(CLEAR, 0.0, 1.0) < 0.2 * by_fall[0] / (1 - 0.85)


def test_a_poured_litre_runs_out_of_a_clear_drain_and_over_a_shut_one() -> None:
    """Under a minute or so when clear, never when shut, and what does not fit is on the floor."""
    quick, dry = condensate.pour_time_s(1.0, 0.0, CLEAR, 0.0, 0.0, FULL)
    assert 50.0 <= quick <= 90.0
    assert 0.0 == dry
    never, spilt = condensate.pour_time_s(1.0, 0.0, CLEAR, 1.0, 0.0, FULL)
    assert math.inf == never
    assert 1.0 - FULL == pytest.approx(spilt)
    slow, _ = condensate.pour_time_s(1.0, 0.0, CLEAR, 0.6, 0.0, FULL)
    assert slow > 2.0 * quick
