"""A chart of one quantity over time, with the line that matters across it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, NamedTuple

from kit.screens.plots.axes import HEIGHT, Frame, ruled, steps, ticks
from kit.screens.plots.labels import Labels
from kit.screens.plots.pen import CARD, INK, point, sheet, style, trail
from kit.screens.plots.said import together
from kit.screens.task import Plot
from kit.visit.outcome import Line, Measure, line

if TYPE_CHECKING:
    from kit.screens.voice import Voice

_HEADROOM = 1.05
_NAMED_AT = 0.45  # share of a curve at which its name is looked for


class Curve(NamedTuple):
    """One curve.

    Args:
        name: what it is.
        points: time [s] and value [SI], in order.
    """

    name: Line
    points: tuple[tuple[float, float], ...]


class Limit(NamedTuple):
    """The line across.

    Args:
        name: what it is.
        value: where it lies [SI].
    """

    name: Line
    value: float


def time_chart(name: str, kind: str, curves: Sequence[Curve], limit: Limit) -> Plot:
    """Return a chart of curves over time.

    Args:
        name: English name of what is drawn upwards.
        kind: kind of its quantity.
        curves: what is drawn.
        limit: the line across.
    """
    alt = _in_words(kind, curves, limit)
    return Plot(lambda voice: _drawn(name, kind, curves, limit, voice), alt)


def _in_words(kind: str, curves: Sequence[Curve], limit: Limit) -> Line:
    said = [
        line(
            "Curves over time, and across them a line: {name}, {value}.",
            name=limit.name,
            value=Measure(limit.value, kind),
        )
    ]
    said += [
        line(
            "{name}: from {first} to {last} in {time}.",
            name=one.name,
            first=Measure(one.points[0][1], kind),
            last=Measure(one.points[-1][1], kind),
            time=Measure(one.points[-1][0], "time"),
        )
        for one in curves
    ]
    return together(said)


def _drawn(name: str, kind: str, curves: Sequence[Curve], limit: Limit, voice: Voice) -> str:
    longest = max(one.points[-1][0] for one in curves)
    most = max(limit.value, *(value for one in curves for _, value in one.points))
    along = steps(0.0, voice.number("time", longest), 9)
    up = steps(0.0, _HEADROOM * voice.number(kind, most), 7)
    frame = Frame(along[0], along[-1], up[0], up[-1])
    labels = Labels(frame.box)
    parts = ruled(
        frame, ticks(along), ticks(up),
        f"{voice.words('Time passed')}, {voice.unit('time')}",
        f"{voice.words(name)}, {voice.unit(kind)}",
        CARD,
    )  # fmt: skip
    across = [frame.at(x, voice.number(kind, limit.value)) for x in (along[0], along[-1])]
    parts.append(trail(across, INK, 2.0, "2 5"))
    labels.keep_clear(across)
    drawn = [
        [frame.at(voice.number("time", s), voice.number(kind, value)) for s, value in one.points]
        for one in curves
    ]
    for number, (one, places) in enumerate(zip(curves, drawn, strict=True)):
        look = style(number)
        parts += (
            trail(places, look.colour, 3.5, look.dash),
            point(*places[-1], look, voice.line(one.name)),
        )
        labels.keep_clear(places, 4.0)
    for one, places in zip(curves, drawn, strict=True):
        first = int(_NAMED_AT * len(places))
        labels.put(places[first:], (voice.line(one.name),), bold_first=True)
    labels.put(across, (voice.line(limit.name), voice.show(kind, limit.value)))
    alt = voice.line(_in_words(kind, curves, limit))
    return sheet(HEIGHT, alt, [*parts, *labels.drawn()])
