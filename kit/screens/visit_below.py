"""A screen that opens visits, and the one that is open below it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import ipywidgets

if TYPE_CHECKING:
    from kit.screens.page import Lesson
    from kit.screens.visit_screen import VisitScreen


class VisitBelow:
    """A screen with the visit that it opened below it, shown as one in a notebook.

    Args:
        lesson: the page.
        above: the screen that opens visits.
    """

    def __init__(self, lesson: Lesson, above: Any) -> None:
        self._lesson, self._above = lesson, above
        self.screen: VisitScreen | None = None
        self.box: Any = ipywidgets.VBox([above])

    def _repr_mimebundle_(self, **options: Any) -> Any:
        """Show both in a notebook."""
        return self.box._repr_mimebundle_(**options)

    def _place(self, screen: VisitScreen) -> None:
        """Show a visit below."""
        self.screen = screen
        self.box.children = (self._above, screen)

    def _put_away(self) -> None:
        """Give the journal of the open visit free; it can be opened again and goes on."""
        if self.screen is not None:
            self.box.children = (self._above,)
            self._lesson.put_away(self.screen)
            self.screen = None
