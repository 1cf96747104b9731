"""The psychrometric chart: dry bulb along, water in the air up, worked out by psychrolib."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING, Any

from kit.errors import OutOfRangeError
from kit.screens.plots.axes import Frame, Points, ruled, steps, ticks
from kit.screens.plots.labels import AROUND, Labels, Way
from kit.screens.plots.pen import (
    BACK,
    CARD,
    EDGE,
    INK,
    SMALL,
    SOFT,
    Style,
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
DRY, DRY_DEW_C = 0.0035, -3.0  # below this the upright axis no longer shrinks
CURVES = (0.2, 0.4, 0.6, 0.8)
LOW_K, HIGH_K = 243.15, 333.15  # what a chart of rooms and coils can be asked for
_NODES = 48  # of a curve; straight between them, within a quarter of a pixel
_PAIR = 2  # states of one process line
# Where two processes lie close together, the words of one go above and those of the other below.
ABOVE = ((0, -1), (0.5, -1), (-0.5, -1), (1, -1), (-1, -1), (1, 0), (-1, 0))
BELOW = ((0, 1), (0.5, 1), (-0.5, 1), (1, 1), (-1, 1), (1, 0), (-1, 0))
NEAR_K = 0.5  # a wet bulb nearer to the dry bulb has no line
MOST_ROOM = 2.0  # a wet-bulb line that ends higher than this over the states has none either


@dataclass(frozen=True, slots=True)
class State:
    """One state of the air.

    Args:
        name: what it is.
        db_k: dry bulb [K].
        rh: relative humidity [0..1].
        w: humidity ratio [kg/kg].
        wb_k: wet bulb [K].
        dew_k: dew point [K]; of air drier than `DRY` what the sheet must show at least.
        saturated_w: humidity ratio of saturated air at the wet bulb [kg/kg].
    """

    name: str
    db_k: float
    rh: float
    w: float
    wb_k: float
    dew_k: float
    saturated_w: float


Groups = Sequence[Sequence[State]]
DryBulbs = Sequence[tuple[str, float, int]]


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
    size = _PAIR if joined else 1
    groups = [states[i : i + size] for i in range(0, len(states), size)]
    return air_groups_chart(groups, pressure_pa)


def air_groups_chart(
    groups: Sequence[Sequence[tuple[str, float, float]]],
    pressure_pa: float = 101_325.0,
    dry_bulbs: Sequence[tuple[str, float, int]] = (),
) -> Plot:
    """Return a psychrometric chart with groups of states, each in a style of its own.

    Args:
        groups: name, dry bulb [K] and relative humidity [0..1] of each state; a line leads through
            the states of a group.
        pressure_pa: pressure of the air [Pa].
        dry_bulbs: name, dry bulb [K] and group of air whose humidity is not known: upright lines.

    Raises:
        OutOfRangeError: there is no state, or one is outside what the chart can show.

    Source:
        psychrolib 2.5, which follows the ASHRAE Handbook - Fundamentals, chapter 1.
    """
    if not any(groups):
        raise OutOfRangeError("The number of states", 0, 1, 8, "Give at least one state.")
    known = [[_state(*one, pressure_pa) for one in group] for group in groups]
    for name, db_k, _ in dry_bulbs:
        _check(f"The dry bulb of {name}", db_k, LOW_K, HIGH_K)
    alt = _in_words(known, dry_bulbs, pressure_pa)
    return Plot(lambda voice: _drawn(known, dry_bulbs, pressure_pa, voice, alt), alt)


def _psychrolib() -> Any:
    import psychrolib

    psychrolib.SetUnitSystem(psychrolib.SI)
    return psychrolib


def _check(what: str, value: float, low: float, high: float) -> None:
    if not (math.isfinite(value) and low <= value <= high):
        raise OutOfRangeError(what, value, low, high, "Give a value inside this range.")


def _state(name: str, db_k: float, rh: float, pressure_pa: float) -> State:
    _check(f"The dry bulb of {name}", db_k, LOW_K, HIGH_K)
    _check(f"The relative humidity of {name}", rh, 0.0, 1.0)
    air = _psychrolib()
    db_c = db_k - ZERO_C_K
    w = float(air.GetHumRatioFromRelHum(db_c, rh, pressure_pa))
    wb_c = float(air.GetTWetBulbFromHumRatio(db_c, w, pressure_pa))
    saturated_w = float(air.GetSatHumRatio(wb_c, pressure_pa))
    dew_c = (
        float(air.GetTDewPointFromHumRatio(db_c, w, pressure_pa))
        if w > DRY
        else min(db_c, DRY_DEW_C)
    )
    return State(name, db_k, rh, w, wb_c + ZERO_C_K, dew_c + ZERO_C_K, saturated_w)


def _in_words(groups: Groups, dry_bulbs: DryBulbs, pressure_pa: float) -> Line:
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
        for group in groups
        for one in group
    ]
    said += [
        line("A line leads from {first} to {second}.", first=a.name, second=b.name)
        for group in groups
        for a, b in pairwise(group)
    ]
    said += [
        line("{name}: dry bulb {db}, humidity not known.", name=name,
             db=Measure(db_k, "temperature"))
        for name, db_k, _ in dry_bulbs
    ]  # fmt: skip
    return together(said)


def _frame(
    states: Sequence[State], dry_bulbs: DryBulbs, voice: Voice
) -> tuple[Frame, list[float], list[float]]:
    """Return the frame and the values ruled on it."""
    # From the dew point of the wettest air on, saturation is always on the sheet.
    wettest = max(states, key=lambda s: s.w)
    dry = [db_k for _, db_k, _ in dry_bulbs]
    cold = min(wettest.dew_k, *dry, *(min(s.db_k, s.wb_k) for s in states)) - 3.0
    warm = max(dry + [s.db_k for s in states]) + 4.0
    spare = max(0.0, 20.0 - (warm - cold)) / 2  # less than 20 K would show a corner of the chart
    along = steps(
        voice.number("temperature", cold - spare), voice.number("temperature", warm + spare)
    )
    shown = [s.saturated_w for s in states[:_PAIR] if _leads_far(s, states)]
    wet = max(max(s.w for s in states) * 1.3, *(1.12 * w for w in shown), 0.004)
    up = steps(0.0, voice.number("humidity_ratio", wet), 6)
    return Frame(along[0], along[-1], up[0], up[-1]), along, up


def _leads_far(one: State, states: Sequence[State]) -> bool:
    """Return whether a state's wet-bulb line is worth the room up to saturation."""
    dry_enough = one.db_k - one.wb_k >= NEAR_K
    return dry_enough and one.saturated_w <= MOST_ROOM * max(s.w for s in states)


