"""The psychrometric chart: states and curves lie where psychrolib says."""

from __future__ import annotations

import numpy as np
import psychrolib
import pytest

from kit.errors import OutOfRangeError
from kit.screens.plots import air_chart
from kit.screens.plots.air import air_groups_chart
from tests.screens.plots.reading import ES, SI, US, axis, lines, parsed, points, words

STATES = [("entering", 300.0, 0.5), ("leaving", 286.5, 0.9)]
TO_UNITS = {
    "us": (lambda k: (k - 273.15) * 1.8 + 32.0, lambda w: w * 7000.0),
    "si": (lambda k: k - 273.15, lambda w: w * 1000.0),
}


@pytest.fixture(autouse=True)
def _metric() -> None:
    psychrolib.SetUnitSystem(psychrolib.SI)


@pytest.mark.parametrize("voice", [US, SI], ids=["us", "si"])
@pytest.mark.parametrize("pressure_pa", [101_325.0, 84_000.0])
def test_a_state_lies_where_psychrolib_says(voice, pressure_pa):
    """Dry bulb along and humidity ratio up, within a pixel, also in thin air."""
    root = parsed(air_chart(STATES, joined=True, pressure_pa=pressure_pa).draw(voice))
    x, y = axis(root, "x"), axis(root, "y")
    temperature, ratio = TO_UNITS[voice.units]
    for name, db_k, rh in STATES:
        w = psychrolib.GetHumRatioFromRelHum(db_k - 273.15, rh, pressure_pa)
        across, down = points(root)[name]
        assert temperature(db_k) == pytest.approx(x.value(across), abs=x.pixel)
        assert ratio(w) == pytest.approx(y.value(down), abs=y.pixel)


@pytest.mark.parametrize(("width", "rh"), [(4.5, 1.0), (1.4, 0.4)])
def test_a_curve_runs_where_psychrolib_says(width, rh):
    """Saturation is the bold one; a thin one is checked as well, at every point drawn."""
    root = parsed(air_chart([("room", 300.0, 0.5)]).draw(SI))
    x, y = axis(root, "x"), axis(root, "y")
    # The thin curves come in the order 20, 40, 60, 80 %.
    curve = lines(root, width)[0 if rh == 1.0 else 1]
    assert len(curve) > 20
    for across, down in curve[:-1]:
        w = psychrolib.GetHumRatioFromRelHum(x.value(across), rh, 101_325.0)
        assert w * 1000 == pytest.approx(y.value(down), abs=y.pixel)


def test_saturation_is_never_left_off_the_sheet():
    """Hot and dry air as well as cold and wet air is seen against it."""
    for db_k, rh in ((330.0, 0.05), (330.0, 0.9), (250.0, 0.9), (300.0, 0.0), (273.15, 1.0)):
        svg = air_chart([("air", db_k, rh)]).draw(US)
        curve = lines(parsed(svg), 4.5)[0]
        assert len(curve) > 3, (db_k, rh)
        assert np.isfinite(curve).all()
        assert "nan" not in svg


def test_a_wet_bulb_line_ends_on_saturation_at_the_wet_bulb():
    """It leads from the state to saturated air of its wet bulb, as psychrolib works it out."""
    root = parsed(air_chart([("room", 300.0, 0.5)]).draw(SI))
    x, y = axis(root, "x"), axis(root, "y")
    (wet,) = lines(root, 1.8)
    wb_c = psychrolib.GetTWetBulbFromRelHum(26.85, 0.5, 101_325.0)
    w = psychrolib.GetSatHumRatio(wb_c, 101_325.0)
    across, down = wet[-1]
    assert wb_c == pytest.approx(x.value(across), abs=x.pixel)
    assert w * 1000 == pytest.approx(y.value(down), abs=y.pixel)
    assert f"wet bulb {wb_c:.1f} °C" in words(root)


def test_a_process_is_drawn_only_when_states_are_joined():
    """From the first state of a pair to the second, with a head that shows the way."""
    apart, joined = (parsed(air_chart(STATES, joined=j).draw(US)) for j in (False, True))
    places = points(joined)
    (process,) = [one for one in lines(joined, 4.5) if len(one) == 2]
    assert np.allclose([places["entering"], places["leaving"]], process, atol=0.02)
    assert not [one for one in lines(apart, 4.5) if len(one) == 2]


def test_groups_differ_by_shape_and_dash():
    """As found and as left can be told apart without colour."""
    groups = [
        [("entering, as found", 300.0, 0.5), ("leaving, as found", 290.0, 0.8)],
        [("entering, as left", 299.0, 0.5), ("leaving, as left", 286.0, 0.9)],
    ]
    root = parsed(air_groups_chart(groups).draw(US))
    shapes = {p.get("data-point"): p.tag for p in root.iter() if p.get("data-point")}
    assert shapes["entering, as found"] == shapes["leaving, as found"]
    assert shapes["entering, as found"] != shapes["entering, as left"]
    assert 1 == len([one for one in lines(root, 4.5, "11 6") if len(one) == 2])


def test_air_without_humidity_is_an_upright_line():
    """It reaches from dry air to saturation at its dry bulb, and its words say what is lacking."""
    plot = air_groups_chart([[("entering", 300.0, 0.5)]], dry_bulbs=[("leaving", 286.5, 0)])
    root = parsed(plot.draw(SI))
    x, y = axis(root, "x"), axis(root, "y")
    (upright,) = lines(root, 3.5)
    saturated = psychrolib.GetSatHumRatio(13.35, 101_325.0)
    assert np.allclose(13.35, x.value(upright[:, 0]), atol=x.pixel)
    assert [0.0, saturated * 1000] == pytest.approx([y.value(d) for d in upright[:, 1]],
                                                    abs=y.pixel)  # fmt: skip
    assert "leaving: dry bulb 13.4 °C, humidity not known." in SI.line(plot.alt)


def test_the_words_hold_the_figures_in_the_learners_units_and_language():
    """Whoever does not see the chart hears the same."""
    alt = air_chart(STATES, joined=True).alt
    assert "entering: dry bulb 80.3 °F, relative humidity 50%, wet bulb 66.9 °F" in US.line(alt)
    assert "water 77.3 gr/lb" in US.line(alt)
    assert "bulbo seco 26.9 °C, humedad relativa 50%" in ES.line(alt)
    assert US.line(alt) == parsed(air_chart(STATES, joined=True).draw(US)).get("aria-label")


@pytest.mark.parametrize(
    "states", [[], [("a", 200.0, 0.5)], [("a", 400.0, 0.5)], [("a", 300.0, 1.2)],
               [("a", float("nan"), 0.5)]],
)  # fmt: skip
def test_what_the_chart_cannot_show_is_refused(states):
    """Nothing is moved inside."""
    with pytest.raises(OutOfRangeError):
        air_chart(states)
