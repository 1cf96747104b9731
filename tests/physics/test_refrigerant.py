"""Refrigerant tables against CoolProp itself, and the helpers of two-phase flow."""

import time
import warnings
from functools import cache

import CoolProp.CoolProp as CP  # noqa: N817 - the name CoolProp's own documentation uses
import numpy as np
import pytest
from fluids.two_phase_voidage import Zivi, homogeneous

from kit.errors import KitError
from kit.physics import refrigerant

SOURCES = {"R-32": "R32", "R-410A": "R410A", "R-454B": "R454B.mix"}
# Condensing temperature up to which the single-phase tables are held to 0.1 %; saturation is held
# to it over the whole table, up to 67 degC or more.
WORKING_MAX_K = 273.15 + 63.0
SUPERHEATS_K = (0.2, 1.0, 3.3, 7.0, 12.6, 24.9, 43.0, 77.7, 121.0, 149.0)
SUBCOOLINGS_K = (0.3, 1.1, 4.2, 8.7, 17.0, 33.0, 48.0)


def _guess(state):
    guess = CP.PyGuessesStructure()
    guess.T, guess.p = state.T(), state.p()
    guess.rhomolar_liq = state.saturated_liquid_keyed_output(CP.iDmolar)
    guess.rhomolar_vap = state.saturated_vapor_keyed_output(CP.iDmolar)
    guess.x, guess.y = list(state.mole_fractions_liquid()), list(state.mole_fractions_vapor())
    return guess


@cache
def saturation(name):
    """Return (p, side 0: T h rho s, side 1: ...) along pressures that are no node of the table."""
    fluid = refrigerant.load(name)
    lnp = np.linspace(max(np.log(60e3), fluid.lnp_min), fluid.lnp_max, 173) - 1e-4
    blend = name == "R-454B"
    sides = []
    for quality in (0.0, 1.0):
        state, guess, rows = CP.AbstractState("HEOS", SOURCES[name]), None, []
        for p in np.exp(lnp):
            if guess is None:
                state.update(CP.PQ_INPUTS, p, quality)
            else:
                state.update_with_guesses(CP.PQ_INPUTS, p, quality, guess)
            guess = _guess(state) if blend else None
            rows.append((state.T(), state.hmass(), state.rhomass(), state.smass()))
        sides.append(np.array(rows).T)
    return lnp, sides[0], sides[1]


@pytest.mark.parametrize("name", SOURCES)
def test_saturation_agrees_with_coolprop(name):
    """Saturation: 0.1 K, and 0.1 % in density, latent heat and pressure, over the whole table."""
    fluid = refrigerant.load(name)
    lnp, liquid, vapour = saturation(name)
    ours = fluid.sat(lnp)
    assert liquid[0] == pytest.approx(ours.t_bubble_k, abs=0.001)
    assert vapour[0] == pytest.approx(ours.t_dew_k, abs=0.001)
    assert liquid[2] == pytest.approx(ours.rho_l, rel=2e-4)
    assert vapour[2] == pytest.approx(ours.rho_v, rel=2e-4)
    assert vapour[1] - liquid[1] == pytest.approx(ours.h_v - ours.h_l, rel=2e-4)
    assert vapour[3] - liquid[3] == pytest.approx(ours.s_v - ours.s_l, rel=2e-4)
    assert np.exp(lnp) == pytest.approx(np.exp(fluid.lnp_bubble(liquid[0])), rel=5e-5)
    assert np.exp(lnp) == pytest.approx(np.exp(fluid.lnp_dew(vapour[0])), rel=5e-5)


