"""A learner's attempts at one work order: opens, goes on with, marks and begins anew."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from kit.errors import KitError


class Desk:
    """Where a visit of a lesson is kept; the journal on the disk is all its memory.

    Args:
        work_order: name of the work order.
        folder: folder of the journal; made when it is missing.
        learner: opaque id of the learner.
        seed: decides what the instruments' errors are.

    Raises:
        KitError: the journal is in use by another program.
    """

    def __init__(self, work_order: str, folder: Path, learner: str, seed: int = 7) -> None:
        self.work_order, self.learner, self.seed = work_order, learner, seed
        folder.mkdir(parents=True, exist_ok=True)
        self.journal = folder / f"{work_order}.jsonl"
        self.notice = ""
        self.visit = self._open()

    def mark(self) -> Any:
        """Return the mark of the visit as it stands in the journal."""
        import kit

        return kit.mark(self.journal)

    def renew(self) -> None:
        """Begin the visit anew; the journal so far is put aside, not thrown away."""
        self.notice = ""
        self.visit = self._fresh()

    def _open(self) -> Any:
        import kit
        from kit.journal.entry import JournalError

        try:
            return kit.open_visit(
                self.work_order, seed=self.seed, learner=self.learner, journal=self.journal
            )
        except JournalError as error:
            return self._anew(error)

    def _anew(self, error: KitError) -> Any:
        self.notice = f"The earlier visit was put aside and this one begins anew. {error}"
        return self._fresh()

    def _fresh(self) -> Any:
        import kit

        close = getattr(getattr(self, "visit", None), "close", None)
        if close is not None:
            close()
        return kit.open_visit(
            self.work_order,
            seed=self.seed,
            learner=self.learner,
            journal=self.journal,
            fresh=True,
        )
