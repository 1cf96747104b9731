"""Splits over time, of one or more units, with a band to hold them against."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from kit.errors import OutOfRangeError
from kit.screens.plots.axes import HEIGHT, Frame, ruled, steps, ticks
from kit.screens.plots.labels import Labels
from kit.screens.plots.pen import CARD, SOFT, colour, point, sheet, style, trail
from kit.screens.plots.said import together
from kit.screens.task import Plot
from kit.visit.outcome import Line, Measure, line

if TYPE_CHECKING:
    from kit.screens.voice import Voice

Series = tuple[str, Sequence[float], Sequence[float]]
KIND = "temperature_difference"


def split_chart(
    series: Sequence[Series], target_k: float | None = None, band_k: float = 5 / 3
) -> Plot:
    """Return a chart of splits over time.

    Args:
        series: name, times [s] and splits [K] of each, at least two points.
        target_k: target split [K]; None for no band.
        band_k: half the width of the band [K]; 3 °F is the tolerance of a regulation.

    Raises:
        OutOfRangeError: a series has less than two points, or not as many times as splits.
    """
    for name, times_s, splits_k in series:
        if len(times_s) < 2 or len(times_s) != len(splits_k):
            raise OutOfRangeError(
                f"The number of points of {name}", len(splits_k), 2, len(times_s),
                "Give a split for each time.",
            )  # fmt: skip
    alt = _in_words(series, target_k, band_k)
    return Plot(lambda voice: _drawn(series, target_k, band_k, voice, alt), alt)


def _in_words(series: Sequence[Series], target_k: float | None, band_k: float) -> Line:
    said = [line("Split over time.")]
    said += [
        line(
            "{name}: {first} after {start}, {last} after {end}.",
            name=name,
            first=Measure(float(splits_k[0]), KIND),
            start=Measure(float(times_s[0]), "time"),
            last=Measure(float(splits_k[-1]), KIND),
            end=Measure(float(times_s[-1]), "time"),
        )
        for name, times_s, splits_k in series
    ]
    if target_k is not None:
        said.append(
            line(
                "The band around the target of {target} goes from {low} to {high}.",
                target=Measure(target_k, KIND),
                low=Measure(target_k - band_k, KIND),
                high=Measure(target_k + band_k, KIND),
            )
        )
    return together(said)


def _drawn(
    series: Sequence[Series], target_k: float | None, band_k: float, voice: Voice, alt: Line
) -> str:
    values = [float(k) for _, _, splits_k in series for k in splits_k]
    if target_k is not None:
        values += [target_k - band_k, target_k + band_k]
    minutes = [float(s) / 60 for _, times_s, _ in series for s in times_s]
    along = steps(min(minutes), max(minutes), 8)
    up = steps(voice.number(KIND, min(0.0, *values)), voice.number(KIND, max(values) + 1.0))
    frame = Frame(along[0], along[-1], up[0], up[-1])
    labels = Labels(frame.box)
    parts = ruled(
        frame, ticks(along), ticks(up), voice.words("minutes"),
        f"{voice.words('Split')}, {voice.unit(KIND)}", CARD,
    )  # fmt: skip
    if target_k is not None:
        parts += _band(frame, voice, target_k, band_k, labels)
    ends = []
    for i, (name, times_s, splits_k) in enumerate(series):
        places = [
            frame.at(float(s) / 60, voice.number(KIND, float(k)))
            for s, k in zip(times_s, splits_k, strict=True)
        ]
        parts.append(trail(places, style(i).colour, 4.0, style(i).dash))
        parts.append(point(*places[-1], style(i), name, 7.0))
        labels.keep_clear(places, 4.0)
        ends.append((places[-1], (voice.words(name), voice.show(KIND, float(splits_k[-1])))))
    for at, texts in ends:
        labels.put(at, texts, bold_first=True, ways=((-1, -1), (-1, 1), (0, -1), (0, 1)))
    return sheet(HEIGHT, voice.line(alt), [*parts, *labels.drawn()])


def _band(frame: Frame, voice: Voice, target_k: float, band_k: float, labels: Labels) -> list[str]:
    left, _, right, _ = frame.box
    low, high = (frame.y(voice.number(KIND, target_k + side * band_k)) for side in (-1, 1))
    edge = colour("good-edge")
    corners = ((left, high), (right, high), (right, low), (left, low))
    fill = trail(corners, edge, 0.0, closed=True, fill=edge)
    said = f"{voice.words('target')} {voice.show(KIND, target_k)} ± {voice.show(KIND, band_k)}"
    labels.put((left, high - 13), (said,), SOFT, ways=((1, 0),))  # fmt: skip
    for y in (low, high):
        labels.keep_clear(((left, y), (right, y)), 2.0)
    return [
        f'<g opacity="0.18">{fill}</g>',
        trail(((left, high), (right, high)), edge, 1.8, "7 4"),
        trail(((left, low), (right, low)), edge, 1.8, "7 4"),
    ]
