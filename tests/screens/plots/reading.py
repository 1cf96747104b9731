"""Reading a chart as a person does: values from where things lie between its axes' figures."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np

from kit.language import translator
from kit.screens.voice import Voice

SVG = "{http://www.w3.org/2000/svg}"
US, SI, ES = Voice("us"), Voice("si"), Voice("si", translator("es"), "es")
PIXEL = 1.0


@dataclass(frozen=True)
class Axis:
    """A straight scale: place = at + per * value."""

    at: float
    per: float
    values: tuple[float, ...]

    def value(self, place: float) -> float:
        """Return the value at a place on the sheet."""
        return (place - self.at) / self.per

    @property
    def pixel(self) -> float:
        """Return how much of the value one pixel is."""
        return abs(PIXEL / self.per)


def parsed(svg: str) -> ET.Element:
    """Return the tree of what the kit itself has drawn; raises when it is no XML."""
    return ET.fromstring(svg)  # noqa: S314 - not from anybody else


def words(root: ET.Element) -> list[str]:
    """Return every piece of text on the sheet."""
    return [text.text or "" for text in root.iter(f"{SVG}text")]


def axis(root: ET.Element, kind: str, even: Callable[[float], float] = lambda value: value) -> Axis:
    """Return a scale fitted to where its figures stand; it must be even in `even` of them."""
    found = [t for t in root.iter(f"{SVG}text") if t.get("data-kind") == kind]
    values = [even(float(t.text or "")) for t in found]
    # The base line of an upright axis's figures stands five pixels below their value.
    places = [float(t.get("x", "")) if kind == "x" else float(t.get("y", "")) - 5 for t in found]
    per, at = np.polyfit(values, places, 1)
    assert np.allclose(np.polyval([per, at], values), places, atol=0.05)
    return Axis(float(at), float(per), tuple(values))


def points(root: ET.Element) -> dict[str, tuple[float, float]]:
    """Return the middle of every point on the sheet by its name."""
    found = {}
    for one in root.iter():
        name = one.get("data-point")
        if name is None:
            continue
        if one.tag == f"{SVG}circle":
            found[name] = (float(one.get("cx", "")), float(one.get("cy", "")))
            continue
        corners = [tuple(map(float, c.split(","))) for c in one.get("points", "").split()]
        across, down = zip(*corners, strict=True)
        found[name] = ((min(across) + max(across)) / 2, (min(down) + max(down)) / 2)
    return found


def lines(root: ET.Element, width: float, dash: str | None = None) -> list[np.ndarray]:
    """Return the points of every line of one width, and of one dash when it is given."""
    found = []
    for one in root.iter(f"{SVG}path"):
        if float(one.get("stroke-width", "0")) != width:
            continue
        if dash is not None and one.get("stroke-dasharray", "") != dash:
            continue
        pieces = one.get("d", "").strip("MZ ").split("L")
        found.append(np.array([[float(n) for n in piece.split()] for piece in pieces]))
    return found


def boxes(root: ET.Element) -> Iterator[tuple[str, float, float]]:
    """Give every text with its left and right end, its letters reckoned as the kit does."""
    from kit.screens.plots.pen import width_of

    for text in root.iter(f"{SVG}text"):
        wide = width_of(text.text or "", float(text.get("font-size", "0")))
        x, anchor = float(text.get("x", "0")), text.get("text-anchor")
        left = x if anchor == "start" else x - wide if anchor == "end" else x - wide / 2
        yield text.text or "", left, left + wide
