"""Tasks of the lesson on cleaning: right answers, the usual mistakes, and what they rest on."""

from __future__ import annotations

import numpy as np
import pytest

from kit.errors import KitError
from kit.machine import Condition
from kit.screens.task_screen import TaskScreen
from kit.screens.tasks import _cleaning, cleaning_and_rechecking
from tests.screens.asking import asker

TASKS = {task.name: task for task in cleaning_and_rechecking.TASKS}
asked = asker(cleaning_and_rechecking.TASKS)
BEST = cleaning_and_rechecking.BEST


def figures(reply: dict, column: int) -> list[float]:
    """Return a column of figures without their units."""
    return [float(row[column].split()[0].rstrip("%")) for row in reply["table"][1:]]


def test_washing_a_choked_filter_lowers_the_split_and_moves_more_heat():
    """The prediction's verdict follows from the run; a film works the other way round."""
    reply = asked("guess-wash", split="smaller")
    assert ("right", "wrong") == (reply["tone"], asked("guess-wash", split="larger")["tone"])
    split, heat = figures(reply, 1), figures(reply, 3)
    assert split[0] - split[1] > 2 > -2 > split[3] - split[4]
    assert split[2] > split[1]  # a wet mesh chokes as well
    assert heat[1] > heat[0]
    assert heat[4] > heat[3]


def test_another_fan_speed_looks_like_an_improvement():
    """Same dirt, less air, larger split, less heat."""
    reply = asked("guess-fan", split="larger")
    assert ("right", "wrong") == (reply["tone"], asked("guess-fan", split="same")["tone"])
    assert sorted(figures(reply, 1)[:4], reverse=True) == figures(reply, 1)[:4]
    assert sorted(figures(reply, 3)[:4]) == figures(reply, 3)[:4]


def test_a_prediction_stands():
    """The first answer is kept."""
    screen = TaskScreen(TASKS["guess-fan"])
    screen.answer(split="same")
    with pytest.raises(KitError, match="first answer stands"):
        screen.answer(split="larger")


@pytest.mark.parametrize(("what", "how"), cleaning_and_rechecking._METHOD_HINTS)
def test_each_wrong_method_gets_its_own_hint(what, how):
    """What it does is named, and the right one is not."""
    reply = asked("methods", **{**BEST, what: how})
    assert "wrong" == reply["tone"]
    assert [cleaning_and_rechecking._METHOD_HINTS[what, how]] == reply["lines"]


def test_every_method_offered_is_right_or_has_a_hint():
    """No choice falls through."""
    for field in TASKS["methods"].fields:
        for one in field.choices:
            hinted = (field.name, one.value) in cleaning_and_rechecking._METHOD_HINTS
            assert hinted != (BEST[field.name] == one.value)


def test_good_methods_move_more_heat_than_bad_ones():
    """The table behind a right answer is the engine's, with what each method leaves."""
    reply = asked("methods", **BEST)
    heat = figures(reply, 2)
    assert "right" == reply["tone"]
    assert max(heat[:4]) == heat[1]
    assert heat[5] > heat[6] == heat[4]


@pytest.mark.parametrize(
    ("units", "sure", "tone", "words"),
    [
        ("us", "1.3", "right", "less than their sum"),
        ("us", "1.27", "right", "less than their sum"),
        ("si", "0.7", "right", "less than their sum"),
        ("us", "1.8", "wrong", "worst case"),
        ("us", "0.9", "wrong", "one probe"),
        ("us", "0.64", "wrong", "mean of two"),
        ("us", "1.62", "wrong", "root is taken"),
        ("us", "0", "wrong", "same amount"),
        ("us", "3", "wrong", "take the root"),
    ],
)
def test_a_split_is_as_sure_as_its_two_readings_together(units, sure, tone, words):
    """Each slip has its own hint."""
    reply = asked("split-sure", units, sure=sure)
    assert tone == reply["tone"]
    assert words in " ".join(reply["lines"])


def test_root_of_squares_is_what_many_pairs_of_probes_show():
    """Simulated errors of two probes, 95 % within the accuracy, spread as NIST TN 1297 says."""
    accuracy = _cleaning.probe().accuracy
    errors = np.random.default_rng(7).normal(0.0, accuracy / 1.96, (2, 200_000))
    spread = np.quantile(np.abs(errors[0] - errors[1]), 0.95)
    assert spread == pytest.approx(_cleaning.together(accuracy, accuracy), rel=0.01)


def test_a_published_rules_band_holds_two_of_its_probes():
    """RA3.2: 0.1 % and 1.3 °F a channel make about 2 °F of a split, within its 3 °F."""
    one = cleaning_and_rechecking.rule_channel_k()
    both_f = _cleaning.together(one, one) * 1.8
    assert both_f == pytest.approx(2.0, abs=0.1)
    assert both_f < 2 * one * 1.8 < 3.0


@pytest.mark.parametrize(
    ("shown", "words"),
    [
        ("bc", "small things"),
        ("abc", "Four readings"),
        ("bcd", "got drier"),
        ("c", "drops out"),
        ("b", "no set of errors"),
    ],
)
def test_a_change_counts_when_it_is_beyond_errors_and_weather(shown, words):
    """Each wrong pick is answered by what was overlooked."""
    reply = asked("changes", shown=list(shown))
    assert words in " ".join(reply["lines"])
    assert ("right" if shown == "bc" else "wrong") == reply["tone"]


def test_one_probe_for_all_readings_sees_what_several_cannot():
    """The fixed error drops out; scatter and last digit stay."""
    assert _cleaning.same_change_k() < _cleaning.fresh_change_k() / 4


@pytest.mark.parametrize(
    ("factor", "words"),
    [("split", "split alone"), ("ratio", "more than the whole"), ("none", "above the whole")],
)
def test_a_wrong_gain_gets_the_hint_that_fits(factor, words):
    """Slips are told apart."""
    found = _cleaning.settled(_cleaning.greasy())
    left = _cleaning.settled(_cleaning.washed(_cleaning.greasy()))
    typed = {
        "split": left.split_k / found.split_k - 1.0,
        "ratio": cleaning_and_rechecking.gain() + 1.0,
        "none": 0.05,
    }
    reply = asked("gain", more=f"{100 * typed[factor]:.0f}")
    assert "wrong" == reply["tone"]
    assert words in " ".join(reply["lines"])


def test_the_gain_by_split_and_airflow_is_the_engines():
    """Sensible heat goes as split times airflow, within what density and the fan's heat change."""
    reply = asked("gain", more=f"{100 * cleaning_and_rechecking.gain():.0f}")
    by_hand, sensible, total, published = figures(reply, 1)
    assert "right" == reply["tone"]
    assert by_hand == pytest.approx(sensible, abs=2)
    assert sensible > total > published


def test_a_wash_leaves_little_behind():
    """The condition as left comes from the kit's own cures."""
    left = _cleaning.washed(Condition(filter_loading=0.8, indoor_coil_film=0.75))
    assert 0.0 == left.filter_loading
    assert left.indoor_coil_film < 0.05
