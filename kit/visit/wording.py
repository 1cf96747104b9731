"""Putting outcomes into words, in the learner's units and language."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from kit.quantities import show

if TYPE_CHECKING:
    from kit.visit.outcome import Filling, Line


def render_line(said: Line, units: str, translate: Callable[[str], str] = str) -> str:
    """Return a sentence with its values filled in.

    Args:
        said: the sentence.
        units: name of a unit system of `kit.quantities`.
        translate: maps an English template or word to the learner's language.
    """
    filled = {name: _filled(value, units, translate) for name, value in said.values}
    template = translate(said.template)
    return template.format(**filled) if filled else template


def _filled(value: Filling, units: str, translate: Callable[[str], str]) -> str:
    from kit.visit.outcome import Line, Measure

    if isinstance(value, Measure):
        return show(value.kind, value.value, units)
    if isinstance(value, Line):
        return render_line(value, units, translate)
    if isinstance(value, str):
        return translate(value)
    return f"{value:g}"
