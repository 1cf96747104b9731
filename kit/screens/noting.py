"""Noting a learner's progress beside a lesson: what goes wrong there is said once, no more."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

from kit.errors import KitError
from kit.journal.file import now, read_journal
from kit.records.progress import (
    TONES,
    Answer,
    known_heads,
    note_answer,
    note_visit,
    progress_store,
    read_progress,
    visit_note,
)
from kit.records.store import Store
from kit.screens.folder import learner_id, read_notes

if TYPE_CHECKING:
    from kit.marking.mark import Mark

HAND_OVER = "hand_over"  # the action that ends a visit


class Noting:
    """Notes answers and marks; no trouble of its own is raised.

    Args:
        folder: the learner's folder.
    """

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self._store = progress_store(folder)
        self._complained = False

    def answer(self, lesson: str, task: str, tone: str, *, stands: bool) -> list[KitError]:
        """Note an answer; return what is to be said, which is nothing as a rule.

        Args:
            lesson: name of the lesson.
            task: name of the task.
            tone: "right", "wrong" or "plain".
            stands: whether the first answer stands, as for a prediction.
        """
        return self._tried(
            lambda: note_answer(
                self._store, Answer(now(), lesson, task, tone, learner_id(self._folder), stands)
            )
        )

    def visit(self, lesson: str, journal: Path, mark: Mark) -> list[KitError]:
        """Note the mark of a visit that was handed over; return what is to be said.

        Args:
            lesson: name of the lesson on whose page it was done.
            journal: its file.
            mark: its mark.
        """
        if not mark.finished:
            return []
        return self._tried(
            lambda: note_visit(self._store, visit_note(mark, lesson, handed_over_at(journal)))
        )

    def _tried(self, do: Callable[[], Any]) -> list[KitError]:
        said: list[KitError] = []
        try:
            do()
        except KitError as error:
            said.append(error)
        except OSError as error:
            said.append(self._store.trouble(error))
        if self._complained:
            said = []
        self._complained = self._complained or bool(said)
        told = [*self._store.notices, *said]
        self._store.notices.clear()
        return told


def handed_over_at(journal: Path) -> str:
    """Return when a finished visit was handed over, as its journal says.

    Args:
        journal: its file.

    Raises:
        KitError: it is no journal, or cannot be read.
    """
    found = read_journal(journal)
    return str((found.entries[-1] if found.entries else found.header)["wall"])


def catch_up(folder: Path, lessons: Iterable[str]) -> tuple[int, int]:
    """Note what lies in a learner's folder and is not noted yet; return how many of each.

    So a learner whose file of progress was lost or erased gets it back from their work.

    Args:
        folder: the learner's folder.
        lessons: names of the lessons.

    Returns:
        Answers and visits taken in.

    Raises:
        StoreError: nothing can be noted.
    """
    store = progress_store(folder)
    names = list(lessons)
    known = {(one.lesson, one.task) for one in read_progress(store).answers}
    fresh = [answer for name in names for answer in _answers(folder, name, known)]
    for answer in fresh:
        note_answer(store, answer)
    return len(fresh), sum(_visits(store, folder, name) for name in names)


def _answers(folder: Path, lesson: str, known: set[tuple[str, str]]) -> Iterator[Answer]:
    """Give the answers of a lesson that are not noted, as of the day the file was written."""
    from kit.screens.page import lesson_tasks

    path = folder / lesson / "answers.json"
    tones = {
        str(task): str(kept["tone"])
        for task, kept in read_notes(path).items()
        if task and isinstance(kept, dict) and kept.get("tone") in TONES
    }
    fresh = [task for task in tones if (lesson, task) not in known]
    once = {task.name for task in lesson_tasks(lesson) if task.once} if fresh else set()
    for task in fresh:
        at = datetime.fromtimestamp(path.stat().st_mtime, UTC).isoformat(timespec="milliseconds")
        yield Answer(at, lesson, task, tones[task], learner_id(folder), task in once)


def _visits(store: Store, folder: Path, lesson: str) -> int:
    """Mark and note the finished visits of a lesson that are not noted; return how many."""
    import kit

    known, taken = known_heads(store), 0
    for path in sorted((folder / lesson).rglob("*.jsonl")):
        try:
            found = read_journal(path)
            last = found.entries[-1] if found.entries else {}
            if found.head in known or last.get("action") != HAND_OVER:
                continue
            mark = kit.mark(path)
        except KitError:  # an assessor's changes, a broken journal, another school's work order
            continue
        if mark.finished:
            note_visit(store, visit_note(mark, lesson, str(last["wall"])))
            taken += 1
    return taken
