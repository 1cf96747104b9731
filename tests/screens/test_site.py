"""The picture: everything it draws is also said in words."""

from __future__ import annotations

import pytest

from kit.screens.site import site
from kit.screens.spots import SPOTS
from kit.screens.voice import Voice
from kit.visit.state import PARTS, PROTECTION
from tests.screens.double import view

US = Voice("us")


def words(seen) -> str:
    """Return everything said below the picture."""
    return " | ".join(flag["text"] for flag in site(seen, "indoor", US)["flags"])


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"disconnect_pulled": True}, "Disconnect: pulled"),
        ({"disconnect_pulled": True, "locked": True, "tagged": True}, "pulled, lock on, tag on"),
        ({}, "Disconnect: in"),
        ({"running": True}, "air blowing"),
        ({"outdoor_fan_turning": True}, "fan turning"),
        ({"gauges_on": True}, "gauges on"),
        ({"ice": True}, "ice to be seen"),
        ({"water": True}, "water below the indoor unit"),
        ({"worn": ("goggles", "mask")}, "Worn: goggles, mask"),
        ({"mode": "cooling", "setpoint_k": 291.483}, "cooling, 65.0 °F, auto"),
    ],
)
def test_what_is_drawn_is_said_as_well(changes, said):
    """Colour, shape or movement is never the only sign of a state."""
    assert said in words(view(**changes))


@pytest.mark.parametrize("part", PARTS)
def test_every_part_that_can_be_off_is_said_to_be_off(part):
    """A part taken off shows in words at its spot."""
    assert words(view()) != words(view(open_parts=(part,)))


@pytest.mark.parametrize("cover", PROTECTION)
def test_every_protection_in_place_is_said(cover):
    """Protection shows in words at its spot."""
    assert words(view()) != words(view(protected=(cover,)))


def test_one_spot_is_where_the_learner_is():
    """Exactly the chosen spot is marked, in the order of the work."""
    parts = site(view(), "drain", US)["parts"]
    assert list(SPOTS) == [part["name"] for part in parts]
    assert ["drain"] == [part["name"] for part in parts if part["selected"]]


def test_the_remote_speaks_the_learners_units():
    """The set temperature follows the switch of units."""
    seen = view(mode="cooling", setpoint_k=291.15)
    assert "18°" == site(seen, "room", Voice("si"))["remote_text"]
    assert "64°" == site(seen, "room", US)["remote_text"]
