"""The lessons after the first, done whole in the browser by somebody who only types and clicks."""

from __future__ import annotations

from typing import Any

import pytest

from kit import library
from kit.marking.script import load_script
from tests.browser.lab import open_lesson, open_notebook, run_all
from tests.browser.person import Person, play

LINES = ("demand", "minutes", "entering", "humidity", "leaving", "outdoor", "split")
# Name of the task, what is given, the sign that the answer earns; a prediction may go either way.
BASELINE: tuple[tuple[str, dict[str, Any], str], ...] = (
    ("demand", {"setpoint": "74.0"}, "✕"),
    ("demand", {"setpoint": "71.1"}, "✓"),
    ("guess-two-minutes", {"early": "smaller"}, ""),
    ("standing-still", {"minutes": "5"}, "✓"),
    ("guess-in-front", {"front": "smaller"}, ""),
    ("right-places", {"split": "22.1"}, "✓"),
    ("two-probes", {"split": "20.7"}, "✓"),
    ("humidity-sheet", {"db": "30 C", "rh": "50"}, "▸"),
    ("published-wet-bulb", {"wb": "71.6"}, "✓"),
    ("job-sheet", {"lines": LINES}, "✓"),
)
HUMIDITY: tuple[tuple[str, dict[str, Any], str], ...] = (
    ("guess-heat", {"heat": "larger"}, ""),
    ("two-parts", {"sensible": "7440", "latent": "4985"}, "✕"),
    ("two-parts", {"sensible": "8035.2", "latent": "4389.8"}, "✓"),
    ("bucket", {"latent": "5820"}, "✓"),
    ("guess-wet-bulb", {"heat": "same"}, ""),
    ("which-is-sick", {"unit": "b"}, "✓"),
)


def give(page: Any, name: str, fields: dict[str, Any]) -> str:
    """Answer a task on the page and return the sign that stands before what is said."""
    box = page.locator(f".bc-task[data-task='{name}']").last
    for field, value in fields.items():
        several = value if isinstance(value, tuple) else (value,)
        control = box.locator(f"[data-k='{name}.{field}']")
        for one in several:
            if not control.count():
                box.locator(f"[data-k='{name}.{field}.{one}']").check()
            elif control.evaluate("e => e.tagName") == "SELECT":
                control.select_option(one)
            else:
                control.fill(one)
    box.locator("[data-k='go']").click()
    page.wait_for_function(
        "name => { const found = document.querySelectorAll(`.bc-task[data-task='${name}']`);"
        " const last = found[found.length - 1];"
        " return last.getAttribute('aria-busy') === 'false' && last.querySelector('.bc-reply'); }",
        arg=name,
    )
    return str(box.locator(".bc-reply .bc-sign").first.inner_text())


@pytest.mark.slow
def test_the_baseline_lesson_is_done_from_its_first_question_to_the_start_page(
    lab, open_page, keep_shot
):
    """All tasks, the first part of the visit, the trainer's look; then the start page knows it."""
    page = open_page()
    open_lesson(page, lab, "01-baseline.ipynb")
    for name, fields, sign in BASELINE:
        assert give(page, name, fields) == (sign or give_sign(page, name))
    model = load_script(library.answer_keys("practice", "dirty-coil-01", "model.toml"))
    last = [step.get("mode") for step in model.steps].index("off")
    play(Person(page), model.steps[:last])
    assert "✓" == give(page, "so-far", {})
    page.locator(".bc-task[data-task='so-far']").last.scroll_into_view_if_needed()
    keep_shot(page, "30-trainer-looks")
    open_notebook(page, lab, "my-course.ipynb")
    run_all(page)
    state = page.locator(".bc-lesson:has([data-k='lesson.01-baseline']) .bc-state")
    state.wait_for(timeout=60_000)
    keep_shot(page, "31-course-after-a-lesson")
    assert "done" in state.inner_text()


@pytest.mark.slow
def test_the_humidity_lesson_answers_each_question(lab, open_page, keep_shot):
    """Predictions are run, a usual mistake gets its hint, the right answer its word and drawing."""
    page = open_page()
    open_lesson(page, lab, "02-split-and-humidity.ipynb")
    for name, fields, sign in HUMIDITY:
        assert give(page, name, fields) == (sign or give_sign(page, name))
    chart = page.locator(".bc-task[data-task='guess-heat'] svg[role=img]").first
    chart.scroll_into_view_if_needed()
    keep_shot(page, "32-air-chart")
    assert "A line leads from dry room to" in (chart.get_attribute("aria-label") or "")


def give_sign(page: Any, name: str) -> str:
    """Return the sign of a prediction, which must be one of the two."""
    sign = page.locator(f".bc-task[data-task='{name}'] .bc-reply .bc-sign").last.inner_text()
    assert sign in ("✓", "✕")
    return str(sign)
