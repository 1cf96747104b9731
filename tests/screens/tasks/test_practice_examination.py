"""The warm-up before the practice examination: answers are worked out, each slip has its hint."""

from __future__ import annotations

import itertools

import pytest

from kit.errors import KitError
from kit.screens.task_screen import TaskScreen
from kit.screens.tasks import practice_examination as lesson
from tests.screens.asking import asker

TASKS = {task.name: task for task in lesson.TASKS}
asked = asker(lesson.TASKS)


def ordered(*steps: str) -> dict:
    """Answer the task of the six steps in an order."""
    return asked("six-steps", **dict(zip(lesson.PLACES, steps, strict=True)))


@pytest.mark.parametrize(("split", "tone"), [("lower", "right"), ("higher", "wrong")])
def test_a_washed_coil_may_show_less_split(split, tone):
    """After rain the split is lower and the unit moves more heat, each on its own target."""
    reply = asked("guess-recheck", split=split)
    assert tone == reply["tone"]
    assert reply["plots"]
    found, left = lesson.run(cleaned=False), lesson.run(cleaned=True)
    assert left.split_k < found.split_k - lesson.BAND_K
    assert left.capacity_w > 1.1 * found.capacity_w


def test_the_prediction_follows_from_the_run_and_stands(monkeypatch):
    """In the same air the split would have risen."""
    screen = TaskScreen(TASKS["guess-recheck"])
    screen.answer(split="lower")
    with pytest.raises(KitError, match="first answer stands"):
        screen.answer(split="higher")
    runs = {False: lesson.run(cleaned=True), True: lesson.run(cleaned=False)}
    monkeypatch.setattr(lesson, "run", lambda *, cleaned: runs[cleaned])
    assert "right" == asked("guess-recheck", split="higher")["tone"]


@pytest.mark.parametrize(
    ("row", "means", "tone", "words"),
    [
        (lesson.ASKED_F, "within", "right", "less rise"),
        (lesson.ASKED_F, "below", "wrong", "mild days"),
        (47, "within", "wrong", "other weather"),
    ],
)
def test_the_card_is_read_at_the_outdoor_air(row, means, tone, words):
    """A rise that the rule of thumb would condemn is what the card wants on a cold day."""
    reply = asked("cold-day", target=f"{lesson._card_k(row) * 1.8:.1f}", means=means)
    assert tone == reply["tone"]
    assert words in " ".join(reply["lines"])


def test_any_other_figure_is_sent_to_the_card():
    """A figure of no row gets the plain hint."""
    assert "Find the row" in " ".join(asked("cold-day", target="12", means="within")["lines"])


def test_the_law_of_gases_meets_the_printed_rule():
    """ASHRAE Journal, January 2021, p. 40: about 1 psi per °F at 500 psig, to the one digit."""
    cold_f = (lesson.EVENING_K - lesson.MORNING_K) * 1.8
    for work_out in (lesson.morning_pa, lesson.real_morning_pa):
        lost = lesson.EVENING_PA - work_out(lesson.EVENING_PA, lesson.EVENING_K, lesson.MORNING_K)
        assert 1.0 == round(lost / lesson.PSI_PA / cold_f, 0)
        assert lost / lesson.PSI_PA == pytest.approx(cold_f, abs=2.0)  # what the question allows
    warm = lesson.morning_pa(lesson.EVENING_PA, lesson.EVENING_K, lesson.EVENING_K + 1 / 1.8)
    # Row gas_and_vacuum-n2-exact: 0.972 psi per °F at 500 psig and 70 °F, printed to three digits.
    assert (warm - lesson.EVENING_PA) / lesson.PSI_PA == pytest.approx(0.972, abs=0.001)


@pytest.mark.parametrize(
    ("system", "pressure", "tight", "words"),
    [
        ("us", "482", "leaks", "Soap and a detector"),
        ("si", "3325", "leaks", "Soap and a detector"),
        ("us", "500", "leaks", "Colder gas"),
        ("us", "371", "leaks", "do not start at nothing"),
        ("us", "518", "leaks", "one psi"),
        ("us", "482", "holds", "look at the gauge again"),
    ],
)
def test_each_slip_over_night_has_its_hint(system, pressure, tight, words):
    """No change, a thermometer's zero, the wrong way, the wrong verdict."""
    reply = asked("nitrogen", system, pressure=pressure, tight=tight)
    assert words in " ".join(reply["lines"])
    assert bool(reply["table"]) is (reply["tone"] == "right")


def test_the_order_is_that_of_the_model_visit():
    """No second truth: the script of the answer key says it."""
    assert "right" == ordered(*lesson.model_order())["tone"]


def test_every_swap_of_neighbours_is_found_where_it_is():
    """The hint counts what is in order and names a reason, not the step."""
    for at, _ in enumerate(itertools.pairwise(lesson.PLACES)):
        steps = list(lesson.model_order())
        steps[at], steps[at + 1] = steps[at + 1], steps[at]
        said = ordered(*steps)["lines"]
        assert f"In order so far: {at} of 6." == said[0]
        assert lesson.STEPS[lesson.model_order()[at]][0] not in said[1]


def test_a_step_named_twice_is_told():
    """One is then missing."""
    steps = (*lesson.model_order()[:-1], lesson.model_order()[0])
    assert "twice" in ordered(*steps)["lines"][0]
