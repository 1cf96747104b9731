"""A lesson notes the learner's progress by the way, and never stumbles over it."""

from __future__ import annotations

import sqlite3

import pytest

from kit import library
from kit.marking.script import load_script, play
from kit.records.progress import FILE, progress_store, read_progress
from kit.records.store import Store, StoreError
from kit.screens import lesson
from kit.screens.folder import learner_id, read_notes

NAME, ORDER = "00-start-here", "spring-check-01"
SCRIPT = library.answer_keys("practice", ORDER, "weak.toml")


@pytest.fixture(autouse=True)
def folder(tmp_path, monkeypatch):
    """Keep what a learner writes in a folder of the test's own."""
    monkeypatch.setenv("BENCHCALL_DATA", str(tmp_path / "learner"))
    return tmp_path / "learner"


@pytest.fixture
def handed_over():
    """Return a page and the screen of a visit that was played to its end."""
    page = lesson(NAME)
    screen = page.open_visit(ORDER)
    play(load_script(SCRIPT), screen.desk.visit)
    screen.refresh()
    return page, screen


def kept(folder):
    """Return what is noted of the learner."""
    return read_progress(progress_store(folder))


def spoil(monkeypatch) -> None:
    """Let every use of the progress fail, as a full disk would."""

    def fails(*_args, **_more):
        raise sqlite3.OperationalError("database or disk is full")

    monkeypatch.setattr(Store, "_connected", fails)


def test_an_answer_is_noted_with_its_tone(folder):
    """Each try counts; what was typed stays out of it."""
    task = lesson(NAME).task("split")
    task.answer(split="-16.6")
    task.answer(split="16.6")
    noted = kept(folder).answers
    assert [("split", "wrong"), ("split", "right")] == [(one.task, one.tone) for one in noted]
    assert {learner_id(folder)} == {one.learner for one in noted}
    lesson(NAME).task("split")  # shown again, not answered again
    assert noted == kept(folder).answers


def test_a_prediction_is_noted_as_one_that_stands(folder):
    """So a lesson can be done although one guessed wrong."""
    lesson(NAME).task("guess-humidity").answer(split="larger")
    (noted,) = kept(folder).answers
    assert noted.stands


def test_a_visit_that_is_handed_over_is_noted_once(folder, handed_over):
    """Looking at it again later does not count again."""
    _, screen = handed_over
    (noted,) = kept(folder).visits
    mark, _ = screen.desk.mark()
    assert (mark.points, mark.head, NAME) == (noted.points, noted.head, noted.lesson)
    assert screen.desk.visit.journal.read_text("utf-8").count(noted.at) >= 1
    again = lesson(NAME).open_visit(ORDER)
    assert again.verdict is not None
    assert (noted,) == kept(folder).visits


def test_the_list_of_work_orders_and_its_own_notes_go_on_as_before(folder):
    """A page that asks for the mark itself gets it too."""
    told = []
    page = lesson("15-mixed-practice")
    screen = page.open_visit(ORDER, 7, told.append)
    play(load_script(SCRIPT), screen.desk.visit)
    screen.refresh()
    assert [mark.head for mark in told] == [one.head for one in kept(folder).visits]
    screen.receive({"do": "again", "args": {}, "sent": 1})
    assert told[-1] is None
    assert 1 == len(kept(folder).visits)
    screen.desk.visit.close()


def test_a_look_of_the_trainer_is_noted(folder):
    """A lesson about a part of a visit can tell when it is done."""
    page = lesson(NAME)
    visit = page.visit(ORDER)
    page.so_far(ORDER, "safe", "indoor").answer()
    (noted,) = kept(folder).answers
    assert (f"so far {ORDER} safe indoor", "wrong") == (noted.task, noted.tone)
    visit.desk.visit.close()


def test_trouble_with_the_progress_is_said_once_and_hinders_nothing(folder, monkeypatch):
    """The answer is taken and kept all the same."""
    spoil(monkeypatch)
    page = lesson(NAME)
    task = page.task("split")
    task.answer(split="16.6")
    assert "right" == task.reply["tone"]
    assert "cannot be kept just now" in task.reply["lines"][-1]
    assert "split" in read_notes(folder / NAME / "answers.json")
    task.answer(split="16.6")
    assert not [text for text in task.reply["lines"] if "cannot be kept" in text]


def test_trouble_with_a_mark_stands_in_the_visits_head(monkeypatch):
    """The marks are shown all the same, also when the finished visit is opened again."""
    spoil(monkeypatch)
    page = lesson(NAME)
    screen = page.open_visit(ORDER)
    assert "" == screen.card["notice"]
    play(load_script(SCRIPT), screen.desk.visit)
    screen.refresh()
    assert screen.verdict["lost"]
    assert "cannot be kept just now" in screen.card["notice"]
    again = lesson(NAME).open_visit(ORDER)
    assert again.verdict["lost"]
    assert 1 == again.card["notice"].count("cannot be kept just now")


def test_a_broken_file_is_put_aside_and_told_with_the_next_answer(folder):
    """The learner reads what happened and goes on."""
    folder.mkdir()
    (folder / FILE).write_bytes(b"broken " * 2000)
    page = lesson(NAME)
    task = page.task("split")
    task.answer(split="16.6")
    assert "put aside" in task.reply["lines"][-1]
    assert 1 == len(kept(folder).answers)
    task.answer(split="16.6")
    assert "put aside" not in task.reply["lines"][-1]


def test_a_place_without_a_learners_id_is_no_error(folder, monkeypatch):
    """A folder that takes nothing at all is told in a sentence as well."""
    page = lesson(NAME)

    def full(_folder):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("kit.screens.noting.learner_id", full)
    (said,) = page._noting.answer(NAME, "split", "right", stands=False)
    assert isinstance(said, StoreError)
    assert "No space left on device" in str(said)
