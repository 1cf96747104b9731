"""The psychrometric chart: dry bulb along, water in the air up, worked out by psychrolib."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from kit.errors import OutOfRangeError
from kit.screens.plots.axes import Frame, ruled, steps, ticks
from kit.screens.plots.labels import Labels
from kit.screens.plots.pen import (
    BACK,
    CARD,
    EDGE,
    INK,
    SMALL,
    SOFT,
    arrow,
    point,
    sheet,
    style,
    trail,
)
from kit.screens.plots.said import together
from kit.screens.task import Plot
from kit.visit.outcome import Line, Measure, line

if TYPE_CHECKING:
    from kit.screens.voice import Voice

ZERO_C_K = 273.15
CURVES = (0.2, 0.4, 0.6, 0.8)
LOW_K, HIGH_K = 223.15, 353.15  # what a chart of rooms and coils can be asked for
_PAIR = 2  # states of one process line


@dataclass(frozen=True, slots=True)
class State:
    """One state of the air.

    Args:
        name: what it is.
        db_k: dry bulb [K].
        rh: relative humidity [0..1].
        w: humidity ratio [kg/kg].
        wb_k: wet bulb [K].
    """

    name: str
    db_k: float
    rh: float
    w: float
    wb_k: float


def air_chart(
    states: Sequence[tuple[str, float, float]],
    joined: bool = False,
    pressure_pa: float = 101_325.0,
) -> Plot:
    """Return a psychrometric chart with states of the air on it.

    Args:
        states: name, dry bulb [K] and relative humidity [0..1] of each.
        joined: whether a line leads from the first to the second, the third to the fourth, and so
            on.
        pressure_pa: pressure of the air [Pa].

    Raises:
        OutOfRangeError: there is no state, or one is outside what the chart can show.

    Source:
        psychrolib 2.5, which follows the ASHRAE Handbook - Fundamentals, chapter 1.
    """
    if not states:
        raise OutOfRangeError("The number of states", 0, 1, 8, "Give at least one state.")
    known = [_state(*one, pressure_pa) for one in states]
    alt = _in_words(known, joined, pressure_pa)
    return Plot(lambda voice: _drawn(known, joined, pressure_pa, voice, alt), alt)


def _psychrolib() -> Any:
    import psychrolib

    psychrolib.SetUnitSystem(psychrolib.SI)
    return psychrolib


def _state(name: str, db_k: float, rh: float, pressure_pa: float) -> State:
    for what, value, low, high in (
        (f"The dry bulb of {name}", db_k, LOW_K, HIGH_K),
        (f"The relative humidity of {name}", rh, 0.0, 1.0),
    ):
        if not (math.isfinite(value) and low <= value <= high):
            raise OutOfRangeError(what, value, low, high, "Give a value inside this range.")
    air = _psychrolib()
    db_c = db_k - ZERO_C_K
    w = float(air.GetHumRatioFromRelHum(db_c, rh, pressure_pa))
    wb_c = float(air.GetTWetBulbFromHumRatio(db_c, w, pressure_pa))
    return State(name, db_k, rh, w, wb_c + ZERO_C_K)


def _in_words(states: Sequence[State], joined: bool, pressure_pa: float) -> Line:
    said = [
        line(
            "Psychrometric chart at {pressure}: dry bulb along, water in the air up.",
            pressure=Measure(pressure_pa, "pressure"),
        )
    ]
    said += [
        line(
            "{name}: dry bulb {db}, relative humidity {rh}, wet bulb {wb}, water {w}.",
            name=one.name,
            db=Measure(one.db_k, "temperature"),
            rh=Measure(one.rh, "relative_humidity"),
            wb=Measure(one.wb_k, "temperature"),
            w=Measure(one.w, "humidity_ratio"),
        )
        for one in states
    ]
    if joined:
        said += [
            line("A line leads from {first} to {second}.", first=a.name, second=b.name)
            for a, b in zip(states[::_PAIR], states[1::_PAIR], strict=False)
        ]
    return together(said)


def _frame(states: Sequence[State], voice: Voice) -> tuple[Frame, list[float], list[float]]:
    """Return the frame and the values ruled on it."""
    cold = min(min(s.db_k, s.wb_k) for s in states) - 3.0
    warm = max(s.db_k for s in states) + 4.0
    spare = max(0.0, 20.0 - (warm - cold)) / 2  # less than 20 K would show a corner of the chart
    along = steps(
        voice.number("temperature", cold - spare), voice.number("temperature", warm + spare)
    )
    wet = max(max(s.w for s in states) * 1.3, 0.004)
    up = steps(0.0, voice.number("humidity_ratio", wet), 6)
    return Frame(along[0], along[-1], up[0], up[-1]), along, up


class _Sheet:
    """A chart being drawn: values come in SI and lie in the learner's units."""

    def __init__(self, frame: Frame, voice: Voice, pressure_pa: float) -> None:
        self.frame, self.voice, self.pressure_pa = frame, voice, pressure_pa
        self.air = _psychrolib()

    def value(self, db_k: float, w: float) -> tuple[float, float]:
        number = self.voice.number
        return number("temperature", db_k), number("humidity_ratio", w)

    def place(self, db_k: float, w: float) -> tuple[float, float]:
        return self.frame.at(*self.value(db_k, w))

    def curve(self, rh: float, count: int = 60) -> list[tuple[float, float]]:
        """Return the values of a curve of one relative humidity, from cold to warm."""
        from kit.quantities import unit_system

        unit = unit_system(self.voice.units).unit("temperature")
        low, high = self.frame.low_x, self.frame.high_x
        temperatures = (unit.to_si(low + (high - low) * i / count) for i in range(count + 1))
        return [
            self.value(k, float(self.air.GetHumRatioFromRelHum(k - ZERO_C_K, rh, self.pressure_pa)))
            for k in temperatures
        ]

    def wet_bulb(self, one: State, count: int = 8) -> list[tuple[float, float]]:
        """Return the values of the line of one wet bulb, from the state to saturation."""
        reach = one.wb_k - one.db_k
        found = []
        for i in range(count + 1):
            k = one.db_k + reach * i / count
            w = self.air.GetHumRatioFromTWetBulb(
                max(k, one.wb_k) - ZERO_C_K, one.wb_k - ZERO_C_K, self.pressure_pa
            )
            found.append(self.value(k, float(w)))
        return found