@pytest.mark.parametrize("name", SOURCES)
def test_vapour_agrees_with_coolprop(name):
    """Vapour by p-T, p-s and p-h: density to 0.1 %, enthalpy to 0.1 % of latent heat, 0.1 K."""
    fluid = refrigerant.load(name)
    state = CP.AbstractState("HEOS", SOURCES[name])
    state.specify_phase(CP.iphase_gas)
    lnp, liquid, vapour = saturation(name)
    for i in range(0, len(lnp), 4):
        if vapour[0, i] > WORKING_MAX_K:
            break
        latent = vapour[1, i] - liquid[1, i]
        for superheat_k in SUPERHEATS_K:
            state.update(CP.PT_INPUTS, np.exp(lnp[i]), vapour[0, i] + superheat_k)
            h, s, rho = state.hmass(), state.smass(), state.rhomass()
            by_t = fluid.vapour_pt(lnp[i], superheat_k)
            by_h = fluid.vapour_ph(lnp[i], h - vapour[1, i])
            assert h == pytest.approx(by_t.h, abs=1e-3 * latent)
            assert h == pytest.approx(fluid.vapour_ps(lnp[i], s - vapour[3, i]), abs=1e-3 * latent)
            assert state.T() == pytest.approx(by_h.t, abs=0.1)
            for ours in (by_t, by_h):
                assert rho == pytest.approx(ours.rho, rel=1e-3)
                assert s == pytest.approx(ours.s, abs=1e-3 * latent / vapour[0, i])


@pytest.mark.parametrize("name", SOURCES)
def test_liquid_agrees_with_coolprop(name):
    """Subcooled liquid: density to 0.1 %, enthalpy to 0.1 % of latent heat."""
    fluid = refrigerant.load(name)
    state = CP.AbstractState("HEOS", SOURCES[name])
    state.specify_phase(CP.iphase_liquid)
    lnp, liquid, vapour = saturation(name)
    for i in range(0, len(lnp), 4):
        if liquid[0, i] > WORKING_MAX_K:
            break
        latent = vapour[1, i] - liquid[1, i]
        for subcooling_k in SUBCOOLINGS_K:
            t_k = liquid[0, i] - subcooling_k
            if t_k < 210.0:
                continue
            state.update(CP.PT_INPUTS, np.exp(lnp[i]), t_k)
            ours = fluid.liquid(lnp[i], subcooling_k)
            assert state.hmass() == pytest.approx(ours.h, abs=1e-3 * latent)
            assert state.rhomass() == pytest.approx(ours.rho, rel=1e-3)
            assert ours.h == pytest.approx(fluid.h_liquid(t_k, lnp[i]), abs=1e-3 * latent)
            assert ours.rho == pytest.approx(fluid.rho_liquid(t_k, lnp[i]), rel=1e-4)


@pytest.mark.parametrize("name", SOURCES)
def test_saturation_and_single_phase_tables_meet(name):
    """At zero superheat and zero subcooling the single-phase tables equal saturation."""
    fluid = refrigerant.load(name)
    lnp = np.linspace(np.log(1e5), np.log(3.8e6), 40)
    sat = fluid.sat(lnp)
    latent = sat.h_v - sat.h_l
    edge, by_h, liquid = (
        fluid.vapour_pt(lnp, 0.0),
        fluid.vapour_ph(lnp, 0.0),
        fluid.liquid(lnp, 0.0),
    )
    assert np.max(np.abs(sat.h_v - edge.h) / latent) < 5e-4
    assert np.max(np.abs(sat.h_v - fluid.vapour_ps(lnp, 0.0)) / latent) < 5e-4
    assert sat.t_dew_k == pytest.approx(by_h.t, abs=0.02)
    assert sat.rho_v == pytest.approx(edge.rho, rel=5e-4)
    assert np.max(np.abs(sat.h_l - liquid.h) / latent) < 5e-4
    assert sat.rho_l == pytest.approx(liquid.rho, rel=5e-4)


@pytest.mark.parametrize("name", SOURCES)
def test_finite_and_ordered_beyond_the_table(name):
    """Beyond the checked range all stays finite, and latent heat and glide keep their sign."""
    fluid = refrigerant.load(name)
    lnp = np.linspace(fluid.lnp_min - 1.0, fluid.lnp_max + 0.7, 300)
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        sat = fluid.sat(lnp)
        for y in (-40.0, 0.0, 60.0, 400.0):
            values = (
                *fluid.vapour_pt(lnp, y),
                fluid.vapour_ps(lnp, 10.0 * y),
                *fluid.vapour_ph(lnp, 1e3 * y),
                *fluid.liquid(lnp, y),
            )
            assert all(np.isfinite(value).all() for value in values)
    assert (sat.h_v > sat.h_l).all()
    assert (sat.rho_l > sat.rho_v).all()
    assert (sat.rho_v > 0.0).all()
    assert (np.diff(sat.t_dew_k) > 0.0).all()
    assert (sat.t_dew_k >= sat.t_bubble_k - 1e-9).all()


