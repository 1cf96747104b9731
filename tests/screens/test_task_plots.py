"""Drawings with a question and with its answer."""

from __future__ import annotations

from kit.screens.plots import air_chart, split_chart
from kit.screens.task import Reply, Task
from kit.screens.task_screen import TaskScreen
from kit.visit.outcome import line
from tests.screens.plots.reading import parsed, words

ASKED = air_chart([("room", 300.0, 0.5)])
SAID = split_chart([("run", [0.0, 600.0], [0.0, 10.0])])
TASK = Task(
    "look", "Look at it", (line("What do you see?"),), (), "Show it",
    lambda _: Reply(None, (line("This."),), plots=(SAID,)), plots=lambda: (ASKED,),
)  # fmt: skip


def test_a_drawing_stands_with_the_question_and_with_the_answer():
    """Each with its words; none stays behind where there is none."""
    screen = TaskScreen(TASK)
    (asked,) = screen.task["plots"]
    assert "80.3 °F" in asked["alt"]
    assert parsed(asked["svg"]).get("aria-label") == asked["alt"]
    assert screen.reply is None
    screen.answer()
    (said,) = screen.reply["plots"]
    assert "18.0 °F after 10 min" in said["alt"]


def test_drawings_follow_units_and_language():
    """The switch for units is there when figures stand in a drawing alone."""
    screen = TaskScreen(TASK)
    screen.answer()
    assert screen.task["units"]
    screen.receive({"do": "units", "to": "si"})
    screen.receive({"do": "language", "to": "es"})
    assert "26.9 °C" in screen.task["plots"][0]["alt"]
    assert "Diferencial, K" in words(parsed(screen.reply["plots"][0]["svg"]))


def test_a_task_without_drawings_has_none():
    """Nothing is sent for it."""
    plain = Task("plain", "Plain", (), (), "Go", lambda _: Reply(None, ()))
    screen = TaskScreen(plain)
    screen.answer()
    assert [] == screen.task["plots"] == screen.reply["plots"]
    assert [] == screen.task["units"]