def _drawn(
    states: Sequence[State], joined: bool, pressure_pa: float, voice: Voice, alt: Line
) -> str:
    frame, along, up = _frame(states, voice)
    chart, labels = _Sheet(frame, voice, pressure_pa), Labels(frame.box)
    parts = ruled(
        frame, ticks(along), ticks(up),
        f"{voice.words('Dry bulb')}, {voice.unit('temperature')}",
        f"{voice.words('Water in the air')}, {voice.unit('humidity_ratio')}",
        CARD,
    )  # fmt: skip
    parts += _fog(chart) + _humidities(chart, labels)
    places = [chart.place(one.db_k, one.w) for one in states]
    for place in places:  # no word may hide a point
        labels.keep_clear((place, place), 9.0)
    if joined:
        parts += _processes(places, labels)
    parts += _wet_bulbs(states[:_PAIR], chart, labels)
    for i, (one, place) in enumerate(zip(states, places, strict=True)):
        parts.append(point(*place, style(i if not joined else i // _PAIR), one.name, 8.0))
        figures = f"{voice.show('temperature', one.db_k)}, "
        figures += voice.show("relative_humidity", one.rh)
        labels.put(place, (voice.words(one.name), figures), bold_first=True)
    return sheet(420, voice.line(alt), [*parts, *labels.drawn()])


def _fog(chart: _Sheet) -> list[str]:
    """Return what lies above saturation, where no clear air can be."""
    edge = chart.frame.inside(chart.curve(1.0))
    left, top, right, _ = chart.frame.box
    return [
        trail(
            [(left, top), (left, edge[0][1]), *edge, (right, top)]
            if edge[-1][0] >= right
            else [(left, top), (left, edge[0][1]), *edge],
            EDGE,
            0.0,
            closed=True,
            fill=BACK,
        )
    ]


def _humidities(chart: _Sheet, labels: Labels) -> list[str]:
    parts = []
    for rh in (*CURVES, 1.0):
        points = chart.frame.inside(chart.curve(rh))
        parts.append(trail(points, INK if rh == 1.0 else EDGE, 4.5 if rh == 1.0 else 1.4))
        text = chart.voice.show("relative_humidity", rh)
        if rh == 1.0:
            labels.keep_clear(points, 4.0)
            x, y = points[int(len(points) * 0.3)]
            labels.put((x, y), (f"{text}: {chart.voice.words('saturation')}",), SOFT, SMALL,
                       ways=((-1, -1), (0, -1), (-1, 0)))  # fmt: skip
        else:
            x, y = points[-1]
            labels.put((x, y), (text,), SOFT, SMALL, ways=((-1, 1), (-1, 0), (0, 1), (-1, -1)))
    return parts


def _processes(places: Sequence[tuple[float, float]], labels: Labels) -> list[str]:
    parts = []
    for i, (start, end) in enumerate(zip(places[::_PAIR], places[1::_PAIR], strict=False)):
        look = style(i)
        parts.append(trail((start, end), look.colour, 4.5, look.dash))
        parts.append(arrow(start, end, look.colour, 20.0))
        labels.keep_clear((start, end), 5.0)
    return parts


def _wet_bulbs(states: Sequence[State], chart: _Sheet, labels: Labels) -> list[str]:
    parts = []
    for one in states:
        points = chart.frame.inside(chart.wet_bulb(one))
        if one.db_k - one.wb_k < 0.5 or len(points) < _PAIR:
            continue  # on the saturation line there is nothing to lead to
        parts.append(trail(points, SOFT, 1.8, "2 5"))
        labels.keep_clear(points, 2.0)
        said = f"{chart.voice.words('wet bulb')} {chart.voice.show('temperature', one.wb_k)}"
        labels.put(points[-1], (said,), SOFT, SMALL, ways=((-1, -1), (-1, 0), (0, -1)))
    return parts
