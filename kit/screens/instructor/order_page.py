"""The desk for work orders, and below it the visit that tries one."""

from __future__ import annotations

from typing import TYPE_CHECKING

from kit.errors import KitError
from kit.language import translator
from kit.screens.instructor.order_screen import OrderScreen
from kit.screens.visit_below import VisitBelow

if TYPE_CHECKING:
    from kit.screens.page import Lesson

SEED = 7


class OrderPage(VisitBelow):
    """The desk, and the visit that is tried.

    Args:
        lesson: the page.
    """

    def __init__(self, lesson: Lesson) -> None:
        self.desk = OrderScreen(self.open, self.put_away, lesson.language, lesson.speak)
        super().__init__(lesson, self.desk)

    def open(self, name: str) -> str:
        """Open a work order as a visit below the desk; return why it cannot be, or "".

        Args:
            name: its id.
        """
        self.put_away()
        try:
            self._place(self._lesson.open_visit(name, SEED))
        except KitError as error:
            return error.said(translator(self._lesson.language))
        return ""

    def put_away(self, name: str = "") -> None:
        """Close the visit below the desk; it can be opened again and goes on.

        Args:
            name: id of the work order whose visit is meant; any when left out.
        """
        if self.screen is not None and name in ("", self.screen.desk.work_order):
            self._put_away()

    def speak(self, language: str) -> None:
        """Say everything in another language from now on.

        Args:
            language: tag of a language of the kit.
        """
        self.desk.speak(language)
