"""The plot of a visit drawn as SVG; its text equivalent stands inside it."""

from __future__ import annotations

from typing import TYPE_CHECKING
from xml.sax.saxutils import escape

from kit.marking.plot import Series, Tick, axis, in_units, plot_text
from kit.quantities import unit_system
from kit.visit.pictures.svg import INK, PAPER, SHADE, WHITE, circle, element, rect, stroke

if TYPE_CHECKING:
    from kit.marking.plot import Translate, VisitPlot

WIDTH, LEFT, RIGHT, TOP, HEIGHT = 900, 64, 20, 64, 300
ROW, COLUMNS, TICKS_IN_COLUMN = 18, 2, 2
# Our own colours, told apart by shape and dash as well; each has 4.5 to 1 against the paper.
COLOURS = ("#1f5f8b", "#8a3b12", "#3c6b2f", "#6b3fa0", "#8b1f4f", "#4a4a4a", "#00695c", "#7a5c00")
DASHES = ("", "7 4", "2 3", "9 3 2 3", "4 4", "1 4", "12 4", "6 2 2 2")
TONES = {"done": INK, "refused": "#5f6b72", "critical": "#a3150c"}
SIGNS = {"done": "▼", "refused": "▽", "critical": "✕"}


def plot_svg(plot: VisitPlot, units: str = "us", translate: Translate = str) -> str:
    """Return a plot as SVG, its text equivalent inside.

    Args:
        plot: its figures.
        units: name of a unit system of `kit.quantities`.
        translate: maps an English template or word to the learner's language.
    """
    values, symbol = in_units(plot, units)
    flat = [value for series in values for value in series] or [0.0, 1.0]
    frame = _Frame(plot.end_min, axis(min(flat), max(flat)))
    parts = [
        *_running(plot, frame),
        *_grid(frame, symbol, translate("minutes")),
        *_ticks(plot, frame),
    ]
    for index, one in enumerate(plot.series):
        parts += _drawn(one, index, frame, units)
    legend, depth = _legend(plot, translate)
    return _document(plot, [*parts, *legend], depth, plot_text(plot, units, translate))


class _Frame:
    """Where minutes and degrees lie on the paper."""

    def __init__(self, end_min: float, levels: list[float]) -> None:
        self.minutes = axis(0.0, max(end_min, 1.0), 12)
        self.levels = levels
        self.right, self.bottom = WIDTH - RIGHT, TOP + HEIGHT

    def x(self, minute: float) -> float:
        return LEFT + (self.right - LEFT) * minute / self.minutes[-1]

    def y(self, value: float) -> float:
        low, high = self.levels[0], self.levels[-1]
        return self.bottom - HEIGHT * (value - low) / (high - low)


def _running(plot: VisitPlot, frame: _Frame) -> list[str]:
    return [
        rect(frame.x(a), TOP, max(frame.x(b) - frame.x(a), 1.0), HEIGHT, "#e3ebe8")
        for a, b in plot.running
    ]


def _grid(frame: _Frame, symbol: str, minutes: str) -> list[str]:
    parts = []
    for level in frame.levels:
        y = frame.y(level)
        parts.append(stroke(f"M{LEFT} {y:.1f}H{frame.right}", SHADE, 0.5))
        parts.append(_word(LEFT - 8, y + 4, f"{level:g}", "end"))
    for minute in frame.minutes:
        x = frame.x(minute)
        parts.append(stroke(f"M{x:.1f} {frame.bottom}v5", INK, 1.0))
        parts.append(_word(x, frame.bottom + 20, f"{minute:g}", "middle"))
    parts.append(_word(frame.right, frame.bottom + 38, minutes, "end"))
    parts.append(_word(12, TOP - 10, symbol, "start"))
    return parts


def _ticks(plot: VisitPlot, frame: _Frame) -> list[str]:
    parts, last, level = [], -100.0, 0
    for tick in plot.ticks:
        x = frame.x(tick.at_min)
        level = (level + 1) % 3 if x - last < 16 else 0  # numbers that would touch are staggered
        last = x
        y = TOP - 8 - 15 * level
        parts.append(stroke(f"M{x:.1f} {y + 3:.1f}V{frame.bottom}", TONES[tick.tone], 0.7,
                            stroke_dasharray="1 3"))  # fmt: skip
        parts.append(_word(x, y, str(tick.number), "middle", TONES[tick.tone]))
    return parts


