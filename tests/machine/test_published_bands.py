"""The solved machines against published measurements, band by band, on every machine."""

import pytest

from kit.machine import load_spec, spec_names
from tests.machine.published_bands import COMPARISONS, KNOWN_MISSES, bands

SLACK = 1e-9


@pytest.mark.parametrize("comparison", COMPARISONS)
@pytest.mark.parametrize("machine", spec_names())
def test_band(machine, comparison):
    """Each figure lies in its band, or no farther outside than the list of misses admits."""
    for band in bands(machine, comparison):
        admitted, _ = KNOWN_MISSES.get(band.id, (0.0, ""))
        assert band.miss() <= admitted + SLACK, (
            f"{band.id}: {band.value:.4g} is not in {band.low:.4g} to {band.high:.4g}; "
            f"{band.source}; {band.why}"
        )


def test_no_miss_is_listed_that_is_none():
    """Each listed miss is one still: what has come within its band must leave the list."""
    missed = {
        band.id
        for machine in spec_names()
        for comparison in COMPARISONS
        for band in bands(machine, comparison)
        if band.miss() > SLACK
    }
    assert sorted(KNOWN_MISSES) == sorted(missed & set(KNOWN_MISSES))


@pytest.mark.parametrize("comparison", COMPARISONS)
def test_each_comparison_compares_something(comparison):
    """No comparison is skipped on every machine, and no band is open at both ends or empty."""
    found = [band for machine in spec_names() for band in bands(machine, comparison)]
    assert found
    for band in found:
        assert band.low < band.high, band.id
        assert band.source, band.id
        assert band.why, band.id


@pytest.mark.parametrize("machine", spec_names())
def test_a_machine_is_named_after_its_refrigerant(machine):
    """The file name says which refrigerant the sheet holds: none stands in for another."""
    assert load_spec(machine).refrigerant.replace("-", "").lower() in machine.split("-")
