"""What charts are drawn with: lines, markers, words and the sheet, in the screens' own colours.

Colours are the variables of parts/paper.css, so that light and dark follow the notebook; the light
ones stand behind them for a drawing that is shown alone.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from html import escape
from itertools import starmap

WIDTH = 640  # shown at 600 px at least, so that no word falls below 13 px
TEXT, SMALL = 15.0, 14.0
LETTER = 0.57  # mean width of a letter over its size, on the wide side
LIGHT = {
    "card": "#fffdf7", "back": "#f4f1e8", "ink": "#1c2a30", "soft": "#4c5b62", "rule": "#b9b39f",
    "edge": "#7d8a8f", "deep": "#0c5566", "copper": "#b1622b", "good-edge": "#2e7d43",
    "bad-edge": "#b3261e", "cold": "#1b6ca8",
}  # fmt: skip


def colour(name: str) -> str:
    """Return a colour of the screens.

    Args:
        name: as in parts/paper.css, without `--bc-`.
    """
    return f"var(--bc-{name}, {LIGHT[name]})"


CARD, BACK, INK, SOFT = colour("card"), colour("back"), colour("ink"), colour("soft")
RULE, EDGE = colour("rule"), colour("edge")


@dataclass(frozen=True, slots=True)
class Style:
    """How one series differs from the others: by colour, by dash and by the shape of its points.

    Args:
        colour: of line and points.
        dash: pattern of its line; "" for a whole one.
        marker: shape of its points: "circle", "square", "triangle" or "diamond".
    """

    colour: str
    dash: str
    marker: str


STYLES = (
    Style(colour("deep"), "", "circle"),
    Style(colour("copper"), "11 6", "square"),
    Style(colour("good-edge"), "3 5", "triangle"),
    Style(colour("bad-edge"), "14 5 3 5", "diamond"),
    Style(colour("cold"), "6 4", "circle"),
    Style(colour("soft"), "2 7", "square"),
)


def style(index: int) -> Style:
    """Return the style of a series.

    Args:
        index: its number, from 0; styles begin again after the last one.
    """
    return STYLES[index % len(STYLES)]


def trail(
    points: Iterable[tuple[float, float]],
    stroke: str,
    width: float = 3.0,
    dash: str = "",
    closed: bool = False,
    fill: str = "none",
) -> str:
    """Return a line through points.

    Args:
        points: places on the sheet.
        stroke: its colour.
        width: its width.
        dash: its pattern.
        closed: whether it returns to where it began.
        fill: colour of what it encloses.
    """
    d = "M" + " L".join(f"{x:.2f} {y:.2f}" for x, y in points) + (" Z" if closed else "")
    pattern = f' stroke-dasharray="{dash}"' if dash else ""
    return (
        f'<path d="{d}" fill="{fill}" stroke="{stroke}" stroke-width="{width:g}" '
        f'stroke-linejoin="round"{pattern}/>'
    )


def point(x: float, y: float, look: Style, name: str, size: float = 7.0) -> str:
    """Return a point whose shape tells its series as well as its colour does.

    Args:
        x: where, across.
        y: where, down.
        look: style of the series.
        name: what it is, by which it is found in the drawing; "" for a sample of a key.
        size: half its width.
    """
    s = size
    said = f'fill="{look.colour}" stroke="{CARD}" stroke-width="2"'
    if name:
        said += f' data-point="{escape(name)}"'
    if look.marker == "circle":
        return f'<circle cx="{x:.2f}" cy="{y:.2f}" r="{s:g}" {said}/>'
    corners = {
        "square": ((-s, -s), (s, -s), (s, s), (-s, s)),
        "triangle": ((0.0, -s), (s, s), (-s, s)),
        "diamond": ((0.0, -s - 1), (s + 1, 0.0), (0.0, s + 1), (-s - 1, 0.0)),
    }[look.marker]
    places = " ".join(f"{x + dx:.2f},{y + dy:.2f}" for dx, dy in corners)
    return f'<polygon points="{places}" {said}/>'


def arrow(start: tuple[float, float], end: tuple[float, float], fill: str, size: float) -> str:
    """Return an arrow's head in the middle of a line.

    Args:
        start: where the line begins.
        end: where it ends.
        fill: its colour.
        size: its length.
    """
    dx, dy = end[0] - start[0], end[1] - start[1]
    length = max((dx * dx + dy * dy) ** 0.5, 1e-6)
    ux, uy = dx / length, dy / length
    mx, my = (start[0] + end[0]) / 2, (start[1] + end[1]) / 2
    half = size * 0.6
    corners = (
        (mx + ux * half, my + uy * half),
        (mx - ux * half - uy * half, my - uy * half + ux * half),
        (mx - ux * half + uy * half, my - uy * half - ux * half),
    )
    places = " ".join(starmap("{:.2f},{:.2f}".format, corners))
    return f'<polygon points="{places}" fill="{fill}"/>'


def word(
    x: float,
    y: float,
    text: str,
    anchor: str = "start",
    ink: str = INK,
    size: float = TEXT,
    bold: bool = False,
    kind: str = "",
) -> str:
    """Return a piece of text with a rim of the sheet's colour, so that no line runs through it.

    Args:
        x: where, across.
        y: its base line.
        text: what it says.
        anchor: which end `x` is: "start", "middle" or "end".
        ink: its colour.
        size: size of its letters.
        bold: whether it is bold.
        kind: what it is for, as a `data-` mark: "x" and "y" are figures of an axis.
    """
    weight = ' font-weight="700"' if bold else ""
    mark = f' data-kind="{kind}"' if kind else ""
    return (
        f'<text x="{x:.2f}" y="{y:.2f}" font-size="{size:g}" text-anchor="{anchor}" fill="{ink}" '
        f'stroke="{CARD}" stroke-width="4" stroke-linejoin="round" paint-order="stroke"'
        f"{weight}{mark}>{escape(text)}</text>"
    )


def width_of(text: str, size: float, bold: bool = False) -> float:
    """Return about how wide a piece of text comes out.

    Args:
        text: what it says.
        size: size of its letters.
        bold: whether it is bold.
    """
    return len(text) * size * LETTER * (1.08 if bold else 1.0)


def sheet(height: float, alt: str, parts: Sequence[str]) -> str:
    """Return the whole drawing.

    Args:
        height: height of the sheet.
        alt: what it shows, in words.
        parts: elements, back to front.
    """
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH} {height:g}" role="img" '
        f'aria-label="{escape(alt)}"><rect width="{WIDTH}" height="{height:g}" fill="{CARD}"/>'
        f"{''.join(parts)}</svg>"
    )
