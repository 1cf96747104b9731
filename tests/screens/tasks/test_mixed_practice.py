"""Tasks that mix the course: the engine decides which check separates two causes."""

from __future__ import annotations

import pytest

from kit.errors import KitError
from kit.faults import fault
from kit.screens.task_screen import TaskScreen
from kit.screens.tasks import mixed_practice as lesson
from kit.screens.tasks._next_check import opens_the_circuit, separates
from tests.screens.asking import asker

TASKS = {task.name: task for task in lesson.TASKS}
asked = asker(lesson.TASKS)
PUZZLES = {puzzle.name: puzzle for puzzle in lesson.PUZZLES}


@pytest.fixture(params=PUZZLES.values(), ids=PUZZLES)
def puzzle(request):
    """Return each puzzle in turn."""
    return request.param


def test_what_is_on_the_sheet_fits_both_causes(puzzle):
    """No reading that is shown separates the two; else nothing would be left to check."""
    assert [] == [check for check in puzzle.shown if separates(puzzle, check)]


def test_exactly_one_check_leaves_the_circuit_closed_and_tells(puzzle):
    """The others read alike, or need gauges where none are needed."""
    quiet = [c for c in puzzle.offered if separates(puzzle, c) and not opens_the_circuit(c)]
    assert 1 == len(quiet)


def test_every_check_gets_the_answer_the_engine_gives(puzzle):
    """Right when it separates and is gentle; each kind of wrong one has its own words."""
    for check in puzzle.offered:
        reply = asked(puzzle.name, check=check)
        said = " ".join(reply["lines"])
        titles = [fault(cause).title for cause, _ in puzzle.causes]
        if not separates(puzzle, check):
            assert ("wrong", []) == (reply["tone"], reply["table"])
            assert "reads alike" in said
        elif opens_the_circuit(check):
            assert ("wrong", []) == (reply["tone"], reply["table"])
            assert "leaves the circuit closed" in said
        else:
            assert "right" == reply["tone"]
            assert f": {titles[0]}." in said
            assert [*titles] == reply["table"][0][1:3]


def test_a_hint_names_no_cause(puzzle):
    """Only a right check tells what the unit has."""
    wrong = next(c for c in puzzle.offered if not separates(puzzle, c))
    said = " ".join(asked(puzzle.name, check=wrong)["lines"])
    assert [] == [c for c, _ in puzzle.causes if fault(c).title in said]


def test_a_filter_and_a_film_make_a_usual_split():
    """Within the band of a target, while a tenth of the cooling is gone."""
    sound, both = lesson.run("sound"), lesson.run("both")
    assert abs(both.split_k - sound.split_k) < lesson.BAND_K
    assert both.capacity_w < 0.93 * sound.capacity_w
    assert lesson.run("filter").split_k > sound.split_k + 1.0
    assert lesson.run("film").split_k < sound.split_k - 1.0


def test_the_prediction_follows_from_the_run_and_stands(monkeypatch):
    """With a thicker film the split would be lower, and the answer another."""
    screen = TaskScreen(TASKS["guess-both"])
    screen.answer(split="same")
    assert "right" == screen.reply["tone"]
    assert screen.reply["plots"]
    with pytest.raises(KitError, match="first answer stands"):
        screen.answer(split="lower")
    runs = {"sound": lesson.run("filter"), "both": lesson.run("film")}
    monkeypatch.setattr(lesson, "run", lambda name: runs.get(name, runs["both"]))
    assert "right" == asked("guess-both", split="lower")["tone"]


def test_engine_and_published_curve_agree():
    """NREL/TP-5500-56354 at the lesson's airflow, within the 6 % of two test methods."""
    filtered, sound = lesson.run("filter"), lesson.run("sound")
    share = float(filtered.airflow_m3_s / sound.airflow_m3_s)
    engine = float(filtered.capacity_w / sound.capacity_w)
    assert lesson.published_share(share) == pytest.approx(engine, rel=lesson.METHODS)
    assert lesson.published_share(1.0) == pytest.approx(1.0, abs=1e-5)


@pytest.mark.parametrize(
    ("share", "capacity", "words"),
    [
        ("75", "95.6", "hardly a twentieth"),
        ("133", "95.6", "More than all"),
        ("25", "95.6", "what was missing"),
        ("60", "95.6", "Divide the airflow"),
        ("75", "75", "in step with air"),
        ("75", "40", "the square goes"),
    ],
)
def test_each_slip_with_the_airflow_has_its_hint(share, capacity, words):
    """Upside down, the rest, proportional, a slip in the curve."""
    reply = asked("airflow-share", share=share, capacity=capacity)
    assert words in " ".join(reply["lines"])
    assert bool(reply["table"]) is (reply["tone"] == "right")
