"""What can be done, as forms; and what is typed into them."""

from __future__ import annotations

from collections import Counter

import pytest

from kit.screens.offers import (
    CAUTION_NAMES,
    FormError,
    arguments,
    offer_dict,
    offer_dicts,
    offers,
    takes,
)
from kit.screens.spots import GROUPS, SPOTS, SPREAD
from kit.screens.voice import Voice
from kit.visit.cautions import caution, caution_codes
from tests.screens.double import action_infos

OFFERS = {offer.key: offer for offer in offers(action_infos())}
US, SI = Voice("us"), Voice("si")


def values(argument) -> list[str]:
    """Return the choices of an argument."""
    return [choice.value for choice in argument.choices]


def test_every_action_of_a_visit_is_offered_at_a_spot_of_the_picture():
    """No action can be out of a learner's reach; waiting has a corner of its own."""
    offered = {offer.info.name for offer in OFFERS.values()}
    lost = [o.key for o in OFFERS.values() if o.spot not in SPOTS and o.info.name != "wait"]
    assert {info.name for info in action_infos()} == offered
    assert [] == lost


@pytest.mark.parametrize("name", SPREAD)
def test_every_choice_of_a_spread_action_is_offered_once(name):
    """A look, a plug or a part put back is offered where it is, and nowhere else."""
    info = next(i for i in action_infos() if i.name == name)
    argument = info.arguments[0]
    mine = [o for o in OFFERS.values() if o.info.name == name]
    shared = [
        value
        for o in mine
        for value in ([o.preset[argument.name]] if o.preset else values(o.arguments[0]))
    ]
    assert sorted(values(argument)) == sorted(shared)


def test_what_the_spot_says_already_is_not_asked_again():
    """Thawing at the outdoor unit means the outdoor coil; the visit is told so."""
    outdoors = OFFERS["thaw@outdoor"]
    assert ["how"] == [argument.name for argument in outdoors.arguments]
    wanted = {"side": "outdoor", "how": "warm_water"}
    assert wanted == arguments(outdoors, {"how": "warm_water"}, "us")


def test_the_order_of_a_list_gives_nothing_away():
    """Kinds of work stand in one order everywhere, actions by the alphabet, done or undone."""
    shown = offer_dicts(OFFERS.values(), US)
    other = offer_dicts(offers(action_infos(("lock", "read", "open_indoor"))), US)
    keys = [(list(GROUPS).index(o["group"]), o["title"].casefold()) for o in shown]
    assert sorted(keys) == keys
    assert [o["name"] for o in shown] == [o["name"] for o in other]


def test_no_heading_stands_over_a_long_list():
    """At most eight things of one kind at one spot; what is more hides what is there."""
    counted = Counter((o["part"], o["group"]) for o in offer_dicts(OFFERS.values(), US))
    assert [] == [(where, n) for where, n in counted.items() if n > 8]


def test_no_two_things_at_a_spot_have_the_same_name():
    """A button's words say what it does, also to somebody who only hears them."""
    named = Counter((o["part"], o["title"]) for o in offer_dicts(OFFERS.values(), US))
    assert [] == [where for where, n in named.items() if n > 1]


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


def test_a_caution_has_a_word_for_its_sign_and_its_full_text():
    """Every hazard of the visit has a short name of its own; nothing of the caution is lost."""
    texts = {caution(code).line.render() for code in caution_codes()}
    shown = [c for o in OFFERS.values() for c in offer_dict(o, US, {"mains"})["cautions"]]
    assert set(caution_codes()) == set(CAUTION_NAMES)
    assert {c["text"] for c in shown} <= texts
    assert {"mains"} == {c["code"] for c in shown if c["told"]}


@pytest.mark.parametrize(
    ("seconds", "words"), [(0, ""), (15, "15 s"), (89, "89 s"), (120, "2 min"), (1500, "25 min")]
)
def test_how_long_it_takes_is_said_in_few_words(seconds, words):
    """Short in seconds, long in minutes, and nothing when it depends."""
    assert words == takes(seconds, US)
