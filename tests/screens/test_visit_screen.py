"""The widget: asks the visit, shows what it says, and keeps nothing of its own."""

from __future__ import annotations

import json
from dataclasses import replace
from unittest.mock import sentinel

import pytest

from kit.errors import KitError
from kit.screens.visit_screen import VisitScreen
from kit.visit.outcome import line
from tests.screens.double import Double, outcome, reading, view


@pytest.fixture
def double() -> Double:
    """Return a visit whose answers are set by the test."""
    return Double(view(readings=(reading(1, "supply", 287.0, 60),)))


def press(screen: VisitScreen, action: str, **args) -> None:
    """Send what the view sends for a pressed button."""
    screen.receive({"do": "step", "action": action, "args": args, "sent": screen.answered + 1})


def test_a_form_reaches_the_visit_in_si(double):
    """65 °F typed is 291.483 K for the visit."""
    press(VisitScreen(double), "set_demand", mode="cooling", setpoint_k="65", fan="auto")
    name, args = double.asked[0]
    assert "set_demand" == name
    assert 291.483 == pytest.approx(args["setpoint_k"], abs=1e-3)


def test_a_wrong_entry_never_reaches_the_visit(double):
    """It is refused on the screen, with the field named, and costs no time."""
    screen = VisitScreen(double)
    press(screen, "set_demand", mode="cooling", setpoint_k="12", fan="auto")
    assert [] == double.asked
    assert ("set_demand", "setpoint_k") == (screen.problem["action"], screen.problem["field"])


def test_a_reading_is_written_down_by_its_number(double):
    """The sheet gets the instrument's own figure, not one typed again."""
    screen = VisitScreen(double)
    args = {"line": "supply_dry_bulb/as_found", "reading": 1}
    screen.receive({"do": "write", "args": args, "sent": 1})
    wanted = {"item": "supply_dry_bulb", "when": "as_found", "reading": 1.0}
    assert ("record", wanted) == double.asked[0]


def test_every_request_is_answered_also_a_senseless_one(double):
    """The page never waits for ever."""
    screen = VisitScreen(double)
    unknown = ({"do": "step", "action": "fly"}, {"do": "select", "part": "moon"})
    for number, request in enumerate(({"do": "nonsense"}, {}, *unknown), 1):
        screen.receive({**request, "sent": number})
        assert number == screen.answered


def test_an_unforeseen_failure_is_told_and_kept_for_the_log(double):
    """A learner must never face a dead button; a developer gets the whole trace."""
    screen = VisitScreen(double)

    def broken(*_args, **_kwargs):
        raise ZeroDivisionError("a slip")

    double.step = broken
    with pytest.raises(ZeroDivisionError):
        press(screen, "read_work_order")
    assert "stumbled" in screen.problem["text"]
    assert 1 == screen.answered


def test_a_refused_action_keeps_what_was_typed(double):
    """The form is cleared only after the action was done."""
    double.answer = outcome("read", reason=line("The filter is in."))
    screen = VisitScreen(double)
    press(screen, "read", instrument="air_probe", at="supply")
    assert {} == screen.done
    double.answer = outcome("read")
    press(screen, "read", instrument="air_probe", at="supply")
    assert ["read.instrument", "read.at"] == screen.done["keep"]


def test_units_change_everything_shown_and_nothing_kept(double):
    """The journal stays in SI; only the words on the screen change."""
    screen = VisitScreen(double)
    before = screen.tray[0]["text"]
    screen.receive({"do": "units", "args": {"to": "si"}, "sent": 1})
    assert ("56.9 °F", "13.9 °C") == (before, screen.tray[0]["text"])
    assert [] == double.asked


def test_the_chosen_units_are_noted_in_the_visit(double):
    """The next time the visit is opened, it speaks them again."""
    VisitScreen(double).receive({"do": "units", "args": {"to": "si"}, "sent": 1})
    assert "si" == double.units


def test_the_id_of_the_work_order_is_nowhere_on_the_screen(double):
    """An id such as "low-charge-01" would give the fault away."""
    screen = VisitScreen(double)
    assert double.order.name not in json.dumps(screen.card)


def test_beginning_anew_puts_the_old_visit_aside(double):
    """The desk is asked for a new visit and the screen shows it."""
    screen = VisitScreen(double)
    press(screen, "read_work_order")
    screen.receive({"do": "again", "args": {}, "sent": 2})
    assert [] == screen.story
    assert 0.0 == screen.clock["s"]


def test_the_work_order_is_shown_once_it_was_read(double):
    """Reading the paper is part of the job."""
    screen = VisitScreen(double)
    assert [] == screen.card["lines"]
    double.answer = outcome("read_work_order")
    press(screen, "read_work_order")
    assert "Ms Ada Quill, 4 Larch Lane" in screen.card["lines"][0]


def test_no_marks_before_the_visit_is_closed(double, monkeypatch):
    """Marks are for the end."""
    screen = VisitScreen(double)
    assert screen.verdict is None
    double.seen = replace(double.seen, closed=True)
    double.marked = sentinel.mark, sentinel.plot
    asked = []
    monkeypatch.setattr("kit.screens.marks.verdict", lambda mark, *_: asked.append(mark) or {})
    screen.refresh()
    assert [sentinel.mark] == asked


def test_after_the_hand_over_nothing_is_offered(double, monkeypatch):
    """The visit is closed: no button is left that could only be refused."""
    monkeypatch.setattr("kit.screens.marks.verdict", lambda *_: {})
    double.marked = sentinel.mark, sentinel.plot
    screen = VisitScreen(double)
    assert screen.offers
    double.seen = replace(double.seen, closed=True)
    screen.refresh()
    assert [] == screen.offers


def test_a_kit_error_is_shown_and_not_raised(double):
    """An error made for people is for people."""
    screen = VisitScreen(double)

    def closed(*_args, **_kwargs):
        raise KitError("This visit was opened elsewhere.")

    double.step = closed
    press(screen, "read_work_order")
    assert "This visit was opened elsewhere." == screen.problem["text"]
