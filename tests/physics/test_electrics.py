"""The electrics agree with component sheets, standards' formulas and worked examples."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from kit.errors import KitError, OutOfRangeError
from kit.physics import electrics, thermistor

# (beta, kelvin, kilohm): the two-point law evaluated independently for 10 kilohm parts.
BETA_LAW = [
    (3435, 253.15, 77.52), (3435, 273.15, 28.70), (3435, 313.15, 5.759), (3435, 353.15, 1.662),
    (3950, 253.15, 105.39), (3950, 273.15, 33.62), (3950, 313.15, 5.301), (3950, 353.15, 1.270),
    (3977, 253.15, 107.1), (3977, 273.15, 33.90), (3977, 313.15, 5.279), (3977, 353.15, 1.253),
]  # fmt: skip

# A component maker's curve, material type 1 (seen: dtsheet.com/doc/1784717): C, R/R25.
CURVE = [(-20, 9.681), (0, 3.264), (10, 1.990), (40, 0.5325), (50, 0.3601), (85, 0.1070)]
CURVE_BETA_0_50, CURVE_BETA_25_85 = 3892.0, 3977.0


@pytest.mark.parametrize(("beta", "kelvin", "kilohm"), BETA_LAW)
def test_beta_law_vectors(beta: float, kelvin: float, kilohm: float) -> None:
    """The beta law gives the vectors worked out apart from it (tolerance: their last digit)."""
    assert kilohm == pytest.approx(
        thermistor.ntc_resistance_ohm(kelvin, 10e3, beta) / 1e3, rel=6e-4
    )


@pytest.mark.parametrize(("celsius", "ratio"), CURVE[:5])
def test_beta_law_near_a_published_curve(celsius: float, ratio: float) -> None:
    """The law with the beta of 0-50 C meets the table there to 1.5 %, and to 5 % at -20 C.

    The real part's beta falls in the cold, hence the wider figure.
    """
    got = thermistor.ntc_resistance_ohm(celsius + 273.15, 10e3, CURVE_BETA_0_50) / 10e3
    assert ratio == pytest.approx(got, rel=0.015 if celsius >= 0 else 0.05)


def test_published_betas_follow_from_the_published_ratios() -> None:
    """The maker's beta of 25-85 C brings back the maker's ratio at 85 C to 0.1 %."""
    got = thermistor.ntc_resistance_ohm(358.15, 10e3, CURVE_BETA_25_85) / 10e3
    assert 0.1070 == pytest.approx(got, rel=1e-3)


def test_open_hardware_table_of_a_10k_part() -> None:
    """A public table of a 10 kilohm, beta 3974 part is met within 2 % from 15 to 85 C.

    Seen: an open-source kernel's `ntc-thermistor-rt-table`, thermistor_R25_10000_B_3974.
    """
    for celsius, ohm in [(15, 15881), (35, 6488), (45, 4326), (65, 2066), (85, 1072)]:
        got = thermistor.ntc_resistance_ohm(celsius + 273.15, 10e3, 3974.0)
        assert ohm == pytest.approx(got, rel=0.02)


def test_one_kilohm_in_series_reads_cold() -> None:
    """A 1 kilohm joint in a 10 kilohm sensor's lead at 10 C reads about 1 K low."""
    with_joint = thermistor.ntc_resistance_ohm(283.15, 10e3, 3950.0) + 1e3
    assert -1.0 == pytest.approx(
        thermistor.ntc_temperature_k(with_joint, 10e3, 3950.0) - 283.15, abs=0.15
    )


@given(st.floats(230.0, 380.0), st.floats(3000.0, 4500.0))
def test_thermistor_inverse_gives_back_the_temperature(kelvin: float, beta: float) -> None:
    """Resistance and temperature are inverse to each other."""
    ohm = thermistor.ntc_resistance_ohm(kelvin, 10e3, beta)
    assert kelvin == pytest.approx(thermistor.ntc_temperature_k(ohm, 10e3, beta), abs=1e-9)


def test_tolerance_grows_away_from_25_c() -> None:
    """A 1 % part with beta +-1 % may deviate 1 % at 25 C and 2.2 % at 0 C (beta 3980)."""
    got = thermistor.ntc_tolerance(np.array([298.15, 273.15]), 3980.0, 0.01, 0.01)
    assert [0.01, 0.0222] == pytest.approx(list(np.asarray(got)), abs=1e-4)


