"""Cleaning well cures, cleaning badly leaves or adds damage."""

from __future__ import annotations

from dataclasses import fields

import pytest

from kit.machine.condition import Condition
from kit.visit import cures

DIRTY = Condition(
    filter_loading=0.8,
    indoor_coil_film=0.8,
    indoor_coil_blockage=0.5,
    wheel_fouling=0.7,
    outdoor_coil_blockage=0.7,
    outdoor_coil_film=0.5,
    drain_blockage=0.6,
)
GOOD = [
    (cures.filter_cleaned, "vacuum_and_rinse", ("filter_loading",)),
    (cures.indoor_coil_cleaned, "along_fins", ("indoor_coil_film", "indoor_coil_blockage")),
    (cures.wheel_cleaned, "brush_and_rinse", ("wheel_fouling",)),
    (cures.outdoor_coil_cleaned, "outwards", ("outdoor_coil_blockage", "outdoor_coil_film")),
    (cures.drain_cleared, "suck", ("drain_blockage",)),
]
METHODS = [
    *((cures.filter_cleaned, m) for m in cures.FILTER_METHODS),
    *((cures.indoor_coil_cleaned, m) for m in cures.INDOOR_METHODS if m != "acid"),
    *((cures.wheel_cleaned, m) for m in cures.WHEEL_METHODS),
    *((cures.outdoor_coil_cleaned, m) for m in cures.OUTDOOR_METHODS),
    *((cures.drain_cleared, m) for m in cures.DRAIN_METHODS),
]


@pytest.mark.parametrize(("clean", "method", "knobs"), GOOD)
def test_the_right_method_leaves_almost_nothing(clean, method, knobs) -> None:
    """After good work a trained eye sees a clean part."""
    after = clean(DIRTY, method)

    assert all(getattr(after, knob) <= 0.05 for knob in knobs)


@pytest.mark.parametrize(("clean", "method"), METHODS)
def test_every_method_can_be_used_on_any_dirt(clean, method) -> None:
    """No knob ever leaves its range, clean or filthy."""
    for condition in (Condition(), DIRTY, Condition(drain_blockage=1.0, wheel_fouling=1.0)):
        clean(condition, method)


@pytest.mark.parametrize(("clean", "method", "knobs"), GOOD)
def test_cleaning_touches_only_its_own_part(clean, method, knobs) -> None:
    """Only the drain takes what was washed off coil and wheel."""
    after = clean(DIRTY, method)
    changed = {
        f.name for f in fields(Condition) if getattr(after, f.name) != getattr(DIRTY, f.name)
    }

    assert changed <= {*knobs, "drain_blockage"}


@pytest.mark.parametrize("method", ["along_fins", "rinse", "lance"])
def test_what_is_washed_off_goes_into_the_drain(method) -> None:
    """That is why water is poured after the wash and not before."""
    assert cures.indoor_coil_cleaned(DIRTY, method).drain_blockage > DIRTY.drain_blockage


def test_a_lance_folds_fins() -> None:
    """A clean coil is worse after it."""
    assert cures.indoor_coil_cleaned(Condition(), "lance").indoor_coil_blockage > 0.3


def test_washing_inwards_packs_the_dirt() -> None:
    """From the dirty face nothing comes out."""
    after = cures.outdoor_coil_cleaned(DIRTY, "inwards")

    assert DIRTY.outdoor_coil_blockage == after.outdoor_coil_blockage
