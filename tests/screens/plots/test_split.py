"""Splits over time: each point at its minute, the band where it is said to be."""

from __future__ import annotations

import numpy as np
import pytest

from kit.errors import OutOfRangeError
from kit.screens.plots import split_chart
from tests.screens.plots.reading import ES, SI, US, axis, lines, parsed, points, words

SERIES = [
    ("sound", [0.0, 60.0, 300.0, 600.0], [0.0, 5.0, 10.0, 10.4]),
    ("dirty", [0.0, 60.0, 300.0, 600.0], [0.0, 4.0, 7.1, 7.4]),
]


@pytest.mark.parametrize(("voice", "factor"), [(US, 1.8), (SI, 1.0)], ids=["us", "si"])
def test_every_split_lies_at_its_minute(voice, factor):
    """Within a pixel both ways; series are told apart by dash and shape."""
    root = parsed(split_chart(SERIES, 10.5).draw(voice))
    x, y = axis(root, "x"), axis(root, "y")
    for (_, times_s, splits_k), dash in zip(SERIES, ("", "11 6"), strict=True):
        (drawn,) = lines(root, 4.0, dash)
        assert np.allclose(np.divide(times_s, 60), x.value(drawn[:, 0]), atol=x.pixel)
        assert np.allclose(np.multiply(splits_k, factor), y.value(drawn[:, 1]), atol=y.pixel)
    assert {"sound", "dirty"} == set(points(root))


def test_the_band_is_drawn_and_said():
    """Target, and as much on either side as asked for."""
    plot = split_chart(SERIES, 10.5, 1.5)
    root = parsed(plot.draw(SI))
    y = axis(root, "y")
    edges = [y.value(float(one[0, 1])) for one in lines(root, 1.8, "7 4")]
    assert [12.0, 9.0] == pytest.approx(edges, abs=y.pixel)
    assert "target 10.5 K ± 1.5 K" in words(root)
    assert "The band around the target of 10.5 K goes from 9.0 K to 12.0 K." in SI.line(plot.alt)
    assert not lines(parsed(split_chart(SERIES).draw(SI)), 1.8)


def test_the_words_hold_first_and_last_of_each_series():
    """In the learner's units and language."""
    alt = split_chart(SERIES).alt
    assert "sound: 0.0 °F after 0 min, 18.7 °F after 10 min." in US.line(alt)
    assert "Diferencial a lo largo del tiempo." in ES.line(alt)


@pytest.mark.parametrize("points_", [([0.0], [1.0]), ([0.0, 60.0], [1.0]), ([], [])])
def test_times_and_splits_must_match(points_):
    """A series without a line is refused."""
    with pytest.raises(OutOfRangeError):
        split_chart([("short", *points_)])
