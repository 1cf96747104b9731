"""The start page in JupyterLab: lessons open beside it, and it knows what was done there."""

from __future__ import annotations

import pytest

from kit.records.progress import Answer, note_answer, progress_store
from tests.browser.lab import open_notebook, run_all
from tests.browser.test_barriers import violations

PAGE, FIRST = "my-course.ipynb", "00-start-here"
STATE = f".bc-lesson:has([data-k='lesson.{FIRST}']) .bc-state"


@pytest.fixture
def course(lab, open_page):
    """Open the start page and run it."""
    page = open_page()
    open_notebook(page, lab, PAGE)
    run_all(page)
    page.wait_for_selector(".bc-course .bc-lesson", timeout=60_000)
    return page


def test_a_lesson_opens_beside_the_page_which_then_knows_more(course, lab):
    """No window is loaded anew, so nothing on the page is lost; coming back shows the work."""
    assert "not begun" in course.locator(STATE).inner_text()
    course.locator(f"[data-k='lesson.{FIRST}']").click()
    tab = course.get_by_role("tab", name=f"{FIRST}.ipynb")
    tab.wait_for()
    note_answer(
        progress_store(lab.learner_folder),
        Answer("2026-01-01T00:00:00.000+00:00", FIRST, "split", "right", "p-1"),
    )
    course.get_by_role("tab", name=PAGE).click()
    course.locator(STATE, has_text="begun").and_(
        course.locator(".bc-lesson-begun .bc-state")
    ).wait_for()


def test_everything_can_be_done_by_keyboard_and_erasing_takes_two_steps(course, lab):
    """Focus is kept through each answer, and the first press erases nothing."""
    store = progress_store(lab.learner_folder)
    course.locator("[data-k='path.apprentice']").focus()
    course.keyboard.press("ArrowRight")
    course.wait_for_selector(".bc-course[aria-busy=false] [data-k='path.new-hire']:checked:focus")
    course.locator("[data-k='export']").focus()
    course.keyboard.press("Enter")
    course.wait_for_selector(".bc-told-good")
    assert list(lab.learner_folder.glob("progress-*.json"))
    note_answer(store, Answer("2026-01-01T00:00:00.000+00:00", FIRST, "split", "right", "p-1"))
    course.locator("[data-k='erase']").focus()
    course.keyboard.press("Enter")
    course.locator("[data-k='erase.sure']").wait_for()
    with store.reading() as db:
        assert 1 == db.execute("SELECT count(*) FROM answer").fetchone()[0]
    course.locator("[data-k='erase.sure']").focus()
    course.keyboard.press("Enter")
    course.get_by_text("Your progress was erased.").wait_for()
    with store.reading() as db:
        assert 0 == db.execute("SELECT count(*) FROM answer").fetchone()[0]


@pytest.mark.parametrize("lab", ["JupyterLab Light", "JupyterLab Dark"], indirect=True)
def test_axe_finds_nothing_on_the_start_page(course, keep_shot):
    """With the other lessons and the way to erase unfolded."""
    course.locator("[data-k='others']").click()
    course.locator("[data-k='erase']").click()
    theme = course.evaluate("document.body.dataset.jpThemeLight")
    course.evaluate("document.querySelector('.bc-course').scrollIntoView()")
    keep_shot(course, f"20-start-page-{'light' if theme == 'true' else 'dark'}")
    assert [] == violations(course)