def test_arrays_of_any_shape_equal_scalars():
    """A two-dimensional array gives what its elements give one by one."""
    fluid = refrigerant.load("R-32")
    lnp = np.array([[13.0, 14.0, 15.0], [13.5, 14.5, 15.2]])
    grid = fluid.vapour_pt(lnp, 5.0).h
    sat = fluid.sat(lnp).rho_v
    for index in np.ndindex(lnp.shape):
        assert grid[index] == pytest.approx(float(fluid.vapour_pt(lnp[index], 5.0).h), rel=1e-14)
        assert sat[index] == pytest.approx(float(fluid.sat(lnp[index]).rho_v), rel=1e-14)


def test_an_unknown_name_is_refused_with_the_nearest():
    """A refrigerant without a table is refused, and the nearest name is offered."""
    with pytest.raises(KitError, match="R-410A"):
        refrigerant.load("R410A")


def test_label_data():
    """Safety class, molar mass and flammability limit go with the refrigerant."""
    assert {"R-32": "A2L", "R-410A": "A1", "R-454B": "A2L"} == {
        name: refrigerant.load(name).safety_class for name in refrigerant.names()
    }
    assert refrigerant.load("R-410A").lfl_kg_m3 is None
    assert refrigerant.load("R-32").lfl_kg_m3 == pytest.approx(0.307)
    assert refrigerant.load("R-454B").molar_mass_kg_mol == pytest.approx(0.062614, rel=1e-4)


def test_tables_load_quickly():
    """Reading all three tables takes some hundredths of a second: nothing is built at start."""
    best = min(_load_seconds() for _ in range(7))
    assert best < 0.1  # measured 0.04 s of processor time on 2 cores; twice that for a busy machine


def _load_seconds():
    refrigerant.load.cache_clear()
    start = time.process_time()
    for name in refrigerant.names():
        refrigerant.load(name)
    return time.process_time() - start


@pytest.mark.parametrize(("x1", "x2"), [(0.0, 1.0), (0.2, 0.9), (0.9, 0.2), (0.35, 0.350001)])
def test_mean_void_is_the_integral(x1, x2):
    """The closed form equals the numerical mean of Zivi's void fraction."""
    x = np.linspace(x1, x2, 20_001)
    y = refrigerant.zivi_void(x, 1000.0, 35.0)
    numerical = ((y[1:] + y[:-1]) / 2.0).mean()
    assert numerical == pytest.approx(refrigerant.mean_void(x1, x2, 1000.0, 35.0), rel=1e-6)


def test_mean_void_at_equal_ends_is_the_void_itself():
    """Where both qualities are equal the mean is finite and equals the void fraction."""
    x = np.array([0.0, 0.1, 0.5, 1.0])
    expected = refrigerant.zivi_void(x, 1000.0, 35.0)
    assert expected == pytest.approx(refrigerant.mean_void(x, x, 1000.0, 35.0), abs=1e-9)
    close = refrigerant.mean_void(x, x + 1e-9, 1000.0, 35.0)
    assert expected == pytest.approx(close, abs=1e-6)


@pytest.mark.parametrize("x", [0.01, 0.2, 0.5, 0.9])
def test_zivi_agrees_with_fluids(x):
    """Zivi's void fraction equals the reference library's and lies below the homogeneous one."""
    assert Zivi(x, 1050.0, 36.0) == pytest.approx(refrigerant.zivi_void(x, 1050.0, 36.0), rel=1e-12)
    assert refrigerant.zivi_void(x, 1050.0, 36.0) < homogeneous(x, 1050.0, 36.0)