@pytest.mark.parametrize(
    ("supply", "doubled", "low", "high"),
    [(230.0, False, 310.0, 340.0), (115.0, True, 310.0, 340.0), (208.0, False, 285.0, 300.0)],
)
def test_rectified_bus_lies_in_the_trades_band(
    supply: float, doubled: bool, low: float, high: float
) -> None:
    """A plain bridge gives 310-340 V from 230 V, or from 115 V doubled (from memory)."""
    assert low <= electrics.rectified_bus_v(supply, doubled) <= high


def test_boosted_bus_holds_its_target_until_the_peak_passes_it() -> None:
    """A boost stage holds 370 V over the supply range, cannot go below the peak, and is 0 dead."""
    got = np.asarray(electrics.boosted_bus_v(np.array([0.0, 197.0, 253.0, 280.0])))
    assert [0.0, 370.0, 370.0] == list(got[:3])
    assert 370.0 < got[3]


@pytest.mark.parametrize(
    ("volt", "farad", "ohm", "safe", "second"),
    [
        (1500.0, 195e-6, 50.0, 320.0, 0.015062769),  # seen: scribd.com/document/347454186
        (400.0, 470e-6, 10e3, 50.0, 9.8),  # seen: resicalc.com, printed to 0.1 s
    ],
)
def test_discharge_time_worked_examples(
    volt: float, farad: float, ohm: float, safe: float, second: float
) -> None:
    """Worked examples of bleed-resistor tools come out (tolerance: their last digit)."""
    assert second == pytest.approx(electrics.bus_wait_s(volt, farad, ohm, safe), rel=4e-3)


@pytest.mark.parametrize(
    ("volt", "farad", "joule"), [(1500.0, 195e-6, 219.375), (400.0, 1000e-6, 80.0)]
)
def test_stored_energy_worked_examples(volt: float, farad: float, joule: float) -> None:
    """C V^2 / 2 gives the worked examples of the same tools exactly."""
    assert joule == pytest.approx(electrics.stored_energy_j(volt, farad), rel=1e-12)


def test_wait_of_the_trades_range_of_parts() -> None:
    """1500 uF with 47 kilohm takes about 2 min to 50 V, 3000 uF with 150 kilohm about 15."""
    assert 2.0 == pytest.approx(electrics.bus_wait_s(325.0, 1500e-6, 47e3) / 60.0, abs=0.3)
    assert 15.0 == pytest.approx(electrics.bus_wait_s(400.0, 3000e-6, 150e3) / 60.0, abs=0.7)


def test_open_bleed_resistor_keeps_the_charge() -> None:
    """With the bleed resistor open the wait is endless and the voltage stays."""
    assert np.inf == electrics.bus_wait_s(325.0, 2000e-6, np.inf)
    assert 325.0 == electrics.bus_after_v(325.0, 3600.0, 2000e-6, np.inf)
    assert 0.0 == electrics.bus_wait_s(40.0, 2000e-6, np.inf)


@given(st.floats(60.0, 400.0), st.floats(1e-4, 5e-3), st.floats(1e3, 1e6))
def test_waiting_that_long_brings_the_bus_to_50_v(volt: float, farad: float, ohm: float) -> None:
    """The wait and the discharge curve are inverse to each other."""
    wait = electrics.bus_wait_s(volt, farad, ohm)
    assert 50.0 == pytest.approx(electrics.bus_after_v(volt, wait, farad, ohm), rel=1e-9)


def test_copper_winding_warms() -> None:
    """Copper rises 0.393 % of its 20 C value per kelvin (IEC 60028), 27.5 % at 90 C."""
    assert 1.2751 == pytest.approx(electrics.copper_resistance_ohm(1.0, 363.15), abs=1e-4)


def test_winding_pairs_tell_an_open_phase_only() -> None:
    """Three equal pairs when sound, locked or earthed; two open pairs with one phase open."""
    for state in ("ok", "locked_rotor", "earthed_winding"):
        assert (1.2, 1.2, 1.2) == pytest.approx(electrics.winding_pairs_ohm(state, 0.6))
    pairs = electrics.winding_pairs_ohm("open_winding", 0.6)
    assert [np.inf, 1.2, np.inf] == [float(p) for p in pairs]


def test_insulation_correction_worked_example() -> None:
    """500 megohm read at 25 C is 177 megohm at 40 C (IEEE 43's rule, seen: vibromera.eu)."""
    assert 177.0 == pytest.approx(500.0 * electrics.insulation_to_40c(298.15), abs=0.5)


