"""Words beside what they name: each takes the place near its point where it covers least."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import pairwise

from kit.screens.plots.pen import INK, SOFT, TEXT, trail, width_of, word

Box = tuple[float, float, float, float]
_GAPS = (11.0, 26.0, 46.0, 70.0)
_WAYS = ((1, 0), (-1, 0), (1, -1), (1, 1), (-1, -1), (-1, 1), (0, -1), (0, 1))
_LEAD = 26.0  # from here on a thin line leads to the point
_STEP = 10.0  # boxes along a line stand this far apart


class Labels:
    """The words of one chart.

    Args:
        frame: left, top, right and bottom of where words may stand.
    """

    def __init__(self, frame: Box) -> None:
        self._frame = frame
        self._taken: list[Box] = []
        self._drawn: list[str] = []

    def keep_clear(self, points: Iterable[tuple[float, float]], reach: float = 3.0) -> None:
        """Keep words off a line.

        Args:
            points: its points.
            reach: half its width.
        """
        for (x0, y0), (x1, y1) in pairwise(list(points)):
            count = max(int(max(abs(x1 - x0), abs(y1 - y0)) / _STEP), 1)
            for i in range(count + 1):
                x, y = x0 + (x1 - x0) * i / count, y0 + (y1 - y0) * i / count
                self._taken.append((x - reach, y - reach, x + reach, y + reach))

    def put(
        self,
        at: tuple[float, float],
        texts: Sequence[str],
        ink: str = INK,
        size: float = TEXT,
        bold_first: bool = False,
        ways: Sequence[tuple[int, int]] = _WAYS,
    ) -> None:
        """Write one or more lines beside a point.

        Args:
            at: the point.
            texts: what to write, line below line.
            ink: colour of the letters.
            size: size of the letters.
            bold_first: whether the first line is bold.
            ways: directions to try, the best liked first.
        """
        wide = max(width_of(t, size, bold_first and i == 0) for i, t in enumerate(texts))
        high = len(texts) * size * 1.2
        tries = [
            (self._cost(box) + rank, box, gap)
            for gap_rank, gap in enumerate(_GAPS)
            for way_rank, (dx, dy) in enumerate(ways)
            for rank in (30.0 * gap_rank + 2.0 * way_rank,)
            for box in (_beside(at, dx, dy, gap, wide, high),)
        ]
        _, box, gap = min(tries, key=lambda one: one[0])
        self._taken.append(box)
        if gap >= _LEAD:
            near = (min(max(at[0], box[0]), box[2]), min(max(at[1], box[1]), box[3]))
            self._drawn.append(trail((at, near), SOFT, 1.2))
        middle = (box[0] + box[2]) / 2
        anchor, x = ("start", box[0]) if middle > at[0] + 2 else ("end", box[2])
        if abs(middle - at[0]) <= 2:
            anchor, x = "middle", middle
        for i, text in enumerate(texts):
            y = box[1] + size * (0.95 + 1.2 * i)
            self._drawn.append(word(x, y, text, anchor, ink, size, bold_first and i == 0))

    def drawn(self) -> list[str]:
        """Return the words as elements."""
        return list(self._drawn)

    def _cost(self, box: Box) -> float:
        left, top, right, bottom = self._frame
        out = max(left - box[0], 0) + max(box[2] - right, 0)
        out += max(top - box[1], 0) + max(box[3] - bottom, 0)
        return 1000.0 * out + sum(_shared(box, other) for other in self._taken)


def _beside(at: tuple[float, float], dx: int, dy: int, gap: float, wide: float, high: float) -> Box:
    reach = gap if not (dx and dy) else gap * 0.75
    x0 = at[0] + dx * reach - (wide if dx < 0 else wide / 2 if dx == 0 else 0.0)
    y0 = at[1] + dy * reach - (high if dy < 0 else high / 2 if dy == 0 else 0.0)
    return (x0, y0, x0 + wide, y0 + high)


def _shared(one: Box, other: Box) -> float:
    wide = min(one[2], other[2]) - max(one[0], other[0])
    high = min(one[3], other[3]) - max(one[1], other[1])
    return wide * high if wide > 0 and high > 0 else 0.0