class _Sheet:
    """A chart being drawn: values come in SI and lie in the learner's units."""

    def __init__(self, frame: Frame, voice: Voice, pressure_pa: float) -> None:
        self.frame, self.voice, self.pressure_pa = frame, voice, pressure_pa
        self.air = _psychrolib()
        self._curves: dict[float, Points] = {}

    def value(self, db_k: float, w: float) -> tuple[float, float]:
        number = self.voice.number
        return number("temperature", db_k), number("humidity_ratio", w)

    def place(self, db_k: float, w: float) -> tuple[float, float]:
        return self.frame.at(*self.value(db_k, w))

    def curve(self, rh: float) -> Points:
        """Return a curve of one relative humidity on the sheet, as far as the frame shows it."""
        if rh not in self._curves:
            self._curves[rh] = self.frame.inside(self._values(rh))
        return self._curves[rh]

    def _values(self, rh: float) -> Points:
        from kit.quantities import unit_system

        unit = unit_system(self.voice.units).unit("temperature")
        low, high = self.frame.low_x, self.frame.high_x
        found = []
        for i in range(_NODES + 1):
            k = unit.to_si(low + (high - low) * i / _NODES)
            w = self.air.GetHumRatioFromRelHum(k - ZERO_C_K, rh, self.pressure_pa)
            found.append(self.value(k, float(w)))
        return found

    def wet_bulb(self, one: State, count: int = 6) -> Points:
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


def _drawn(groups: Groups, dry_bulbs: DryBulbs, pressure_pa: float, voice: Voice, alt: Line) -> str:
    states = [one for group in groups for one in group]
    frame, along, up = _frame(states, dry_bulbs, voice)
    chart, labels = _Sheet(frame, voice, pressure_pa), Labels(frame.box)
    parts = ruled(
        frame, ticks(along), ticks(up),
        f"{voice.words('Dry bulb')}, {voice.unit('temperature')}",
        f"{voice.words('Water in the air')}, {voice.unit('humidity_ratio')}",
        CARD,
    )  # fmt: skip
    parts += _fog(chart) + _humidities(chart, labels)
    under = len(parts)
    for i, group in enumerate(groups):
        parts += _process([chart.place(one.db_k, one.w) for one in group], style(i), labels)
    parts += _uprights(dry_bulbs, chart, labels)
    rays = _wet_bulbs(states, chart, labels)
    for group, look, ways in _by_height(groups):
        for one in group:
            place = chart.place(one.db_k, one.w)
            parts.append(point(*place, look, one.name, 9.0 if look is style(0) else 7.0))
            figures = f"{voice.show('temperature', one.db_k)}, "
            figures += voice.show("relative_humidity", one.rh)
            labels.put(place, (voice.words(one.name), figures), bold_first=True, ways=ways)
    _wet_bulb_names(states, chart, labels)
    _humidity_names(chart, labels)
    return sheet(420, voice.line(alt), [*parts[:under], *rays, *parts[under:], *labels.drawn()])