def test_insulation_minimum_worked_example() -> None:
    """A 4160 V motor needs 5.16 megohm (seen: vibromera.eu); a 230 V one more than 1."""
    assert 5.16e6 == pytest.approx(electrics.insulation_minimum_ohm(4160.0), rel=1e-12)
    assert 1e6 < electrics.insulation_minimum_ohm(230.0)


def test_only_an_earthed_winding_fails_the_insulation_test() -> None:
    """Sound, open and locked motors pass 1 megohm hot and cold; an earthed one fails 100 kilohm."""
    for kelvin in (253.15, 298.15, 343.15):
        least = electrics.insulation_minimum_ohm(230.0)
        for state in ("ok", "open_winding", "locked_rotor"):
            assert least < electrics.insulation_ohm(state, kelvin)
        assert 100e3 > electrics.insulation_ohm("earthed_winding", kelvin)


def test_input_current_rises_as_the_voltage_falls() -> None:
    """1000 W at power factor 0.97 is 4.48 A at 230 V and 11 % more at 207 V."""
    got = np.asarray(electrics.input_current_a(1000.0, np.array([230.0, 207.0]), 0.97))
    assert [4.482, 4.980] == pytest.approx(list(got), abs=1e-3)


@given(st.floats(100.0, 260.0), st.floats(0.0, 2000.0), st.floats(0.0, 1.0))
def test_feeder_obeys_ohms_law(source: float, power: float, ohm: float) -> None:
    """The voltage lost in the feeder is its resistance times the current that then flows."""
    load = electrics.fed_voltage_v(source, power, ohm)
    assert source - load == pytest.approx(ohm * power / load, abs=1e-6)
    assert source / 2 <= load <= source


def test_feeder_too_thin_is_refused() -> None:
    """No number is returned for a load the feeder cannot carry."""
    with pytest.raises(OutOfRangeError, match="feeder"):
        electrics.fed_voltage_v(115.0, 2000.0, 5.0)


def test_signal_swings_only_with_wire_and_sender_sound() -> None:
    """A sound line swings, an open wire is steadily 0, a dead outdoor board steadily high."""
    times = np.linspace(0.0, 5.0, 101)
    sound = np.asarray(electrics.signal_v(times, "ok", "ok"))
    assert {electrics.SIGNAL_LOW_V, electrics.SIGNAL_HIGH_V} == set(sound.tolist())
    assert {0.0} == set(np.asarray(electrics.signal_v(times, "open", "ok")).tolist())
    dead = np.asarray(electrics.signal_v(times, "ok", "dead"))
    assert {electrics.SIGNAL_HIGH_V} == set(dead.tolist())


def test_sound_earth_keeps_the_case_safe_and_an_open_one_does_not() -> None:
    """A winding on the case: below 50 V with 0.2 ohm of earth, supply voltage without it."""
    assert 50.0 > electrics.touch_voltage_v(230.0, 1.0, 0.2)
    assert 230.0 == pytest.approx(electrics.touch_voltage_v(230.0, 20e3, 1e9), rel=1e-3)
    assert 191.7 == pytest.approx(electrics.earth_fault_a(230.0, 1.0, 0.2), abs=0.1)


@pytest.mark.parametrize(
    "call",
    [
        lambda: thermistor.ntc_resistance_ohm(100.0, 10e3, 3950.0),
        lambda: thermistor.ntc_temperature_k(np.inf, 10e3, 3950.0),
        lambda: electrics.bus_after_v(-1.0, 1.0, 1e-3, 1e5),
        lambda: electrics.input_current_a(np.nan, 230.0, 0.97),
        lambda: electrics.rectified_bus_v(400.0),
        lambda: electrics.earth_fault_a(230.0, 1.0, 0.0),
    ],
)
def test_values_outside_their_range_are_refused(call: object) -> None:
    """Nothing is clamped: a value outside its range is an error that names it."""
    with pytest.raises(OutOfRangeError, match="electrics: "):
        call()  # type: ignore[operator]


def test_unknown_words_are_refused() -> None:
    """An unknown state is an error that lists the known ones."""
    with pytest.raises(KitError, match="open_winding"):
        electrics.winding_pairs_ohm("burnt", 0.6)
    with pytest.raises(KitError, match="earthed_winding"):
        electrics.insulation_ohm("burnt", 298.15)
    with pytest.raises(KitError, match="open"):
        electrics.signal_levels_v("chewed", "ok")
    with pytest.raises(KitError, match="dead"):
        electrics.signal_levels_v("ok", "tired")
