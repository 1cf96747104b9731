"""The machine's own controls, one rule each."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from kit.machine import controls, load_spec
from kit.machine.truth import LIMIT_NAMES

SPEC = load_spec("wall-12k-r32")


def test_demand_is_what_the_sensor_lacks_of_the_setpoint() -> None:
    """Cooling asks when it is too warm, heating when too cold; a sensor's error counts in full."""
    cool = np.array([1.0, 0.0])
    assert [2.0, -2.0] == list(controls.demand_k(cool, 300.0, 0.0, 298.0))
    assert [3.5, -3.5] == list(controls.demand_k(cool, 300.0, 1.5, 298.0))


def test_speed_rises_from_lowest_at_the_setpoint_to_full() -> None:
    """No demand asks the lowest speed, full demand full speed of the mode, linear between."""
    for cool, full in ((1.0, SPEC.speed_cooling_rps), (0.0, SPEC.speed_heating_rps)):
        at_setpoint, highest, gain = controls.asked_speed(SPEC, cool, 0.0)
        assert SPEC.speed_min_rps == at_setpoint
        assert full == highest
        asked, _, _ = controls.asked_speed(SPEC, cool, controls.FULL_DEMAND_K)
        assert full == pytest.approx(float(asked))
        assert (full - SPEC.speed_min_rps) / controls.FULL_DEMAND_K == pytest.approx(float(gain))
    # A demand of five degrees Fahrenheit, as a check visit sets it, is full demand.
    assert controls.FULL_DEMAND_K <= 5.0 / 1.8


def test_fan_on_auto_follows_demand_and_a_setting_does_not() -> None:
    """Auto runs from a low speed at the setpoint to full; a named speed stays; satisfied is low."""
    demand = np.array([[0.0], [1.3], [5.0], [5.0], [0.0]])
    satisfied = np.array([[False], [False], [False], [False], [True]])
    share = controls.fan_share(SPEC, ["auto", "auto", "auto", "low", "auto"], demand, satisfied)
    low = controls.AUTO_FAN_LOWEST
    assert [low, (1 + low) / 2, 1.0, SPEC.speeds["low"], low] == pytest.approx(list(share[:, 0]))


def test_the_outdoor_fan_defends_a_head() -> None:
    """It is slowest where condensing would sink to the room, or evaporating climb to it."""
    cool = np.array([1.0, 1.0, 0.0, 0.0])
    room = np.array([300.0, 290.0, 294.0, 285.0])
    hold = controls.outdoor_fan_hold_k(cool, room)
    assert [300.5, 296.15, 288.15, 283.0] == pytest.approx(list(hold))


@given(
    speed=st.floats(0.0, 110.0),
    goal=st.floats(18.0, 110.0),
    running=st.floats(0.0, 600.0),
    dt=st.floats(0.1, 60.0),
)
def test_speed_moves_toward_its_goal_no_faster_than_allowed(
    speed: float, goal: float, running: float, dt: float
) -> None:
    """Soft start first; then never past the goal and never faster than the ramps."""
    after = controls.next_speed(speed, goal, running, dt)
    if running < controls.SOFT_START_S:
        assert min(controls.SOFT_START_RPS, goal) == after
        return
    step = controls.SPEED_STEP_RPS
    floor = min(controls.SOFT_START_RPS, goal)
    assert after <= max(speed, floor) + controls.RAMP_UP_RPS_S * dt + step
    assert after >= speed - controls.RAMP_DOWN_RPS_S * dt - 1e-9
    assert after == goal or (goal - after) * (goal - speed) > -step * 110.0
    again = after
    for _ in range(2000):
        again = controls.next_speed(again, goal, running, 1.0)
    assert goal == again


def test_the_hot_start_lets_air_go_with_the_coils_warmth() -> None:
    """Nothing below 28 degC, all of it six kelvins above, and all of it after five minutes."""
    assert 0.0 == controls.hot_start_share(294.0, 10.0)
    assert 0.0 == controls.hot_start_share(301.15, 10.0)
    assert 0.5 == pytest.approx(controls.hot_start_share(304.15, 10.0))
    assert 1.0 == controls.hot_start_share(308.0, 10.0)
    assert 1.0 == controls.hot_start_share(294.0, 301.0)


@pytest.mark.parametrize(
    ("heating_s", "coil_k", "share", "begins"),
    [
        (2400.0, 268.0, 0.3, True),
        (2000.0, 268.0, 0.3, False),  # too early
        (2400.0, 272.0, 0.3, False),  # coil not cold
        (2400.0, 268.0, 0.1, False),  # hardly any frost
    ],
)
def test_a_defrost_begins_on_time_cold_and_frost(
    heating_s: float, coil_k: float, share: float, begins: bool
) -> None:
    """All three are needed; a reversed cycle for nothing would only chill the room."""
    assert begins == controls.defrost_begins(heating_s, coil_k, share)


def test_a_defrost_ends_clear_and_warm_or_after_ten_minutes() -> None:
    """Frost gone and the coil warm; whatever is left, never longer than ten minutes."""
    assert not controls.defrost_ends(120.0, 285.0, 0.1)
    assert not controls.defrost_ends(120.0, 275.0, 0.0)
    assert controls.defrost_ends(120.0, 282.0, 0.0)
    assert controls.defrost_ends(600.0, 274.0, 0.4)


def test_trips_are_named_limits() -> None:
    """Each protection that trips is one of the names that `limits` may hold."""
    assert set(controls.TRIPS) < set(LIMIT_NAMES)
    assert 180.0 == controls.RESTART_DELAY_S
