"""The unit's card follows the air; the handbook's table stands beside it."""

from __future__ import annotations

import math

import pytest

from kit.visit import target


def kelvin(fahrenheit: float) -> float:
    """Return a temperature given in °F [K]."""
    return (fahrenheit - 32) / 1.8 + 273.15


@pytest.mark.parametrize(
    ("db_f", "wb_f", "split_f"),
    [(70, 58, 18.7), (75, 62, 19.3), (78, 65, 18.8), (80, 67, 18.3), (76, 64, 18.5)],
)
def test_handbook_cells(db_f, wb_f, split_f) -> None:
    """Cells of California's target-split table, RA3.2 (from memory), fit within 0.06 °F."""
    split_k = target.handbook_split_k("cooling", kelvin(db_f), kelvin(wb_f))

    assert pytest.approx(split_f, abs=0.07) == split_k * 1.8


def test_the_handbook_says_nothing_outside_its_table() -> None:
    """No figure is better than one drawn out of range, and heating has no such table."""
    assert math.isnan(target.handbook_split_k("cooling", kelvin(90), kelvin(70)))
    assert math.isnan(target.handbook_split_k("heating", kelvin(70), kelvin(58)))


def test_a_humid_room_has_a_lower_target() -> None:
    """The card falls with humidity, by more than the band between 50 and 70 %."""
    dry, damp = (
        target.card_split_k("wall-12k-r32", "cooling", 299.15, rh, 308.15) for rh in (0.5, 0.7)
    )

    assert damp < dry - target.BAND_K


def test_the_card_lies_in_the_trades_band() -> None:
    """20 to 25 °F in an ordinary room in cooling (common practice, no source)."""
    card = target.card_split_k("wall-12k-r32", "cooling", 299.15, 0.5, 308.15)

    assert 20 <= card * 1.8 <= 25


def test_the_card_stops_at_its_envelope() -> None:
    """Beyond it there is no figure."""
    assert math.isnan(target.card_split_k("wall-12k-r32", "cooling", 330.0, 0.5))


def test_wet_bulb_and_humidity_go_back_and_forth() -> None:
    """Either of the two instruments serves the card."""
    wet = target.wet_bulb_of(299.15, 0.55, 120.0)

    assert pytest.approx(0.55, abs=2e-4) == target.humidity_of(299.15, wet, 120.0)
