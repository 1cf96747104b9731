"""What a lesson's page calls: its tasks and its visit, each going on where the learner left it."""

from __future__ import annotations

import importlib
import importlib.util
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

from kit import library
from kit.errors import KitError, UnknownNameError
from kit.language import ENGLISH, translator
from kit.screens.folder import (
    chosen_language,
    keep_language,
    learner_folder,
    learner_id,
    read_notes,
    write_notes,
)
from kit.screens.noting import Noting

if TYPE_CHECKING:
    from kit.marking.mark import Mark
    from kit.screens.examination import ExaminationPage
    from kit.screens.instructor.class_screen import ClassScreen
    from kit.screens.instructor.order_page import OrderPage
    from kit.screens.shelf_screen import ShelfPage
    from kit.screens.task import Task
    from kit.screens.task_screen import TaskScreen
    from kit.screens.visit_screen import VisitScreen


def lesson_names() -> list[str]:
    """Return the lessons by name, in order: the folder of the lessons is their list."""
    return sorted(path.stem for path in library.lessons().glob("[0-9]*.ipynb"))


def lesson_tasks(name: str) -> tuple[Task, ...]:
    """Return the tasks of a lesson: `TASKS` of the module in kit/screens/tasks that bears its name.

    Args:
        name: name of the lesson; "04-making-safe" has its tasks in `making_safe`. A page of
            visits alone has none.
    """
    module = f"kit.screens.tasks.{name.partition('-')[2].replace('-', '_')}"
    if importlib.util.find_spec(module) is None:
        return ()
    return tuple(importlib.import_module(module).TASKS)


