"""The named readings follow from truth, and their accuracies from the usual tools."""

from __future__ import annotations

import math
import tomllib

import numpy as np
import pytest

from kit import library
from kit.errors import KitError, UnknownNameError
from kit.machine import Command, Condition, Surroundings, load_spec, settle
from kit.machine.readings import READINGS, Case, observe, reading, take, take_all

SPEC = load_spec("wall-12k-r32")
AROUND = Surroundings(room_db_k=299.82, room_rh=0.5, outdoor_db_k=308.15, outdoor_rh=0.4)


def case_of(condition: Condition, mode: str = "cooling") -> Case:
    """Return a case at rating conditions."""
    command = Command("off") if mode == "off" else Command(mode, setpoint_k=292.15)
    return Case(settle(SPEC, condition, AROUND, command), SPEC, condition, AROUND, mode)


def test_every_reading_can_be_taken_in_its_modes() -> None:
    """Each reading gives a number in each mode it names, and none elsewhere."""
    for mode in ("cooling", "off"):
        case = case_of(Condition(), mode)
        values = take_all(case)
        assert {n for n, r in READINGS.items() if mode in r.modes} == set(values)
        assert all(math.isfinite(v) for v in values.values())
    with pytest.raises(KitError, match=r"filter_look.*off"):
        take("filter_look", case_of(Condition()))
    with pytest.raises(UnknownNameError, match="split"):
        reading("splitt")


def test_the_names_and_tools_are_in_order() -> None:
    """Names are unique, each reading has a tool and an accuracy, gauges are marked as such."""
    for name, one in READINGS.items():
        assert name == one.name
        assert one.tool
        assert one.absolute > 0.0 or one.relative > 0.0
        assert one.gauges == ("gauges" in one.tool)


def test_the_air_gives_back_the_machines_own_balance() -> None:
    """Outdoors, the intake worked out from what leaves equals the shade air when none returns."""
    healthy = take_all(case_of(Condition()))
    assert 0.0 == pytest.approx(healthy["outdoor_intake_over_air"], abs=0.1)
    again = take_all(case_of(Condition(outdoor_recirculation=0.5)))
    assert again["outdoor_intake_over_air"] > 1.0


def test_air_in_the_circuit_shows_between_gauge_and_coil() -> None:
    """The coil's bend tells the refrigerant's own pressure; the gauge reads the sum (Dalton)."""
    assert 0.0 == pytest.approx(take("head_over_coil", case_of(Condition())), abs=1e-6)
    assert take("head_over_coil", case_of(Condition(noncondensable_kg=0.004))) > 2.0


def test_the_bus_follows_supply_and_board() -> None:
    """310-400 V running, 0 with the board dead, and charged for long only without the bleed."""
    assert 310.0 <= take("bus", case_of(Condition())) <= 400.0
    assert 0.0 == take("bus", case_of(Condition(inverter_state="dead")))
    sound = take("bus_after_wait", case_of(Condition(), "off"))
    broken = take("bus_after_wait", case_of(Condition(bleed_resistor_open=True), "off"))
    assert sound < 50.0
    assert broken > 300.0


def test_windings_signal_and_sensors_follow_the_condition() -> None:
    """Each electrical reading moves with its own knob only."""
    healthy = take_all(case_of(Condition(), "off")) | take_all(case_of(Condition()))
    assert 0.5 <= healthy["winding_uv"] <= 3.0
    assert healthy["insulation"] > 1e6
    assert healthy["signal_swing"] > 10.0
    assert 1.0 == healthy["coil_sensor_ratio"]
    assert math.isinf(
        take("winding_uv", case_of(Condition(compressor_state="open_winding"), "off"))
    )
    earthed = case_of(Condition(compressor_state="earthed_winding"), "off")
    assert take("insulation", earthed) < 100e3
    assert 0.0 == take("signal_swing", case_of(Condition(communication_state="open")))
    assert -3.0 == pytest.approx(
        take("room_sensor_error", case_of(Condition(room_sensor_offset_k=-3.0)))
    )
    assert take("coil_sensor_ratio", case_of(Condition(coil_sensor_offset_k=-40.0), "off")) > 5.0


def test_a_drain_test_takes_longer_as_the_drain_closes() -> None:
    """About half a minute when clear (a minute at most, common practice), endless when shut."""
    times = [take("drain_test", case_of(Condition(drain_blockage=b), "off")) for b in (0, 0.5, 0.9)]
    assert times[0] < 60.0
    assert times == sorted(times)
    assert math.inf == take("drain_test", case_of(Condition(drain_blockage=1.0), "off"))


def test_two_readings_are_apart_only_beyond_both_errors() -> None:
    """Independent errors add by their squares, and an open circuit is always told."""
    split = reading("split")
    assert not split.apart(10.0, 11.0)
    assert split.apart(10.0, 11.2)
    assert reading("winding_uv").apart(2.2, math.inf)
    assert not reading("winding_uv").apart(math.inf, math.inf)


def test_an_observation_errs_within_the_tools_accuracy() -> None:
    """Equal seeds err equally; the error never exceeds the accuracy and fills most of it."""
    case = case_of(Condition())
    true, limit = take("split", case), reading("split").accuracy(1.0)
    chance = np.random.default_rng(3)
    errors = np.array([observe("split", case, chance) - true for _ in range(200)])
    assert np.max(np.abs(errors)) <= limit
    assert np.max(np.abs(errors)) > 0.9 * limit
    first = observe("split", case, np.random.default_rng(5))
    assert first == observe("split", case, np.random.default_rng(5))


# reading: (instrument's file, quantity, its unit in SI, readings that enter)
FROM_INSTRUMENTS = {
    "return_air": ("air_probe", "dry_bulb", 1.0, 1),
    "split": ("air_probe", "dry_bulb", 1.0, 2),
    "supply_humidity": ("hygrometer", "relative_humidity", 0.01, 1),
    "gas_line": ("pipe_clamp", "pipe_temperature", 1.0, 1),
    "liquid_line_drop": ("pipe_clamp", "pipe_temperature", 1.0, 2),
    "suction_pressure": ("gauges", "port_pressure", 1e3, 1),
    "discharge_pressure": ("gauges", "port_pressure", 1e3, 1),
    "current": ("clamp_meter", "current", 1.0, 1),
    "supply": ("multimeter", "voltage", 1.0, 1),
}


@pytest.mark.parametrize("name", list(FROM_INSTRUMENTS))
def test_no_reading_is_finer_than_the_kits_own_instrument(name: str) -> None:
    """A fault is only called visible by an accuracy that the instruments of a visit have."""
    file, quantity, unit, count = FROM_INSTRUMENTS[name]
    text = library.datasets("instruments", f"{file}.toml").read_text(encoding="utf-8")
    (row,) = (q for q in tomllib.loads(text)["quantity"] if q["name"] == quantity)
    assert reading(name).absolute >= row["accuracy"] * unit * math.sqrt(count)
    if reading(name).relative:
        assert reading(name).relative >= row.get("accuracy_of_reading", 0.0)
