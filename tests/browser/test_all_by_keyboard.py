"""A whole visit on the screen by keyboard alone."""

from __future__ import annotations

import pytest

import kit
from kit import library
from kit.marking.script import load_script
from tests.browser.person import KeyboardPerson, play


@pytest.mark.slow
def test_a_model_visit_by_keyboard_alone_ends_with_full_marks(lesson, lab, keep_shot):
    """Everything can be reached and done with Tab, Enter, Space, arrows and digits."""
    model = library.answer_keys("practice", "spring-check-01", "model.toml")
    lesson.locator(".bc-visit [data-k='fold.order']").focus()
    play(KeyboardPerson(lesson), load_script(model).steps)
    keep_shot(lesson, "06-keyboard-only")
    journal = next(lab.learner_folder.rglob("spring-check-01.jsonl"))
    assert 100 == kit.mark(journal).points
