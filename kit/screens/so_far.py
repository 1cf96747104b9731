"""What a trainer says in the middle of a visit: the rows of its mark that a lesson is about."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

from kit.errors import KitError
from kit.screens.task import Reply, Task
from kit.visit.outcome import Line, line

if TYPE_CHECKING:
    from kit.marking.mark import Mark, RowMark

NAME = "so-far"


def so_far_task(journal: Path, blocks: tuple[str, ...] = ()) -> Task:
    """Return a task that asks nothing and looks at a visit as far as it has come.

    Args:
        journal: the visit's file; it may be open and unfinished.
        blocks: names of blocks of its rubric; all when empty.
    """

    def looked(_: Mapping[str, Any]) -> Reply:
        return _looked(journal, blocks)

    return Task(
        NAME,
        "The trainer looks over your shoulder",
        (line("Ask as often as you like. What you have not come to yet still stands at nothing."),),
        (),
        "Look at my visit so far",
        looked,
    )


def _looked(journal: Path, blocks: tuple[str, ...]) -> Reply:
    import kit

    if not journal.exists():
        return Reply(False, (line("The visit has not begun. Read its work order first."),))
    mark = kit.mark(journal)
    known = {block.name for block in mark.blocks}
    unknown = [name for name in blocks if name not in known]
    if unknown and not known.intersection(blocks):
        raise KitError(
            "The rubric {rubric} has no block {names} that applies to this visit.",
            rubric=mark.rubric,
            names=", ".join(unknown),
        )
    rows = [row for row in mark.rows if not blocks or row.block in blocks]
    return Reply(_all_there(mark, rows), tuple(_said(mark, rows)), _table(rows))


def _all_there(mark: Mark, rows: list[RowMark]) -> bool:
    return not mark.critical and all(row.points >= row.out_of for row in rows)


def _said(mark: Mark, rows: list[RowMark]) -> list[Line]:
    said = [line("Critical error: {said}", said=error.said) for error in mark.critical]
    points, out_of = sum(row.points for row in rows), sum(row.out_of for row in rows)
    said.append(
        line("This part so far: {points} of {out_of} points.", points=f"{points:g}",
             out_of=f"{out_of:g}")
    )  # fmt: skip
    dearest = sorted(rows, key=lambda row: row.points - row.out_of)
    said += [
        line("{row}: {next}", row=line(row.title), next=line(row.next_time))
        for row in dearest[:3]
        if row.points < row.out_of
    ]
    return said


def _table(rows: list[RowMark]) -> tuple[tuple[Any, ...], ...]:
    return (("What is looked at", "Points"),
            *((row.title, f"{row.points:g} / {row.out_of:g}") for row in rows))  # fmt: skip