def _fog(chart: _Sheet) -> list[str]:
    """Return what lies above saturation, where no clear air can be."""
    edge = chart.curve(1.0)
    left, top, right, _ = chart.frame.box
    beyond = [(right, top)] if edge[-1][0] >= right else []
    corners = [(left, top), (left, edge[0][1]), *edge, *beyond]
    return [trail(corners, EDGE, 0.0, closed=True, fill=BACK)]


def _humidities(chart: _Sheet, labels: Labels) -> list[str]:
    """Return the curves of relative humidity, that of saturation bold."""
    parts = [trail(chart.curve(rh), EDGE, 1.4) for rh in CURVES]
    saturation = chart.curve(1.0)
    labels.keep_clear(saturation, 4.0)
    return [*parts, trail(saturation, INK, 4.5)]


def _humidity_names(chart: _Sheet, labels: Labels) -> None:
    """Name the curves where the states' own words have left room."""
    show, words = chart.voice.show, chart.voice.words
    points = chart.curve(1.0)
    labels.put(points[::4], (f"{words('saturation')}, {show('relative_humidity', 1.0)}",), SOFT,
               SMALL, ways=((-1, -1), (-1, 0), (0, -1), (1, 0), (1, 1)))  # fmt: skip
    for rh in CURVES:
        end = chart.curve(rh)[-1]
        labels.put(end, (show("relative_humidity", rh),), SOFT, SMALL,
                   ways=((-1, 1), (-1, 0), (0, 1), (-1, -1)))  # fmt: skip


def _process(places: Points, look: Style, labels: Labels) -> list[str]:
    """Return the line through the states of a group, and keep words off it and off the states."""
    parts = []
    for start, end in pairwise(places):
        parts.append(trail((start, end), look.colour, 4.5, look.dash))
        parts.append(arrow(start, end, look.colour, 20.0))
        labels.keep_clear((start, end), 5.0)
    for place in places:
        labels.keep_clear((place, place), 9.0)
    return parts


def _uprights(dry_bulbs: DryBulbs, chart: _Sheet, labels: Labels) -> list[str]:
    """Return a line up to saturation for air of which the dry bulb alone is known."""
    parts = []
    voice = chart.voice
    for name, db_k, group in dry_bulbs:
        w = chart.air.GetHumRatioFromRelHum(db_k - ZERO_C_K, 1.0, chart.pressure_pa)
        points = chart.frame.inside([chart.value(db_k, 0.0), chart.value(db_k, float(w))])
        look = style(group)
        parts.append(trail(points, look.colour, 3.5, look.dash))
        labels.keep_clear(points, 3.0)
        (x, low), (_, high) = points
        along = [(x, low + (high - low) * share) for share in (0.15, 0.4, 0.65)]
        labels.put(along, (voice.words(name), voice.show("temperature", db_k)), bold_first=True,
                   ways=((1, 0), (-1, 0)))  # fmt: skip
    return parts


def _by_height(groups: Groups) -> list[tuple[Sequence[State], Style, tuple[Way, ...]]]:
    """Return each group with its style and where its words go: those of the highest go above."""
    there = [(group, style(i)) for i, group in enumerate(groups) if group]
    if sum(len(group) for group, _ in there) <= _PAIR:
        return [(group, look, AROUND) for group, look in there]
    middle = sorted(sum(one.w for one in group) / len(group) for group, _ in there)
    limit = middle[len(middle) // 2]
    return [
        (group, look, ABOVE if sum(one.w for one in group) / len(group) >= limit else BELOW)
        for group, look in there
    ]


def _wet_bulbs(states: Sequence[State], chart: _Sheet, labels: Labels) -> list[str]:
    """Return the wet-bulb lines of the first states, and keep words off them."""
    parts = []
    for one in states[:_PAIR]:
        if _leads_far(one, states):
            points = chart.frame.inside(chart.wet_bulb(one))
            parts.append(trail(points, SOFT, 1.8, "2 5"))
            labels.keep_clear(points, 2.0)
    return parts


def _wet_bulb_names(states: Sequence[State], chart: _Sheet, labels: Labels) -> None:
    voice = chart.voice
    for one in states[:_PAIR]:
        if _leads_far(one, states):
            said = f"{voice.words('wet bulb')} {voice.show('temperature', one.wb_k)}"
            end = chart.frame.inside(chart.wet_bulb(one))[-1]
            labels.put(end, (said,), SOFT, SMALL, ways=((-1, -1), (-1, 0), (0, -1)))
