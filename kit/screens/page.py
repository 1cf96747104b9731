"""What a lesson's page calls: its tasks and its visit, each going on where the learner left it."""

from __future__ import annotations

import importlib
from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING, Any

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

if TYPE_CHECKING:
    from kit.screens.shelf_screen import ShelfPage
    from kit.screens.task import Task
    from kit.screens.task_screen import TaskScreen
    from kit.screens.visit_screen import VisitScreen

# Lesson: the module of its tasks below kit/screens/tasks; "" for a page of visits alone.
LESSONS = {"00-start-here": "start_here", "90-any-visit": ""}


class Lesson:
    """One lesson of one learner.

    Args:
        name: name of the notebook, without its ending.

    Raises:
        UnknownNameError: there is no such lesson.
    """

    def __init__(self, name: str) -> None:
        if name not in LESSONS:
            raise UnknownNameError("lesson", name, list(LESSONS))
        self.name = name
        self.folder = learner_folder() / name
        self.folder.mkdir(exist_ok=True)
        self._tasks: dict[str, Task] = {}
        if LESSONS[name]:
            module = importlib.import_module(f"kit.screens.tasks.{LESSONS[name]}")
            self._tasks = {task.name: task for task in module.TASKS}
        self._notes = self.folder / "answers.json"
        self._screens: dict[str, TaskScreen | VisitScreen | ShelfPage] = {}

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

        def keep(typed: Mapping[str, Any], tone: str) -> None:
            notes = read_notes(self._notes)
            write_notes(self._notes, {**notes, name: {"given": dict(typed), "tone": tone}})

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
            work_order: name of a work order.
            seed: decides what the instruments' errors are.
            marked: called with the mark of a finished visit; None when it is begun anew.

        Raises:
            KitError: the visit cannot be opened.
        """
        from kit.screens.desk import Desk
        from kit.screens.visit_screen import VisitScreen

        top = self.folder.parent
        desk = Desk(work_order, self.folder, learner_id(top), seed, chosen_language(top), marked)
        screen = VisitScreen(desk, desk.visit.units, self.speak)
        self._screens[f"visit {work_order}"] = screen
        return screen

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


class Notice:
    """A plain sentence in the place of a screen that cannot be shown."""

    def __init__(self, text: str) -> None:
        self.text = text

    def _repr_mimebundle_(self, **_: Any) -> dict[str, str]:
        """Show the sentence in a notebook."""
        import html

        marked = f"<p role='alert'>{html.escape(self.text)}</p>"
        return {"text/plain": self.text, "text/html": marked}
