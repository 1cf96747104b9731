"""A lesson's page: its tasks and its visit go on where the learner left them."""

from __future__ import annotations

import json

import pytest

from kit.errors import KitError, UnknownNameError
from kit.screens import lesson
from kit.screens.desk import Desk
from kit.screens.folder import learner_folder, learner_id, read_notes, write_notes
from kit.screens.page import Notice

NAME, ORDER = "00-start-here", "spring-check-01"


@pytest.fixture(autouse=True)
def folder(tmp_path, monkeypatch):
    """Keep what a learner writes in a folder of the test's own."""
    monkeypatch.setenv("BENCHCALL_DATA", str(tmp_path / "learner"))
    return tmp_path / "learner"


def step(screen, action, **args):
    """Press a button of the visit's screen."""
    screen.receive({"do": "step", "action": action, "args": args, "sent": screen.answered + 1})


def test_a_visit_goes_on_after_the_program_ended(folder):
    """A new page on the same folder shows the same clock, story and site."""
    first = lesson(NAME).visit(ORDER)
    step(first, "set_demand", mode="cooling", setpoint_k="65", fan="auto")
    step(first, "wait", minutes="5")
    first.desk.visit.close()
    second = lesson(NAME).visit(ORDER)
    assert first.clock == second.clock
    assert first.story == second.story
    assert first.site["flags"] == second.site["flags"]
    second.desk.visit.close()


def test_running_the_cell_again_takes_the_visit_over(folder):
    """Run All twice in one kernel: the newer screen goes on, the older one says so."""
    old = lesson(NAME).visit(ORDER)
    new = lesson(NAME).visit(ORDER)
    step(old, "read_work_order")
    step(new, "read_work_order")
    assert "newer" in old.problem["text"]
    assert new.problem is None
    new.desk.visit.close()


def test_a_new_page_shows_the_whole_story_of_a_reopened_visit(folder):
    """Traces of instruments left in place come back too, so the curve is whole."""
    first = lesson(NAME).visit(ORDER)
    step(first, "set_demand", mode="cooling", setpoint_k="65", fan="auto")
    step(first, "place", instrument="air_probe", at="return_grille")
    step(first, "place", instrument="air_probe_b", at="supply")
    step(first, "wait", minutes="5")
    first.desk.visit.close()
    second = lesson(NAME).visit(ORDER)
    assert first.curve == second.curve
    assert second.curve["pieces"]
    second.desk.visit.close()


def test_a_broken_journal_is_put_aside_and_said_to_be(folder):
    """The learner can always go on; the broken file is kept."""
    first = lesson(NAME).visit(ORDER)
    step(first, "read_work_order")
    journal = first.desk.visit.journal
    first.desk.visit.close()
    journal.write_text(journal.read_text("utf-8").replace("read_work_order", "read_wirk_order"))
    second = lesson(NAME).visit(ORDER)
    assert "put aside" in second.card["notice"]
    assert 2 == len(list(journal.parent.glob("*.jsonl")))
    second.desk.visit.close()


def test_beginning_anew_keeps_the_old_journal(folder):
    """Nothing a learner did is thrown away."""
    desk = Desk(ORDER, folder / NAME, "p-1")
    desk.visit.step("read_work_order")
    desk.renew()
    assert 0 == len(desk.visit.outcomes)
    assert 2 == len(list((folder / NAME).glob("*.jsonl")))
    desk.visit.close()


def test_the_learners_id_is_drawn_once_and_says_nothing(folder):
    """An opaque id, the same on every page."""
    first = learner_id(learner_folder())
    assert first == learner_id(learner_folder())
    assert first.startswith("p-")


def test_an_answer_comes_back_on_the_next_page(folder):
    """What was typed, its units and what was said to it are there again."""
    first = lesson(NAME).task("split")
    first.answer(split="16.6")
    second = lesson(NAME).task("split")
    assert {"split": "16.6"} == second.task["given"]
    assert first.reply == second.reply


def test_a_broken_answers_file_is_no_trouble(folder):
    """Half a file, or somebody else's, is read as no answers."""
    here = lesson(NAME)
    for text in ("{", "[1]", json.dumps({"split": 3})):
        (here.folder / "answers.json").write_text(text)
        assert lesson(NAME).task("split").reply is None


def test_a_notes_file_is_written_whole(tmp_path):
    """No temporary file stays behind."""
    write_notes(tmp_path / "n.json", {"a": 1})
    assert {"a": 1} == read_notes(tmp_path / "n.json")
    assert ["n.json"] == [p.name for p in tmp_path.iterdir()]


def test_unknown_names_are_told_with_the_nearest(folder):
    """A slip in a notebook cell is easy to mend."""
    with pytest.raises(UnknownNameError, match="00-start-here"):
        lesson("00-start-hear")
    with pytest.raises(UnknownNameError, match="split"):
        lesson(NAME).task("splitt")


def test_a_folder_that_cannot_be_made_is_one_clear_sentence(tmp_path, monkeypatch):
    """The learner reads what to do."""
    (tmp_path / "file").write_text("")
    monkeypatch.setenv("BENCHCALL_DATA", str(tmp_path / "file" / "below"))
    with pytest.raises(KitError, match="BENCHCALL_DATA"):
        learner_folder()


def test_a_notice_shows_its_text_and_no_markup():
    """What a file name holds must not become part of the page."""
    shown = Notice("In use: <b>x</b>")._repr_mimebundle_()
    assert "&lt;b&gt;" in shown["text/html"]
