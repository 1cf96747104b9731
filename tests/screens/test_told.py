"""What was seen, and the story of the visit."""

from __future__ import annotations

import pytest

from kit.screens.told import said, story, tone
from kit.screens.voice import Voice
from kit.visit.cautions import caution
from kit.visit.outcome import Hazard, line
from tests.screens.double import outcome, picture

US = Voice("us")
HAZARD = Hazard("wheel", "critical", line("A probe struck the wheel."))


@pytest.mark.parametrize(
    ("changes", "expected"),
    [
        ({}, "plain"),
        ({"reason": line("The filter is in.")}, "refused"),
        ({"hazards": (HAZARD,), "stopped": True}, "bad"),
        ({"hazards": (Hazard("x", "note", line("Poor practice.")),)}, "plain"),
    ],
)
def test_the_tone_says_whether_it_was_done_refused_or_dangerous(changes, expected):
    """A sign and a word go with each tone."""
    assert expected == tone(outcome("read", **changes))


def test_a_refusal_says_that_nothing_was_done_and_why():
    """The learner reads the reason first."""
    told = said([outcome("read", reason=line("The filter is in."))], {"read": "Read"}, US)
    assert "Not done. The filter is in." == told["lines"][0]


def test_a_stopped_act_names_the_hazard_and_was_not_done():
    """What went wrong comes before everything else, and nothing was done."""
    told = said([outcome("read", hazards=(HAZARD,), stopped=True)], {}, US)
    assert ["A probe struck the wheel."] == told["hazards"]
    assert "It was not done." == told["lines"][-1]


def test_a_caution_is_told_in_full_the_first_time_only():
    """The tenth reading does not repeat the same caution."""
    warned = outcome("read", cautions=(caution("rotation"),))
    assert 1 == len(said([warned], {}, US)["cautions"])
    assert [] == said([warned, warned], {}, US)["cautions"]


def test_figures_in_the_story_follow_the_units():
    """An old outcome is told again in the units chosen now."""
    told = outcome("read")
    assert "57.2 °F" in story([told], {}, US)[0]["text"]
    assert "14.0 °C" in story([told], {}, Voice("si"))[0]["text"]


def test_a_look_has_its_words_beside_it():
    """A picture always comes with a text that says the same."""
    told = said([outcome("inspect", pictures=(picture("filter", 3),))], {}, US)
    assert "A grey mat over nearly all of it." == told["pictures"][0]["alt"]
    assert told["pictures"][0]["svg"].startswith("<svg")


def test_before_the_first_action_the_learner_is_told_how_to_begin():
    """An empty screen would leave a beginner alone."""
    assert "work order" in said([], {}, US)["lines"][0]
