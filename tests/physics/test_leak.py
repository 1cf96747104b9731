"""Leaks by their hole, by what they lose in a year, and by what they are in a room."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kit.physics import leak, refrigerant


@given(bore=st.floats(1e-6, 5e-5), high=st.floats(1e3, 4e6), low=st.floats(1e3, 4e6))
def test_a_leak_flows_from_high_to_low(bore, high, low) -> None:
    """The same hole carries the same the other way round."""
    out = leak.throughput_pa_m3_s(bore, high, low, 1.8e-5)
    back = leak.throughput_pa_m3_s(bore, low, high, 1.8e-5)

    assert math.copysign(1.0, out) == math.copysign(1.0, high - low) or out == 0.0
    assert pytest.approx(-back) == out


def test_a_hole_twice_as_wide_leaks_sixteen_times_as_much() -> None:
    """Fourth power of the bore (Hagen-Poiseuille)."""
    narrow = leak.throughput_pa_m3_s(1e-5, 3e6, 1e5, 1.78e-5)
    wide = leak.throughput_pa_m3_s(2e-5, 3e6, 1e5, 1.78e-5)

    assert pytest.approx(16.0) == wide / narrow


def test_five_grams_a_year_is_a_hole_of_a_micrometre() -> None:
    """A detector's 5 g a year at R-32's pressure at 25 degC is about 1.3 um, by hand."""
    flow = leak.mass_flow_kg_s(
        leak.throughput_pa_m3_s(1.33e-6, 1.69e6, 1.013e5, leak.VISCOSITY_PA_S["R-32"]),
        0.052024,
        298.15,
    )

    assert pytest.approx(5e-3, rel=0.1) == leak.yearly_loss_kg(flow)


@pytest.mark.parametrize(
    ("gas", "coolprop", "rel"),
    [("R-32", "R32", 0.02), ("R-410A", "R410A", 0.02), ("nitrogen", "Nitrogen", 0.01),
     ("air", "Air", 0.01)],
)  # fmt: skip
def test_viscosity_is_that_of_a_reference_library(gas, coolprop, rel) -> None:
    """CoolProp at 25 degC and 1 bar."""
    from CoolProp.CoolProp import PropsSI

    reference = PropsSI("V", "P", 1e5, "T", 298.15, coolprop)

    assert pytest.approx(reference, rel=rel) == leak.VISCOSITY_PA_S[gas]


def test_the_whole_charge_in_a_small_closed_room() -> None:
    """0.69 kg of R-32 in 10 m3 is 22 % of 0.307 kg/m3 (ISO 817, from memory)."""
    limit = refrigerant.load("R-32").lfl_kg_m3

    assert pytest.approx(0.2248, rel=1e-3) == leak.flammable_share(0.69, 10.0, limit)


def test_a_refrigerant_of_class_a1_has_no_flammable_share() -> None:
    """Where there is no limit there is no share of it."""
    assert 0.0 == leak.flammable_share(5.0, 1.0, refrigerant.load("R-410A").lfl_kg_m3)


def test_a_cleaner_is_taken_for_refrigerant() -> None:
    """A detector adds what it smells; an unfit one hardly answers to the refrigerant."""
    assert pytest.approx(3e-9) == leak.detector_signal_kg_s(0.0, 1.0, 3e-9)
    assert pytest.approx(1e-10) == leak.detector_signal_kg_s(1e-9, 0.1)
