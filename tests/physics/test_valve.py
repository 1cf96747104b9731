"""The expansion valve and a restriction before it."""

from __future__ import annotations

import math

import pytest

from kit.physics import valve

WIDE = 1.0  # a restriction too wide to matter [m2]


def test_flow_is_that_of_an_orifice() -> None:
    """Flow = A sqrt(2 rho dp): 1 mm2 effective, 1000 kg/m3, 1.8 MPa give 60 g/s."""
    assert pytest.approx(0.06, rel=1e-6) == valve.orifice_kg_s(1e-6, WIDE, 1000.0, 1.8e6)


def test_a_tenth_more_opening_is_a_tenth_more_flow() -> None:
    """At fixed pressures flow follows the area to 1 %."""
    one = valve.orifice_kg_s(1e-6, WIDE, 1000.0, 1e6)

    assert pytest.approx(1.1, rel=0.01) == valve.orifice_kg_s(1.1e-6, WIDE, 1000.0, 1e6) / one


def test_flash_gas_cuts_the_flow() -> None:
    """Vapour at the inlet lowers the density and so the flow."""
    liquid = valve.orifice_kg_s(1e-6, WIDE, 1000.0, 1e6)

    assert valve.orifice_kg_s(1e-6, WIDE, 500.0, 1e6) < liquid


def test_two_equal_areas_in_series_pass_the_flow_of_one_over_root_two() -> None:
    """Pressure drops add at the same flow."""
    one = valve.orifice_kg_s(1e-6, WIDE, 1000.0, 1e6)
    two = valve.orifice_kg_s(1e-6, 1e-6, 1000.0, 1e6)

    assert math.isclose(two, one / math.sqrt(2.0), rel_tol=1e-6)


def test_a_restriction_narrows_without_closing() -> None:
    """The worst restriction still lets a trace through."""
    areas = [valve.restriction_area_m2(1e-6, level) for level in (0.0, 0.5, 1.0)]

    assert areas == sorted(areas, reverse=True)
    assert areas[-1] > 0.0