class Lesson:
    """One lesson of one learner.

    Args:
        name: name of the notebook, without its ending.

    Raises:
        UnknownNameError: there is no such lesson.
    """

    def __init__(self, name: str) -> None:
        if name not in lesson_names():
            raise UnknownNameError("lesson", name, lesson_names())
        self.name = name
        self.folder = learner_folder() / name
        self.folder.mkdir(exist_ok=True)
        self._tasks = {task.name: task for task in lesson_tasks(name)}
        self._notes = self.folder / "answers.json"
        self._noting = Noting(self.folder.parent)
        self._screens: dict[str, Any] = {}  # each can `speak`

    def task(self, name: str) -> TaskScreen:
        """Return a task's widget with the learner's earlier answer.

        Raises:
            UnknownNameError: the lesson has no such task.
        """
        from kit.screens.task_screen import TaskScreen

        if name not in self._tasks:
            raise UnknownNameError(f"task of {self.name}", name, list(self._tasks))
        kept = read_notes(self._notes).get(name, {})
        given = kept.get("given") if isinstance(kept, dict) else None

        def keep(typed: Mapping[str, Any], tone: str) -> str:
            notes = read_notes(self._notes)
            write_notes(self._notes, {**notes, name: {"given": dict(typed), "tone": tone}})
            return self.note_answer(name, tone)

        screen = TaskScreen(
            self._tasks[name], given, keep, language=self.language, spoken=self.speak
        )
        self._screens[name] = screen
        return screen

    def visit(self, work_order: str, seed: int = 7) -> VisitScreen | Notice:
        """Return the screen of a visit, begun or gone on with.

        Args:
            work_order: name of a work order.
            seed: decides what the instruments' errors are.
        """
        try:
            return self.open_visit(work_order, seed)
        except KitError as error:
            return Notice(error.said(translator(self.language)))

    def open_visit(
        self,
        work_order: str,
        seed: int = 7,
        marked: Callable[[Any], None] | None = None,
    ) -> VisitScreen:
        """Return the screen of a visit, begun or gone on with.

        Args:
            work_order: name of a work order, of the kit or in the instructor's folder.
            seed: decides what the instruments' errors are.
            marked: called with the mark of a finished visit; None when it is begun anew.

        Raises:
            KitError: the visit cannot be opened.
        """
        from kit.screens.desk import Desk
        from kit.screens.instructor.own_orders import order_source
        from kit.screens.visit_screen import VisitScreen

        top = self.folder.parent
        source = order_source(work_order)
        shown: list[VisitScreen] = []

        def told(mark: Any) -> None:
            if mark is not None:
                said.append(self.note_mark(desk.journal, mark))
            for screen in shown:
                _tell(screen, said)
            if marked is not None:
                marked(mark)

        said: list[str] = []
        desk = Desk(source, self.folder, learner_id(top), seed, chosen_language(top), told)
        screen = VisitScreen(desk, desk.visit.units, self.speak)
        _tell(screen, said)  # a finished visit is marked before its screen is there
        shown.append(screen)
        screen.nth = self._nth(f"visit {work_order}")
        self._screens[f"visit {work_order}"] = screen
        return screen

    def _nth(self, name: str) -> int:
        """Return the number that tells a screen from others of its kind on this page."""
        kind = name.partition(" ")[0]
        alike = [known for known in self._screens if known.partition(" ")[0] == kind]
        return 1 + (alike.index(name) if name in alike else len(alike))

    def note_answer(self, task: str, tone: str) -> str:
        """Note an answer in the learner's progress; return what is to be said, "" as a rule.

        Args:
            task: name of the task.
            tone: "right", "wrong" or "plain".
        """
        stands = task in self._tasks and self._tasks[task].once
        return self._said(self._noting.answer(self.name, task, tone, stands=stands))

    def note_mark(self, journal: Path, mark: Mark) -> str:
        """Note a mark in the learner's progress; return what is to be said, "" as a rule.

        Args:
            journal: file of a visit of this page.
            mark: its mark.
        """
        return self._said(self._noting.visit(self.name, journal, mark))

    def _said(self, errors: list[KitError]) -> str:
        return " ".join(error.said(translator(self.language)) for error in errors)

    def put_away(self, screen: VisitScreen) -> None:
        """Give the journal of a visit free and its screen up; it can be opened again and goes on.

        Args:
            screen: what `open_visit` returned.
        """
        self._screens.pop(f"visit {screen.desk.work_order}", None)
        screen.desk.visit.close()
        screen.close()

    def any_visit(self, seed: int = 7) -> ShelfPage:
        """Return the list of work orders, with the visit that is chosen on it below.

        Args:
            seed: decides what the instruments' errors are.
        """
        from kit.screens.shelf_screen import ShelfPage

        page = ShelfPage(self, seed)
        self._screens["shelf"] = page
        return page

    def examination(self) -> ExaminationPage:
        """Return the practice examination: attempts so far, and the visit of the last one."""
        from kit.screens.examination import ExaminationPage

        page = ExaminationPage(self)
        self._screens["examination"] = page
        return page

    def order_desk(self) -> OrderPage:
        """Return the desk where an instructor writes work orders, with a visit to try one."""
        from kit.screens.instructor.order_page import OrderPage

        page = OrderPage(self)
        self._screens["order_desk"] = page
        return page

    def class_desk(self) -> ClassScreen:
        """Return the desk where an instructor reads the journals of a class."""
        from kit.screens.instructor.class_screen import ClassScreen

        screen = ClassScreen(self.folder, self.language, self.speak)
        self._screens["class_desk"] = screen
        return screen

    def so_far(self, work_order: str, *blocks: str) -> TaskScreen:
        """Return a button that has the trainer look at a visit of this page as far as it has come.

        Args:
            work_order: name of the work order that `visit` shows.
            blocks: names of the blocks of the visit's rubric that this lesson is about; all of
                them when left out.
        """
        from kit.screens.so_far import so_far_task
        from kit.screens.task_screen import TaskScreen

        name = so_far_name(work_order, blocks)

        def keep(_: Mapping[str, Any], tone: str) -> str:
            return self.note_answer(name, tone)

        task = so_far_task(self.folder / f"{work_order}.jsonl", blocks)
        screen = TaskScreen(task, None, keep, language=self.language, spoken=self.speak)
        screen.nth = self._nth(name)
        self._screens[name] = screen
        return screen

    @property
    def language(self) -> str:
        """Tag of the language the learner chose last, on any page."""
        return chosen_language(self.folder.parent) or ENGLISH

    def speak(self, language: str) -> None:
        """Keep the language chosen on one screen, and let the page's other screens speak it too.

        Args:
            language: tag of a language of the kit.
        """
        keep_language(self.folder.parent, language)
        for screen in self._screens.values():
            screen.speak(language)


def so_far_name(work_order: str, blocks: tuple[str, ...]) -> str:
    """Return the name by which a look of the trainer at a part of a visit is noted.

    Args:
        work_order: name of the work order.
        blocks: names of the blocks that are looked at.
    """
    return " ".join((f"so far {work_order}", *blocks))


def _tell(screen: VisitScreen, said: list[str]) -> None:
    """Show what is to be said in the visit's head, once."""
    text = " ".join(filter(None, [screen.card.get("notice"), *said]))
    if any(said):
        screen.card = {**screen.card, "notice": text}
    said.clear()


class Notice:
    """A plain sentence in the place of a screen that cannot be shown."""

    def __init__(self, text: str) -> None:
        self.text = text

    def _repr_mimebundle_(self, **_: Any) -> dict[str, str]:
        """Show the sentence in a notebook."""
        import html

        marked = f"<p role='alert'>{html.escape(self.text)}</p>"
        return {"text/plain": self.text, "text/html": marked}
