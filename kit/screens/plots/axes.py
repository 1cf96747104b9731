"""The frame of a chart: where values lie, few ruled lines, figures and names of both axes."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from kit.screens.plots.labels import Box
from kit.screens.plots.pen import BACK, EDGE, INK, RULE, SMALL, WIDTH, trail, word

LEFT, RIGHT, TOP, BOTTOM = 62.0, 18.0, 34.0, 46.0
HEIGHT = 420.0

Tick = tuple[float, str]
Points = list[tuple[float, float]]


@dataclass(frozen=True, slots=True)
class Frame:
    """Where values lie on the sheet; both axes are even in what they are given.

    Args:
        low_x: value at the left edge.
        high_x: value at the right edge.
        low_y: value at the lower edge.
        high_y: value at the upper edge.
        height: height of the sheet that the frame takes, with the names of its axes.
    """

    low_x: float
    high_x: float
    low_y: float
    high_y: float
    height: float = HEIGHT

    def x(self, value: float) -> float:
        """Return where a value lies across the sheet.

        Args:
            value: in the unit of the axis.
        """
        return LEFT + (WIDTH - LEFT - RIGHT) * (value - self.low_x) / (self.high_x - self.low_x)

    def y(self, value: float) -> float:
        """Return where a value lies down the sheet.

        Args:
            value: in the unit of the axis.
        """
        share = (value - self.low_y) / (self.high_y - self.low_y)
        return self.height - BOTTOM - (self.height - TOP - BOTTOM) * share

    def at(self, x: float, y: float) -> tuple[float, float]:
        """Return a place on the sheet.

        Args:
            x: value along.
            y: value up.
        """
        return self.x(x), self.y(y)

    def within(self, x: float, y: float) -> bool:
        """Return whether both values lie inside the frame.

        Args:
            x: value along.
            y: value up.
        """
        return self.low_x <= x <= self.high_x and self.low_y <= y <= self.high_y

    @property
    def box(self) -> Box:
        """Left, top, right and bottom of the frame on the sheet."""
        return (LEFT, TOP, WIDTH - RIGHT, self.height - BOTTOM)

    def inside(self, points: Sequence[tuple[float, float]]) -> Points:
        """Return a line's points on the sheet as far as the frame shows it, cut at its edges.

        Args:
            points: values along and up, in the order of the line; it may leave the frame once.
        """
        kept: Points = []
        for here, there in zip(points, (*points[1:], points[-1]), strict=True):
            if self.within(*here):
                kept.append(self.at(*here))
                if not self.within(*there):
                    kept.append(self.at(*self._cut(here, there)))
            elif self.within(*there):
                kept.append(self.at(*self._cut(there, here)))
        return kept

    def _cut(self, here: tuple[float, float], there: tuple[float, float]) -> tuple[float, float]:
        """Return where a line from inside leaves the frame."""
        share = 1.0
        for (low, high), a, b in (
            ((self.low_x, self.high_x), here[0], there[0]),
            ((self.low_y, self.high_y), here[1], there[1]),
        ):
            if b > high:
                share = min(share, (high - a) / (b - a))
            elif b < low:
                share = min(share, (low - a) / (b - a))
        return (here[0] + share * (there[0] - here[0]), here[1] + share * (there[1] - here[1]))


def steps(low: float, high: float, most: int = 7) -> list[float]:
    """Return round values that enclose a range.

    Args:
        low: its lower end.
        high: its upper end, above `low`.
        most: most values.
    """
    powers = range(-6, 9)
    sizes = [base * 10.0**power for power in powers for base in (1, 2, 5)]
    for size in sizes:
        first, last = math.floor(low / size + 1e-9), math.ceil(high / size - 1e-9)
        if last - first + 1 <= most:
            return [round(size * i, 9) for i in range(first, last + 1)]
    return [low, high]


def ticks(values: Sequence[float]) -> list[Tick]:
    """Return values with the text that stands beside them.

    Args:
        values: in the unit of the axis.
    """
    return [(value, f"{value:g}") for value in values]


def ruled(
    frame: Frame,
    along: Sequence[Tick],
    up: Sequence[Tick],
    name_along: str,
    name_up: str,
    ground: str = BACK,
) -> list[str]:
    """Return frame, ruled lines, figures and names.

    Args:
        frame: where values lie.
        along: values of the lower axis with their text.
        up: values of the upright axis with their text.
        name_along: name of the lower axis, with its unit.
        name_up: name of the upright axis, with its unit.
        ground: colour inside the frame.
    """
    left, top, right, bottom = frame.box
    parts = [
        trail(((left, top), (right, top), (right, bottom), (left, bottom)), EDGE, 1.0, closed=True,
              fill=ground)
    ]  # fmt: skip
    for value, text in along:
        x = frame.x(value)
        parts.append(trail(((x, top), (x, bottom)), RULE, 0.8))
        parts.append(word(x, bottom + 19, text, "middle", size=SMALL, kind="x"))
    for value, text in up:
        y = frame.y(value)
        parts.append(trail(((left, y), (right, y)), RULE, 0.8))
        parts.append(word(left - 8, y + 5, text, "end", size=SMALL, kind="y"))
    parts.append(word(right, frame.height - 7, name_along, "end", INK, SMALL, bold=True))
    parts.append(word(8, 20, name_up, "start", INK, SMALL, bold=True))
    return parts
