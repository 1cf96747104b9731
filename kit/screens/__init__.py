"""What a learner sees: screens in a notebook, thin over the visit and its marking."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from kit.screens.course_screen import CourseScreen
    from kit.screens.page import Lesson, Notice

__all__ = ["course", "lesson"]


def lesson(name: str) -> Lesson:
    """Return a lesson by the name of its notebook.

    Args:
        name: for example "00-start-here".

    Raises:
        UnknownNameError: there is no such lesson.
    """
    from kit.screens.page import Lesson

    return Lesson(name)


def course() -> CourseScreen | Notice:
    """Return the start page: the learner's way through the lessons and what to practise next."""
    from kit.errors import KitError
    from kit.screens.course_screen import CourseScreen
    from kit.screens.folder import learner_folder
    from kit.screens.page import Notice

    try:
        return CourseScreen(learner_folder())
    except KitError as error:
        return Notice(error.said())
