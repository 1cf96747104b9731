"""Seeded streams are the same everywhere and independent of each other."""

from __future__ import annotations

from statistics import fmean, pstdev

import pytest

from kit.visit import streams


def test_first_numbers_of_a_stream_are_fixed() -> None:
    """A journal of today must replay on another computer: these numbers may never change."""
    assert pytest.approx(0.9757092761559325, abs=1e-15) == streams.uniform(7, "air_probe", 0)
    assert pytest.approx(0.47385335706396187, abs=1e-15) == streams.uniform(7, "air_probe", 1)


def test_another_label_gives_another_number() -> None:
    """One instrument's errors tell nothing of another's."""
    drawn = {streams.uniform(7, name, i) for name in ("a", "b", "ab") for i in range(50)}

    assert 150 == len(drawn)


def test_labels_do_not_run_into_each_other() -> None:
    """("a", "bc") and ("ab", "c") are different streams."""
    assert streams.uniform(7, "a", "bc") != streams.uniform(7, "ab", "c")


def test_the_bell_curve_has_its_mean_and_spread() -> None:
    """The numbers are those of a standard bell curve, cut at the limit."""
    drawn = [streams.bell(1, "x", i) for i in range(4000)]

    assert pytest.approx(0.0, abs=0.05) == fmean(drawn)
    assert pytest.approx(0.987, abs=0.04) == pstdev(drawn)  # cut at three deviations


def test_no_number_leaves_the_limit() -> None:
    """An instrument inside its class never shows an error outside it."""
    assert all(abs(streams.bell(2, "x", i, limit=2.0)) <= 2.0 for i in range(2000))
