"""A question, a calculation or a trial on a lesson's page: fields, one button, a spoken answer."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from kit.visit.outcome import ArgumentInfo, Line

if TYPE_CHECKING:
    from kit.screens.voice import Voice


@dataclass(frozen=True, slots=True)
class Plot:
    """A drawing that belongs to a question or an answer.

    Args:
        draw: gives the drawing as SVG text, in the units and the language of the learner.
        alt: what it shows, in words.
    """

    draw: Callable[[Voice], str]
    alt: Line


def plot_dicts(plots: Iterable[Plot], voice: Voice) -> list[dict[str, str]]:
    """Return drawings as a view shows them: as SVG text, and in words.

    Args:
        plots: the drawings.
        voice: units and language.
    """
    return [{"svg": one.draw(voice), "alt": voice.line(one.alt)} for one in plots]


@dataclass(frozen=True, slots=True)
class Reply:
    """What is said to an answer.

    Args:
        right: True or False for a checked answer; None when there is nothing to check.
        lines: what is said.
        table: rows to show, the first one is the heading; a `Measure` is shown in the
            learner's units.
        plots: drawings below.
    """

    right: bool | None
    lines: tuple[Line, ...]
    table: tuple[tuple[Any, ...], ...] = ()
    plots: tuple[Plot, ...] = ()


Check = Callable[[Mapping[str, Any]], Reply]


@dataclass(frozen=True, slots=True)
class Task:
    """One task of a lesson.

    Args:
        name: its name within the lesson.
        title: label.
        ask: what is asked.
        fields: what is to be given.
        button: words on the button.
        check: maps what was given, numbers in SI, to a reply.
        table: gives the rows shown with the question.
        once: whether the first answer stands, as for a prediction.
        plots: gives the drawings shown with the question.
    """

    name: str
    title: str
    ask: tuple[Line, ...]
    fields: tuple[ArgumentInfo, ...]
    button: str
    check: Check
    table: Callable[[], tuple[tuple[Any, ...], ...]] = tuple
    once: bool = False
    plots: Callable[[], tuple[Plot, ...]] = tuple
