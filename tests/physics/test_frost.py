"""What freezes on a coil, and how fast it melts."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from kit.physics import frost

# Enthalpy of fusion of ice, 333.4 kJ/kg: ASHRAE Handbook Fundamentals, chapter 1 (from memory).
FUSION = 333_400.0


def test_a_kilogram_takes_its_heat_of_fusion() -> None:
    """A kilowatt melts a kilogram in 333 s, whether from warm air or from a reversed cycle."""
    by_cycle = frost.melt_kg_s(1.0, 273.15, 0.0, 1000.0)
    by_air = frost.melt_kg_s(1.0, 293.15, 50.0, 0.0)
    assert 1000.0 / FUSION == pytest.approx(by_cycle, rel=1e-3)
    assert by_cycle == pytest.approx(by_air, rel=1e-12)


@given(warm_k=st.floats(230.0, 320.0), rate=st.floats(0.0, 200.0), extra=st.floats(0.0, 4000.0))
def test_ice_melts_only_with_heat_and_never_grows_here(
    warm_k: float, rate: float, extra: float
) -> None:
    """No ice, no melting; cold air melts nothing; more heat melts more."""
    assert 0.0 == frost.melt_kg_s(0.0, warm_k, rate, extra)
    melted = frost.melt_kg_s(0.5, warm_k, rate, extra)
    assert melted >= extra / FUSION * 0.999
    if warm_k <= 273.15:
        assert frost.melt_kg_s(0.5, 250.0, rate, extra) == melted
    assert frost.melt_kg_s(0.5, warm_k + 1.0, rate, extra) >= melted


def test_a_warm_coil_is_wet_and_a_cold_one_white() -> None:
    """Everything drips above freezing, everything freezes well below, part of it in between."""
    evaporating = np.array([283.0, 274.0, 271.0, 270.0, 262.0])
    surface = np.array([286.0, 277.0, 276.0, 273.15, 264.0])
    share = frost.frozen_share(evaporating, surface)
    assert [0.0, 0.0] == list(share[:2])
    assert 0.0 < share[2] < 0.5
    assert 0.5 == pytest.approx(share[3])
    assert 1.0 == share[4]


@given(evaporating=st.floats(255.0, 285.0), above=st.floats(0.0, 10.0), warmer=st.floats(0.0, 5.0))
def test_a_warmer_coil_freezes_less(evaporating: float, above: float, warmer: float) -> None:
    """The share lies between none and all and never grows with temperature."""
    share = float(frost.frozen_share(evaporating, evaporating + above))
    thawing = float(frost.frozen_share(evaporating + warmer, evaporating + warmer + above))
    assert 0.0 <= thawing <= share <= 1.0
