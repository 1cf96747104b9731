"""Words beside what they name: each takes the place near its point where it covers least."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from kit.screens.plots.pen import INK, SOFT, TEXT, trail, width_of, word

Array = Any
Box = tuple[float, float, float, float]
Place = tuple[float, float]
Way = tuple[float, float]
AROUND: tuple[Way, ...] = (
    (1, 0), (-1, 0), (1, -1), (1, 1), (-1, -1), (-1, 1), (0, -1), (0, 1),
    (0.5, -1), (0.5, 1), (-0.5, -1), (-0.5, 1),
)  # fmt: skip
_GAPS = (11.0, 26.0, 46.0, 70.0)
_LEAD = 26.0  # from here on a thin line leads to the point
_STEP = 10.0  # boxes along a line stand this far apart
# What it costs, to be weighed against each other: a square pixel over a line is 1.
_OVER_WORD, _LEAD_OVER_WORD, _LEAD_OVER_LINE = 4.0, 600.0, 60.0
_OUTSIDE, _FURTHER, _LESS_LIKED = 1000.0, 30.0, 2.0
_NEAR = 2


class Labels:
    """The words of one chart.

    Args:
        frame: left, top, right and bottom of where words may stand.
    """

    def __init__(self, frame: Box) -> None:
        self._frame = frame
        self._lines: list[Box] = []
        self._words: list[Box] = []
        self._drawn: list[str] = []
        self._taken: Array | None = None  # boxes of lines as an array, once it is needed

    def keep_clear(self, points: Iterable[Place], reach: float = 3.0) -> None:
        """Keep words off a line.

        Args:
            points: its points.
            reach: half its width.
        """
        self._lines += _beads(list(points), reach)
        self._taken = None

    def put(
        self,
        at: Place | Sequence[Place],
        texts: Sequence[str],
        ink: str = INK,
        size: float = TEXT,
        bold_first: bool = False,
        ways: Sequence[Way] = AROUND,
    ) -> None:
        """Write one or more lines beside a point.

        Args:
            at: the point, or several of which the best is taken.
            texts: what to write, line below line.
            ink: colour of the letters.
            size: size of the letters.
            bold_first: whether the first line is bold.
            ways: directions to try, the best liked first.
        """
        wide = max(width_of(t, size, bold_first and i == 0) for i, t in enumerate(texts))
        high = len(texts) * size * 1.2
        points = _several(at)
        best: _Try | None = None
        for far, gap in enumerate(_GAPS):
            if best is not None and best.cost <= _FURTHER * far:
                break  # nothing further away can be better
            for point in points:
                for one in self._tries(point, gap, ways, wide, high):
                    if best is None or one.cost + _FURTHER * far < best.cost:
                        best = replace(one, cost=one.cost + _FURTHER * far)
        if best is None:
            return
        self._words.append(best.box)
        if best.gap >= _LEAD:
            self._drawn.append(trail((best.point, _nearest(best.point, best.box)), SOFT, 1.2))
        self._write(texts, best.way, best.box, ink, size, bold_first)

    def drawn(self) -> list[str]:
        """Return the words as elements."""
        return list(self._drawn)

    def _write(
        self, texts: Sequence[str], way: Way, box: Box, ink: str, size: float, bold: bool
    ) -> None:
        anchor, x = "middle", (box[0] + box[2]) / 2
        if way[0] == 1:
            anchor, x = "start", box[0]
        elif way[0] == -1:
            anchor, x = "end", box[2]
        for i, text in enumerate(texts):
            y = box[1] + size * (0.95 + 1.2 * i)
            self._drawn.append(word(x, y, text, anchor, ink, size, bold and i == 0))

    def _tries(
        self, point: Place, gap: float, ways: Sequence[Way], wide: float, high: float
    ) -> list[_Try]:
        """Return what each direction would cost at one distance."""
        boxes = [_beside(point, way, gap, wide, high) for way in ways]
        if self._taken is None:
            self._taken = np.array(self._lines).reshape(-1, 4)
        words = np.array(self._words).reshape(-1, 4)
        tried = np.array(boxes)
        left, top, right, bottom = self._frame
        out = np.maximum(np.array([left, top]) - tried[:, :2], 0.0).sum(axis=1)
        out += np.maximum(tried[:, 2:] - np.array([right, bottom]), 0.0).sum(axis=1)
        cost = _OUTSIDE * out + _LESS_LIKED * np.arange(len(ways))
        cost += _shared(tried, self._taken).sum(axis=1)
        cost += _OVER_WORD * _shared(tried, words).sum(axis=1)
        if gap >= _LEAD:
            for i, box in enumerate(boxes):
                beads = np.array(_beads([point, _nearest(point, box)], 1.0))
                cost[i] += _LEAD_OVER_WORD * int((_shared(beads, words) > 0.0).any(axis=0).sum())
                far = beads[_NEAR:]  # what lies at the point itself cannot be helped
                cost[i] += _LEAD_OVER_LINE * int(
                    (_shared(far, self._taken) > 0.0).any(axis=1).sum()
                )
        return [
            _Try(float(one), point, way, box, gap)
            for one, way, box in zip(cost, ways, boxes, strict=True)
        ]


@dataclass(frozen=True, slots=True)
class _Try:
    """One place where words could stand, and what it costs."""

    cost: float
    point: Place
    way: Way
    box: Box
    gap: float


def _several(at: Place | Sequence[Place]) -> list[Place]:
    """Return points, also when one was given."""
    found = []
    for one in at:
        if isinstance(one, int | float):
            return [(float(at[0]), float(at[1]))]  # type: ignore[arg-type]
        found.append(one)
    return found


def _beads(points: Sequence[Place], reach: float) -> list[Box]:
    """Return small boxes along a line, evenly apart."""
    places = [points[0]]
    for x1, y1 in points[1:]:
        x0, y0 = places[-1]
        count = int(max(abs(x1 - x0), abs(y1 - y0)) / _STEP)
        steps = ((i / count) for i in range(1, count + 1))
        places += [(x0 + (x1 - x0) * share, y0 + (y1 - y0) * share) for share in steps]
    return [(x - reach, y - reach, x + reach, y + reach) for x, y in [*places, *points[-1:]]]


def _nearest(point: Place, box: Box) -> Place:
    return min(max(point[0], box[0]), box[2]), min(max(point[1], box[1]), box[3])


def _beside(at: Place, way: Way, gap: float, wide: float, high: float) -> Box:
    dx, dy = way
    reach = gap if not (dx and dy) else gap * 0.75
    x0 = at[0] + dx * reach - wide * (1 - dx) / 2
    y0 = at[1] + dy * reach - high * (1 - dy) / 2
    return (x0, y0, x0 + wide, y0 + high)


def _shared(some: Array, others: Array) -> Array:
    """Return the area that each box of one kind shares with each of the other."""
    left, top, right, bottom = some.T[:, :, None]
    wide = np.minimum(right, others[:, 2]) - np.maximum(left, others[:, 0])
    high = np.minimum(bottom, others[:, 3]) - np.maximum(top, others[:, 1])
    return np.maximum(wide, 0.0) * np.maximum(high, 0.0)
