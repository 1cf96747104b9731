"""Every practice journal replays, earns the mark it should, and can be made again."""

from __future__ import annotations

from pathlib import Path

import pytest

import kit
from kit import library
from kit.journal import open_visit, read_journal, replay
from kit.marking import mark
from kit.marking.script import load_script, play

SCRIPTS = sorted(library.answer_keys("practice").glob("*/*.toml"))
WORK_ORDERS = sorted({path.parent.name for path in SCRIPTS})


def name(path: Path) -> str:
    """Return a script's name as a test should show it."""
    return f"{path.parent.name}/{path.stem}"


@pytest.fixture(scope="module")
def marks() -> dict[Path, kit.marking.Mark]:
    """Return the mark of every journal, each replayed once."""
    return {path: mark(replay(path.with_suffix(".jsonl"))) for path in SCRIPTS}


def test_there_are_journals() -> None:
    """A folder of keys that was not found must not pass for keys that are right."""
    assert WORK_ORDERS


@pytest.mark.parametrize("path", SCRIPTS, ids=name)
def test_a_journal_earns_its_mark(marks, path) -> None:
    """Points, pass and critical errors are those a trainer would give."""
    script, found = load_script(path), marks[path]

    assert script.least <= found.points <= script.most, found.text
    assert script.passes == found.passed, found.text
    assert set(script.critical) == {error.code for error in found.critical}


@pytest.mark.parametrize("path", SCRIPTS, ids=name)
def test_a_journal_is_what_its_script_gives_today(tmp_path, path) -> None:
    """Played again, the script shows the same outcomes, so that a key can be mended and remade."""
    script = load_script(path)
    again = tmp_path / "again.jsonl"
    visit = open_visit(script.work_order, seed=script.seed, learner=script.learner, journal=again)
    play(script, visit)
    visit.close()

    old = read_journal(path.with_suffix(".jsonl"))
    new = read_journal(again)

    assert [e["outcome"] for e in old.entries] == [e["outcome"] for e in new.entries]


@pytest.mark.parametrize("work_order", WORK_ORDERS)
def test_a_work_order_has_a_model_and_a_failure(marks, work_order) -> None:
    """A model visit with full marks, and one that fails."""
    mine = {p.stem: m for p, m in marks.items() if p.parent.name == work_order}

    assert mine["model"].points == mine["model"].out_of
    assert mine["model"].passed
    assert any(not m.passed for m in mine.values())
