"""The airflow chart: both curves meet where the engine's airflow is."""

from __future__ import annotations

import numpy as np
import pytest

from kit.errors import UnknownNameError
from kit.machine import Command, Condition, Surroundings, load_spec, settle, settle_many, spec_names
from kit.screens.plots import airflow_chart
from kit.screens.plots.airflow import case
from tests.screens.plots.reading import ES, SI, US, axis, lines, parsed, points, words

CONDITIONS = {
    "clean": Condition(),
    "filter": Condition(filter_loading=0.6),
    "wheel": Condition(wheel_fouling=0.25),
    "coil": Condition(indoor_coil_blockage=0.4),
    "ice": Condition(indoor_coil_ice=0.5),
    "weak fan": Condition(indoor_fan_factor=0.8),
}
PER = {"us": 4.719474e-4, "si": 1e-3}  # NIST SP 811, B.8: cubic feet a minute, and litres a second


def engine_m3_s(machine: str, condition: Condition, fan: str) -> float:
    """Return the airflow of the engine with the compressor out of play."""
    around = Surroundings(300.0, 0.5, 300.0, 0.5)
    return settle(load_spec(machine), condition, around, Command("fan", fan=fan)).airflow_m3_s


@pytest.mark.parametrize("machine", spec_names())
@pytest.mark.parametrize("fan", ["high", "medium"])
def test_the_operating_point_is_the_engines_airflow(machine, fan):
    """To the last digits, for every machine and at two speeds."""
    spec, many = load_spec(machine), len(CONDITIONS)
    around, command = Surroundings(300.0, 0.5, 300.0, 0.5), Command("fan", fan=fan)
    truth = settle_many(spec, list(CONDITIONS.values()), [around] * many, [command] * many)
    found = [case(spec, name, one, fan).airflow_m3_s for name, one in CONDITIONS.items()]
    assert list(truth.airflow_m3_s) == pytest.approx(found, rel=1e-9)


@pytest.mark.parametrize("name", CONDITIONS)
def test_both_curves_pass_through_the_operating_point(name):
    """What the fan builds up there is what the unit takes."""
    one = case(load_spec("wall-12k-r32"), name, CONDITIONS[name])
    assert one.fan(one.airflow_m3_s) == pytest.approx(one.needed(one.airflow_m3_s), rel=1e-6)
    assert one.fan(one.most_m3_s) == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize("voice", [US, SI], ids=["us", "si"])
def test_points_lie_where_the_engine_says(voice):
    """Airflow along, within a pixel, and on both curves as drawn."""
    spec = load_spec("wall-12k-r32")
    root = parsed(airflow_chart(spec, list(CONDITIONS.items())).draw(voice))
    x = axis(root, "x")
    for name, condition in CONDITIONS.items():
        across, _ = points(root)[name]
        expected = engine_m3_s("wall-12k-r32", condition, "high") / PER[voice.units]
        assert expected == pytest.approx(x.value(across), abs=x.pixel)
    across, down = points(root)["clean"]
    fan, resistance = lines(root, 4.5, "")[0], lines(root, 3.0, "")[0]
    assert down == pytest.approx(np.interp(across, fan[:, 0], fan[:, 1]), abs=1.0)
    assert down == pytest.approx(np.interp(across, resistance[:, 0], resistance[:, 1]), abs=1.0)


def test_a_loaded_filter_moves_the_point_along_the_same_fan_curve():
    """One fan curve for both, two resistance curves; a dirty wheel has a curve of its own."""
    spec = load_spec("wall-12k-r32")
    clean, loaded, dirty = (("clean", Condition()), ("loaded", Condition(filter_loading=0.6)),
                            ("dirty", Condition(wheel_fouling=0.5)))  # fmt: skip
    filters = parsed(airflow_chart(spec, [clean, loaded]).draw(US))
    wheels = parsed(airflow_chart(spec, [clean, dirty]).draw(US))
    assert [1, 2] == [len(lines(filters, 4.5)), len(lines(filters, 3.0))]
    assert [2, 1] == [len(lines(wheels, 4.5)), len(lines(wheels, 3.0))]
    assert "fan curve" in words(filters)
    assert "fan curve, dirty" in words(wheels)
    assert points(filters)["loaded"][0] < points(filters)["clean"][0]
    assert points(filters)["loaded"][1] < points(filters)["clean"][1]  # higher pressure


def test_a_fan_that_stands_moves_nothing():
    """Its point lies at nothing, and the chart is still one."""
    svg = airflow_chart(load_spec("wall-12k-r32"), [("dead", Condition(indoor_fan_factor=0.0))])
    root = parsed(svg.draw(US))
    x, y = axis(root, "x"), axis(root, "y")
    across, down = points(root)["dead"]
    assert 0.0 == pytest.approx(x.value(across), abs=x.pixel)
    assert 0.0 == pytest.approx(y.value(down), abs=y.pixel)
    assert "nan" not in svg.draw(US)


def test_the_words_hold_the_figures_in_the_learners_units_and_language():
    """Airflow of each case."""
    spec = load_spec("wall-12k-r32")
    alt = airflow_chart(spec, [("clean", Condition())]).alt
    flow = engine_m3_s("wall-12k-r32", Condition(), "high")
    assert f"clean: {flow / PER['us']:.0f} cfm at 31%" in US.line(alt)
    assert f"{flow / PER['si']:.0f} L/s" in SI.line(alt)
    assert "Curvas del ventilador" in ES.line(alt)


def test_an_unknown_speed_is_refused():
    """With the nearest name."""
    with pytest.raises(UnknownNameError, match="high"):
        airflow_chart(load_spec("wall-12k-r32"), [("clean", Condition())], fan="hihg")
