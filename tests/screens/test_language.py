"""The screens speak the learner's language, all of it, from any moment on."""

from __future__ import annotations

import json
from typing import Any

import pytest

from kit import library
from kit.marking.script import load_script, play
from kit.screens import lesson
from kit.screens.desk import Desk
from kit.screens.folder import read_notes
from kit.screens.page import Lesson
from kit.screens.tasks.start_here import TASKS
from kit.screens.visit_screen import VisitScreen
from tests.screens.double import Double

NAME, ORDER = "00-start-here", "spring-check-01"
SHOWN = ("words", "card", "site", "offers", "said", "story", "tray", "sheet", "curve", "verdict")


@pytest.fixture(autouse=True)
def folder(tmp_path, monkeypatch):
    """Keep what a learner writes in a folder of the test's own."""
    monkeypatch.setenv("BENCHCALL_DATA", str(tmp_path / "learner"))
    return tmp_path / "learner"


def ask(screen: Any, do: str, to: str) -> None:
    """Send what the switch sends."""
    screen.receive({"do": do, "to": to, "args": {"to": to}, "sent": screen.answered + 1})


def test_the_switch_changes_every_word():
    """Titles, buttons, the picture and the screen's own words follow at once."""
    screen = VisitScreen(Double())
    ask(screen, "language", "es")

    assert ("es", "Tiempo en el sitio") == (screen.words["lang"], screen.words["on_site"])
    assert "Leer la orden de trabajo" in {offer["title"] for offer in screen.offers}
    assert "Unidad interior" in {part["label"] for part in screen.site["parts"]}
    ask(screen, "language", "en")
    assert ("en", "Time on site") == (screen.words["lang"], screen.words["on_site"])


def test_spanish_is_marked_as_awaiting_review():
    """The switch says so before it is chosen, the work order's card once it is."""
    screen = VisitScreen(Double())
    names = {choice["value"]: choice["name"] for choice in screen.card["languages"]}

    assert "ES: Español (en revisión)" == names["es"]
    assert "" == screen.card["review"]
    ask(screen, "language", "es")
    assert screen.card["under"].endswith("Español (en revisión)")
    assert "pendiente de revisión" in screen.card["review"]


def test_a_language_the_kit_does_not_speak_changes_nothing():
    """A request from an older page cannot break this one."""
    screen = VisitScreen(Double())
    ask(screen, "language", "tlh")

    assert ("en", None) == (screen.words["lang"], screen.problem)


def test_what_cannot_be_read_is_refused_in_the_learners_language():
    """The reason beside the field is in the same language as the field."""
    screen = VisitScreen(Double())
    ask(screen, "language", "es")
    typed = {"mode": "cooling", "setpoint_k": "mucho", "fan": "auto"}
    screen.receive({"do": "step", "action": "set_demand", "args": typed, "sent": 9})

    assert "'mucho' no es un número. Escriba cifras, como 72.5." == screen.problem["text"]


def test_the_journal_keeps_codes_and_no_translation(folder):
    """A visit done in Spanish is the same visit, and says so in one line of its journal."""
    screen = Lesson(NAME).visit(ORDER)
    ask(screen, "language", "es")
    screen.receive({"do": "step", "action": "ask", "args": {"topic": "drip"}, "sent": 9})
    screen.desk.visit.close()
    lines = [json.loads(text) for text in screen.desk.journal.read_text("utf-8").splitlines()]

    assert ["header", "view", "action"] == [line["kind"] for line in lines]
    assert "es" == lines[1]["language"]
    assert "You ask: {question}" in json.dumps(lines[2]["outcome"])
    assert "Usted pregunta" in screen.said["lines"][0]


def test_the_choice_is_kept_for_every_page_and_the_next_time(folder):
    """Chosen on one screen, spoken by the page's others, and there again tomorrow."""
    page = lesson(NAME)
    task, screen = page.task("split"), page.visit(ORDER)
    ask(task, "language", "es")
    screen.desk.visit.close()
    again = lesson(NAME)
    reopened = again.visit(ORDER)
    reopened.desk.visit.close()

    assert ("es", "es") == (task.words["lang"], screen.words["lang"])
    assert "es" == read_notes(folder / "learner.json")["language"]
    assert ("es", "es") == (again.task("split").words["lang"], reopened.words["lang"])


@pytest.mark.parametrize("name", [task.name for task in TASKS])
def test_a_task_asks_and_answers_in_spanish(name):
    """Question, fields, button and reply have their translation."""
    screen = lesson(NAME).task(name)
    before = {"ask": screen.task["ask"], "button": screen.task["button"]}
    ask(screen, "language", "es")

    assert before["ask"] != screen.task["ask"]
    assert before["button"] != screen.task["button"]


def texts(value: Any, key: str = "") -> list[str]:
    """Return every text in what the screen shows, names and drawings left out."""
    if isinstance(value, dict):
        return [text for k, v in value.items() for text in texts(v, str(k))]
    if isinstance(value, list | tuple):
        return [text for one in value for text in texts(one, key)]
    codes = ("name", "value", "key", "code", "part", "svg", "kind", "tone", "place", "mode", "lang")
    return [value] if isinstance(value, str) and key not in codes else []


def test_a_whole_visit_on_the_screen_shows_no_english(folder):
    """From the first button to the marks, nothing on the screen has stayed English."""
    from tests.test_language import ENGLISH

    script = load_script(library.answer_keys("practice", ORDER, "model.toml"))
    desk = Desk(ORDER, folder, script.learner, script.seed, "es")
    screen = VisitScreen(desk)
    kept = (screen.words["silent"], "English")
    found: set[str] = set()
    step = desk.visit.step

    def step_and_look(action: str, /, **arguments: Any) -> Any:
        outcome = step(action, **arguments)
        if outcome.number % 8 == 0 or desk.visit.finished:
            screen.refresh()
            for name in SHOWN:
                found.update(text for text in texts(getattr(screen, name)) if text not in kept)
        return outcome

    desk.visit.step = step_and_look
    play(script, desk.visit)

    assert screen.verdict is not None
    assert len(found) > 600
    assert set() == {text for text in found if ENGLISH.search(text)}
