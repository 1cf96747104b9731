"""Evacuation against vacuum practice's figures, closed forms and the trade's two curves."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kit.physics import air, textbook
from kit.physics.evacuation import (
    R_AIR,
    R_VAPOUR,
    Gases,
    Path,
    Pump,
    Vessel,
    dissolved_kg,
    in_series,
    inlet_pressure_pa,
    later,
    pressure_pa,
    resting_vapour_pa,
    speed_at_unit_m3_s,
    tube,
)

MICRON = 0.1333224
PUMP = Pump(speed_m3_s=1.6e-3, ultimate_pa=3.0)
NARROW = in_series((tube(0.0048, 1.5), tube(0.001, 0.01)))
WIDE = tube(0.0095, 0.9)
VESSEL = Vessel(3.6e-3, 299.15, 0.32, 0.616, 0.052)


def full_of_air(vessel: Vessel, **more) -> Gases:
    """Return a circuit open to the air until now."""
    mass = vessel.p_atm_pa * vessel.volume_m3 / (R_AIR * vessel.t_k)
    return Gases(air_kg=mass, wet_k=vessel.t_k, **more)


def microns(gases: Gases, vessel: Vessel = VESSEL) -> float:
    """Return the pressure as a vacuum gauge shows it."""
    return pressure_pa(gases, vessel) / MICRON


def test_tubes_agree_with_vacuum_practice() -> None:
    """135 d^4 p/L and 12.1 d^3/L in L/s, cm and mbar for air at 20 degC; scribd 343359118."""
    path = tube(bore_m=0.01, length_m=0.01)

    assert pytest.approx(135.0, rel=0.02) == path.viscous_m3_s_pa * 100.0 * 1000.0
    assert pytest.approx(12.1, rel=0.01) == path.molecular_m3_s * 1000.0


def test_resistances_add() -> None:
    """Two equal tubes in series carry half (textbook)."""
    one = tube(0.005, 1.0)
    both = in_series((one, one))

    assert pytest.approx(tube(0.005, 2.0).molecular_m3_s) == both.molecular_m3_s
    assert pytest.approx(tube(0.005, 2.0).viscous_m3_s_pa) == both.viscous_m3_s_pa


@given(pressure=st.floats(5.0, 1e5), bore=st.floats(0.002, 0.02))
def test_what_the_tube_carries_the_pump_takes(pressure, bore) -> None:
    """The inlet pressure balances both flows and lies between the two ends."""
    path = tube(bore, 1.0)
    inlet = inlet_pressure_pa(pressure, path, PUMP)
    mean = 0.5 * (pressure + inlet)
    carried = (path.viscous_m3_s_pa * mean + path.molecular_m3_s) * (pressure - inlet)

    assert PUMP.ultimate_pa - 1e-9 <= inlet <= pressure + 1e-9
    assert pytest.approx(PUMP.speed_m3_s * (inlet - 3.0), rel=1e-6, abs=1e-9) == carried


def test_a_gauge_at_the_pump_reads_low() -> None:
    """Behind a narrow hose it shows a fifth and less of what is in the unit (why it sits far)."""
    inlet = inlet_pressure_pa(2000 * MICRON, NARROW, PUMP)

    assert inlet < 0.2 * 2000 * MICRON


def test_through_a_wide_path_the_fall_is_exponential() -> None:
    """V/S seconds for each factor e, far above the pump's own limit (textbook)."""
    open_path = Path(1.0, 1.0)
    pump = Pump(1e-3, 0.0)
    start = full_of_air(VESSEL)

    after = later(start, VESSEL, 3.6, open_path, pump)

    assert pytest.approx(math.exp(-1.0), rel=0.005) == after.air_kg / start.air_kg


def test_a_dry_circuit_is_down_in_minutes_with_cores_out_and_wide_hoses() -> None:
    """Under 500 microns (common practice, no source) in ten minutes; core and thin hose: no."""
    start = full_of_air(VESSEL, water_kg=20e-6)

    wide = later(start, VESSEL, 600.0, WIDE, PUMP)
    narrow = later(start, VESSEL, 600.0, NARROW, PUMP)

    assert microns(wide) < 500
    assert microns(narrow) > 500


def test_a_pump_with_tired_oil_never_gets_there() -> None:
    """Its own limit is the lowest pressure that can be had."""
    tired = Pump(1.6e-3, 90.0)

    after = later(full_of_air(VESSEL), VESSEL, 3600.0, WIDE, tired)

    assert microns(after) > 600


def test_a_wet_circuit_rests_at_the_saturation_of_its_wet_part() -> None:
    """The plateau under the pump is the vapour pressure of the water where it boils."""
    wet = full_of_air(VESSEL, water_kg=5e-3)

    first = later(wet, VESSEL, 900.0, NARROW, PUMP)
    second = later(first, VESSEL, 600.0, NARROW, PUMP)

    saturation = float(air.saturation_pressure_pa(first.wet_k))
    assert pytest.approx(saturation, rel=0.1) == pressure_pa(first, VESSEL)
    assert pytest.approx(pressure_pa(first, VESSEL), rel=0.02) == pressure_pa(second, VESSEL)
    assert first.wet_k < VESSEL.t_k - 2.0  # boiling cools it
    boiling = float(textbook.water_boiling_k(pressure_pa(first, VESSEL)))
    assert pytest.approx(first.wet_k, abs=2.0) == boiling


