"""Fans, filters, blocked faces and the jet."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kit.physics import blower

SHARE = st.floats(0.0, 1.0)


def test_a_clean_filter_adds_its_own_share() -> None:
    """Without dust the filter has the resistance of the data sheet."""
    assert pytest.approx(0.2) == blower.filter_resistance(0.2, 0.0)


def test_doubling_the_resistance_cuts_the_flow_by_10_to_20_percent() -> None:
    """A free fan against twice the filter and coil keeps 80 to 90 % (fan curve; textbook band)."""
    own = 0.45
    kept = blower.airflow_m3_s(1.0, 1.0, 2 * own) / blower.airflow_m3_s(1.0, 1.0, own)

    assert 0.80 <= kept <= 0.90


@pytest.mark.parametrize("speed", [0.44, 0.62, 0.8, 1.0])
def test_flow_follows_speed(speed) -> None:
    """Fan law: at the same resistance flow is proportional to speed."""
    full = blower.airflow_m3_s(0.2, 1.0, 0.5)

    assert pytest.approx(speed * full, rel=1e-12) == blower.airflow_m3_s(0.2, speed, 0.5)


def test_power_at_eight_tenths_of_speed_is_about_half() -> None:
    """Fan law P ~ n**3: 0.8 of the speed takes 0.512 of the power."""
    assert pytest.approx(0.512, rel=1e-9) == blower.fan_power_w(1.0, 0.8, 1.0)


def test_dirt_on_the_blades_lowers_motor_power() -> None:
    """A fouled wheel moves less air and does less work at the same speed."""
    clean = blower.airflow_m3_s(1.0, 1.0, 0.45)
    fouled = blower.airflow_m3_s(1.0, 1.0, 0.45, 0.6)

    assert fouled < clean
    assert blower.fan_power_w(30.0, 1.0, fouled / clean) < blower.fan_power_w(30.0, 1.0, 1.0)


@settings(derandomize=True, deadline=None)
@given(SHARE, SHARE)
def test_more_dirt_never_moves_more_air(one, other) -> None:
    """Flow falls with filter dust, blocked face and wheel dirt."""
    low, high = sorted((one, other))

    for resistance in (
        lambda x: blower.filter_resistance(0.2, x),
        lambda x: blower.blocked_resistance(0.4, x, 0.0),
        lambda x: blower.blocked_resistance(0.4, 0.0, x),
    ):
        light = blower.airflow_m3_s(1.0, 1.0, 0.3 + resistance(low))
        heavy = blower.airflow_m3_s(1.0, 1.0, 0.3 + resistance(high))
        assert heavy <= light + 1e-12
    light = blower.airflow_m3_s(1.0, 1.0, 0.45, low)
    assert blower.airflow_m3_s(1.0, 1.0, 0.45, high) <= light + 1e-12


@settings(derandomize=True, deadline=None)
@given(st.floats(0.0, 1.3), SHARE)
def test_the_jet_falls_back_only_when_it_is_weak(flow, fouling) -> None:
    """The share that falls back lies from 0 to 0.55, and is none on a clean wheel's quiet speed."""
    share = blower.jet_return(flow, fouling)

    assert 0.0 <= share <= 0.55
    assert blower.jet_return(0.44, 0.0) == 0.0
    assert math.isclose(blower.jet_return(0.0, 1.0), 0.55)


def test_a_shut_face_still_leaves_a_crack() -> None:
    """Neither dirt nor ice closes the last part of a face."""
    assert blower.open_face(1.0, 0.0) == pytest.approx(blower.OPEN_FACE_LEFT)
    assert blower.open_face(0.0, 0.0) == 1.0
