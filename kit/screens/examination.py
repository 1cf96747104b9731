"""A practice examination: a work order drawn for the learner, and marks once it is handed over."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

from kit.errors import KitError
from kit.language import translator
from kit.screens.desk import Desk
from kit.screens.folder import learner_id, read_notes, write_notes
from kit.screens.task import Reply, Task
from kit.screens.task_screen import TaskScreen
from kit.screens.visit_below import VisitBelow
from kit.screens.visit_screen import VisitScreen
from kit.visit.outcome import Line, Measure, line

if TYPE_CHECKING:
    from collections.abc import Callable

    from kit.screens.page import Lesson

JOURNAL = "visit.jsonl"  # the name of a work order would tell what is wrong
GIVE_UP = "Give this attempt up"
GIVE_UP_SURE = "Yes, give this attempt up: it counts as not passed"
NEXT = "Begin the next attempt"
NEXT_SURE = "Yes, begin the next attempt"


def drawn(learner: str, attempt: int) -> str:
    """Return the work order of an attempt: by chance, the same at each call, none twice in a row.

    Each learner goes through all work orders in an order of their own before one comes again.

    Args:
        learner: opaque id.
        attempt: number of the attempt, from 1.
    """
    from kit.visit.work_order import work_order_names

    names = sorted(work_order_names(), key=lambda name: _number(learner, name))
    return names[(attempt - 1) % len(names)]


def seed_of(learner: str, attempt: int) -> int:
    """Return what the instruments' errors of an attempt are drawn from, as `open_visit` takes it.

    Args:
        learner: opaque id.
        attempt: number of the attempt, from 1.
    """
    return _number(learner, f"seed {attempt}") % 2**48


def _number(*words: str) -> int:
    return int.from_bytes(hashlib.sha256("/".join(words).encode()).digest()[:8], "big")


class AttemptDesk(Desk):
    """Where one attempt is kept; its journal's name does not tell the work order."""

    def _open(self) -> Any:
        self.journal = self.journal.with_name(JOURNAL)
        return super()._open()


class AttemptScreen(VisitScreen):
    """A visit that is not begun anew: it is given up, or handed over and followed by the next.

    Args:
        desk: the attempt.
        units: unit system to begin with.
        spoken: called with the tag of a language that the learner has chosen.
        ended: called when the learner gives the attempt up, or asks for the next one.
    """

    def __init__(
        self, desk: Desk, units: str, spoken: Callable[[str], None], ended: Callable[[], None]
    ) -> None:
        self._ended = ended
        super().__init__(desk, units, spoken)

    def refresh(self) -> None:
        """Bring every trait up to the visit as it is now."""
        with self.hold_sync():
            super().refresh()
            again, sure = (NEXT, NEXT_SURE) if self._view.closed else (GIVE_UP, GIVE_UP_SURE)
            say = self._voice.words
            self.words = {**self.words, "again": say(again), "again_sure": say(sure)}

    def _again(self, _: Mapping[str, Any]) -> None:
        self._ended()


class AttemptsScreen(TaskScreen):
    """The attempts so far, and the button for the next one."""

    def forget(self) -> None:
        """Take back what was said to the last press of the button, and show the attempts anew."""
        self._said = None
        self._draw()


