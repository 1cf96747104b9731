"""The mark: a pure function of a journal, a rubric and the truth behind its work order."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import asdict, dataclass, field, replace
from pathlib import Path
from typing import Any

import rfc8785

from kit.journal.entry import as_plain_line
from kit.journal.file import Journal
from kit.journal.replay import Replay, replay
from kit.marking import audit
from kit.marking.criterion import judged
from kit.marking.critical import CODES
from kit.marking.events import in_order
from kit.marking.evidence import Case
from kit.marking.key import truth_key
from kit.marking.override import Override, overrides_path, with_overrides
from kit.marking.rubric import Row, Rubric, load_rubric
from kit.visit.outcome import Line, line
from kit.visit.work_order import load_work_order


@dataclass(frozen=True, slots=True)
class RowMark:
    """One row as marked.

    Args:
        name: name of the row.
        block: name of its block.
        title: what was looked at.
        points: points earned, to a tenth.
        out_of: points it is worth.
        said: what was seen, with the learner's own readings.
        broken: orders that were broken, in words; the row then earns nothing.
        why: why it matters.
        next_time: what to do next time.
    """

    name: str
    block: str
    title: str
    points: float
    out_of: float
    said: tuple[Line, ...]
    broken: tuple[str, ...]
    why: str
    next_time: str


@dataclass(frozen=True, slots=True)
class BlockMark:
    """One block as marked.

    Args:
        name: name of the block.
        title: its label.
        points: points earned.
        out_of: points it is worth.
        least: points needed.
    """

    name: str
    title: str
    points: float
    out_of: float
    least: float


@dataclass(frozen=True, slots=True)
class CriticalError:
    """Something that fails the visit whatever the points.

    Args:
        code: its code in the rubric.
        title: what the rubric says of it.
        said: what happened.
        at_s: clock of the visit [s].
        line: line of the journal.
    """

    code: str
    title: str
    said: Line
    at_s: float
    line: int


@dataclass(frozen=True, slots=True)
class Mark:
    """The mark of one visit.

    Args:
        points: points earned, to a tenth.
        out_of: points to be had.
        passed: enough points, enough in each block, no critical error, handed over.
        critical: critical errors, in order.
        rows: all rows that apply to this visit.
        blocks: all blocks.
        finished: whether the visit was handed over.
        work_order: name of the work order.
        learner: opaque id of the learner.
        rubric: name of the rubric.
        rubric_digest: digest of the rubric.
        head: hash of the journal's last line.
        units: unit system in which `text` speaks; not part of the mark.
        least: points needed in all.
        translate: maps English texts to the language of `text`; not part of the mark.
        overrides: rows changed by an assessor, in order; all fields above stay the kit's own.
    """

    points: float
    out_of: float
    passed: bool
    critical: tuple[CriticalError, ...]
    rows: tuple[RowMark, ...]
    blocks: tuple[BlockMark, ...]
    finished: bool
    work_order: str
    learner: str
    rubric: str
    rubric_digest: str
    head: str
    units: str
    least: float = 0.0
    overrides: tuple[Override, ...] = ()
    translate: Callable[[str], str] = field(default=str, compare=False, repr=False)

    @property
    def final(self) -> Mark:
        """The mark with the assessor's changes; the same when there are none."""
        if not self.overrides:
            return self
        given = {change.row: change.points for change in self.overrides}
        rows = tuple(replace(row, points=given.get(row.name, row.points)) for row in self.rows)
        blocks = tuple(
            replace(b, points=round(sum(r.points for r in rows if r.block == b.name), 1))
            for b in self.blocks
        )
        points = round(sum(row.points for row in rows), 1)
        passed = _passes(points, self.least, blocks, self.critical, self.finished)
        return replace(self, points=points, rows=rows, blocks=blocks, passed=passed, overrides=())

    @property
    def share(self) -> float:
        """Share of the points that can be had [0..1]."""
        return self.points / self.out_of if self.out_of else 0.0

    @property
    def text(self) -> str:
        """Feedback in plain words, in the learner's units and language."""
        from kit.marking.feedback import feedback

        return feedback(self, self.units, self.translate)

    def to_json(self) -> bytes:
        """Return the mark in canonical form: the same bytes for the same journal and rubric."""
        return rfc8785.dumps(_plain(self))


def mark(
    journal: str | Path | Journal | Replay,
    *,
    rubric: str | Path | Rubric | None = None,
    work_order: str | Path | None = None,
    units: str | None = None,
    language: str | None = None,
    overrides: bool = True,
) -> Mark:
    """Mark a visit by doing its journal again.

    Args:
        journal: the file, a journal already read, or a visit already replayed.
        rubric: name or file of the rubric; the work order's own when left out.
        work_order: name or file of the work order; found by the journal's header when left out.
        units: "us" or "si", for the feedback; those the learner chose last when left out.
        language: tag of the language of the feedback ("en", "es"), which changes no mark; the
            one the learner chose last when left out.
        overrides: whether an assessor's changes that lie beside the file are taken in.

    Raises:
        JournalError: the journal was changed, or its readings do not follow from its actions.
        KitError: work order or rubric cannot be used.
    """
    beside = overrides_path(journal) if isinstance(journal, str | Path) else None
    if not isinstance(journal, Replay):
        order = None if work_order is None else load_work_order(work_order)
        journal = replay(journal, order)
    if not isinstance(rubric, Rubric):
        rubric = load_rubric(journal.order.rubric if rubric is None else rubric)
    found = marked(journal, rubric, units, language)
    return with_overrides(found, beside) if overrides and beside and beside.exists() else found


