"""A whole visit on the screen, by mouse: done well, and done badly."""

from __future__ import annotations

import pytest

import kit
from kit import library
from kit.marking.script import load_script
from tests.browser.person import Person, play

SCRIPTS = ("answer_keys", "practice", "spring-check-01")


def script(name: str):
    """Return a practice script."""
    return load_script(library.answer_keys("practice", "spring-check-01", f"{name}.toml"))


@pytest.mark.slow
def test_a_model_visit_by_mouse_ends_with_full_marks_on_the_page(lesson, lab, keep_shot):
    """What the screen sends is what the kit's own interface would do: the same full marks."""
    play(Person(lesson), script("model").steps)
    total = lesson.locator(".bc-total").inner_text()
    lesson.evaluate("document.querySelector('.bc-visit').scrollIntoView()")
    keep_shot(lesson, "05-marks-of-a-model-visit")
    journal = next(lab.learner_folder.rglob("spring-check-01.jsonl"))
    mark = kit.mark(journal)
    assert (100, True) == (mark.points, mark.passed)
    assert "Passed: 100 / 100" in total


@pytest.mark.slow
def test_a_weak_visit_shows_its_critical_errors_first(lesson, keep_shot):
    """A learner who fails reads why, the critical errors before anything else."""
    play(Person(lesson), script("weak").steps)
    heads = lesson.locator(".bc-verdict h4").all_inner_texts()
    lesson.evaluate("document.querySelector('.bc-visit').scrollIntoView()")
    keep_shot(lesson, "07-marks-of-a-weak-visit")
    assert heads[0].startswith("Critical errors")
    assert "Not passed" in lesson.locator(".bc-total").inner_text()
