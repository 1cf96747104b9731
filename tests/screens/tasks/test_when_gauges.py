"""Tasks on gauges: the runs decide, charts agree, dew and bubble and gauge and absolute apart."""

from __future__ import annotations

import pytest

from kit.screens.task_screen import TaskScreen
from kit.screens.tasks import _circuit, _gauge_trials, when_gauges
from tests.screens.asking import asker

TASKS = {task.name: task for task in when_gauges.TASKS}
asked = asker(when_gauges.TASKS)


def row(reply: dict, title: str) -> list[float]:
    """Return the numbers of a row of a reply's table."""
    found = next(r for r in reply["table"] if r[0] == title)
    return [float(cell.split()[0]) for cell in found[1:]]


@pytest.mark.parametrize(
    ("said", "tone"), [("filter", "right"), ("short", "wrong"), ("same", "wrong")]
)
def test_the_dirty_filter_reads_lower_than_the_missing_charge(said, tone):
    """The verdict follows from the run: suction falls with the air, not with a fifth of charge."""
    reply = asked("guess-pressure", lower=said)
    sound, short, filthy = row(reply, "Suction pressure")
    assert tone == reply["tone"]
    assert abs(short - sound) < 3.5  # what digital gauges can be wrong (psi)
    assert filthy < sound - 3.5
    assert len(set(row(reply, "Superheat"))) == 1
    assert "dirty filter" in str(reply["plots"])


def test_four_sheets_show_one_split_and_only_one_is_left_for_gauges():
    """All splits within 1 °F; only C is below its target with clean coils and a full demand."""
    sheets = _gauge_trials.four_sheets()
    splits = [sheet["split"] for sheet in sheets.values()]
    assert max(splits) - min(splits) < 1 / 1.8
    left = [
        name
        for name, s in sheets.items()
        if s["split"] < s["target"] - 5 / 3 and s["seen"] == "all clean" and s["demand"] > 5 / 1.8
    ]
    assert ["c"] == left


@pytest.mark.parametrize(
    ("sheet", "why", "tone", "words"),
    [
        ("a", "low", "wrong", "air is wet"),
        ("b", "cleared", "wrong", "Clean, run again"),
        ("d", "cleared", "wrong", "full demand"),
        ("c", "low", "wrong", "all four"),
        ("c", "habit", "wrong", "reason is not"),
        ("c", "cleared", "right", "now the circuit is asked"),
    ],
)
def test_the_gate_says_of_each_sheet_what_comes_first(sheet, why, tone, words):
    """Each wrong sheet has its own hint, and a right one for a wrong reason is not enough."""
    reply = asked("gate", sheet=sheet, why=why)
    assert tone == reply["tone"]
    assert words in " ".join(reply["lines"])


def test_a_hose_takes_most_in_heating_because_hot_gas_condenses_in_it():
    """More than five times what it takes in cooling; the prediction is held against that."""
    held = _gauge_trials.hose_kg()
    assert held["heating"] > 5 * max(held["cooling"], held["standing"])
    assert "right" == asked("guess-hose", state="heating")["tone"]
    assert "wrong" == asked("guess-hose", state="cooling")["tone"]


@pytest.mark.parametrize("name", _circuit.COOLPROP_NAMES)
def test_the_sheet_and_the_card_agree(name):
    """CoolProp and the kit's tables give one saturation temperature (tables hold 0.02 K)."""
    p_pa = 9e5
    for side in ("dew", "bubble"):
        ours = _circuit.card_k(name, p_pa - 101325.0, side)
        assert ours == pytest.approx(_circuit.saturation_k(name, p_pa, side), abs=0.02)


def test_charts_in_print_agree_with_coolprop():
    """R-410A to its last digit (0.1 psi); R-454B, an older model, within 1.5 % of the absolute."""
    for name, _, printed, ours in _gauge_trials.chart_table()[1:]:
        room = 700.0 if name == "R-410A" else 0.015 * (printed.value + 101325.0)
        assert printed.value == pytest.approx(ours.value, abs=room)


@pytest.mark.parametrize(
    ("units", "bubble", "tone", "words"),
    [
        ("us", "100.0", "right", "agree with CoolProp"),
        ("si", "37.8", "right", "agree with CoolProp"),
        ("us", "96.9", "wrong", "taken its figure for absolute"),
        ("us", "98.4", "wrong", "That is R-32"),
        ("us", "80", "wrong", "sheet above"),
    ],
)
def test_the_chart_is_met_and_mistakes_are_named(units, bubble, tone, words):
    """Gauge for absolute and the wrong refrigerant have hints of their own."""
    reply = asked("chart", units, bubble=bubble)
    assert tone == reply["tone"]
    assert words in " ".join(reply["lines"])
    assert (tone == "right") == bool(reply["table"])


@pytest.mark.parametrize(
    ("absolute", "tone", "words"),
    [
        ("132.7", "right", "looks starved"),
        ("118", "wrong", "add the air's own"),
        ("103.3", "wrong", "wrong way"),
        ("90", "wrong", "together"),
    ],
)
def test_gauge_is_made_absolute(absolute, tone, words):
    """Nothing added and taken away instead of added: both are named."""
    reply = asked("absolute", absolute=absolute)
    assert tone == reply["tone"]
    assert words in " ".join(reply["lines"])


@pytest.mark.parametrize(
    ("name", "right", "other_side"),
    [("superheat", 10.36, 13.03), ("subcooling", 15.58, 18.18)],
)
def test_a_blend_has_two_saturations_and_each_figure_takes_its_own(name, right, other_side):
    """The other side errs by the glide and is told so; a turned sign is told so."""
    assert "right" == asked(name, **{name: f"{right:.1f}"})["tone"]
    assert "right" == asked(name, "si", **{name: f"{right / 1.8:.1f}"})["tone"]
    mixed = asked(name, **{name: f"{other_side:.1f}"})
    assert "wrong" == mixed["tone"]
    assert "You have measured from" in mixed["lines"][0]
    assert "sign" in asked(name, **{name: f"{-right:.1f}"})["lines"][0]
    assert "card" in asked(name, **{name: "30"})["lines"][0]


@pytest.mark.parametrize("units", ["us", "si"])
@pytest.mark.parametrize("name", TASKS)
def test_every_task_can_be_shown_in_both_units(name, units):
    """Question, table and fields speak the learner's units."""
    shown = TaskScreen(TASKS[name], units=units).task
    other = "°C" if units == "us" else "°F"
    assert other not in " ".join([*shown["ask"], *(c for r in shown["table"] for c in r)])
