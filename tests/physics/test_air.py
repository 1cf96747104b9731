"""Moist air against psychrolib, the handbook's equations in a library of its own."""

import warnings

import CoolProp.CoolProp as CP  # noqa: N817 - the name CoolProp's own documentation uses
import fluids
import numpy as np
import psychrolib
import pytest
from hypothesis import given
from hypothesis import strategies as st

from kit.physics import air

C = air.ZERO_C_K

temperatures_c = st.floats(-35.0, 60.0)
humidities = st.floats(0.03, 1.0)
pressures_pa = st.floats(68_000.0, 105_000.0)


@pytest.fixture(autouse=True)
def _si_units():
    psychrolib.SetUnitSystem(psychrolib.SI)


@given(temperatures_c, humidities, pressures_pa)
def test_states_agree_with_psychrolib(t_c, rh, p_pa):
    """Every property of moist air equals the reference library's, within the table's 3e-7."""
    w = psychrolib.GetHumRatioFromRelHum(t_c, rh, p_pa)
    t_k = t_c + C
    assert psychrolib.GetSatVapPres(t_c) == pytest.approx(air.saturation_pressure_pa(t_k), rel=4e-7)
    assert w == pytest.approx(air.humidity_ratio(t_k, rh, p_pa), rel=5e-7)
    assert psychrolib.GetMoistAirEnthalpy(t_c, w) == pytest.approx(
        air.enthalpy_j_kg(t_k, w), abs=1e-6
    )
    assert psychrolib.GetMoistAirVolume(t_c, w, p_pa) == pytest.approx(
        air.specific_volume_m3_kg(t_k, w, p_pa), rel=1e-9
    )
    assert psychrolib.GetMoistAirDensity(t_c, w, p_pa) == pytest.approx(
        air.density_kg_m3(t_k, w, p_pa), rel=1e-9
    )
    assert rh == pytest.approx(air.relative_humidity(t_k, w, p_pa), rel=5e-7)
    assert psychrolib.GetTDewPointFromHumRatio(t_c, w, p_pa) == pytest.approx(
        air.dew_point_k(w, p_pa) - C, abs=2e-3
    )


@given(temperatures_c, humidities, pressures_pa)
def test_wet_bulb_agrees_with_psychrolib_and_satisfies_its_equation(t_c, rh, p_pa):
    """The wet bulb solves the handbook's equation, and equals the library's where it is unique.

    Between the wick's water and ice branches the handbook's equations leave a narrow band of
    humidity with one solution on each side of 0 degC; there the two codes may choose differently.
    """
    w = air.humidity_ratio(t_c + C, rh, p_pa)
    wet = air.wet_bulb_k(t_c + C, w, p_pa)
    if abs(wet - C) > 1e-6:
        back = air.humidity_ratio_from_wet_bulb(t_c + C, wet, p_pa)
        assert w == pytest.approx(back, abs=1e-9)
    low = psychrolib.GetHumRatioFromTWetBulb(t_c, min(t_c, 1e-9), p_pa)
    high = psychrolib.GetHumRatioFromTWetBulb(t_c, min(t_c, -1e-9), p_pa)
    if not low <= w <= high:
        expected = psychrolib.GetTWetBulbFromHumRatio(t_c, float(w), p_pa)
        assert expected == pytest.approx(wet - C, abs=2e-3)


@given(temperatures_c, st.floats(0.1, 1.0), pressures_pa)
def test_wet_bulb_back_and_forth(t_c, share, p_pa):
    """A humidity ratio made from a wet bulb above freezing gives that wet bulb back."""
    wb_c = t_c - (1.0 - share) * 8.0
    w = air.humidity_ratio_from_wet_bulb(t_c + C, wb_c + C, p_pa)
    if wb_c > 0.01 and w > 1e-4:
        assert wb_c == pytest.approx(air.wet_bulb_k(t_c + C, w, p_pa) - C, abs=1e-5)


@given(st.floats(0.0, 4000.0))
def test_pressure_agrees_with_psychrolib(altitude_m):
    """The standard atmosphere equals the reference library's."""
    expected = psychrolib.GetStandardAtmPressure(altitude_m)
    assert expected == pytest.approx(air.pressure_pa(altitude_m), rel=1e-9)


def test_enthalpy_inverse():
    """Dry bulb from enthalpy undoes enthalpy from dry bulb."""
    t_k = np.linspace(250.0, 330.0, 9)
    assert t_k == pytest.approx(air.dry_bulb_from_enthalpy_k(air.enthalpy_j_kg(t_k, 0.012), 0.012))


def test_arrays_equal_scalars():
    """An array gives what its elements give one by one."""
    t_k, w = np.array([255.0, 290.0, 310.0]), np.array([0.0005, 0.004, 0.02])
    for call in (air.wet_bulb_k, air.relative_humidity, air.specific_volume_m3_kg):
        single = [float(call(t, x, 95_000.0)) for t, x in zip(t_k, w, strict=True)]
        assert single == pytest.approx(call(t_k, w, 95_000.0), rel=1e-13)


def test_finite_where_a_solver_may_pass():
    """Far outside comfort the functions stay finite and raise no numpy warning."""
    t_k = np.linspace(180.0, 370.0, 200)
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        for w in (0.0, 1e-6, 0.03):
            assert np.isfinite(air.wet_bulb_k(t_k, w, 101_325.0)).all()
            assert np.isfinite(air.dew_point_k(w + 0.0 * t_k, 101_325.0)).all()
        assert np.isfinite(air.saturation_humidity_ratio(t_k, 101_325.0)).all()


@given(st.floats(-20.0, 50.0), st.floats(0.1, 1.0))
def test_real_gas_library_agrees(t_c, rh):
    """CoolProp's real-gas humid air agrees but for the enhancement factor that the handbook drops.

    The factor is 1.004 to 1.0055 here and acts on vapour pressure, so on W by p/(p - p_w).
    """
    p_pa, t_k = 101_325.0, t_c + C
    w = air.humidity_ratio(t_k, rh, p_pa)
    real_w = CP.HAPropsSI("W", "T", t_k, "R", rh, "P", p_pa)
    dry_share = 1.0 - rh * air.saturation_pressure_pa(t_k) / p_pa
    assert real_w == pytest.approx(w, rel=0.0055 / dry_share)
    real_v = CP.HAPropsSI("V", "T", t_k, "W", w, "P", p_pa)
    assert real_v == pytest.approx(air.specific_volume_m3_kg(t_k, w, p_pa), rel=1.5e-3)
    if t_c > 6.0:
        real_wb = CP.HAPropsSI("B", "T", t_k, "R", rh, "P", p_pa)
        ours = air.wet_bulb_k(t_k, w, p_pa)
        if ours > C + 0.5 and real_wb > C + 0.5:
            assert real_wb == pytest.approx(ours, abs=0.15)


def test_standard_atmosphere_agrees_with_fluids():
    """The handbook's altitude formula equals the US standard atmosphere of 1976 within 0.1 %."""
    for altitude_m in (0.0, 500.0, 1500.0, 3000.0):
        expected = fluids.ATMOSPHERE_1976(altitude_m).P
        assert expected == pytest.approx(air.pressure_pa(altitude_m), rel=1e-3)
