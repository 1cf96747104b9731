"""Actions are stated once, and what a learner gives them is checked, never bent."""

from __future__ import annotations

import pytest

from kit.errors import KitError, OutOfRangeError, UnknownNameError
from kit.visit import cautions, outcome
from kit.visit.actions import find_action, registry

ACTIONS = list(registry().values())
PHASES = [name for name, _ in outcome.PHASES]
KINDS = {"choice", "choices", "number", "text", "flag"}


@pytest.mark.parametrize("action", ACTIONS, ids=lambda a: a.name)
def test_every_action_can_be_shown(action) -> None:
    """A screen finds phase, title, known cautions and fit arguments for each action."""
    assert action.phase in PHASES
    assert action.title[0].isupper()
    assert set(action.cautions) <= set(cautions.caution_codes())
    for argument in action.arguments:
        assert argument.kind in KINDS
        if argument.kind in ("choice", "choices"):
            assert argument.choices or argument.choices_by
        if argument.measure:
            from kit.quantities import kind_of

            kind_of(argument.measure)


def test_actions_come_in_the_order_of_the_work() -> None:
    """A screen can list them as they come."""
    places = [PHASES.index(action.phase) for action in ACTIONS]

    assert sorted(places) == places


def test_an_unknown_action_names_the_nearest() -> None:
    """A slip of the pen is answered with what was meant."""
    with pytest.raises(UnknownNameError, match="pull_disconnect"):
        find_action("pul_disconnect")


@pytest.mark.parametrize(
    ("name", "given", "said"),
    [
        ("ask", {"topik": "what"}, "topic"),
        ("ask", {"topic": "waht"}, "what"),
        ("ask", {}, "topic"),
        ("ask", {"topic": 3}, "topic"),
        ("read", {"instrument": "air_probe", "at": "dc_bus"}, "choice of read.at"),
        ("read", {"instrument": "air_probe", "at": "suply"}, "supply"),
        ("wait", {"minutes": "ten"}, "number"),
        ("wait", {"minutes": True}, "number"),
        ("wear", {"items": "glasses"}, "list"),
        ("wear", {"items": ["glases"]}, "glasses"),
        ("record", {"item": "filter", "when": "as_found", "words": "shiny"}, "choice"),
    ],
)
def test_unfit_arguments_are_refused(name, given, said) -> None:
    """The message says which argument, and what is meant."""
    with pytest.raises(KitError, match=said):
        find_action(name).parsed(given)


@pytest.mark.parametrize("minutes", [-1.0, 0.0, 1e9, float("inf"), float("nan")])
def test_a_number_out_of_range_is_never_pulled_into_it(minutes) -> None:
    """A learner's number is taken as it is, or refused with the range."""
    with pytest.raises(OutOfRangeError, match="minutes"):
        find_action("wait").parsed({"minutes": minutes})


def test_defaults_are_filled_in() -> None:
    """What was left out is in the outcome, so that a journal is complete."""
    parsed = find_action("set_demand").parsed({"mode": "cooling"})

    assert {"mode": "cooling", "setpoint_k": None, "fan": "auto"} == parsed


def test_a_list_is_put_in_the_order_of_its_choices() -> None:
    """Equal deeds are written equally."""
    parsed = find_action("wear").parsed({"items": ["mask", "glasses", "mask"]})

    assert {"items": ["glasses", "mask"]} == parsed
