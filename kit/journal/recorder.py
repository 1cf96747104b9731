"""A visit that is written down as it goes."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from kit.errors import KitError
from kit.journal.file import Writer, now
from kit.journal.form import LONGEST_VISIT_S, checked_language
from kit.journal.replay import Replay, as_written, in_words
from kit.quantities import unit_system
from kit.visit.outcome import Outcome
from kit.visit.state import State
from kit.visit.transition import transition
from kit.visit.visit import Visit
from kit.visit.work_order import WorkOrder


class RecordedVisit(Visit):
    """A visit with a journal; each step is on the disk before its outcome is returned.

    After the hand-over its journal is complete: it is closed, and opened again it is only looked
    at.
    """

    def __init__(
        self,
        order: WorkOrder,
        seed: int,
        path: Path,
        head: str,
        shown: tuple[str, str],
        writer: Writer | None = None,
        done: Replay | None = None,
    ) -> None:
        """Arrive at the site, or go on after what was done; `open_visit` is the way in.

        Args:
            order: the work order.
            seed: what the instruments' streams are drawn from.
            path: the journal's file.
            head: hash of its last line.
            shown: unit system and language, as they stand in the journal.
            writer: the open journal; None for a visit that is only looked at.
            done: what the journal holds so far.
        """
        self._writer: Writer | None = None  # units set below are those of the journal
        self._path, self._head = path, head
        self._units, self._language = shown
        super().__init__(order, seed, self._units)
        if done is not None:
            self.outcomes = [step.outcome for step in done.steps]
            self._state = done.end
        self._writer = writer

    @property
    def journal(self) -> Path:
        """The journal's file."""
        return self._path

    @property
    def head(self) -> str:
        """Hash of the last line written; what comes before it cannot be changed unseen."""
        return self._head if self._writer is None else self._writer.head

    @property
    def finished(self) -> bool:
        """Whether the visit has been handed over; nothing is written any more."""
        return self._state.closed

    @property
    def units(self) -> str:
        """Unit system of texts; a change is written down and touches no value."""
        return self._units

    @units.setter
    def units(self, name: str) -> None:
        self.show_in(units=name)

    @property
    def language(self) -> str:
        """Language of texts, as a BCP 47 tag; a change is written down and touches no value."""
        return self._language

    @language.setter
    def language(self, tag: str) -> None:
        self.show_in(language=tag)

    def step(self, action: str, /, **arguments: Any) -> Outcome:
        """Do one action, write it down, and return what was seen.

        Args:
            action: its name, one of those in `actions()`.
            arguments: its arguments; numbers in SI.

        Raises:
            UnknownNameError: unknown action, argument or choice; the nearest is named.
            KitError: a missing or unfit argument, or the journal cannot be written; nothing has
                happened then.
        """
        if self.finished:  # refused, and not written: the journal is complete
            outcome = transition(self._state, action, arguments)[1]
            return in_words(outcome, self._units, self.translate)
        return super().step(action, **arguments)

    def close(self) -> None:
        """Give the journal free; the visit can be opened again and goes on."""
        if self._writer is not None:
            self._writer.close()

    def show_in(self, units: str | None = None, language: str | None = None) -> None:
        """Change units and language of texts, in one line of the journal; values stay as they are.

        Args:
            units: name of a unit system; as it was when left out.
            language: tag of a language; as it was when left out.

        Raises:
            KitError: there is no such unit system, or this is no language tag.
        """
        units = self._units if units is None else unit_system(units).name
        language = self._language if language is None else checked_language(language)
        if (units, language) == (self._units, self._language):
            return
        if self._writer is not None and not self.finished:
            view = {"kind": "view", "units": units, "language": language, "wall": now()}
            self._append({**view, "clock_s": self.clock_s})
        self._units, self._language = units, language

    def _keep(self, state: State, outcome: Outcome) -> None:
        if outcome.clock_s > LONGEST_VISIT_S:
            raise KitError(
                "A visit may last at most {hours} hours of simulated time. "
                "Hand over, or begin anew with fresh=True.",
                hours=f"{LONGEST_VISIT_S / 3600:.0f}",
            )
        self._append({**as_written(outcome), "wall": now()})
        super()._keep(state, outcome)
        if self.finished:
            self.close()

    def _append(self, entry: Mapping[str, object]) -> None:
        if self._writer is None:
            raise KitError("This visit is only looked at. Open it again to go on.")
        if self._writer.actions != len(self.outcomes):
            raise KitError(
                "The last step was interrupted after it was written down. Open the visit again: "
                "it goes on where its journal ends."
            )
        self._writer.append(entry)
