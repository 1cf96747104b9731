"""What is seen follows from the condition, step by step."""

from __future__ import annotations

from dataclasses import replace

import pytest

from kit.visit import looks
from kit.visit.state import PARTS

GRADED = [
    ("filter", "filter_loading"),
    ("indoor_coil", "indoor_coil_blockage"),
    ("wheel", "wheel_fouling"),
    ("outdoor_coil", "outdoor_coil_blockage"),
    ("drain_end", "drain_blockage"),
    ("pan", "drain_blockage"),
]


def seen(state, part):
    """Return the words and the grade of a look."""
    lines, pictures = looks.LOOKS[part].see(state)
    return " ".join(one.render() for one in lines), pictures[0].grade


@pytest.mark.parametrize(("part", "knob"), GRADED)
def test_worse_dirt_looks_worse(arrived, part, knob) -> None:
    """Five severities give five looks in words and in the picture, in order."""
    states = [
        replace(arrived, condition=replace(arrived.condition, **{knob: severity}))
        for severity in (0.0, 0.15, 0.35, 0.6, 0.9)
    ]

    looked = [seen(state, part) for state in states]

    assert [0, 1, 2, 3, 4] == [grade for _, grade in looked]
    assert 5 == len({words for words, _ in looked})


@pytest.mark.parametrize("part", list(looks.LOOKS))
def test_every_look_says_something(arrived, part) -> None:
    """Each thing that can be looked at has words, and a picture its text equivalent."""
    lines, pictures = looks.LOOKS[part].see(arrived)

    assert all(one.render().endswith(".") for one in lines)
    assert all(picture.alt.render() for picture in pictures)


@pytest.mark.parametrize("part", list(looks.LOOKS))
def test_a_look_needs_a_part_that_exists(part) -> None:
    """What must be off is one of the parts that can be taken off."""
    assert looks.LOOKS[part].needs in {"", *PARTS}


def test_a_hidden_thing_cannot_be_seen(visit) -> None:
    """With the panel on, the filter is refused with the reason."""
    outcome = visit.step("inspect", part="filter")

    assert outcome.refused
    assert "front panel" in outcome.why