class ExaminationPage(VisitBelow):
    """The attempts so far with a button for the next one, and below it the visit of the last.

    Args:
        lesson: the page of the learner.
    """

    def __init__(self, lesson: Lesson) -> None:
        self._lesson = lesson  # the table of attempts needs it before the screens are there
        self._learner = learner_id(lesson.folder.parent)
        self._notes = lesson.folder / "examination.json"
        self._jobs: dict[int, tuple[str, int]] = {}
        self.head = AttemptsScreen(self._task(), language=lesson.language, spoken=lesson.speak)
        super().__init__(lesson, self.head)
        last = self._last()
        if last and not self._results().get(str(last), {}).get("given_up"):
            try:
                self._show(last)  # goes on where the learner was
            except KitError as error:
                text = error.said(translator(lesson.language))
                self.head.problem = {"field": "", "text": text}
        self.speak(lesson.language)

    def speak(self, language: str) -> None:
        """Say everything in another language from now on.

        Args:
            language: tag of a language of the kit.
        """
        self.head.speak(language)
        if self.screen is not None:
            self.screen.speak(language)

    def begin(self, _: Mapping[str, Any] | None = None) -> Reply:
        """Begin the next attempt, unless one is under way.

        Raises:
            KitError: its visit cannot be opened.
        """
        last = self._last()
        if last and str(last) not in self._results():
            if self.screen is None:
                self._show(last)
            under_way = line(
                "Attempt {number} is under way. Hand it over; or give it up, under Work order at "
                "the top of its screen.",
                number=last,
            )
            return Reply(False, (under_way,))
        self._put_away()
        self._show(last + 1)
        return Reply(None, self._told(last + 1))

    def _told(self, attempt: int) -> tuple[Line, ...]:
        opened = "Attempt {number} is open below. Time allowed: {time}."
        return (
            line(opened, number=attempt, time=Measure(self._allowed_s(attempt), "time")),
            line("Nobody helps from here on. Marks and their reasons come after the hand-over."),
        )

    def _ended(self) -> None:
        """Give the attempt up, or go on to the next one after a hand-over."""
        last = self._last()
        if str(last) in self._results():
            self.begin()
        else:
            self._write(last, {"given_up": True})
            self._put_away()
        self.head.forget()

    def _show(self, attempt: int) -> None:
        order, seed = self._drawn(attempt)
        lesson, folder = self._lesson, self._folder(attempt)
        desk = AttemptDesk(
            order, folder, self._learner, seed, lesson.language,
            lambda mark: self._keep(attempt, mark),
        )  # fmt: skip
        self._place(AttemptScreen(desk, desk.visit.units, lesson.speak, self._ended))

    def _keep(self, attempt: int, mark: Any) -> None:
        """Note the mark of an attempt that was handed over."""
        if mark is None:
            return
        final = mark.final
        figures = {"points": final.points, "out_of": final.out_of, "passed": final.passed}
        self._write(attempt, {**figures, "critical": len(final.critical)})
        trouble = self._lesson.note_mark(self._folder(attempt) / JOURNAL, mark)
        self.head.forget()
        if trouble:
            self.head.problem = {"field": "", "text": trouble}

    def _drawn(self, attempt: int) -> tuple[str, int]:
        """Return work order and seed; those of the journal, where one was begun."""
        if attempt not in self._jobs:
            self._jobs[attempt] = self._begun(attempt) or (
                drawn(self._learner, attempt), seed_of(self._learner, attempt)
            )  # fmt: skip
        return self._jobs[attempt]

    def _begun(self, attempt: int) -> tuple[str, int] | None:
        from kit.journal import read_journal

        path = self._folder(attempt) / JOURNAL
        try:
            header = read_journal(path).header if path.exists() else {}
        except KitError:
            return None  # the desk says so, and puts a broken one aside
        if header.get("learner") == self._learner and isinstance(header.get("seed"), int):
            return str(header["order"]), int(header["seed"])
        return None

    def _folder(self, attempt: int) -> Path:
        return self._lesson.folder / f"attempt-{attempt}"

    def _last(self) -> int:
        """Return the number of the last attempt; 0 when there is none."""
        found = self._lesson.folder.glob("attempt-*")
        names = (path.name.removeprefix("attempt-") for path in found)
        return max((int(name) for name in names if name.isdecimal()), default=0)

    def _allowed_s(self, attempt: int) -> float:
        from kit.visit.work_order import load_work_order

        return 60.0 * load_work_order(self._drawn(attempt)[0]).allowed_min

    def _results(self) -> dict[str, dict[str, Any]]:
        """Return the result of each attempt that has ended, by its number."""
        found = read_notes(self._notes)
        return {number: one for number, one in found.items() if isinstance(one, dict)}

    def _write(self, attempt: int, result: Mapping[str, Any]) -> None:
        write_notes(self._notes, {**self._results(), str(attempt): dict(result)})

    def _task(self) -> Task:
        ask = (
            line("A job is drawn for you. You do the whole visit and hand it over."),
            line("Practice, and no certificate: an examination that counts is held by a school."),
        )
        title = "Practice examination"
        return Task("examination", title, ask, (), NEXT, self.begin, table=self._table)

    def _table(self) -> tuple[tuple[Any, ...], ...]:
        last, results = self._last(), self._results()
        if not last:
            return ()
        rows = (
            (str(n), Measure(self._allowed_s(n), "time"), *_result(results.get(str(n))))
            for n in range(1, last + 1)
        )
        head = ("Attempt number", "Time allowed", "How it went", "Points", "Critical errors")
        return (head, *rows)


def _result(found: Mapping[str, Any] | None) -> tuple[str, str, str]:
    if found is None:
        return "Under way", "–", "–"
    if found.get("given_up"):
        return "Given up", "–", "–"
    points = f"{float(found['points']):g} / {float(found['out_of']):g}"
    return "Passed" if found["passed"] else "Not passed", points, str(found["critical"])
