"""What a look is, and how bad something looks."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, TypeAlias

from kit.visit.outcome import Line, Picture, line

if TYPE_CHECKING:
    from kit.visit.state import State

Seen: TypeAlias = "tuple[tuple[Line, ...], tuple[Picture, ...]]"
_STEPS = (0.06, 0.25, 0.5, 0.75)


def grade(severity: float) -> int:
    """Return how bad something looks, 0 (clean) to 4.

    Args:
        severity: 0 (healthy) to 1 (worst) [-].
    """
    return sum(severity >= step for step in _STEPS)


@dataclass(frozen=True, slots=True)
class Look:
    """One thing to look at, listen to or smell.

    Args:
        title: words for it.
        part: part of the site.
        needs: cover or part that must be off; "" when it can be seen at once.
        see: what is seen.
        takes_s: time for a look [s].
    """

    title: str
    part: str
    needs: str
    see: Callable[[State], Seen]
    takes_s: float = 60.0


def by_grade(subject: str, severity: float, words: tuple[str, ...]) -> Seen:
    """Return the words and the picture of a severity.

    Args:
        subject: what is drawn.
        severity: 0 (healthy) to 1 (worst) [-].
        words: what is said at each grade, mildest first.
    """
    level = grade(severity)
    said = line(words[level])
    return (said,), (Picture(subject, level, said),)


def plain(*templates: str) -> Seen:
    """Return words without a picture."""
    return tuple(line(one) for one in templates), ()


def together(*parts: Seen) -> Seen:
    """Return several sights as one."""
    lines = tuple(said for part in parts for said in part[0])
    return lines, tuple(drawn for part in parts for drawn in part[1])
