"""The compressor's efficiencies."""

from __future__ import annotations

import pytest

from kit.physics import compressor


@pytest.mark.parametrize("speed", [20.0, 60.0, 100.0])
def test_volumetric_efficiency_falls_with_pressure_ratio(speed) -> None:
    """About 0.03 a unit of pressure ratio, as the published rotary regression has it."""
    drop = compressor.volumetric_efficiency(speed, 2.0) - compressor.volumetric_efficiency(
        speed, 3.0
    )

    assert 0.02 <= drop <= 0.04


def test_volumetric_efficiency_is_least_at_low_speed() -> None:
    """Leakage a turn weighs more when the turns take longer."""
    values = [compressor.volumetric_efficiency(n, 2.5) for n in (18.0, 40.0, 80.0)]

    assert values == sorted(values)


def test_overall_efficiency_peaks_in_the_middle() -> None:
    """Best at 60 to 90 turns a second and a ratio of 2 to 3; lower on all sides."""
    best = compressor.overall_efficiency(0.7, 65.0, 2.5)

    assert best == pytest.approx(0.7)
    for speed, ratio in ((20.0, 2.5), (110.0, 2.5), (65.0, 1.3), (65.0, 6.0)):
        assert 0.0 < compressor.overall_efficiency(0.7, speed, ratio) < best


def test_a_full_leak_pumps_next_to_nothing() -> None:
    """A worn-out pump delivers an eighth of its flow."""
    sound = compressor.delivered_kg_s(9e-6, 60.0, 30.0, 0.9, 0.0)
    worn = compressor.delivered_kg_s(9e-6, 60.0, 30.0, 0.9, 1.0)

    assert sound == pytest.approx(0.9 * 9e-6 * 60.0 * 30.0)
    assert worn == pytest.approx((1.0 - compressor.LEAK_FLOW) * sound)
