"""Instruments err within their class, each in its own way."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kit.errors import UnknownNameError
from kit.visit.instruments import instrument, instrument_names, shown

SCALES = [(name, scale) for name in instrument_names() for scale in instrument(name).scales]
IDS = [f"{name}-{scale.quantity}" for name, scale in SCALES]


@pytest.mark.parametrize(("name", "scale"), SCALES, ids=IDS)
@given(share=st.floats(0.1, 0.9), seed=st.integers(0, 2**40), count=st.integers(0, 999))
def test_a_reading_stays_within_the_accuracy_class(name, scale, share, seed, count) -> None:
    """Fixed error, scatter and rounding together never leave the class."""
    true = scale.low + share * (scale.high - scale.low)

    value = shown(scale, name, true, seed, count)

    if value is None:  # its error may carry it off an end of the range
        limit = scale.error_limit(true)
        assert not scale.low + limit <= true <= scale.high - limit
        return
    assert abs(value - true) <= scale.error_limit(true) + 1e-9


@pytest.mark.parametrize(("name", "scale"), SCALES, ids=IDS)
def test_a_display_moves_in_its_steps(name, scale) -> None:
    """What is shown is a whole number of the display's last step."""
    true = scale.low + 0.4 * (scale.high - scale.low)
    value = shown(scale, name, true, 3, 0)

    steps = (value - scale.zero) / scale.resolution

    assert pytest.approx(round(steps), abs=1e-4) == steps


def test_a_repeated_reading_differs_a_little() -> None:
    """Readings scatter as real ones do, much less than the fixed error."""
    scale = instrument("air_probe").scale("dry_bulb")

    values = {shown(scale, "air_probe", 298.15, 7, count) for count in range(60)}

    assert len(values) >= 2
    assert max(values) - min(values) <= 0.31


def test_two_probes_have_errors_of_their_own() -> None:
    """Over many visits two probes disagree, each within its class."""
    scale = instrument("air_probe").scale("dry_bulb")
    pairs = [
        (shown(scale, "air_probe", 298.15, s, 0), shown(scale, "air_probe_b", 298.15, s, 0))
        for s in range(40)
    ]

    apart = [abs(a - b) for a, b in pairs]

    assert max(apart) > 0.3
    assert all(gap <= 2 * scale.accuracy for gap in apart)


def test_off_scale_shows_no_figure() -> None:
    """A value beyond the range is not pulled into it."""
    scale = instrument("hygrometer").scale("dry_bulb")

    assert shown(scale, "hygrometer", scale.high + 10, 1, 0) is None


def test_a_dead_meter_shows_zero() -> None:
    """This is why a meter is tried on a known source before and after."""
    scale = instrument("multimeter").scale("voltage")

    assert shown(scale, "multimeter", 230.0, 1, 0, dead=True) == 0.0


def test_an_unknown_instrument_names_the_nearest() -> None:
    """A slip of the pen is answered with what was meant."""
    with pytest.raises(UnknownNameError, match="air_probe"):
        instrument("air_prob")


@pytest.mark.parametrize(
    ("name", "quantity", "accuracy", "source"),
    [
        ("pipe_clamp", "pipe_temperature", 1.3 / 1.8, "RA3.2: 0.1 % + 1.3 °F"),
        ("gauges", "port_pressure", 3.5 * 6894.757, "RA3.2: 3.5 psi, suction"),
    ],
)
def test_published_accuracy_classes(name, quantity, accuracy, source) -> None:
    """California's Reference Residential Appendices RA3.2 (2008), as quoted."""
    assert pytest.approx(accuracy, rel=0.01) == instrument(name).scale(quantity).accuracy, source
