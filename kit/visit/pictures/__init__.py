"""Drawn looks: a picture's subject and grade become an SVG with its text equivalent inside.

Pure functions; nothing is loaded from anywhere. `picture_svg` is all that others need.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from kit.errors import OutOfRangeError, UnknownNameError

if TYPE_CHECKING:
    from kit.visit.outcome import Picture

WORST = 4
Drawing = Callable[[int], list[str]]


def picture_svg(
    picture: Picture, units: str = "us", translate: Callable[[str], str] = str
) -> str:
    """Return a picture as SVG text, with its title and its text equivalent inside.

    Args:
        picture: what to draw.
        units: unit system of the text equivalent.
        translate: maps an English text to the reader's language.

    Raises:
        UnknownNameError: nothing is known of how to draw that subject.
        OutOfRangeError: a grade below 0 or above 4.
    """
    from kit.visit.pictures.svg import document

    title, draw = drawing(picture.subject)
    if not 0 <= picture.grade <= WORST:
        advice = "Give a whole number from 0 (clean) to 4."
        raise OutOfRangeError("Picture.grade", picture.grade, 0, WORST, advice)
    name = f"look-{picture.subject}-{picture.grade}"
    return document(
        name, translate(title), picture.alt.render(units, translate), draw(picture.grade)
    )


def drawing(subject: str) -> tuple[str, Drawing]:
    """Return the title of a subject and the function that draws it.

    Args:
        subject: a name of `subjects()`.

    Raises:
        UnknownNameError: there is none of that name; the nearest is named.
    """
    known = _drawings()
    if subject not in known:
        raise UnknownNameError("subject of a picture", subject, list(known))
    return known[subject]


def subjects() -> tuple[str, ...]:
    """Return the names of everything that can be drawn."""
    return tuple(_drawings())


def _drawings() -> dict[str, tuple[str, Drawing]]:
    from kit.visit.pictures import air_side, electric, outdoors, water

    return {**air_side.DRAWINGS, **water.DRAWINGS, **electric.DRAWINGS, **outdoors.DRAWINGS}
