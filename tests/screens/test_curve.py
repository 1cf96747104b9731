"""The split over time."""

from __future__ import annotations

import pytest

from kit.screens.curve import curve, from_readings, from_traces
from kit.screens.voice import Voice
from tests.screens.double import entry, outcome, reading, settling, view

US, SI = Voice("us"), Voice("si")


def test_the_split_is_entering_minus_leaving_air_at_the_same_moment():
    """Only moments at which both probes showed a figure make a point."""
    entering, leaving = settling(300.0, 2, 10.0)
    points = from_traces((entering, leaving))
    assert [300.0, 330.0, 360.0, 390.0, 420.0] == [p.at_s for p in points]
    assert entering.values[-1] - leaving.values[-1] == pytest.approx(points[-1].split_k)
    assert [] == from_traces((entering,))


def test_in_heating_the_split_is_positive_as_well():
    """The size of the change counts, whichever way it goes."""
    traces = settling(0.0, 1, -10.0)
    assert all(p.split_k >= 0 for p in from_traces(traces, heating=True))


def test_two_readings_far_apart_make_no_split():
    """A return reading of half an hour ago says nothing about the supply now."""
    near = (reading(1, "return_grille", 299.0, 0), reading(2, "supply", 289.0, 200))
    far = (reading(1, "return_grille", 299.0, 0), reading(2, "supply", 289.0, 1800))
    assert [10.0] == [p.split_k for p in from_readings(near)]
    assert [] == from_readings(far)


def test_the_band_is_the_learners_own_target_and_absent_before():
    """The chart gives nothing away: no target on the sheet, no band."""
    with_target = view(sheet=(entry("target_split", 10.0),))
    band = curve((), with_target, US)["band"]
    assert curve((), view(), US)["band"] is None
    assert (15.0, 21.0) == (pytest.approx(band["low"]), pytest.approx(band["high"]))


def test_as_found_stays_in_sight_after_the_work():
    """The recheck is compared with a line at the split as found."""
    drawn = curve((), view(sheet=(entry("split", 8.0),)), US)
    assert 14.4 == pytest.approx(drawn["found"]["value"])


def test_a_pause_between_runs_breaks_the_curve():
    """Two runs are two pieces; nothing is drawn across the time nobody measured."""
    told = (
        outcome("wait", traces=settling(0.0, 5, 8.0)),
        outcome("wait", traces=settling(3000.0, 5, 12.0)),
    )
    assert 2 == len(curve(told, view(clock_s=3300.0), US)["pieces"])


@pytest.mark.parametrize("voice", [US, SI])
def test_axis_holds_every_point_and_has_round_ticks(voice):
    """Nothing leaves the chart, and its ticks are whole numbers."""
    told = (outcome("wait", traces=settling(0.0, 20, 19.0)),)
    drawn = curve(told, view(clock_s=1200.0), voice)
    highest = max(v for piece in drawn["pieces"] for _, v in piece)
    assert drawn["y_min"] <= 0 < highest <= drawn["y_max"]
    assert all(isinstance(tick, int) for tick in drawn["y_ticks"])


def test_the_chart_is_told_in_words():
    """Who cannot see it hears first, last and target."""
    told = (outcome("wait", traces=settling(60.0, 10, 10.0)),)
    said = curve(told, view(sheet=(entry("target_split", 10.0),)), US)["alt"]
    assert "0.0 °F at minute 1" in said
    assert "Your target: 18.0 °F" in said
    assert "goes from 15.0 °F to 21.0 °F" in said
