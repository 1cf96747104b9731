"""A learner's attempts at one work order: opens, goes on with, marks and begins anew."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

from kit.errors import KitError
from kit.visit.outcome import Line, line


class Desk:
    """Where a visit of a lesson is kept; the journal on the disk is all its memory.

    Args:
        work_order: name of the work order, or the file of an instructor's own.
        folder: folder of the journal; made when it is missing.
        learner: opaque id of the learner.
        seed: decides what the instruments' errors are.
        language: tag of the language to speak; the one of the journal when left out.
        marked: called with the mark once there is one, and with None when a visit begins anew.

    Raises:
        KitError: the journal is in use by another program.
    """

    def __init__(
        self,
        work_order: str | Path,
        folder: Path,
        learner: str,
        seed: int = 7,
        language: str | None = None,
        marked: Callable[[Any], None] | None = None,
    ) -> None:
        self._source, self.learner, self.seed = work_order, learner, seed
        self.work_order = work_order if isinstance(work_order, str) else _named(work_order)
        self._language, self._told = language, marked
        folder.mkdir(parents=True, exist_ok=True)
        self.journal = folder / f"{self.work_order}.jsonl"
        self.notice: Line | None = None
        self._marked: tuple[str, tuple[Any, Any]] | None = None
        self.visit = self._open()

    def mark(self) -> tuple[Any, Any]:
        """Return the mark of the visit as it stands in the journal, and the figures of its plot."""
        head = self.visit.head
        if self._marked is None or self._marked[0] != head:
            self._marked = (head, self._judged())
            self._tell(self._marked[1][0])
        return self._marked[1]

    def _judged(self) -> tuple[Any, Any]:
        import kit
        from kit.journal.replay import replay
        from kit.marking.override import overrides_path
        from kit.marking.plot import visit_plot
        from kit.visit.work_order import load_work_order

        order = load_work_order(self._source)
        done = replay(self.journal, order)  # once for both: it does the whole visit again
        if overrides_path(self.journal).exists():
            return kit.mark(self.journal, work_order=self._source), visit_plot(done)
        return kit.mark(done), visit_plot(done)

    def renew(self) -> None:
        """Begin the visit anew; the journal so far is put aside, not thrown away."""
        self.notice = None
        self._marked = None
        self._language = self.visit.language
        self.visit = self._fresh()
        self._tell(None)

    def _tell(self, mark: Any) -> None:
        if self._told is not None:
            self._told(mark)

    def _open(self) -> Any:
        import kit
        from kit.journal.entry import JournalError

        try:
            return kit.open_visit(
                self._source,
                seed=self.seed,
                learner=self.learner,
                journal=self.journal,
                language=self._language,
            )
        except JournalError as error:
            return self._anew(error)

    def _anew(self, error: KitError) -> Any:
        self.notice = line(
            "The earlier visit was put aside and this one begins anew. {error}", error=str(error)
        )
        return self._fresh()

    def _fresh(self) -> Any:
        import kit

        close = getattr(getattr(self, "visit", None), "close", None)
        if close is not None:
            close()
        return kit.open_visit(
            self._source,
            seed=self.seed,
            learner=self.learner,
            journal=self.journal,
            language=self._language,
            fresh=True,
        )


def _named(file: Path) -> str:
    """Return the id of a work order of an instructor's own."""
    from kit.visit.work_order import load_work_order

    return load_work_order(file).name
