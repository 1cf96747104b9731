"""Lessons as pages: all their screens come up, nothing fails, nothing bars the way.

One lesson of each kind of screen; all of them when BENCHCALL_EVERY_LESSON is set, as after a change
to a widget. The stage "notebooks" runs every lesson, and tests/test_lessons.py holds their names.
"""

from __future__ import annotations

import os
import re

import nbformat
import pytest

from kit import library
from tests.browser.test_barriers import violations
from tests.test_lessons import SCREENS

# Two visits with two looks; shelf; examination; form of work orders; table of a class.
KINDS = (
    "09-heating-and-defrost", "15-mixed-practice", "16-practice-examination",
    "20-write-a-work-order", "21-read-a-class",
)  # fmt: skip
ALL = tuple(path.stem for path in sorted(library.lessons().glob("*.ipynb")))
NAMES = ALL if os.environ.get("BENCHCALL_EVERY_LESSON") else KINDS


def screens(name: str) -> int:
    """Return how many screens a lesson calls for."""
    cells = nbformat.read(library.lessons(f"{name}.ipynb"), as_version=4).cells
    code = "\n".join(cell.source for cell in cells if cell.cell_type == "code")
    return len(re.findall(SCREENS, code))


@pytest.mark.parametrize("name", NAMES)
def test_a_lesson_shows_all_its_screens_without_barriers(name, pages, open_page, keep_shot):
    """Text fits the page, each screen is there, and axe-core finds no violation in them."""
    page = open_page()
    page.goto(f"{pages.url}/voila/render/{name}.ipynb?token={pages.token}")
    page.wait_for_function(
        "count => document.querySelectorAll('.bc').length >= count",
        arg=max(screens(name), 1),
        timeout=60_000,
    )
    page.wait_for_timeout(400)
    keep_shot(page, f"lesson-{name}-top")
    page.locator(".bc").first.evaluate("e => e.scrollIntoView()")
    keep_shot(page, f"lesson-{name}-screen")
    wide = page.evaluate("() => document.documentElement.scrollWidth - innerWidth")
    assert wide <= 0
    assert [] == page.locator(".jp-RenderedText[data-mime-type*=error]").all_inner_texts()
    assert [] == violations(page)
    page.goto("about:blank")