def marked(
    done: Replay, rubric: Rubric, units: str | None = None, language: str | None = None
) -> Mark:
    """Return the mark of a replayed visit by a rubric.

    Args:
        done: the visit.
        rubric: the rubric.
        units: "us" or "si", for the feedback; those the learner chose last when left out.
        language: tag of its language; the one the learner chose last when left out.
    """
    case = Case(done)
    broken = [o for o in rubric.orders if not in_order(case, o.first, o.then, o.optional)]
    facts, rows = truth_key(done).facts, []
    for row in rubric.rows:
        if not row.applies(facts):
            continue
        titles = tuple(o.title for o in broken if row.name in o.voids)
        rows.append(_row(case, row, titles))
    blocks = tuple(_blocks(rubric, rows))
    critical = tuple(_critical(case, rubric))
    points = round(sum(row.points for row in rows), 1)
    out_of = round(sum(row.out_of for row in rows), 1)
    finished = case.end.closed
    least = round(rubric.least * out_of, 1)
    passed = _passes(points, least, blocks, critical, finished)
    header = done.journal.header
    return Mark(
        points,
        out_of,
        passed,
        critical,
        tuple(rows),
        blocks,
        finished,
        done.order.name,
        str(header["learner"]),
        rubric.name,
        rubric.digest,
        done.journal.head,
        done.units if units is None else units,
        least,
        translate=done.order.words(done.language if language is None else language),
    )


def _passes(
    points: float,
    least: float,
    blocks: tuple[BlockMark, ...],
    critical: tuple[CriticalError, ...],
    finished: bool,
) -> bool:
    enough = points >= least and all(block.points >= block.least for block in blocks)
    return enough and finished and not critical


def _row(case: Case, row: Row, broken: tuple[str, ...]) -> RowMark:
    score = judged(row.criterion, case, row.args)
    points = 0.0 if broken else round(row.points * min(max(score.share, 0.0), 1.0), 1)
    return RowMark(
        row.name, row.block, row.title, points, row.points, score.said, broken, row.why,
        row.next_time,
    )  # fmt: skip


def _blocks(rubric: Rubric, rows: list[RowMark]) -> Iterator[BlockMark]:
    for block in rubric.blocks:
        mine = [row for row in rows if row.block == block.name]
        if not mine:  # nothing of it applies to this visit
            continue
        points, out_of = sum(r.points for r in mine), sum(r.out_of for r in mine)
        least = round(block.least * out_of, 1)
        yield BlockMark(block.name, block.title, round(points, 1), round(out_of, 1), least)


def _critical(case: Case, rubric: Rubric) -> Iterator[CriticalError]:
    seen = set()
    for step, hazard in case.hazards():
        if hazard.level != "critical" or (
            hazard.code in CODES and hazard.code not in rubric.critical
        ):
            continue
        # What no rubric can know yet fails the visit all the same.
        title = rubric.critical.get(hazard.code, hazard.code.replace("_", " "))
        yield CriticalError(hazard.code, title, hazard.line, step.outcome.clock_s, step.line)
    title = rubric.critical.get("false_record", "")
    for entry in case.entries if title else ():
        key = (entry.written.item, entry.written.when)
        if key not in seen and audit.invented(case, entry):
            seen.add(key)
            said = audit.doubt(case, entry) or line("A line was made up.")
            yield CriticalError("false_record", title, said, entry.written.at_s, entry.step.line)


def _plain(mark: Mark) -> dict[str, Any]:
    return {
        "points": mark.points,
        "out_of": mark.out_of,
        "least": mark.least,
        "passed": mark.passed,
        "final": {"points": mark.final.points, "passed": mark.final.passed},
        "overrides": [asdict(change) for change in mark.overrides],
        "finished": mark.finished,
        "work_order": mark.work_order,
        "learner": mark.learner,
        "rubric": mark.rubric,
        "rubric_digest": mark.rubric_digest,
        "head": mark.head,
        "critical": [
            {"code": c.code, "at_s": c.at_s, "line": c.line, "said": as_plain_line(c.said)}
            for c in mark.critical
        ],
        "blocks": [
            {"name": b.name, "points": b.points, "out_of": b.out_of, "least": b.least}
            for b in mark.blocks
        ],
        "rows": [
            {
                "name": r.name,
                "points": r.points,
                "out_of": r.out_of,
                "broken": list(r.broken),
                "said": [as_plain_line(one) for one in r.said],
            }
            for r in mark.rows
        ],
    }
