"""Tasks on writing work orders: what the engine finds decides, each usual mistake has its hint."""

from __future__ import annotations

import csv
import math

import pytest

from kit import library
from kit.machine.readings import reading
from kit.physics.correlations import charge_ratio
from kit.screens.task_screen import TaskScreen
from kit.screens.tasks import write_a_work_order as lesson


def screen(name: str) -> TaskScreen:
    """Return the widget of a task."""
    return TaskScreen(next(task for task in lesson.TASKS if task.name == name))


@pytest.mark.parametrize("said", ["split", "small", "nothing"])
def test_the_verdict_follows_from_the_run(said):
    """Who says what the engine finds is right, whatever that is."""
    task = screen("mild-leak")
    task.answer(shows=said)
    found = lesson.shows(lesson.leak("mild").faults[0])
    assert ("right" if said == found else "wrong") == task.reply["tone"]


def test_a_mild_leak_hides_from_the_split_and_a_moderate_one_does_not():
    """What the task teaches is so on the unit it names."""
    assert "split" not in lesson.leak("mild").faults[0].by
    assert "split" in lesson.leak("moderate").faults[0].by


def test_the_accuracy_asked_about_is_the_one_of_the_kit():
    """The exercise and the desk judge an airflow alike."""
    tool = reading("airflow")
    assert (lesson.AIRFLOW_PLUS, lesson.AIRFLOW_SHARE) == (tool.absolute, tool.relative)
    assert not tool.apart(lesson.SOUND_AIRFLOW, lesson.WEAK_AIRFLOW)


def test_two_readings_together():
    """The root of the squares is right; the sum and a single one get their own hints."""
    one, other = (lesson.off_by(v) / 0.0004719474 for v in (0.189, 0.157))
    task = screen("off-by")
    assert task.answer(span=f"{math.hypot(one, other):.1f}").startswith("Right.")
    assert "That is the sum" in task.answer(span=f"{one + other:.1f}")
    assert "one reading alone" in task.answer(span=f"{one:.1f}")
    assert "add the two and take the root" in task.answer(span="20")


def test_the_unfair_job():
    """The engine says which one it is; a wrong reason is not taken."""
    assert lesson.fair(first=True)
    assert not lesson.fair(first=False)
    task = screen("unfair")
    assert task.answer(which="second", why="nothing").startswith("Right.")
    assert "not for that reason" in task.answer(which="second", why="hot")
    assert "Two faults are fair" in task.answer(which="first", why="many")


def test_what_has_leaked_out():
    """Level times the worst; the level as a share and what is left get their own hints."""
    label = lesson.label_kg() / 0.028349523125
    task = screen("missing")
    assert task.answer(missing=f"{0.3 * label:.1f}").startswith("Right.")
    assert "no share of the charge" in task.answer(missing=f"{0.5 * label:.1f}")
    assert "what is left" in task.answer(missing=f"{0.7 * label:.1f}")
    assert "Level times" in task.answer(missing="1")


def test_what_a_level_does_is_what_the_fault_does():
    """The share named in the question is the one the fault takes."""
    from kit.faults import fault
    from kit.machine import Condition

    left = fault("low-charge").apply(Condition(), lesson.ASKED_LEVEL).charge_fraction
    assert 1.0 - lesson.MOST_LOST * lesson.ASKED_LEVEL == pytest.approx(left)


def test_the_published_capacity_is_the_one_in_the_published_table():
    """NIST TN 1848, 30 % undercharge: within the tolerance stated in the row, 0.0011."""
    text = library.datasets("published", "charge.csv").read_text("utf-8")
    rows = csv.DictReader(text.splitlines())
    row = next(r for r in rows if r["id"] == "charge-cool-0.3-capacity")
    assert float(row["expected"]) == lesson.PUBLISHED_CAPACITY
    ours = float(charge_ratio("cooling", "capacity", -0.3, 299.82, 308.15))
    assert lesson.PUBLISHED_CAPACITY == pytest.approx(ours, abs=float(row["tolerance"]))
    assert lesson.PUBLISHED_CAPACITY < lesson.capacity_left() < 0.95
