"""Time passes for every action, and probes follow what they touch."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from kit.visit import clock, measuring
from kit.visit.state import Dirt


def element(state, name="air_probe"):
    """Return what the probe's element has come to [K]."""
    return dict(state.probe(name).element)["dry_bulb"]


def test_solving_in_pieces_or_at_once_gives_the_same_machine(run_in) -> None:
    """When somebody looks does not change what is so."""
    at_once = clock.solved(clock.later(run_in, 120))
    pieces = run_in
    for _ in range(4):
        pieces = clock.solved(clock.later(pieces, 30))

    assert at_once.truth == pieces.truth


def test_a_probe_follows_with_its_time_constant(arrived) -> None:
    """First order: after one time constant 63 % of a step is made (textbook)."""
    state = measuring.placed(arrived, "air_probe", "ice_bath")
    start = element(state)

    state = clock.solved(clock.later(state, 20))

    expected = 273.15 + (start - 273.15) * math.exp(-1)
    assert pytest.approx(expected, abs=1e-6) == element(state)


def test_a_probe_lags_behind_a_ramp(run_in) -> None:
    """Behind a steady ramp the element trails by slope times time constant (textbook)."""
    state = measuring.placed(run_in, "air_probe", "supply")
    probe = state.probe("air_probe")
    ramp = replace(probe, element=(("dry_bulb", 300.0),), target=(("dry_bulb", 300.0),))
    now = dict(probe.target)["dry_bulb"]

    followed = clock._followed(state, ramp, 200.0)

    slope = (now - 300.0) / 200.0
    trailing = now - slope * 20 + slope * 20 * math.exp(-10)
    assert pytest.approx(trailing, abs=1e-6) == dict(followed.element)["dry_bulb"]


def test_an_element_takes_its_warmth_along(run_in) -> None:
    """Moved from the outlet to the grille, a probe first shows the outlet."""
    state = measuring.placed(run_in, "air_probe", "supply")
    state = clock.solved(clock.later(state, 300))
    cold = element(state)

    moved = measuring.placed(state, "air_probe", "return_grille")

    assert cold == element(moved)


def test_waiting_shows_what_instruments_left_in_place_show(run_in) -> None:
    """A trace has a point every half minute, so that a curve can be drawn."""
    state = measuring.placed(run_in, "air_probe", "supply")

    _, traces = clock.watched(state, 300)

    assert 10 == len(traces[0].at_s) == len(traces[0].values)


def test_a_wet_filter_dries_while_it_hangs(arrived) -> None:
    """Washed first and left in the shade, it is dry when the rest is done."""
    wet = replace(arrived, off=frozenset({"filter"}), dirt=Dirt(filter_water=1.0))

    later = clock.solved(clock.later(wet, 2 * 3600))

    assert 0.0 == later.dirt.filter_water


def test_a_wet_filter_closes_part_of_its_mesh(arrived) -> None:
    """What is refitted wet shows in the next reading."""
    wet = replace(arrived, dirt=Dirt(filter_water=1.0))

    worse = clock.working_condition(wet).filter_loading

    assert worse > arrived.condition.filter_loading + 0.3


def test_without_its_filter_the_unit_breathes_freely(arrived) -> None:
    """The thirty-second run without filter tells filter from wheel."""
    out = replace(arrived, off=frozenset({"filter"}))

    assert 0.0 == clock.working_condition(out).filter_loading


def test_a_running_unit_counts_its_run_from_the_compressors_start(run_in) -> None:
    """A restart delay does not count as running time."""
    assert run_in.truth.running
    assert run_in.running_since_s >= run_in.demand_since_s
    assert run_in.clock_s - run_in.running_since_s >= 500
