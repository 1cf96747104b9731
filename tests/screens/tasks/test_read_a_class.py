"""Tasks on reading a class: right answers come from its journals, mistakes get their hints."""

from __future__ import annotations

import pytest

from kit.screens.task_screen import TaskScreen
from kit.screens.tasks import read_a_class as lesson


def screen(name: str) -> TaskScreen:
    """Return the widget of a task."""
    return TaskScreen(next(task for task in lesson.TASKS if task.name == name))


@pytest.mark.parametrize("said", lesson.BLOCKS)
def test_the_verdict_follows_from_the_marks(said):
    """The part with the largest share lost, as the three journals are marked now."""
    task = screen("where-lost")
    task.answer(block=said)
    shares = {name: lost / most for name, (_, lost, most) in lesson.lost_by_block().items()}
    right = max(shares, key=shares.get)
    assert ("right" if said == right else "wrong") == task.reply["tone"]


def test_what_is_taught_next():
    """Most learners first, then most points; a row of one learner gets its own hint."""
    task = screen("teach-next")
    rows = lesson.asked_rows()
    assert lesson.ASKED_ROWS == len(rows)
    for number, one in enumerate(rows, 1):
        said = task.answer(row=f"{number}")
        if one.name in lesson.teach_next():
            assert said.startswith("Right.")
        elif one.learners == 1:
            assert "Take that one aside" in said
        else:
            assert "cost them more" in said


def test_two_jobs_are_compared_by_their_shares():
    """Fewer points can be the better job; points and what was lost get their own hints."""
    first, second = lesson.shares()
    one, other = (lesson.mark_of("careful", order) for order in lesson.TWO_JOBS)
    assert one.points < other.points
    assert first > second
    task = screen("compare")
    assert task.answer(share=f"{100 * first:.1f}", better="first").startswith("Right.")
    assert "other one out as well" in task.answer(share=f"{100 * first:.1f}", better="second")
    assert "Those are the points" in task.answer(share=f"{one.points:g}", better="first")
    assert "share that was lost" in task.answer(share=f"{100 - 100 * first:.1f}", better="first")


def test_the_sheet_meets_psychrolib_and_the_key():
    """What psychrolib (ASHRAE) makes of both temperatures is within 3 % of the hidden humidity."""
    db_k, wb_k = lesson.psychrometer()
    rh = lesson.air_values(db_k, wb_k)[0]
    assert lesson.hidden_humidity() == pytest.approx(rh, abs=0.03)
    task = screen("sheet")
    assert task.answer(rh=f"{100 * rh:.1f}").startswith("Right.")
    ratio = (wb_k * 1.8 - 459.67) / (db_k * 1.8 - 459.67)
    assert "not a ratio of temperatures" in task.answer(rh=f"{100 * ratio:.1f}")
    assert "psychrometric chart" in task.answer(rh="30")


@pytest.mark.parametrize("reason", ["likes", "round", "talk"])
def test_a_reason_that_does_not_hold_gets_its_hint(reason):
    """Only what was done, seen and missing in the journal is a reason."""
    assert screen("reason").answer(reason=reason).startswith("Not yet.")
    assert screen("reason").answer(reason="seen").startswith("Right.")
