"""Noting a learner's progress beside a lesson: what goes wrong there is said once, no more."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any

from kit.errors import KitError
from kit.journal.file import now, read_journal
from kit.records.progress import Answer, note_answer, note_visit, progress_store, visit_note
from kit.screens.folder import learner_id

if TYPE_CHECKING:
    from kit.marking.mark import Mark


class Noting:
    """Notes answers and marks; no trouble of its own is raised.

    Args:
        folder: the learner's folder.
    """

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self._store = progress_store(folder)
        self._complained = False

    def answer(self, lesson: str, task: str, tone: str) -> list[KitError]:
        """Note an answer; return what is to be said, which is nothing as a rule.

        Args:
            lesson: name of the lesson.
            task: name of the task.
            tone: "right", "wrong" or "plain".
        """
        return self._tried(
            lambda: note_answer(
                self._store, Answer(now(), lesson, task, tone, learner_id(self._folder))
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
