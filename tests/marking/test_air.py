"""Split and target follow from the learner's own readings, within those instruments' accuracy."""

from __future__ import annotations

import pytest

from kit.marking.air import air
from kit.marking.evidence import Case


@pytest.fixture(scope="module")
def found(model):
    """Return the air readings of the model visit as found."""
    return air(Case(model), "as_found")


def test_the_split_is_entering_less_leaving(found) -> None:
    """Plain arithmetic on what is on the sheet."""
    assert pytest.approx(found.entering.value - found.leaving.value) == found.split_k


def test_the_units_card_and_the_handbook_are_both_accepted(found) -> None:
    """Either of them is a target that follows."""
    assert found.accepts(found.card_k)
    assert found.accepts(found.handbook_k)


def test_a_target_further_off_than_the_instruments_is_not(found) -> None:
    """Tolerance comes from accuracy, not from kindness."""
    assert not found.accepts(found.card_k + found.tolerance_k + 0.05)
    assert 0.3 < found.tolerance_k < 1.2


def test_what_was_written_later_does_not_count(model) -> None:
    """A decision is judged by what was on the sheet at that moment."""
    case = Case(model)
    gate = case.did("decide")[0].line
    first = case.did("record")[0].line

    assert air(case, "as_found", gate).leaving is not None
    assert air(case, "as_found", first).leaving is None
