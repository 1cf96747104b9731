"""The start page: how far one has come, what to practise next, and a hand on what is kept."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any, ClassVar

import anywidget
import traitlets

import kit
from kit.errors import KitError
from kit.journal.file import now
from kit.language import ENGLISH, LANGUAGES, translator
from kit.records.keeping import erase_work, exported, write_export
from kit.records.progress import Progress, erase_progress, progress_store, read_progress
from kit.records.summary import Plan, practise_next, summary
from kit.screens import course_view, source
from kit.screens.course_plan import Course, CoursePath, load_course
from kit.screens.folder import (
    chosen_language,
    keep_language,
    learner_id,
    read_notes,
    write_notes,
)
from kit.screens.noting import catch_up
from kit.screens.traits import synced
from kit.screens.voice import Voice
from kit.visit.outcome import Line, line

if TYPE_CHECKING:
    from datetime import date

    from kit.records.summary import LessonState


def _today() -> date:
    return datetime.now().astimezone().date()


class CourseScreen(anywidget.AnyWidget):
    """The start page of one learner.

    Args:
        folder: the learner's folder.
        course: the course; the kit's own when left out.
        today: gives the day.
    """

    _esm: ClassVar[str] = source.script("course_screen.js", "common.js", "forms.js")
    _css: ClassVar[str] = source.style("parts/paper.css", "course_screen.css")

    words = synced(traitlets.Dict())
    paths = synced(traitlets.List())
    lessons = synced(traitlets.List())
    others = synced(traitlets.List())
    done = synced(traitlets.Unicode(""))
    advice = synced(traitlets.List())
    languages = synced(traitlets.List())
    told = synced(traitlets.Dict(allow_none=True, default_value=None))
    answered = synced(traitlets.Int(0))

    def __init__(
        self, folder: Path, course: Course | None = None, today: Callable[[], date] = _today
    ) -> None:
        super().__init__()
        self._folder, self._today = folder, today
        self._course = load_course() if course is None else course
        self._store = progress_store(folder)
        self._language = chosen_language(folder) or ENGLISH
        self._page_language = page_language()
        self._requests: dict[str, Callable[[Mapping[str, Any]], None]] = {
            "language": self._speak,
            "path": self._choose,
            "look": lambda _: None,
            "update": self._update,
            "export": self._export,
            "erase": self._erase,
        }
        self._try(lambda: None)
        self.on_msg(lambda _widget, content, _buffers: self.receive(content))

    def receive(self, request: Mapping[str, Any]) -> None:
        """Do what the view asks, and tell it that it was done.

        Args:
            request: `do` names what is asked; `sent` numbers the request.
        """
        try:
            handler = self._requests.get(str(request.get("do")))
            if handler is not None:
                if request["do"] != "look":  # what was told before stays
                    self.told = None
                self._try(lambda: handler(request))
        finally:
            self.answered = max(self.answered + 1, int(request.get("sent") or 0))

    def refresh(self) -> None:
        """Show the course as it stands in what is noted now."""
        self._draw(read_progress(self._store))

    def _try(self, do: Callable[[], None]) -> None:
        """Do something and show how things stand; trouble is told in the place of a result."""
        try:
            do()
            self.refresh()
        except KitError as error:
            self._draw(Progress())
            self._tell(error.said(translator(self._language)), "bad")
        for notice in self._store.notices:
            self._tell(notice.said(translator(self._language)), "plain")
        self._store.notices.clear()

    def _draw(self, progress: Progress) -> None:
        voice = self._voice
        states = {
            one.name: summary(one.plan, progress, under_way=self._under_way(one.name))
            for one in self._course.lessons
        }
        way = self._way
        rows = {
            one.name: course_view.lesson_row(one, states[one.name], voice, self._page_language)
            for one in self._course.lessons
        }
        with self.hold_sync():
            self.words = course_view.course_words(voice)
            self.languages = voice.language_choices()
            self.paths = course_view.path_choices(self._course, way.name, voice)
            self.lessons = [rows[name] for name in way.lessons]
            self.others = [row for name, row in rows.items() if name not in way.lessons]
            self.done = course_view.so_far(self.lessons, voice)
            self.advice = self._advised(progress, states)

    def _advised(
        self, progress: Progress, states: Mapping[str, LessonState]
    ) -> list[dict[str, Any]]:
        pairs: list[tuple[Plan, LessonState]] = [
            (one.plan, states[one.name]) for one in self._course.lessons
        ]
        found = practise_next(progress, pairs, self._way.lessons, self._course.critical_blocks)
        voice, page, today = self._voice, self._page_language, self._today()
        return [course_view.advice_row(one, states, voice, page, today) for one in found]

    @property
    def _voice(self) -> Voice:
        return Voice(translate=translator(self._language), language=self._language)

    @property
    def _way(self) -> CoursePath:
        chosen = read_notes(self._folder / "learner.json").get("path")
        known = {one.name: one for one in self._course.paths}
        return known.get(str(chosen), self._course.paths[0])

    def _under_way(self, name: str) -> bool:
        return any((self._folder / name).rglob("*.jsonl"))

    def _speak(self, request: Mapping[str, Any]) -> None:
        wanted = str(request.get("to"))
        if wanted in LANGUAGES:
            keep_language(self._folder, wanted)
            self._language = wanted

    def _choose(self, request: Mapping[str, Any]) -> None:
        if request.get("to") in {one.name for one in self._course.paths}:
            notes = read_notes(self._folder / "learner.json")
            write_notes(self._folder / "learner.json", {**notes, "path": request["to"]})

    def _update(self, _: Mapping[str, Any]) -> None:
        answers, visits = catch_up(self._folder, [one.name for one in self._course.lessons])
        said = line("Up to date.")
        if answers or visits:
            said = line(
                "Up to date. Taken in now: answers {answers}, visits {visits}.",
                answers=answers,
                visits=visits,
            )
        self._tell_line(said)

    def _export(self, _: Mapping[str, Any]) -> None:
        learner = learner_id(self._folder)
        data = exported(read_progress(self._store), learner, kit.__version__, now())
        path = write_export(self._folder, data)
        self._tell_line(line("Your progress was written to {path}", path=str(path)))

    def _erase(self, request: Mapping[str, Any]) -> None:
        if request.get("sure") is not True:
            return
        erase_progress(self._store, sure=True)
        left: list[str] = []
        if request.get("work") is True:
            names = [one.name for one in self._course.lessons]
            left = erase_work(self._folder, names, sure=True)
        if left:
            said = line(
                "Your progress was erased. Visits that are open on another page were left: "
                "{left}. Close those pages and their kernels, then erase once more.",
                left=", ".join(left),
            )
        elif request.get("work") is True:
            said = line("Your progress, your visits and your answers were erased.")
        else:
            said = line(
                "Your progress was erased. Your visits and answers are still there: “Bring up to "
                "date” would take them in again."
            )
        self._tell_line(said)

    def _tell_line(self, said: Line) -> None:
        self._tell(self._voice.line(said), "good")

    def _tell(self, text: str, tone: str) -> None:
        self.told = {"tone": tone, "text": text}


def page_language() -> str:
    """Return the language whose folder this notebook lies in; a kernel begins in that folder."""
    here = Path.cwd().name
    return here if here in LANGUAGES and here != ENGLISH else ENGLISH