def test_a_decay_test_of_a_wet_circuit_rises_and_levels() -> None:
    """It rises fast at first, then stands at the vapour pressure of the water left."""
    wet = later(full_of_air(VESSEL, water_kg=1e-3), VESSEL, 1200.0, WIDE, PUMP)
    rise = [microns(later(wet, VESSEL, 60.0 * minute)) for minute in (0, 10, 20, 30)]

    level = resting_vapour_pa(wet.water_kg + wet.vapour_kg, VESSEL) / MICRON
    assert rise[1] > 2000
    assert rise[1] - rise[0] > 20 * (rise[3] - rise[2])
    assert pytest.approx(level, rel=0.06) == rise[3]


def test_a_decay_test_of_a_leaking_circuit_rises_steadily() -> None:
    """Air comes in at the same rate all the time: rate of rise is leak over volume."""
    leaking = replace(VESSEL, bore_m=(2e-5,))
    low = later(full_of_air(VESSEL), VESSEL, 1800.0, WIDE, PUMP)
    steps = [pressure_pa(later(low, leaking, 600.0 * n), leaking) for n in range(4)]
    rises = [b - a for a, b in pairwise(steps)]

    assert min(rises) > 0.98 * max(rises)
    rate = float(textbook.leak_rate_pa_m3_s(VESSEL.volume_m3, rises[0], 600.0))
    hole = math.pi * 2e-5**4 * 101325.0**2 / (256 * 1.84e-5 * 1e-3)
    assert pytest.approx(hole, rel=0.03) == rate


def test_a_leak_ends_at_the_pressure_of_the_air() -> None:
    """Air comes in until both sides are level, and not beyond."""
    leaking = replace(VESSEL, bore_m=(3e-4,))

    end = later(Gases(), leaking, 7200.0)

    assert pytest.approx(101325.0, rel=0.01) == pressure_pa(end, leaking)


def test_a_dry_tight_circuit_stays() -> None:
    """Nothing leaks, nothing boils: the figure stands still."""
    low = later(full_of_air(VESSEL), VESSEL, 1800.0, WIDE, PUMP)

    assert pytest.approx(microns(low), rel=1e-9) == microns(later(low, VESSEL, 1800.0))


def test_three_evacuations_leave_what_perfect_mixing_leaves() -> None:
    """Air left by evacuations with nitrogen between, as the textbook's closed form."""
    gases = full_of_air(VESSEL)
    first, pulled = gases.air_kg, []
    for target in (1500, 1500, 500):
        while microns(gases) > target:
            gases = later(gases, VESSEL, 1.0, WIDE, PUMP)
        pulled.append(pressure_pa(gases, VESSEL))
        missing = VESSEL.p_atm_pa - pressure_pa(gases, VESSEL)
        nitrogen = missing * VESSEL.volume_m3 / (296.8 * VESSEL.t_k)
        gases = replace(gases, nitrogen_kg=gases.nitrogen_kg + nitrogen)

    assert (
        pytest.approx(textbook.air_left_fraction(tuple(pulled)), rel=0.01) == gases.air_kg / first
    )


@settings(max_examples=25)
@given(
    water=st.floats(0.0, 5e-3),
    minutes=st.floats(0.1, 20.0),
    pumping=st.booleans(),
)
def test_water_is_kept_or_pumped_never_made(water, minutes, pumping) -> None:
    """Shut in, water and vapour together stay; pumped, they only fall."""
    start = full_of_air(VESSEL, water_kg=water)

    after = later(start, VESSEL, 60.0 * minutes, *((WIDE, PUMP) if pumping else ()))

    held = after.water_kg + after.vapour_kg
    assert after.water_kg >= 0.0
    assert after.vapour_kg >= 0.0
    if pumping:
        assert held <= water + 1e-12
    else:
        assert pytest.approx(water, abs=1e-12) == held


def test_time_may_be_cut_anywhere() -> None:
    """Two halves make the whole, so that looking in between changes next to nothing."""
    start = full_of_air(VESSEL, water_kg=1e-4)

    whole = later(start, VESSEL, 601.0, NARROW, PUMP)
    halves = later(later(start, VESSEL, 301.3, NARROW, PUMP), VESSEL, 299.7, NARROW, PUMP)

    assert pytest.approx(microns(whole), rel=2e-3) == microns(halves)


def test_moist_oil_rests_below_saturation() -> None:
    """Over oil that holds a tenth of what it could, vapour stands near a tenth of saturation."""
    water = 0.1 * dissolved_kg(1.0, VESSEL.oil_kg)

    share = resting_vapour_pa(water, VESSEL) / float(air.saturation_pressure_pa(VESSEL.t_k))

    assert 0.08 < share < 0.1
    assert R_VAPOUR == pytest.approx(461.5, rel=1e-3)


def test_no_speed_is_left_at_the_pumps_limit() -> None:
    """Below its limit a pump takes nothing, and never blows back."""
    assert speed_at_unit_m3_s(3.0, WIDE, PUMP) == pytest.approx(0.0, abs=1e-12)
    assert speed_at_unit_m3_s(1.0, WIDE, PUMP) == 0.0
