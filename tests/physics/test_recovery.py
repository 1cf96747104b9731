"""Recovery: what is left at a pressure, how long it takes, how full a cylinder may be."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kit.physics import charge, recovery, refrigerant

R32 = refrigerant.load("R-32")
VOLUME, OIL, T = 3.6e-3, 0.32, 299.15


def test_a_cylinder_holds_eighty_percent_at_77_fahrenheit() -> None:
    """1000 lb of water capacity takes 957.6 lb of a liquid of 1.197: achrnews.com 111771."""
    gravity = float(R32.rho_liquid(298.15)) / 1000.0

    assert pytest.approx(957.6 * gravity / 1.197, rel=1e-3) == recovery.fill_limit_kg(R32, 1000.0)


@given(pressure=st.floats(5e4, 1.4e6))
def test_what_is_left_stands_at_the_pressure_it_was_left_at(pressure) -> None:
    """The inverse of the standing pressure, oil included, within 1 % (ideal gas when thin)."""
    left = recovery.standing_kg(R32, pressure, VOLUME, T, OIL)

    free = charge.free_kg(left, OIL)
    assert pytest.approx(pressure, rel=0.01) == float(
        charge.standing_pressure_pa(R32, free, VOLUME, T)
    )


def test_at_zero_gauge_less_than_two_percent_is_left() -> None:
    """40 CFR 82.156 asks for 0 inHg below 200 lb; of 0.69 kg that leaves some grams."""
    left, seconds = recovery.recovered(R32, 0.69, 101325.0, VOLUME, T, OIL, 7e-5)

    assert 0.005 < left < 0.02 * 0.69 + 0.001
    assert 180 < seconds < 900


@settings(max_examples=20)
@given(start=st.floats(0.05, 1.0), stop=st.floats(6e4, 8e5))
def test_recovery_never_adds(start, stop) -> None:
    """What is below the pressure already stays as it is and takes no time."""
    left, seconds = recovery.recovered(R32, start, stop, VOLUME, T, OIL, 7e-5)

    assert 0.0 < left <= start
    assert (seconds > 0.0) == (left < start)


def test_vapour_density_is_ideal_at_low_pressure() -> None:
    """It is p M/(R T) within 0.5 % below a tenth of an atmosphere."""
    ideal = 5000.0 * R32.molar_mass_kg_mol / (8.314462618 * T)

    assert pytest.approx(ideal, rel=0.005) == float(recovery.vapour_density_kg_m3(R32, 5000.0, T))


def test_vapour_density_is_the_tables_above() -> None:
    """Saturated vapour at its own pressure."""
    import numpy as np

    lnp = R32.lnp_dew(T)

    assert pytest.approx(float(R32.sat(lnp).rho_v), rel=1e-3) == float(
        recovery.vapour_density_kg_m3(R32, np.exp(lnp), T)
    )
