"""The room keeps what it is given."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kit.physics import air, room

SEA_PA = 101_325.0


@given(
    db_k=st.floats(285.0, 310.0),
    w=st.floats(0.003, 0.015),
    volume=st.floats(20.0, 300.0),
    heat=st.floats(-4000.0, 4000.0),
    dt=st.floats(1.0, 60.0),
)
def test_heat_given_is_heat_kept(
    db_k: float, w: float, volume: float, heat: float, dt: float
) -> None:
    """The rise times the room's heat capacity is the heat; moisture does not change by it."""
    after_k, after_w = room.next_room(db_k, w, volume, SEA_PA, heat, 0.0, dt)
    mass = volume / float(air.specific_volume_m3_kg(db_k, w, SEA_PA))
    capacity = mass * float(air.specific_heat_j_kgk(w)) * room.THERMAL_MASS_FACTOR
    assert heat * dt == pytest.approx((after_k - db_k) * capacity, rel=1e-6, abs=1e-3)
    assert w == after_w


def test_moisture_given_is_moisture_kept() -> None:
    """A hundred grams in sixty cubic metres, half of it in the furnishings, raise w by 0.7 g/kg."""
    _, w = room.next_room(298.15, 0.008, 60.0, SEA_PA, 0.0, 1e-3, 100.0)
    mass = 60.0 / float(air.specific_volume_m3_kg(298.15, 0.008, SEA_PA))
    assert 0.1 == pytest.approx((w - 0.008) * mass * room.MOISTURE_MASS_FACTOR, rel=1e-9)
    assert 0.7e-3 == pytest.approx(w - 0.008, rel=0.05)


def test_a_kilowatt_warms_a_living_room_by_some_kelvins_an_hour() -> None:
    """60 m3 with walls and furniture take part: 5-15 K/h per kilowatt; common practice."""
    db_k, w = 294.15, 0.007
    for _ in range(180):
        db_k, w = room.next_room(db_k, w, 60.0, SEA_PA, 1000.0, 0.0, 20.0)
    assert 5.0 <= db_k - 294.15 <= 15.0


def test_thin_air_holds_less() -> None:
    """At 2500 m the same heat warms the room more, by the ratio of the pressures."""
    high_pa = float(air.pressure_pa(2500.0))
    low, _ = room.next_room(295.15, 0.007, 60.0, SEA_PA, 1000.0, 0.0, 60.0)
    high, _ = room.next_room(295.15, 0.007, 60.0, high_pa, 1000.0, 0.0, 60.0)
    assert SEA_PA / high_pa == pytest.approx((high - 295.15) / (low - 295.15), rel=1e-6)


def test_air_is_never_drier_than_dry() -> None:
    """A machine that takes more moisture than there is leaves the driest air of the tables."""
    _, w = room.next_room(300.0, 1e-4, 20.0, SEA_PA, 0.0, -1e-3, 60.0)
    assert room.LEAST_W == w
