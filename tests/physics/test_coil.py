"""Coils: conductances and what a surface takes from air."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kit.physics import air, coil

P_PA = 101325.0


@pytest.mark.parametrize(("ntu", "expected"), [(0.5, 0.3935), (1.0, 0.6321), (3.0, 0.9502)])
def test_effectiveness_is_that_of_an_evaporating_fluid(ntu, expected) -> None:
    """Effectiveness is 1 - exp(-NTU) for a fluid at one temperature (textbook, C* = 0)."""
    assert expected == pytest.approx(coil.effectiveness(ntu * 100.0, 100.0), abs=5e-5)


def test_resistances_in_series_add() -> None:
    """Two equal conductances in series make half of one."""
    assert pytest.approx(50.0) == coil.series(100.0, 100.0)


def test_a_warm_dry_surface_takes_no_moisture() -> None:
    """Above the dew point only sensible heat passes."""
    excess = 0.008 - air.saturation_humidity_ratio(290.0, P_PA)
    sensible, latent, moisture = coil.surface_flux(160.0, 0.16, 10.0, excess, 290.0)

    assert sensible == pytest.approx(160.0 * 10.0)
    assert latent == 0.0
    assert moisture == 0.0


@settings(derandomize=True, deadline=None)
@given(st.floats(285.0, 310.0), st.floats(0.003, 0.02), st.floats(260.0, 309.0))
def test_heat_goes_to_the_colder_side(air_k, w, surface_k) -> None:
    """A surface colder than the air takes heat, and moisture only from air above its saturation."""
    excess = w - air.saturation_humidity_ratio(surface_k, P_PA)
    pull_k = air_k - surface_k
    sensible, latent, moisture = coil.surface_flux(160.0, 0.16, pull_k, excess, surface_k)

    assert np.sign(sensible) == np.sign(pull_k)
    assert (moisture > 0.0) == (excess > 0.0)
    assert latent >= 0.0


def test_frost_gives_its_fusion_heat_too() -> None:
    """Below freezing each kilogram of moisture brings the heat of fusion besides."""
    excess = 0.006 - air.saturation_humidity_ratio(265.0, P_PA)
    _, latent, moisture = coil.surface_flux(160.0, 0.16, 15.0, excess, 265.0)

    assert latent / moisture == pytest.approx(coil.VAPORISATION_J_KG + coil.FUSION_J_KG)


@pytest.mark.parametrize(
    "worse",
    [{"film": 0.5, "open_face": 1.0}, {"film": 0.0, "open_face": 0.5}],
)
def test_dirt_lowers_the_air_side(worse) -> None:
    """Film and a shut face both lower the conductance at the same airflow."""
    clean = coil.air_conductance(400.0, 1.0, 0.0, 1.0)

    assert coil.air_conductance(400.0, 1.0, **worse) < clean


def test_thin_frost_costs_little_and_thick_ice_much() -> None:
    """Ice insulates once it is thick."""
    clean = coil.air_conductance(400.0, 1.0, 0.0, 1.0)

    assert coil.air_conductance(400.0, 1.0, 0.0, 1.0, 0.1) > 0.98 * clean
    assert coil.air_conductance(400.0, 1.0, 0.0, 1.0, 1.0) < 0.2 * clean


def test_conductance_grows_with_airflow_to_the_power_of_the_text() -> None:
    """Coefficient h ~ V**0.6."""
    ratio = coil.air_conductance(400.0, 2.0, 0.0, 1.0) / coil.air_conductance(400.0, 1.0, 0.0, 1.0)

    assert math.isclose(ratio, 2.0**coil.AIR_EXPONENT)
