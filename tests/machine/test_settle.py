"""One case and many: what goes in wrong is told, what is not solved is never a figure."""

from __future__ import annotations

from dataclasses import FrozenInstanceError, fields, replace

import numpy as np
import pytest

from kit.errors import KitError, NotConvergedError, OutOfRangeError
from kit.machine import Command, Condition, Surroundings, Truth, load_spec, settle, settle_many
from kit.machine.condition import KNOB_RANGES, STATE_NAMES
from kit.machine.surroundings import SURROUNDINGS_RANGES

SPEC = load_spec("wall-12k-r32")
AROUND = Surroundings(299.817, 0.512, 308.15, 0.4)
COOL = Command("cooling", 291.15)


@pytest.mark.parametrize("knob", sorted(KNOB_RANGES))
@pytest.mark.parametrize("beyond", ["below", "above"])
def test_a_knob_out_of_range_is_refused(knob, beyond) -> None:
    """The message names the knob, the value, the range and what to do; nothing is pulled in."""
    low, high = KNOB_RANGES[knob]
    value = low - 0.01 if beyond == "below" else high + 0.01

    with pytest.raises(OutOfRangeError) as told:
        Condition(**{knob: value})

    for part in (knob, str(value), str(low), str(high), "Give a value"):
        assert part in str(told.value)


@pytest.mark.parametrize("value", [float("nan"), float("inf"), "dirty"])
def test_a_knob_that_is_no_number_is_refused(value) -> None:
    """NaN, infinity and words are no state of dirt."""
    with pytest.raises(OutOfRangeError, match="filter_loading"):
        Condition(filter_loading=value)


@pytest.mark.parametrize("name", sorted(STATE_NAMES))
def test_an_unknown_state_is_refused(name) -> None:
    """A state outside its list is told with the list."""
    with pytest.raises(KitError, match=STATE_NAMES[name][0]):
        Condition(**{name: "broken somehow"})


@pytest.mark.parametrize("name", sorted(SURROUNDINGS_RANGES))
def test_air_outside_the_envelope_is_refused(name) -> None:
    """Surroundings outside what is solved and tested give an error with the range."""
    _, high = SURROUNDINGS_RANGES[name]

    with pytest.raises(OutOfRangeError, match=name):
        replace(AROUND, **{name: high + 1.0})


@pytest.mark.parametrize(
    "wrong",
    [{"mode": "dry"}, {"fan": "turbo"}, {"setpoint_k": 280.0}, {"compressor_rps": 500.0}],
)
def test_a_command_that_cannot_be_given_is_refused(wrong) -> None:
    """Words and numbers that no remote has are refused."""
    with pytest.raises(KitError):
        Command(**wrong)


def test_what_is_solved_cannot_be_changed() -> None:
    """Conditions and truths are frozen."""
    with pytest.raises(FrozenInstanceError):
        settle(SPEC, Condition(), AROUND, COOL).split_k = 0.0


def test_sequences_of_unlike_length_are_refused() -> None:
    """Many cases want one condition, one surroundings and one command a case."""
    with pytest.raises(KitError, match="2 conditions"):
        settle_many(SPEC, [Condition()] * 2, [AROUND], [COOL])


def test_the_same_question_has_the_same_answer() -> None:
    """Two solutions of one case are equal to the bit."""
    assert settle(SPEC, Condition(), AROUND, COOL) == settle(SPEC, Condition(), AROUND, COOL)


def test_an_unsolved_case_is_never_a_figure(monkeypatch) -> None:
    """One case raises an error that names the machine; nothing is returned."""
    from importlib import import_module

    module = import_module("kit.machine.settle")
    monkeypatch.setattr(module, "CONVERGED", 0.0)

    with pytest.raises(NotConvergedError, match="wall-12k-r32"):
        settle(SPEC, Condition(), AROUND, COOL)


def test_many_cases_come_back_as_columns() -> None:
    """Every field of settle_many has a row a case."""
    truth = settle_many(SPEC, [Condition()] * 3, [AROUND] * 3, [COOL, Command("off"), COOL])

    for f in fields(Truth):
        if f.name not in ("limits", "memory"):
            assert np.shape(getattr(truth, f.name)) == (3,)
    assert list(truth.running) == [True, False, True]
    assert truth.split_k[1] == 0.0


def test_a_cap_on_speed_is_kept() -> None:
    """Start-up may hold the speed below what demand asks for."""
    held = settle(SPEC, Condition(), AROUND, COOL, speed_cap_rps=30.0)

    assert held.compressor_rps == pytest.approx(30.0, rel=1e-6)
