"""What a lesson's page calls: its tasks and its visit, each going on where the learner left it."""

from __future__ import annotations

import importlib
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from kit.errors import KitError, UnknownNameError
from kit.screens.folder import learner_folder, learner_id, read_notes, write_notes

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

        return TaskScreen(self._tasks[name], given, keep)

    def visit(self, work_order: str, seed: int = 7) -> VisitScreen | Notice:
        """Return the screen of a visit, begun or gone on with.

        Args:
            work_order: name of a work order.
            seed: decides what the instruments' errors are.
        """
        from kit.screens.desk import Desk
        from kit.screens.visit_screen import VisitScreen

        try:
            desk = Desk(work_order, self.folder, learner_id(self.folder.parent), seed)
        except KitError as error:
            return Notice(str(error))
        return VisitScreen(desk, desk.visit.units)


class Notice:
    """A plain sentence in the place of a screen that cannot be shown."""

    def __init__(self, text: str) -> None:
        self.text = text

    def _repr_mimebundle_(self, **_: Any) -> dict[str, str]:
        """Show the sentence in a notebook."""
        import html

        marked = f"<p role='alert'>{html.escape(self.text)}</p>"
        return {"text/plain": self.text, "text/html": marked}
