"""The desk for work orders, and below it the visit that tries one."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import ipywidgets

from kit.errors import KitError
from kit.language import translator
from kit.screens.instructor.order_screen import OrderScreen

if TYPE_CHECKING:
    from kit.screens.page import Lesson
    from kit.screens.visit_screen import VisitScreen

SEED = 7


class OrderPage:
    """The desk, and the visit that is tried.

    Args:
        lesson: the page.
    """

    def __init__(self, lesson: Lesson) -> None:
        self._lesson = lesson
        self.screen: VisitScreen | None = None
        self.desk = OrderScreen(self.open, self.put_away, lesson.language, lesson.speak)
        self.box: Any = ipywidgets.VBox([self.desk])

    def _repr_mimebundle_(self, **options: Any) -> Any:
        """Show desk and visit in a notebook."""
        return self.box._repr_mimebundle_(**options)

    def open(self, name: str) -> str:
        """Open a work order as a visit below the desk; return why it cannot be, or "".

        Args:
            name: its id.
        """
        self.put_away()
        try:
            self.screen = self._lesson.open_visit(name, SEED)
        except KitError as error:
            return error.said(translator(self._lesson.language))
        self.box.children = (self.desk, self.screen)
        return ""

    def put_away(self, name: str = "") -> None:
        """Close the visit below the desk; it can be opened again and goes on.

        Args:
            name: id of the work order whose visit is meant; any when left out.
        """
        if self.screen is not None and name in ("", self.screen.desk.work_order):
            self._lesson.put_away(self.screen)
            self.box.children = (self.desk,)
            self.screen = None

    def speak(self, language: str) -> None:
        """Say everything in another language from now on.

        Args:
            language: tag of a language of the kit.
        """
        self.desk.speak(language)
