"""Choosing a work order, and the visit's screen below it: no code, one drop-down, one button."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING, Any, ClassVar

import anywidget
import traitlets

from kit.errors import KitError
from kit.language import LANGUAGES, translator
from kit.screens import shelf, source, words
from kit.screens.folder import read_notes, write_notes
from kit.screens.traits import synced
from kit.screens.visit_below import VisitBelow
from kit.screens.voice import Voice

if TYPE_CHECKING:
    from kit.screens.page import Lesson

MARKS, LAST = "marks", "last"  # what the notes of the shelf hold


class ShelfScreen(anywidget.AnyWidget):
    """The list of work orders.

    Args:
        open_one: opens the work order at a place of the list; returns why it cannot be, or "".
        spoken: called with the tag of a language that the learner has chosen.
    """

    _esm: ClassVar[str] = source.script("shelf_screen.js", "common.js", "forms.js")
    _css: ClassVar[str] = source.style("parts/paper.css", "task_screen.css", "shelf_screen.css")

    words = synced(traitlets.Dict())
    rows = synced(traitlets.List())
    languages = synced(traitlets.List())
    problem = synced(traitlets.Unicode(""))
    answered = synced(traitlets.Int(0))

    def __init__(self, open_one: Callable[[int], str], spoken: Callable[[str], None]) -> None:
        super().__init__()
        self._open_one, self._spoken = open_one, spoken
        self.on_msg(lambda _widget, content, _buffers: self.receive(content))

    def show(self, rows: list[dict[str, Any]], voice: Voice) -> None:
        """Show the list.

        Args:
            rows: what `kit.screens.shelf.rows` returned.
            voice: language.
        """
        with self.hold_sync():
            self.words = words.shelf_words(voice)
            self.languages = voice.language_choices()
            self.rows = rows

    def receive(self, request: Mapping[str, Any]) -> None:
        """Do what the view asks, and tell it that it was done.

        Args:
            request: `do` is "open" or "language"; `sent` numbers the request.
        """
        try:
            self.problem = ""
            if request.get("do") == "open":
                self.problem = self._open_one(int(request.get("place") or 0))
            elif request.get("do") == "language" and request.get("to") in LANGUAGES:
                self._spoken(str(request["to"]))
        finally:
            self.answered = max(self.answered + 1, int(request.get("sent") or 0))


class ShelfPage(VisitBelow):
    """The list, and the visit that was chosen on it.

    Args:
        lesson: the page of the learner.
        seed: decides what the instruments' errors are.
    """

    def __init__(self, lesson: Lesson, seed: int = 7) -> None:
        self._seed = seed
        self._notes = lesson.folder / "shelf.json"
        self._orders = shelf.work_orders()
        self.shelf = ShelfScreen(self.open, lesson.speak)
        super().__init__(lesson, self.shelf)
        last = read_notes(self._notes).get(LAST)
        names = [order.name for order in self._orders]
        if last in names:  # goes on where the learner was
            self.shelf.problem = self.open(names.index(last))
        self.speak(lesson.language)

    def open(self, place: int) -> str:
        """Open the work order at a place of the list; return why it cannot be, or "".

        Args:
            place: its place, from 0.
        """
        if not 0 <= place < len(self._orders):
            return ""
        name = self._orders[place].name
        self._put_away()
        try:
            screen = self._lesson.open_visit(
                name, self._seed, lambda mark: self._keep(name, mark)
            )
        except KitError as error:
            self._draw()
            return error.said(translator(self._lesson.language))
        self._remember(LAST, name)
        self._place(screen)
        self._draw()
        return ""

    def speak(self, language: str) -> None:
        """Say everything in another language from now on.

        Args:
            language: tag of a language of the kit.
        """
        del language  # the page keeps it
        self._draw()

    def _draw(self) -> None:
        language = self._lesson.language
        voice = Voice(translate=translator(language), language=language)
        marks = read_notes(self._notes).get(MARKS)
        opened = "" if self.screen is None else self.screen.desk.work_order
        folder = self._lesson.folder
        known = marks if isinstance(marks, dict) else {}
        self.shelf.show(shelf.rows(self._orders, folder, known, opened, voice), voice)

    def _keep(self, name: str, mark: Any) -> None:
        """Note the mark of a visit that was handed over; None when it is begun anew."""
        marks = read_notes(self._notes).get(MARKS)
        known = {k: v for k, v in (marks if isinstance(marks, dict) else {}).items() if k != name}
        if mark is not None:
            final = mark.final
            figures = {"points": final.points, "out_of": final.out_of, "passed": final.passed}
            known[name] = figures
        self._remember(MARKS, known)
        self._draw()

    def _remember(self, what: str, value: object) -> None:
        write_notes(self._notes, {**read_notes(self._notes), what: value})
