"""What tests of the marking share: journals played from scripts, whole or altered."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from kit import library
from kit.journal import Replay, open_visit, replay
from kit.marking import Mark, load_rubric, marked
from kit.marking.script import Script, load_script, play

MODEL = load_script(library.answer_keys("practice", "spring-check-01", "model.toml"))
Change = Callable[[list[dict]], list[dict]]


def journal(folder: Path, script: Script) -> Replay:
    """Play a script into a journal and replay it."""
    path = folder / "attempt.jsonl"
    visit = open_visit(script.work_order, seed=script.seed, learner=script.learner, journal=path)
    play(script, visit)
    visit.close()
    return replay(path)


@pytest.fixture(scope="session")
def model(tmp_path_factory) -> Replay:
    """Return the model visit, replayed."""
    return journal(tmp_path_factory.mktemp("model"), MODEL)


@pytest.fixture(scope="session")
def model_mark(model) -> Mark:
    """Return the model visit's mark."""
    return marked(model, load_rubric("spring-check"))


@pytest.fixture(scope="session")
def altered(tmp_path_factory) -> Callable[[Change], Mark]:
    """Return a function that marks the model visit with its steps altered."""

    @cache
    def mark_of(change: Change) -> Mark:
        steps = tuple(change([dict(step) for step in MODEL.steps]))
        done = journal(tmp_path_factory.mktemp("altered"), replace(MODEL, steps=steps))
        return marked(done, load_rubric("spring-check"))

    return mark_of


@pytest.fixture
def short(tmp_path) -> Callable[..., Mark]:
    """Return a function that marks a few steps of one's own."""

    def mark_of(*steps: dict) -> Mark:
        script = replace(MODEL, steps=steps)
        return marked(journal(tmp_path, script), load_rubric("spring-check"))

    return mark_of
