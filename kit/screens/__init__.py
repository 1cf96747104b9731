"""What a learner sees: screens in a notebook, thin over the visit and its marking."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from kit.screens.page import Lesson

__all__ = ["lesson"]


def lesson(name: str) -> Lesson:
    """Return a lesson by the name of its notebook.

    Args:
        name: for example "00-start-here".

    Raises:
        UnknownNameError: there is no such lesson.
    """
    from kit.screens.page import Lesson

    return Lesson(name)
