"""One learner's progress: what was answered and how visits were marked, noted and read again."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from kit.records.store import Store

if TYPE_CHECKING:
    from kit.marking.mark import Mark

FILE = "progress.sqlite3"
TONES = ("right", "wrong", "plain")


@dataclass(frozen=True, slots=True, order=True)
class Answer:
    """One answer to a task; what was typed is not kept here.

    Args:
        at: time of the day, ISO 8601 in UTC.
        lesson: name of the lesson.
        task: name of the task within it.
        tone: "right", "wrong", or "plain" when there was nothing to check.
        learner: opaque id.
        stands: whether the first answer stands, as for a prediction.
    """

    at: str
    lesson: str
    task: str
    tone: str
    learner: str
    stands: bool = False


@dataclass(frozen=True, slots=True, order=True)
class RowNote:
    """One row of a mark.

    Args:
        name: name of the row in its rubric.
        block: name of its block.
        title: what was looked at, in English.
        points: points earned.
        out_of: points it is worth.
    """

    name: str
    block: str
    title: str
    points: float
    out_of: float

    @property
    def lost(self) -> float:
        """Points not earned, to a tenth."""
        return round(self.out_of - self.points, 1)


@dataclass(frozen=True, slots=True, order=True)
class CriticalNote:
    """One critical error of a visit.

    Args:
        code: its code.
        title: what the rubric says of it, in English.
    """

    code: str
    title: str


@dataclass(frozen=True, slots=True, order=True)
class VisitNote:
    """A visit that was handed over, as it was marked.

    Args:
        at: when it was handed over, ISO 8601 in UTC.
        head: hash of its journal's last line, 64 digits: the same journal is noted once.
        learner: opaque id.
        lesson: name of the lesson on whose page it was done.
        work_order: name of the work order.
        rubric: name of the rubric.
        points: points earned, an assessor's changes taken in.
        out_of: points to be had.
        passed: whether it was passed.
        rows: its rows, in the rubric's order.
        critical: its critical errors, in order.
    """

    at: str
    head: str
    learner: str
    lesson: str
    work_order: str
    rubric: str
    points: float
    out_of: float
    passed: bool
    rows: tuple[RowNote, ...] = ()
    critical: tuple[CriticalNote, ...] = ()

    @property
    def share(self) -> float:
        """Share of the points that can be had [0..1]."""
        return self.points / self.out_of if self.out_of else 0.0


def progress_store(folder: Path) -> Store:
    """Return where a learner's progress is kept.

    Args:
        folder: the learner's folder.
    """
    return Store(folder / FILE)


def visit_note(mark: Mark, lesson: str, at: str) -> VisitNote:
    """Return what is noted of a mark.

    Args:
        mark: the mark of a visit that was handed over.
        lesson: name of the lesson on whose page it was done.
        at: when it was handed over, ISO 8601 in UTC.
    """
    final = mark.final
    rows = (RowNote(r.name, r.block, r.title, r.points, r.out_of) for r in final.rows)
    return VisitNote(
        at, mark.head, mark.learner, lesson, mark.work_order, mark.rubric, final.points,
        final.out_of, final.passed, tuple(rows),
        tuple(CriticalNote(one.code, one.title) for one in final.critical),
    )  # fmt: skip


def note_answer(store: Store, answer: Answer) -> None:
    """Note an answer; it is on the disk when this returns.

    Raises:
        StoreError: it cannot be noted.
    """
    with store.writing() as db:
        db.execute(
            "INSERT INTO answer (at, lesson, task, tone, learner, stands)"
            " VALUES (?, ?, ?, ?, ?, ?)",
            (
                answer.at, answer.lesson, answer.task, answer.tone, answer.learner,
                int(answer.stands),
            ),
        )  # fmt: skip


def note_visit(store: Store, visit: VisitNote) -> None:
    """Note a mark; of the same journal the latest mark counts, with the time it was first noted at.

    Raises:
        StoreError: it cannot be noted.
    """
    with store.writing() as db:
        known = db.execute("SELECT at FROM visit WHERE head = ?", (visit.head,)).fetchone()
        db.execute("DELETE FROM visit WHERE head = ?", (visit.head,))  # its rows go with it
        _insert_visit(db, visit, min(visit.at, known[0]) if known else visit.at)


def _insert_visit(db: sqlite3.Connection, visit: VisitNote, at: str) -> None:
    db.execute(
        "INSERT INTO visit (head, learner, lesson, work_order, rubric, points, out_of, passed, at)"
        " VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)",
        (
            visit.head, visit.learner, visit.lesson, visit.work_order, visit.rubric,
            visit.points, visit.out_of, int(visit.passed), at,
        ),
    )  # fmt: skip
    db.executemany(
        "INSERT INTO visit_row (head, place, name, block, title, points, out_of)"
        " VALUES (?, ?, ?, ?, ?, ?, ?)",
        [
            (visit.head, place, row.name, row.block, row.title, row.points, row.out_of)
            for place, row in enumerate(visit.rows)
        ],
    )
    db.executemany(
        "INSERT INTO visit_critical (head, place, code, title) VALUES (?, ?, ?, ?)",
        [(visit.head, place, c.code, c.title) for place, c in enumerate(visit.critical)],
    )


@dataclass(frozen=True, slots=True)
class Progress:
    """All that is noted of a learner, oldest first.

    Args:
        answers: every answer.
        visits: every visit that was handed over.
    """

    answers: tuple[Answer, ...] = ()
    visits: tuple[VisitNote, ...] = ()


def read_progress(store: Store) -> Progress:
    """Return all that is noted, as it stands at one moment.

    Raises:
        StoreError: it cannot be read.
    """
    with store.reading() as db:
        answers = db.execute(
            "SELECT at, lesson, task, tone, learner, stands FROM answer"
        ).fetchall()
        visits = db.execute(
            "SELECT at, head, learner, lesson, work_order, rubric, points, out_of, passed"
            " FROM visit"
        ).fetchall()
        rows = db.execute(
            "SELECT head, name, block, title, points, out_of FROM visit_row ORDER BY head, place"
        ).fetchall()
        errors = db.execute(
            "SELECT head, code, title FROM visit_critical ORDER BY head, place"
        ).fetchall()
    rows_of: dict[str, list[RowNote]] = {}
    for head, *row in rows:
        rows_of.setdefault(head, []).append(RowNote(*row))
    errors_of: dict[str, list[CriticalNote]] = {}
    for head, *error in errors:
        errors_of.setdefault(head, []).append(CriticalNote(*error))
    notes = (
        VisitNote(
            at, head, learner, lesson, order, rubric, points, out_of, bool(passed),
            tuple(rows_of.get(head, ())), tuple(errors_of.get(head, ())),
        )
        for at, head, learner, lesson, order, rubric, points, out_of, passed in visits
    )  # fmt: skip
    given = (
        Answer(at, lesson, task, tone, learner, bool(stands))
        for at, lesson, task, tone, learner, stands in answers
    )
    return Progress(tuple(sorted(given)), tuple(sorted(notes)))


def known_heads(store: Store) -> frozenset[str]:
    """Return the journals whose marks are noted, by the hash of their last line.

    Raises:
        StoreError: it cannot be read.
    """
    with store.reading() as db:
        return frozenset(str(head) for (head,) in db.execute("SELECT head FROM visit"))


def erase_progress(store: Store, *, sure: bool) -> None:
    """Erase all that is noted, also from the disk's free pages, and files that were put aside.

    Args:
        store: the learner's progress.
        sure: that the learner has confirmed it.

    Raises:
        ValueError: nobody has confirmed it.
        StoreError: it cannot be erased just now; nothing is.
    """
    _confirmed(sure)
    with store.writing() as db:
        for table in ("answer", "visit"):
            db.execute(f"DELETE FROM {table}")  # noqa: S608 - names of our own tables
    store.shrink()
    _unlink(store.aside())


def _confirmed(sure: bool) -> None:
    if not sure:
        raise ValueError("Erasing cannot be undone: ask the learner first, then say sure=True.")


def _unlink(paths: Iterable[Path]) -> None:
    for path in paths:
        path.unlink(missing_ok=True)
