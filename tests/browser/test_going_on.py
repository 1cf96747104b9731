"""Reloading the page or restarting the kernel in the middle of a visit loses nothing."""

from __future__ import annotations

from tests.browser.lab import open_notebook, run_all, show_visit
from tests.browser.person import Person


def started(page) -> Person:
    """Begin a visit: paper read, unit running, a probe in place, some minutes gone."""
    person = Person(page)
    person.go("job_sheet")
    person.do("read_work_order")
    person.go("remote")
    person.fill("set_demand", mode="cooling", setpoint_k="65", fan="auto")
    person.go("instruments")
    person.fill("place", instrument="air_probe", at="return_grille")
    person.wait(5)
    return person


def clock(page) -> str:
    """Return what the visit's clock shows."""
    return page.locator(".bc-visit .bc-clock").last.inner_text()


def test_a_reloaded_page_goes_on_where_it_was(lesson, lab, keep_shot):
    """After a reload and Run All Cells, clock, site and story are as they were."""
    started(lesson)
    before = clock(lesson)
    lesson.reload()
    open_notebook(lesson, lab, "00-start-here.ipynb")
    run_all(lesson)
    show_visit(lesson)
    keep_shot(lesson, "08-after-reload")
    assert before == clock(lesson)
    assert "cooling, 65.0 °F" in lesson.locator(".bc-flags").last.inner_text()
    Person(lesson).wait(1)
    assert before < clock(lesson)


def test_a_restarted_kernel_goes_on_where_it_was(lesson, keep_shot):
    """After Restart Kernel and Run All Cells, the journal brings the visit back."""
    started(lesson)
    before = clock(lesson)
    lesson.get_by_role("menuitem", name="Kernel", exact=True).click()
    lesson.get_by_role("menuitem", name="Restart Kernel and Run All Cells…").click()
    lesson.get_by_role("button", name="Confirm Kernel Restart").click()
    lesson.wait_for_selector(".bc-visit", state="detached")
    show_visit(lesson)
    keep_shot(lesson, "09-after-kernel-restart")
    assert before == clock(lesson)
    Person(lesson).wait(1)
    assert before < clock(lesson)
