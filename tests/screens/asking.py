"""Answering the tasks of a lesson as a learner types."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any

from kit.screens.task import Task
from kit.screens.task_screen import TaskScreen


def asker(tasks: Iterable[Task]) -> Callable[..., dict[str, Any]]:
    """Return a function that answers one of these tasks and gives what is said."""
    known = {task.name: task for task in tasks}

    def asked(name: str, units: str = "us", **given: Any) -> dict[str, Any]:
        screen = TaskScreen(known[name], units=units)
        screen.answer(**given)
        assert screen.reply is not None
        return screen.reply

    return asked
