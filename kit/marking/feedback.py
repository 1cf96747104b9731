"""Feedback in the words of a trainer, with the learner's own readings."""

from __future__ import annotations

from typing import TYPE_CHECKING

from kit.quantities import show
from kit.visit.outcome import Filling, Measure, line

if TYPE_CHECKING:
    from collections.abc import Callable

    from kit.marking.mark import Mark, RowMark

    Translate = Callable[[str], str]

FIRST = 3  # so many rows are named to work on first


def feedback(mark: Mark, units: str = "us", translate: Translate = str) -> str:
    """Return the whole feedback as text: verdict, what to work on first, then row by row.

    Args:
        mark: the mark.
        units: name of a unit system of `kit.quantities`.
        translate: maps an English template or word to the learner's language.
    """
    parts = [
        *_changed(mark, translate),
        _verdict(mark, translate),
        *_critical(mark, units, translate),
    ]
    parts += _work_on_first(mark, translate)
    for block in mark.blocks:
        rows = [row for row in mark.rows if row.block == block.name]
        head = f"{translate(block.title)}: {block.points:g} / {block.out_of:g}"
        if block.points < block.least:
            head += " " + line("(at least {points} needed)", points=block.least).render(
                units, translate
            )
        parts.append(head)
        for row in rows:
            parts.append(row_text(row, units, translate))
            parts += _overridden(mark, row.name, translate)
    return "\n".join(parts)


def row_text(row: RowMark, units: str = "us", translate: Translate = str) -> str:
    """Return one row in words: what was done, why it matters, what to do next time.

    Args:
        row: the row.
        units: name of a unit system of `kit.quantities`.
        translate: maps an English template or word to the learner's language.
    """
    seen = " ".join(one.render(units, translate) for one in row.said)
    text = f"  {row.points:g} / {row.out_of:g}  {translate(row.title)}. {seen}"
    if row.points < row.out_of:
        pad = "\n           "
        for title in row.broken:
            text += pad + line("Out of order: {what}.", what=title).render(units, translate)
        text += pad + line("Why it matters: {what}", what=row.why).render(units, translate)
        text += pad + line("Next time: {what}", what=row.next_time).render(units, translate)
    return text


def _changed(mark: Mark, translate: Translate) -> list[str]:
    """Return the verdict with an assessor's changes, to stand above the kit's own."""
    if not mark.overrides:
        return []
    names = ", ".join(dict.fromkeys(change.assessor for change in mark.overrides))
    by = line("With changes by {names}:", names=names).render("us", translate)
    kit = line("As the kit marked it:").render("us", translate)
    return [by, _verdict(mark.final, translate), kit]


def _overridden(mark: Mark, row: str, translate: Translate) -> list[str]:
    return [
        "           "
        + line(
            "Changed from {was} to {points} by {who}: {why}",
            was=change.was,
            points=change.points,
            who=change.assessor,
            why=change.reason,
        ).render("us", translate)
        for change in mark.overrides
        if change.row == row
    ]


def _work_on_first(mark: Mark, translate: Translate) -> list[str]:
    """Give the rows that cost most, dearest first, as they stand in the rubric where equal."""
    lost = [row for row in mark.rows if row.points < row.out_of]
    if not lost:
        return [line("Nothing to add: do it again just like this.").render("us", translate)]
    lost.sort(key=lambda row: row.points - row.out_of)
    named = "; ".join(translate(row.title) for row in lost[:FIRST])
    return [line("Work on this first: {what}.", what=named).render("us", translate)]


def _verdict(mark: Mark, translate: Translate) -> str:
    values: dict[str, Filling] = {
        "points": mark.points,
        "all": mark.out_of,
        "share": Measure(mark.share, "fraction"),
    }
    short = [block for block in mark.blocks if block.points < block.least]
    if mark.passed:
        said = line("Passed: {points} of {all} points, {share}.", **values)
    elif mark.critical:
        said = line(
            "Not passed: a critical error. {points} of {all} points, {share}. Talk to your "
            "trainer before you go on.",
            **values,
        )
    elif not mark.finished:
        said = line(
            "Not passed: the visit was not handed over. {points} of {all} points, {share}.",
            **values,
        )
    elif short:
        said = line(
            "Not passed: too little in {what}. {points} of {all} points, {share}.",
            what=short[0].title,
            **values,
        )
    else:
        said = line("Not passed: {points} of {all} points, {share}.", **values)
    return said.render("us", translate)


def _critical(mark: Mark, units: str, translate: Translate) -> list[str]:
    return [
        f"  ! {show('time', c.at_s, units)}: {translate(c.title)}. "
        + c.said.render(units, translate)
        for c in mark.critical
    ]
