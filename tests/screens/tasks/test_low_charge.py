"""Tasks on low charge: the runs decide, each look-alike has its reading, rest proves nothing."""

from __future__ import annotations

import pytest

from kit.screens.task_screen import TaskScreen
from kit.screens.tasks import _charge_trials, _circuit, low_charge
from tests.screens.asking import asker

TASKS = {task.name: task for task in low_charge.TASKS}
asked = asker(low_charge.TASKS)
RIGHT = {"unit-1": "restriction", "unit-2": "filter", "unit-3": "charge", "unit-4": "valve"}


@pytest.mark.parametrize(
    ("said", "tone"),
    [("late", "right"), ("early", "wrong"), ("middle", "wrong"), ("last", "wrong")],
)
def test_superheat_stays_until_the_valve_is_fully_open(said, tone):
    """The verdict follows from the run: valves saturate at 75 to 85 % charge (RP-1173)."""
    reply = asked("guess-hidden", **{"from": said})
    truths = dict(zip(_charge_trials.CHARGES, _charge_trials.let_out(), strict=True))
    assert tone == reply["tone"]
    assert 0.7 <= _charge_trials.leaves_at() <= 0.85
    for share, truth in truths.items():
        opened = truth.valve_opening > 0.999
        assert opened == (truth.superheat_k > truths[1.0].superheat_k + 0.5), share
    assert "short of charge" in str(reply["plots"])


def test_the_discharge_line_cools_before_it_climbs():
    """As the lesson says: while the valve still has travel, discharge falls a little."""
    truths = dict(zip(_charge_trials.CHARGES, _charge_trials.let_out(), strict=True))
    assert truths[0.85].discharge_line_k < truths[1.0].discharge_line_k
    assert truths[0.65].discharge_line_k > truths[1.0].discharge_line_k + 5.0


@pytest.mark.parametrize(
    ("left", "tone", "words"),
    [
        ("95.1", "right", "thermostatic"),
        ("95", "right", "thermostatic"),
        ("4.9", "wrong", "what is lost"),
        ("105.1", "wrong", "Turned round"),
        ("80", "wrong", "in step with charge"),
        ("60", "wrong", "Divide the capacity"),
    ],
)
def test_what_is_left_is_worked_out_from_the_table(left, tone, words):
    """The share lost, the ratio turned round and the share of charge have hints of their own."""
    reply = asked("share", left=left)
    assert tone == reply["tone"]
    assert words in " ".join(reply["lines"])
    assert (tone == "right") == bool(reply["table"])


@pytest.mark.parametrize(("share", "row"), low_charge.COMPARED.items())
def test_capacity_at_low_charge_lies_within_the_published_band(share, row):
    """NIST TN 1848's correlation, 80/95 °F: 0.08 for an electronic valve, as the lesson says."""
    published = _circuit.published("charge", f"charge-cool{row}-capacity")
    assert published == pytest.approx(low_charge.capacity_left(share), abs=0.08)


@pytest.mark.parametrize(
    ("said", "tone"), [("faster", "right"), ("warm", "wrong"), ("nothing", "wrong")]
)
def test_at_half_load_the_compressor_makes_up_for_it(said, tone):
    """The verdict follows from the run: within 1 °F of the sound unit's room, but faster."""
    sound, short = _charge_trials.balanced(1.0), _charge_trials.balanced(0.7)
    assert tone == asked("guess-part-load", notice=said)["tone"]
    assert short.room_db_k - sound.room_db_k < 1 / 1.8
    assert short.compressor_rps > 1.03 * sound.compressor_rps
    assert short.power_w > sound.power_w


def test_the_reading_named_separates_each_look_alike():
    """Superheat finds the filter, subcooling in heating the charge, cold pipe the restriction."""
    names = list(_charge_trials.suspects())
    cooling, heating = (
        dict(zip(names, ran, strict=True)) for ran in _charge_trials.suspects_ran()
    )
    least = {
        "filter": min(names, key=lambda n: cooling[n].superheat_k),
        "charge": min(names, key=lambda n: heating[n].subcooling_k),
    }
    assert {"filter": "filter", "charge": "charge"} == least
    assert cooling["restriction"].liquid_line_drop_k > 3 * 1.1  # two pipe clamps
    assert cooling["valve"].liquid_line_drop_k < 1.1
    assert heating["charge"].subcooling_k < 1.4 < heating["valve"].subcooling_k


@pytest.mark.parametrize(
    ("mixed", "words"),
    [
        ({"unit-2": "charge", "unit-3": "filter"}, "want of air"),
        ({"unit-1": "charge", "unit-3": "restriction"}, "liquid missing"),
        ({"unit-1": "valve", "unit-4": "restriction"}, "pipe itself cold"),
        ({"unit-1": "charge"}, "another cause"),
    ],
)
def test_each_mix_up_has_its_own_hint(mixed, words):
    """What was mixed up decides what is said; the answer is not given away."""
    reply = asked("apart", **(RIGHT | mixed))
    assert "wrong" == reply["tone"]
    assert words in " ".join(reply["lines"])
    assert "right" == asked("apart", **RIGHT)["tone"]


@pytest.mark.parametrize(
    ("units", "card", "means", "tone", "words"),
    [
        ("us", "199", "liquid", "right", "last liquid"),
        ("si", "1373", "liquid", "right", "last liquid"),
        ("us", "199", "full", "wrong", "gas cylinder"),
        ("us", "199", "air", "wrong", "on top"),
        ("us", "213.9", "liquid", "wrong", "absolute"),
        ("us", "150", "liquid", "wrong", "row"),
    ],
)
def test_rest_tells_that_some_liquid_is_left(units, card, means, tone, words):
    """Taking it for the right charge, for air, or in absolute: each is named."""
    reply = asked("standing", units, card=card, means=means)
    assert tone == reply["tone"]
    assert words in " ".join(reply["lines"])


def test_pressure_at_rest_is_the_published_saturation_until_the_liquid_is_gone():
    """Table of R-32 (allchemi.com, 20 °C) within 0.5 % of the absolute; then it falls."""
    printed = 1e5 * _circuit.published("saturation", "saturation-R32-p20C")
    rest = dict(zip(_charge_trials.LEFT, _charge_trials.standing(), strict=True))
    for share in (1.0, 0.7, 0.4):
        assert printed == pytest.approx(rest[share] + 101325.0, rel=0.005)
    assert rest[0.05] < rest[0.15] < 0.6 * rest[0.4]


@pytest.mark.parametrize(
    ("said", "tone", "words"),
    [
        ("repair", "right", "In that order"),
        ("top", "wrong", "How much"),
        ("sealant", "wrong", "hole stays"),
        ("vent", "wrong", "unlawful"),
    ],
)
def test_shortcuts_are_refused_with_the_reason(said, tone, words):
    """Each shortcut has its own reason."""
    reply = asked("next", next=said)
    assert tone == reply["tone"]
    assert words in reply["lines"][0]


@pytest.mark.parametrize("units", ["us", "si"])
@pytest.mark.parametrize("name", TASKS)
def test_every_task_can_be_shown_in_both_units(name, units):
    """Question, table and fields speak the learner's units."""
    shown = TaskScreen(TASKS[name], units=units).task
    other = "°C" if units == "us" else "°F"
    assert other not in " ".join([*shown["ask"], *(c for r in shown["table"] for c in r)])
