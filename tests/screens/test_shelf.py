"""The list of work orders: any of them opens on the same screen, and none gives its fault away."""

from __future__ import annotations

import json

import pytest

from kit import library
from kit.marking.script import load_script, play
from kit.screens import lesson
from kit.visit.work_order import work_order_names

NAME = "15-mixed-practice"


@pytest.fixture(autouse=True)
def folder(tmp_path, monkeypatch):
    """Keep what a learner writes in a folder of the test's own."""
    monkeypatch.setenv("BENCHCALL_DATA", str(tmp_path / "learner"))
    return tmp_path / "learner"


@pytest.fixture
def page():
    """Return the list on a page, its visit put away in the end."""
    made = lesson(NAME).any_visit()
    yield made
    if made.screen is not None:
        made.screen.desk.visit.close()


def choose(page, order: str) -> None:
    """Press the button for a work order, as the view does."""
    names = [one.name for one in page._orders]
    sent = page.shelf.answered + 1
    page.shelf.receive({"do": "open", "place": str(names.index(order)), "sent": sent})
    assert sent == page.shelf.answered


def row(page, order: str) -> dict:
    """Return what the list says of a work order."""
    return page.shelf.rows[[one.name for one in page._orders].index(order)]


def test_every_work_order_opens_on_the_same_screen(page):
    """The list is whole, and a learner can go from one visit to any other."""
    assert sorted(work_order_names()) == sorted(one.name for one in page._orders)
    for order in page._orders:
        choose(page, order.name)
        assert "" == page.shelf.problem
        assert order.title == page.screen.card["title"]
        assert page.screen.offers
        assert (page.shelf, page.screen) == page.box.children


def test_nothing_on_the_page_tells_what_is_wrong(page):
    """Names such as "low-charge-01" stay off the list and off the screen."""
    choose(page, "low-charge-01")
    sent = json.dumps([page.shelf.rows, page.screen.card, page.screen.story])
    assert [] == [name for name in work_order_names() if name in sent]


def test_a_visit_left_goes_on_where_it_was(page):
    """Another visit may be taken up in between; each has a journal of its own."""
    choose(page, "humid-room-01")
    page.screen.receive({"do": "step", "action": "read_work_order", "args": {}, "sent": 1})
    clock = page.screen.clock
    choose(page, "chewed-wire-01")
    assert {"s": 0.0} == page.screen.clock
    assert "Under way" == row(page, "humid-room-01")["lines"][-1][1]
    choose(page, "humid-room-01")
    assert clock == page.screen.clock


def test_the_last_visit_is_open_when_the_page_is_run_again(page):
    """After a reload or a new kernel the learner is where the work was."""
    choose(page, "outdoor-fan-01")
    page.screen.desk.visit.close()
    again = lesson(NAME).any_visit()
    assert "outdoor-fan-01" == again.screen.desk.work_order
    assert row(again, "outdoor-fan-01")["opened"]
    again.screen.desk.visit.close()


def test_a_finished_visit_keeps_its_marks_on_the_list_until_it_begins_anew(page):
    """The learner sees what to practise again."""
    script = load_script(library.answer_keys("practice", "spring-check-01", "weak.toml"))
    choose(page, script.work_order)
    play(script, page.screen.desk.visit)
    page.screen.refresh()
    said = row(page, script.work_order)["lines"][-1][1]
    assert said.startswith("Not passed: ")
    page.screen.receive({"do": "again", "args": {}, "sent": 1})
    assert "Under way" == row(page, script.work_order)["lines"][-1][1]


def test_a_visit_that_is_open_elsewhere_is_told_and_the_list_stays(page, tmp_path):
    """One clear sentence in the place of a screen; another visit can be chosen."""
    (page._lesson.folder / "two-faults-01.jsonl").mkdir()
    choose(page, "two-faults-01")
    assert page.shelf.problem
    assert (page.shelf,) == page.box.children
    choose(page, "humid-room-01")
    assert "" == page.shelf.problem


def test_the_list_speaks_the_learners_language(page):
    """A choice of language on the list reaches the open visit too."""
    choose(page, "spring-check-01")
    page.shelf.receive({"do": "language", "to": "es", "sent": 2})
    assert page.shelf.words["shelf"] != "Work orders"
    assert "es" == page.screen.words["lang"]


def test_a_senseless_request_is_answered_and_changes_nothing(page):
    """The page never waits for ever."""
    for number, request in enumerate(({}, {"do": "open", "place": "99"}, {"do": "fly"}), 1):
        page.shelf.receive({**request, "sent": number})
        assert number == page.shelf.answered
    assert page.screen is None
