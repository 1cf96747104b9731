"""What a lesson's page calls: its tasks and its visit, each going on where the learner left it."""

from __future__ import annotations

import importlib
from collections.abc import Mapping
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
    from kit.screens.task import Task
    from kit.screens.task_screen import TaskScreen
    from kit.screens.visit_screen import VisitScreen

# Lesson: the module of its tasks below kit/screens/tasks.
LESSONS = {"00-start-here": "start_here"}


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
        module = importlib.import_module(f"kit.screens.tasks.{LESSONS[name]}")
        self._tasks: dict[str, Task] = {task.name: task for task in module.TASKS}
        self._notes = self.folder / "answers.json"
        self._screens: dict[str, TaskScreen | VisitScreen] = {}

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
            self._tasks[name], given, keep, language=self.language, spoken=self._speak
        )
        self._screens[name] = screen
        return screen

    def visit(self, work_order: str, seed: int = 7) -> VisitScreen | Notice:
        """Return the screen of a visit, begun or gone on with.

        Args:
            work_order: name of a work order.
            seed: decides what the instruments' errors are.
        """
        from kit.screens.desk import Desk
        from kit.screens.visit_screen import VisitScreen

        try:
            learner = learner_id(self.folder.parent)
            desk = Desk(work_order, self.folder, learner, seed, chosen_language(self.folder.parent))
        except KitError as error:
            return Notice(error.said(translator(self.language)))
        screen = VisitScreen(desk, desk.visit.units, self._speak)
        self._screens[f"visit {work_order}"] = screen
        return screen

    @property
    def language(self) -> str:
        """Tag of the language the learner chose last, on any page."""
        return chosen_language(self.folder.parent) or ENGLISH

    def _speak(self, language: str) -> None:
        """Keep the language chosen on one screen, and let the page's other screens speak it too."""
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
