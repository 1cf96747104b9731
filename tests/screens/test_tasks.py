"""Tasks of the first lesson: right answers, wrong ones, and what is said to each."""

from __future__ import annotations

import pytest

from kit.errors import KitError
from kit.screens.task_screen import TaskScreen
from kit.screens.tasks import start_here
from kit.screens.tasks.start_here import EXAMPLE, air_values
from tests.screens.asking import asker

TASKS = {task.name: task for task in start_here.TASKS}
asked = asker(start_here.TASKS)


@pytest.mark.parametrize(
    ("units", "split", "tone", "words"),
    [
        ("us", "16.6", "right", "one figure"),
        ("si", "9.2", "right", "one figure"),
        ("us", "9.2 K", "right", "one figure"),
        ("us", "-16.6", "wrong", "size is right"),
        ("us", "9.2", "wrong", "in one unit"),
    ],
)
def test_a_split_is_taken_in_any_unit_and_a_wrong_one_gets_a_hint(units, split, tone, words):
    """The hint fits the mistake."""
    reply = asked("split", units, split=split)
    assert tone == reply["tone"]
    assert words in " ".join(reply["lines"])


def test_the_prediction_stands_and_the_engine_answers():
    """More humidity, less split: the table comes from the engine, not from the text."""
    screen = TaskScreen(TASKS["guess-humidity"])
    said = screen.answer(split="smaller")
    splits = [float(row[1].split()[0]) for row in screen.reply["table"][1:]]
    assert said.startswith("As you said.")
    assert sorted(splits, reverse=True) == splits
    assert splits[2] - splits[-1] > 5
    with pytest.raises(KitError, match="first answer stands"):
        screen.answer(split="larger")


def test_a_wrong_prediction_is_said_to_be_one():
    """It costs nothing, but it is named."""
    assert "wrong" == asked("guess-humidity", split="larger")["tone"]


def test_the_target_is_the_cards_and_the_split_is_judged_against_it():
    """Figure and judgement are both asked for; each has its own hint."""
    card = f"{start_here._card(start_here.ASKED_DB_F, start_here.ASKED_RH) * 1.8:.1f}"
    assert "right" == asked("target", target=card, means="below")["tone"]
    assert "give or take" in " ".join(asked("target", target=card, means="within")["lines"])
    assert "row" in " ".join(asked("target", target="12", means="below")["lines"])


def test_air_is_worked_out_as_the_handbook_does():
    """ASHRAE Handbook - Fundamentals, chapter 1, example 1: one step of its last digit (chart)."""
    rh, dew_k, ratio = air_values(EXAMPLE["db_k"], EXAMPLE["wb_k"])
    assert EXAMPLE["rh"] == pytest.approx(rh, abs=0.01)
    assert EXAMPLE["dew_k"] == pytest.approx(dew_k, abs=0.5)
    assert EXAMPLE["ratio"] == pytest.approx(ratio, abs=1e-4)


def test_the_handbook_stands_beside_what_was_worked_out():
    """A right answer is rewarded with the comparison; a wrong one is not."""
    assert "Handbook" in asked("handbook", "si", rh="14", dew="7.4")["table"][0]
    assert [] == asked("handbook", "si", rh="40", dew="7.4")["table"]


def test_a_wet_bulb_above_the_dry_bulb_is_refused_with_the_reason():
    """An impossible air is not worked out."""
    assert "cannot be above" in asked("air-sheet", db="70", wb="75")["lines"][0]


@pytest.mark.parametrize("units", ["us", "si"])
@pytest.mark.parametrize("name", TASKS)
def test_every_task_can_be_shown_in_both_units(name, units):
    """Question, table and fields speak the learner's units."""
    shown = TaskScreen(TASKS[name], units=units).task
    other = "°C" if units == "us" else "°F"
    assert shown["title"]
    assert other not in " ".join([*shown["ask"], *(cell for row in shown["table"] for cell in row)])


def test_a_request_of_the_view_is_always_answered():
    """Nonsense, a missing field, an answer: each gets its number back."""
    screen = TaskScreen(TASKS["split"])
    requests = ({}, {"do": "answer"}, {"do": "answer", "args": {"split": "1"}})
    for sent, request in enumerate(requests, 1):
        screen.receive({**request, "sent": sent})
        assert sent == screen.answered
    assert screen.problem is None
    screen.receive({"do": "answer", "args": {"split": "x"}, "sent": 4})
    assert "split" == screen.problem["field"]
