"""What can be done, as forms; and what is typed into them."""

from __future__ import annotations

import pytest

from kit.screens.offers import FormError, arguments, offer_dict, offers, takes
from kit.screens.site import SPOTS
from kit.screens.voice import Voice
from tests.screens.double import action_infos

OFFERS = {offer.key: offer for offer in offers(action_infos())}
US, SI = Voice("us"), Voice("si")


def test_every_action_of_a_visit_is_offered_at_a_spot_of_the_picture():
    """No action can be out of a learner's reach; waiting has a corner of its own."""
    offered = {offer.info.name for offer in OFFERS.values()}
    lost = [o.key for o in OFFERS.values() if o.spot not in SPOTS and o.info.name != "wait"]
    assert {info.name for info in action_infos()} == offered
    assert [] == lost


def test_every_choice_of_a_spread_action_is_offered_once():
    """A look or a part put back is offered where it is, and nowhere else."""
    for name in ("inspect", "refit"):
        info = next(i for i in action_infos() if i.name == name)
        mine = [o for o in OFFERS.values() if o.info.name == name]
        shared = [c.value for o in mine for c in o.arguments[0].choices]
        assert sorted(c.value for c in info.arguments[0].choices) == sorted(shared)


@pytest.mark.parametrize(
    ("units", "typed", "setpoint_k"),
    [
        ("us", "65", 291.483),
        ("us", "18 C", 291.15),
        ("si", "18", 291.15),
        ("si", "65 F", 291.483),
    ],
)
def test_a_typed_number_arrives_in_si_whatever_its_unit(units, typed, setpoint_k):
    """The unit is the screen's, or the one typed behind the number."""
    given = {"mode": "cooling", "setpoint_k": typed, "fan": "auto"}
    ready = arguments(OFFERS["set_demand"], given, units)
    assert setpoint_k == pytest.approx(ready["setpoint_k"], abs=1e-3)


@pytest.mark.parametrize(
    ("key", "given", "field", "words"),
    [
        ("set_demand", {"mode": "cooling", "setpoint_k": "12"}, "setpoint_k", "60.8 °F"),
        ("set_demand", {"mode": "cooling", "setpoint_k": "warm"}, "setpoint_k", "not a number"),
        ("set_demand", {"mode": "cooling", "setpoint_k": "6,5"}, "setpoint_k", "comma"),
        ("set_demand", {"setpoint_k": "65"}, "mode", "nothing was given"),
        ("wait", {"minutes": "0"}, "minutes", "0.25 to 240"),
        ("wait", {"minutes": "1_0"}, "minutes", "not a number"),
        ("wait", {"minutes": "nan"}, "minutes", "not a number"),
        ("wait", {"minutes": "1e9"}, "minutes", "not a number"),
        ("wear", {"items": []}, "items", "nothing was given"),
    ],
)
def test_what_cannot_be_taken_is_refused_with_its_field_and_reason(key, given, field, words):
    """Nothing is pulled into range and nothing is guessed."""
    with pytest.raises(FormError, match=words) as caught:
        arguments(OFFERS[key], given, "us")
    assert field == caught.value.field_name


def test_a_figure_written_by_hand_is_read_in_the_unit_of_its_line():
    """The same field takes a temperature or a current, as the line says."""
    by_hand = OFFERS["record@figure"]
    warm = arguments(by_hand, {"item": "return_dry_bulb", "when": "as_found", "value": "77"}, "us")
    amps = arguments(by_hand, {"item": "current", "when": "as_found", "value": "4.2"}, "us")
    assert 298.15 == pytest.approx(warm["value"])
    assert 4.2 == pytest.approx(amps["value"])


def test_a_split_is_a_difference_and_not_a_temperature():
    """18 °F of split are 10 K, in the unit of differences."""
    given = {"item": "split", "when": "as_found", "value": "18"}
    assert 10.0 == pytest.approx(arguments(OFFERS["enter"], given, "us")["value"])
    shown = offer_dict(OFFERS["enter"], SI)["fields"]
    assert "K" == next(f for f in shown if f["name"] == "value")["unit_by"]["split"]


def test_the_view_gets_ranges_in_the_learners_units():
    """A learner sees what is allowed before typing."""
    fields = {f["name"]: f for f in offer_dict(OFFERS["set_demand"], US)["fields"]}
    assert "60.8 °F – 89.6 °F" == fields["setpoint_k"]["hint"]
    assert "°F" == fields["setpoint_k"]["unit"]


def test_a_caution_is_shown_by_its_first_words_and_in_full():
    """The head always stands there; nothing of the caution is lost."""
    cautions = [c for o in OFFERS.values() for c in offer_dict(o, US)["cautions"]]
    assert cautions
    for caution in cautions:
        assert caution["text"] == f"{caution['head']} {caution['rest']}".strip()
        assert caution["head"]


@pytest.mark.parametrize(
    ("seconds", "words"), [(0, ""), (15, "15 s"), (89, "89 s"), (120, "2 min"), (1500, "25 min")]
)
def test_how_long_it_takes_is_said_in_few_words(seconds, words):
    """Short in seconds, long in minutes, and nothing when it depends."""
    assert words == takes(seconds, US)
