"""The practice examination: drawn by chance, silent until the hand-over, found again after it."""

from __future__ import annotations

import json
import secrets
from itertools import pairwise

import pytest

from kit import library
from kit.marking.script import load_script, play
from kit.screens import lesson
from kit.screens.examination import GIVE_UP, NEXT, drawn, seed_of
from kit.screens.folder import learner_folder, write_notes
from kit.visit.work_order import load_work_order, work_order_names

NAME = "16-practice-examination"


@pytest.fixture(autouse=True)
def folder(tmp_path, monkeypatch):
    """Keep what a learner writes in a folder of the test's own, under one learner's id."""
    monkeypatch.setenv("BENCHCALL_DATA", str(tmp_path / "learner"))
    write_notes(learner_folder() / "learner.json", {"id": "p-01"})
    return tmp_path / "learner"


@pytest.fixture
def page():
    """Return the examination on its page, its visit put away in the end."""
    made = lesson(NAME).examination()
    yield made
    close(made)


def close(page) -> None:
    """Free the journal, as closing the notebook does."""
    if page.screen is not None:
        page.screen.desk.visit.close()


def press(page) -> dict:
    """Press the button for the next attempt, as the view does, and return what is said."""
    page.head.receive({"do": "answer", "args": {}, "sent": page.head.answered + 1})
    return page.head.reply


def hand_over(page, how: str) -> None:
    """Do the visit as a script of the answer key does it."""
    script = load_script(
        library.answer_keys("practice", page.screen.desk.work_order, f"{how}.toml")
    )
    play(script, page.screen.desk.visit)
    page.screen.refresh()


def row(page, attempt: int) -> list[str]:
    """Return what the list says of an attempt."""
    return page.head.task["table"][attempt]


def test_the_draw_is_the_same_again_and_differs_between_learners():
    """A reload changes nothing; a neighbour's paper is of no use."""
    assert drawn("p-01", 3) == drawn("p-01", 3)
    assert seed_of("p-01", 3) == seed_of("p-01", 3)
    assert seed_of("p-01", 3) != seed_of("p-01", 4)
    first = {drawn(f"p-{secrets.token_hex(4)}", 1) for _ in range(200)}
    assert len(first) > len(work_order_names()) / 2


def test_every_work_order_comes_once_before_one_comes_again():
    """A second attempt is another job, also after the last of them."""
    every = len(work_order_names())
    row_of = [drawn("p-01", n) for n in range(1, 2 * every + 1)]
    assert sorted(work_order_names()) == sorted(row_of[:every])
    assert all(one != other for one, other in pairwise(row_of))


def test_nothing_is_open_until_the_learner_asks(page):
    """Reading the page starts no clock."""
    assert page.screen is None
    assert [] == page.head.task["table"]


def test_an_attempt_shows_its_time_and_never_its_name(page, folder):
    """Neither the screen nor the names of files and notes tell what was drawn."""
    said = press(page)
    page.screen.receive({"do": "step", "action": "read_work_order", "args": {}, "sent": 1})
    allowed = f"{load_work_order(drawn('p-01', 1)).allowed_min:.0f} min"
    assert allowed in " ".join(said["lines"])
    assert ["1", allowed, "Under way", "–", "–"] == row(page, 1)
    shown = json.dumps(
        [page.screen.get_state(), page.head.get_state()], default=lambda _: "another widget"
    )
    names = [path.name for path in folder.rglob("*")]
    assert [] == [name for name in work_order_names() if name in shown + " ".join(names)]
    assert page.screen.verdict is None


def test_an_attempt_under_way_is_not_begun_anew(page):
    """The button says what is to be done first."""
    press(page)
    order = page.screen.desk.work_order
    said = press(page)
    assert ("wrong", order) == (said["tone"], page.screen.desk.work_order)
    assert GIVE_UP == page.screen.words["again"]


def test_it_goes_on_after_a_reload(page):
    """The clock and the order are as they were."""
    press(page)
    page.screen.receive({"do": "step", "action": "read_work_order", "args": {}, "sent": 1})
    clock, order = page.screen.clock, page.screen.desk.work_order
    close(page)
    again = lesson(NAME).examination()
    assert (clock, order) == (again.screen.clock, again.screen.desk.work_order)
    close(again)


def test_marks_come_with_the_hand_over_and_the_next_attempt_is_another_job(page):
    """They stay on the list, also after a reload."""
    press(page)
    order = page.screen.desk.work_order
    hand_over(page, "weak")
    assert page.screen.verdict["lost"]
    assert "Not passed" == row(page, 1)[2]
    assert NEXT == page.screen.words["again"]
    close(page)
    again = lesson(NAME).examination()
    assert again.screen.verdict["lost"]
    assert "plain" == press(again)["tone"]
    assert order != again.screen.desk.work_order
    assert ["Not passed", "Under way"] == [row(again, n)[2] for n in (1, 2)]
    close(again)


def test_a_model_visit_passes_under_the_seed_of_the_examination(page):
    """What is drawn can be done."""
    press(page)
    hand_over(page, "model")
    assert ["Passed", "0"] == [row(page, 1)[2], row(page, 1)[4]]


def test_what_is_given_up_counts_as_an_attempt(page):
    """Nobody looks at a job, gives it up and gets it again."""
    press(page)
    order = page.screen.desk.work_order
    page.screen.receive({"do": "again", "args": {}, "sent": 1})
    assert page.screen is None
    assert "Given up" == row(page, 1)[2]
    close(page)
    again = lesson(NAME).examination()
    assert again.screen is None
    press(again)
    assert order != again.screen.desk.work_order
    close(again)


def test_after_the_hand_over_the_visit_leads_to_the_next_attempt(page):
    """Its own button does what the one above does."""
    press(page)
    hand_over(page, "weak")
    page.screen.receive({"do": "again", "args": {}, "sent": 2})
    assert "Under way" == row(page, 2)[2]


def test_a_journal_of_an_older_kit_goes_on_with_its_own_order(page, monkeypatch):
    """Work orders that come later change the draw, and not what was begun."""
    press(page)
    order = page.screen.desk.work_order
    close(page)
    monkeypatch.setattr("kit.screens.examination.drawn", lambda *_: "two-faults-01")
    again = lesson(NAME).examination()
    assert order == again.screen.desk.work_order
    close(again)


def test_a_visit_that_cannot_be_opened_is_told(page, folder):
    """One clear sentence, and the list stays."""
    (folder / NAME / "attempt-1" / "visit.jsonl").mkdir(parents=True)
    broken = lesson(NAME).examination()
    assert broken.head.problem["text"]
    assert broken.screen is None


def test_it_speaks_the_learners_language(page):
    """A choice on the list reaches the visit."""
    press(page)
    page.head.receive({"do": "language", "to": "es", "sent": 9})
    assert "es" == page.screen.words["lang"]
    assert GIVE_UP != page.screen.words["again"]
