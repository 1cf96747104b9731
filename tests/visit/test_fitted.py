"""What a work order says is fitted is read strictly, and shows where it should."""

from __future__ import annotations

import pytest

from kit.errors import KitError, UnknownNameError
from kit.visit.fitted import NOTHING_FITTED, Fitted, fitted
from tests.visit.handy import seen, visit_with


def test_an_empty_table_is_the_usual_unit() -> None:
    """Mesh alone, drained by gravity, reached from the ground."""
    assert NOTHING_FITTED == fitted({}, "x.toml") == Fitted()


def test_what_is_written_is_taken() -> None:
    """Each key lands in its field."""
    table = {"strip": "carbon", "drain": "pump", "float_stuck": True, "ladder": True}

    assert Fitted("carbon", "pump", True, True) == fitted(table, "x.toml")


@pytest.mark.parametrize(
    ("table", "error", "said"),
    [
        ({"strip": "carbn"}, UnknownNameError, "carbon"),
        ({"drain": "float"}, UnknownNameError, "float_switch"),
        ({"strp": "none"}, UnknownNameError, "strip"),
        ({"ladder": "yes"}, KitError, "true or false"),
        ({"float_stuck": 1}, KitError, "true or false"),
    ],
)
def test_a_slip_is_named_with_its_file(table, error, said) -> None:
    """The instructor is told key, value and what may stand there."""
    with pytest.raises(error, match=said) as caught:
        fitted(table, "spring.toml")

    assert "spring.toml" in str(caught.value)


@pytest.mark.parametrize(
    ("given", "part", "words"),
    [
        (Fitted(strip="carbon"), "filter", "carbon"),
        (Fitted(strip="electret"), "filter", "pleated"),
        (Fitted(), "float_device", "No float"),
        (Fitted(drain="float_switch"), "float_device", "float switch"),
        (Fitted(drain="pump"), "float_device", "pump"),
    ],
)
def test_what_is_fitted_can_be_seen(given, part, words) -> None:
    """A look shows it where it sits."""
    visit = visit_with(fitted=given)
    visit.step("open_indoor", part="front_panel")

    assert words in seen(visit, part)[0]
