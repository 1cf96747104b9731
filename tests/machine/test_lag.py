"""States run after the steady one and never past it, and go on agreeing."""

from __future__ import annotations

from dataclasses import fields, replace

import pytest
from hypothesis import given as examples
from hypothesis import settings
from hypothesis import strategies as st

from kit.machine import Command, Condition, Surroundings, Truth, load_spec, settle
from kit.machine.lag import COIL_S, FAN_S, Given, Pull, given, relaxed
from kit.physics import air

SPEC = load_spec("wall-12k-r32")
AROUND = Surroundings(room_db_k=299.82, room_rh=0.51, outdoor_db_k=308.15, outdoor_rh=0.4)
RUNNING = settle(SPEC, Condition(), AROUND, Command("cooling", 291.15))
QUIET = settle(SPEC, Condition(), AROUND, Command("cooling", 291.15, fan="quiet"))
STANDING = settle(SPEC, Condition(), AROUND, Command("off"))
P_PA = float(air.pressure_pa(0.0))
FLOATS = tuple(f.name for f in fields(Truth) if f.name not in ("limits", "running", "memory"))


def pull(dt_s: float, **changes: float) -> Pull:
    """Return an ordinary moment of cooling in a room that is held."""
    base = Pull(dt_s, P_PA, False, 1.0, 0.0, RUNNING.room_db_k, RUNNING.room_w)
    return replace(base, **changes)


@pytest.mark.parametrize("truth", [RUNNING, QUIET, STANDING], ids=["running", "quiet", "standing"])
def test_a_steady_state_stays(truth: Truth) -> None:
    """What has arrived does not move."""
    after, gives = relaxed(truth, given(truth, P_PA), truth, SPEC, pull(20.0))
    for name in FLOATS:
        old = getattr(truth, name)
        assert old == pytest.approx(getattr(after, name), rel=1e-9, abs=1e-9), name
    assert given(truth, P_PA).heat_j_kg == pytest.approx(gives.heat_j_kg, abs=1e-6)


@settings(max_examples=30)
@examples(dt=st.floats(0.1, 2000.0), start=st.sampled_from((STANDING, QUIET)))
def test_every_reading_lies_between_start_and_end(dt: float, start: Truth) -> None:
    """Nothing overshoots: temperatures, pressures, flows and power stay between old and new.

    Capacity may: a cold coil gives more for a moment when the fan speeds up.
    """
    after, _ = relaxed(start, given(start, P_PA), RUNNING, SPEC, pull(dt))
    for name in (
        "suction_pa",
        "discharge_pa",
        "discharge_line_k",
        "airflow_m3_s",
        "indoor_coil_surface_k",
        "power_w",
        "superheat_k",
    ):
        ends = sorted((getattr(start, name), getattr(RUNNING, name)))
        slack = 1e-6 * max(1.0, abs(ends[1]))
        assert ends[0] - slack <= getattr(after, name) <= ends[1] + slack, name


def test_a_time_constant_is_one() -> None:
    """After its own time constant 63 % of the way is done (1 - 1/e, textbook)."""
    after, gives = relaxed(STANDING, Given(), RUNNING, SPEC, pull(COIL_S))
    whole = given(RUNNING, P_PA)
    assert 0.632 == pytest.approx(gives.heat_j_kg / whole.heat_j_kg, abs=1e-3)
    fallen = STANDING.indoor_coil_surface_k - after.indoor_coil_surface_k
    way = STANDING.indoor_coil_surface_k - RUNNING.indoor_coil_surface_k
    assert 0.632 == pytest.approx(fallen / way, abs=1e-3)
    blown, _ = relaxed(STANDING, Given(), RUNNING, SPEC, pull(FAN_S))
    assert 0.632 == pytest.approx(blown.airflow_m3_s / RUNNING.airflow_m3_s, abs=1e-3)


def test_two_steps_are_one() -> None:
    """Exponentials may be cut anywhere: 30 s then 50 s are 80 s."""
    start = given(STANDING, P_PA)
    whole, _ = relaxed(STANDING, start, RUNNING, SPEC, pull(80.0))
    half, gives = relaxed(STANDING, start, RUNNING, SPEC, pull(30.0))
    rest, _ = relaxed(half, gives, RUNNING, SPEC, pull(50.0))
    for name in FLOATS:
        assert getattr(whole, name) == pytest.approx(getattr(rest, name), rel=1e-7, abs=1e-7), name


def test_a_held_fan_blows_nothing_while_the_coil_gets_ready() -> None:
    """With the fan held no capacity reaches the room, but the air would get it once it flows."""
    held, gives = relaxed(STANDING, Given(), RUNNING, SPEC, pull(60.0, fan_held=0.0))
    assert 0.0 == held.airflow_m3_s == held.capacity_w == held.split_k
    assert held.supply_db_k == held.return_db_k
    assert gives.heat_j_kg > 0.5 * given(RUNNING, P_PA).heat_j_kg


def test_melting_ice_cools_the_air_that_melts_it() -> None:
    """The heat that ice takes is the air's loss, exactly."""
    fan = settle(SPEC, Condition(), AROUND, Command("fan", 291.15))
    start = given(fan, P_PA)
    plain, _ = relaxed(fan, start, fan, SPEC, pull(20.0))
    icy, _ = relaxed(fan, start, fan, SPEC, pull(20.0, melt_w=500.0))
    assert 500.0 == pytest.approx(icy.net_capacity_w - plain.net_capacity_w, rel=1e-6)
    assert icy.supply_db_k < plain.supply_db_k - 1.0


def test_the_room_carries_the_return_air_with_it() -> None:
    """Where the room has drifted since the last solve, the return air follows it, lagged."""
    warmer = pull(1e4, room_db_k=RUNNING.room_db_k + 0.04)
    after, _ = relaxed(RUNNING, given(RUNNING, P_PA), RUNNING, SPEC, warmer)
    assert 0.04 == pytest.approx(after.return_db_k - RUNNING.return_db_k, abs=1e-6)
    assert RUNNING.room_db_k + 0.04 == after.room_db_k
