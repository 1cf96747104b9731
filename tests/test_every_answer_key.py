"""Every practice journal replays, earns the mark it should, and can be made again."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Any

import pytest

from kit import library
from kit.journal import Replay, replay
from kit.marking import Mark, mark
from kit.marking.script import load_script, play
from kit.visit.actions import find_action
from kit.visit.outcome import Outcome
from kit.visit.work_order import work_order_names

SCRIPTS = sorted(library.answer_keys("practice").glob("*/*.toml"))
WORK_ORDERS = sorted({path.parent.name for path in SCRIPTS})
SIZE_MB = 20.0  # of all practice journals together; they come with the kit


def name(path: Path) -> str:
    """Return a script's name as a test should show it."""
    return f"{path.parent.name}/{path.stem}"


@cache
def replayed(path: Path) -> Replay:
    """Return a script's journal done again: every outcome follows, bit for bit."""
    return replay(path.with_suffix(".jsonl"))


@cache
def marked(path: Path) -> Mark:
    """Return the mark of a script's journal."""
    return mark(replayed(path))


class Retold:
    """A visit that only retells a replayed one, and refuses any step that was not done in it.

    A replay has shown that the outcomes follow from the actions; what is left to show is that the
    script still asks for those actions, and for no others.
    """

    def __init__(self, told: Replay) -> None:
        """Stand at the beginning of a replayed visit."""
        self.order, self.left = told.order, list(told.steps)
        self.sheet: tuple[Any, ...] = ()

    def step(self, action: str, /, **arguments: Any) -> Outcome:
        """Return what came of a step, which must be the next one that was done."""
        done = self.left.pop(0)
        assert (done.action, dict(done.args)) == (action, find_action(action).parsed(arguments))
        self.sheet = done.after.sheet
        return done.outcome

    def view(self) -> Retold:
        """Return what can be seen, of which a script asks for the job sheet only."""
        return self


def test_every_work_order_has_keys() -> None:
    """A folder of keys that was not found must not pass for keys that are right."""
    assert sorted(work_order_names()) == WORK_ORDERS


def test_journals_are_small() -> None:
    """They are in every clone and every installed kit."""
    size = sum(path.with_suffix(".jsonl").stat().st_size for path in SCRIPTS)

    assert 1e-6 * size <= SIZE_MB


@pytest.mark.parametrize("path", SCRIPTS, ids=name)
def test_a_journal_earns_its_mark(path) -> None:
    """Points, pass and critical errors are those a trainer would give."""
    script, found = load_script(path), marked(path)

    assert script.least <= found.points <= script.most, found.text
    assert script.passes == found.passed, found.text
    assert set(script.critical) == {error.code for error in found.critical}


@pytest.mark.parametrize("path", SCRIPTS, ids=name)
def test_a_journal_is_what_its_script_gives_today(path) -> None:
    """Played again, the script asks for the same steps, so that a key can be mended and remade."""
    script, told = load_script(path), replayed(path)
    visit = Retold(told)

    play(script, visit)

    assert [] == visit.left
    header = told.journal.header
    assert (script.seed, script.learner) == (header["seed"], header["learner"])


@pytest.mark.parametrize("work_order", WORK_ORDERS)
def test_a_work_order_has_a_model_and_a_failure(work_order) -> None:
    """A model visit with full marks, one that fails, and between them a plausible one."""
    mine = {p.stem: marked(p) for p in SCRIPTS if p.parent.name == work_order}
    model, careful, weak = mine["model"], mine["careful"], mine["weak"]

    assert model.points == model.out_of
    assert model.passed
    assert not weak.passed
    assert weak.points < careful.points < model.points
