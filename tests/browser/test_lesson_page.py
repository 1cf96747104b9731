"""The first lesson as a learner meets it: it opens, runs, asks, answers, and stays offline."""

from __future__ import annotations

import time

import pytest

from tests.browser.lab import open_notebook, run_all, show_visit

READY_WITHIN_S = 60.0  # also on a busy machine; the measured time is printed


@pytest.fixture(scope="module")
def lesson(opened_once):
    """Open the lesson once: these tests answer different tasks of it."""
    return opened_once


def task(page, name: str):
    """Return a task's box on the page."""
    return page.locator(f".bc-task[data-task='{name}']").last


def answer(page, name: str, **fields: str) -> None:
    """Fill in a task as a person does and send it."""
    box = task(page, name)
    for field, value in fields.items():
        control = box.locator(f"[data-k='{name}.{field}']")
        if control.count():
            control.fill(value)
        else:
            box.locator(f"[data-k='{name}.{field}.{value}']").check()
    before = box.locator(".bc-reply").all_inner_texts()
    box.locator("[data-k='go']").click()
    page.wait_for_function(
        "([name, before]) => { const found = [...document.querySelectorAll("
        "`.bc-task[data-task='${name}'] .bc-reply`)].map(e => e.innerText);"
        " return found.length && found[0] !== before; }",
        arg=[name, before[0] if before else ""],
    )


def said(page, name: str) -> str:
    """Return what a task said."""
    return task(page, name).locator(".bc-reply").inner_text()


def test_the_lesson_opens_and_runs_without_the_internet(lab, open_page, keep_shot, keep_figure):
    """From the server's start to the last screen on the page; nothing is asked of other hosts."""
    page = open_page()
    strangers = []
    page.on("request", lambda r: strangers.append(r.url) if lab.url not in r.url else None)
    begin = time.monotonic()
    open_notebook(page, lab, "00-start-here.ipynb")
    opened = time.monotonic() - begin
    keep_shot(page, "00-lesson-before-run")
    run_all(page)
    show_visit(page)
    ready = time.monotonic() - begin
    keep_figure("server up [s]", f"{lab.started_in_s:.1f}")
    keep_figure("page and kernel ready [s]", f"{opened:.1f}")
    keep_figure("all screens of the lesson ready [s]", f"{ready:.1f}")
    page.evaluate("document.querySelector('.jp-Notebook-cell').scrollIntoView()")
    keep_shot(page, "00-lesson-top")
    outside = [url for url in strangers if url.startswith(("http:", "https:", "ws:", "wss:"))]
    outside = [url for url in outside if lab.url.removeprefix("http") not in url]
    assert [] == outside
    assert ready < READY_WITHIN_S


def test_wrong_answers_get_a_hint_and_right_ones_their_word(lesson, keep_shot):
    """A split in the wrong sense, then the right one; the mean of both is told apart."""
    answer(lesson, "split", split="-16.6")
    hint = said(lesson, "split")
    answer(lesson, "split", split="16.6")
    task(lesson, "split").scroll_into_view_if_needed()
    keep_shot(lesson, "01-tasks")
    assert "Not yet." in hint
    assert "size is right" in hint
    assert "Right." in said(lesson, "split")


def test_a_prediction_is_run_on_the_engine_and_stands(lesson, keep_shot):
    """Say it first; then see six rooms; the answer cannot be changed."""
    answer(lesson, "guess-humidity", split="larger")
    box = task(lesson, "guess-humidity")
    box.scroll_into_view_if_needed()
    keep_shot(lesson, "01-prediction")
    assert "Not as you said." in said(lesson, "guess-humidity")
    assert 7 == box.locator(".bc-reply tr").count()
    assert 0 == box.locator("[data-k='go']").count()
    assert box.locator("form input[type=radio]").first.is_disabled()


def test_air_worked_out_stands_beside_the_handbook(lesson, keep_shot):
    """The learner types 40 and 20 °C, reads the result, and compares it with print."""
    answer(lesson, "air-sheet", db="40 C", wb="20 C")
    sheet = said(lesson, "air-sheet")
    answer(lesson, "handbook", rh="14", dew="45.4")
    task(lesson, "handbook").scroll_into_view_if_needed()
    keep_shot(lesson, "01-handbook")
    assert "14%" in sheet
    assert "Handbook" in said(lesson, "handbook")


def test_an_entry_that_is_no_number_is_refused_beside_its_field(lesson):
    """The reason stands at the field, which keeps what was typed."""
    box = task(lesson, "split")
    box.locator("[data-k='split.split']").fill("about 17")
    box.locator("[data-k='go']").click()
    box.locator(".bc-wrong").wait_for()
    assert "not a number" in box.locator(".bc-wrong").inner_text()
    assert "about 17" == box.locator("[data-k='split.split']").input_value()