def _drawn(one: Series, index: int, frame: _Frame, units: str) -> list[str]:
    system, colour = unit_system(units), COLOURS[index % len(COLOURS)]
    parts = []
    dash = DASHES[index % len(DASHES)]
    more = {"stroke_dasharray": dash} if dash else {}
    for piece in one.traces:
        ends = [(frame.x(at), frame.y(system.number("temperature", k))) for at, k in piece]
        if len(ends) > 1:
            d = "M" + "L".join(f"{x:.1f} {y:.1f}" for x, y in ends)
            parts.append(stroke(d, colour, 1.8, **more))
    for at, kelvin in one.points:
        x, y = frame.x(at), frame.y(system.number("temperature", kelvin))
        parts.append(_marker(x, y, index, colour))
    return parts


def _marker(x: float, y: float, index: int, colour: str) -> str:
    """Return a point whose shape tells the series as well as its colour."""
    shape = index % 4
    if shape == 0:
        return circle(x, y, 4.5, colour, stroke=WHITE)
    if shape == 1:
        return rect(x - 4, y - 4, 8, 8, colour, stroke=WHITE)
    corners = (
        f"{x:.1f},{y - 6:.1f} {x + 5.5:.1f},{y + 4:.1f} {x - 5.5:.1f},{y + 4:.1f}"
        if shape == 2
        else f"{x:.1f},{y - 6:.1f} {x + 6:.1f},{y:.1f} {x:.1f},{y + 6:.1f} {x - 6:.1f},{y:.1f}"
    )
    return element("polygon", points=corners, fill=colour, stroke=WHITE)


def _legend(plot: VisitPlot, translate: Translate) -> tuple[list[str], float]:
    """Return the legend below the plot and where it ends."""
    parts, y = [], TOP + HEIGHT + 62.0
    for index, one in enumerate(plot.series):
        colour, dash = COLOURS[index % len(COLOURS)], DASHES[index % len(DASHES)]
        more = {"stroke_dasharray": dash} if dash else {}
        if one.traces:
            parts.append(stroke(f"M{LEFT} {y - 4:.1f}h34", colour, 1.8, **more))
        if one.points:
            parts.append(_marker(LEFT + 17, y - 4, index, colour))
        parts.append(_word(LEFT + 44, y, translate(one.title), "start"))
        y += ROW
    y += ROW / 2
    column = (WIDTH - LEFT - RIGHT) / COLUMNS
    rows = -(-len(plot.ticks) // COLUMNS)
    for index, tick in enumerate(plot.ticks):
        at_x, at_y = LEFT + column * (index // max(rows, 1)), y + ROW * (index % max(rows, 1))
        parts.append(_word(at_x, at_y, _tick_words(tick, translate), "start", TONES[tick.tone]))
    return parts, y + ROW * rows


def _tick_words(tick: Tick, translate: Translate) -> str:
    sign = "" if tick.tone == "done" else f" {SIGNS[tick.tone]}"
    words = translate(tick.title)
    short = words if len(words) <= 52 else words[:50] + "…"
    return f"{tick.number}  {short}{sign}"


def _word(x: float, y: float, text: str, anchor: str, colour: str = INK) -> str:
    return (
        f'<text x="{x:.1f}" y="{y:.1f}" font-size="13" font-family="sans-serif" '
        f'text-anchor="{anchor}" fill="{colour}">{escape(text)}</text>'
    )


def _document(plot: VisitPlot, parts: list[str], depth: float, told: str) -> str:
    height = round(depth + 12)
    head = (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH} {height}" role="img" '
        'aria-labelledby="visit-plot-title visit-plot-desc">'
    )
    words = (
        f'<title id="visit-plot-title">{escape(plot.title)}</title>'
        f'<desc id="visit-plot-desc">{escape(told)}</desc>'
    )
    return f"{head}{words}{rect(0, 0, WIDTH, height, PAPER)}{''.join(parts)}</svg>"
