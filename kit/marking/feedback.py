"""Feedback in the words of a trainer, with the learner's own readings."""

from __future__ import annotations

from typing import TYPE_CHECKING

from kit.quantities import show
from kit.visit.outcome import line

if TYPE_CHECKING:
    from collections.abc import Callable

    from kit.marking.mark import Mark, RowMark


def feedback(mark: Mark, units: str = "us", translate: Callable[[str], str] = str) -> str:
    """Return the whole feedback as text.

    Args:
        mark: the mark.
        units: name of a unit system of `kit.quantities`.
        translate: maps an English template or word to the learner's language.
    """
    parts = [_verdict(mark, translate), *_critical(mark, units, translate)]
    for block in mark.blocks:
        rows = [row for row in mark.rows if row.block == block.name]
        head = f"{translate(block.title)}: {block.points:g} / {block.out_of:g}"
        if block.points < block.least:
            head += " " + line("(at least {points} needed)", points=block.least).render(
                units, translate
            )
        parts.append(head)
        parts += [row_text(row, units, translate) for row in rows]
    return "\n".join(parts)


def row_text(row: RowMark, units: str = "us", translate: Callable[[str], str] = str) -> str:
    """Return one row in words: what was done, why it matters, what to do next time.

    Args:
        row: the row.
        units: name of a unit system of `kit.quantities`.
        translate: maps an English template or word to the learner's language.
    """
    seen = " ".join(one.render(units, translate) for one in row.said)
    text = f"  {row.points:g} / {row.out_of:g}  {translate(row.title)}. {seen}"
    if row.points < row.out_of:
        late = " ".join(translate(title) + "." for title in row.broken)
        extra = " ".join(filter(None, (late, translate(row.why), translate(row.next_time))))
        text += f"\n           {extra}"
    return text


def _verdict(mark: Mark, translate: Callable[[str], str]) -> str:
    if mark.passed:
        said = line("Passed: {points} of {all} points.", points=mark.points, all=mark.out_of)
    elif mark.critical:
        said = line(
            "Not passed: a critical error. {points} of {all} points.",
            points=mark.points,
            all=mark.out_of,
        )
    elif not mark.finished:
        said = line(
            "Not passed: the visit was not handed over. {points} of {all} points.",
            points=mark.points,
            all=mark.out_of,
        )
    else:
        said = line("Not passed: {points} of {all} points.", points=mark.points, all=mark.out_of)
    return said.render("us", translate)


def _critical(mark: Mark, units: str, translate: Callable[[str], str]) -> list[str]:
    return [
        f"  ! {show('time', c.at_s, units)}: {translate(c.title)}. "
        + c.said.render(units, translate)
        for c in mark.critical
    ]
