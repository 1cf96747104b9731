"""Tasks on leak, nitrogen, vacuum and scale: physics decides, each usual mistake has its hint."""

from __future__ import annotations

import pytest

from kit.errors import KitError
from kit.physics import textbook
from kit.quantities import MICRON_PA
from kit.screens.task_screen import TaskScreen
from kit.screens.tasks import _circuit, _vacuum_trials, weighing_in
from tests.screens.asking import asker

TASKS = {task.name: task for task in weighing_in.TASKS}
asked = asker(weighing_in.TASKS)


@pytest.mark.parametrize(
    ("gas", "through", "tone", "words"),
    [
        ("nitrogen", "relief", "right", "In steps"),
        ("nitrogen", "plain", "wrong", "What keeps it back"),
        ("nitrogen", "none", "wrong", "What keeps it back"),
        ("oxygen", "relief", "wrong", "explode"),
        ("air", "relief", "wrong", "a gas that burns"),
        ("refrigerant", "relief", "wrong", "on purpose"),
    ],
)
def test_only_dry_nitrogen_through_regulator_and_relief_will_do(gas, through, tone, words):
    """Every other way is refused with its danger."""
    reply = asked("gas", gas=gas, through=through)
    assert tone == reply["tone"]
    assert words in reply["lines"][0]


@pytest.mark.parametrize(
    ("units", "expected", "means", "tone", "words"),
    [
        ("us", "379.8", "tight", "right", "nothing has left"),
        ("si", "2619", "tight", "right", "nothing has left"),
        ("us", "380.5", "tight", "wrong", "Very near"),
        ("us", "286.3", "leaks", "wrong", "cannot be divided"),
        ("si", "1576", "leaks", "wrong", "cannot be divided"),
        ("us", "421.2", "tight", "wrong", "Turned round"),
        ("us", "400", "leaks", "wrong", "become colder"),
        ("us", "350", "leaks", "wrong", "ratio of absolute"),
        ("us", "379.8", "leaks", "wrong", "not with the evening's"),
    ],
)
def test_test_pressure_is_corrected_in_absolute_figures(units, expected, means, tone, words):
    """Gauge pressure, degrees divided, the ratio turned round, nothing done: each is named."""
    reply = asked("nitrogen", units, expected=expected, means=means)
    assert tone == reply["tone"]
    assert words in " ".join(reply["lines"])
    assert (tone == "right") == bool(reply["table"])


def test_ideal_gas_real_gas_and_the_published_rule_agree():
    """ASHRAE Journal, January 2021, p. 40: about 1 psi per °F at 500 psig, to one digit (5 %)."""
    warm = (weighing_in.RULE_PA + 101325.0, weighing_in.RULE_K, weighing_in.RULE_K + 10 / 1.8)
    rule = 10 * _circuit.us("gauge_pressure", _circuit.published(
        "gas_and_vacuum", "gas_and_vacuum-n2-rule"))  # fmt: skip
    ideal = textbook.closed_gas_pressure_pa(*warm) - warm[0]
    real = _vacuum_trials.shut_in_pa(*warm) - warm[0]
    assert rule == pytest.approx(ideal, rel=0.05)
    # A real gas at this pressure answers to temperature more strongly than an ideal one.
    assert ideal < real < 1.10 * ideal


@pytest.mark.parametrize("row", ["4579", "2000", "1000", "500", "200"])
def test_water_boils_where_the_published_table_says(row):
    """psychrolib, inverted, against ASHRAE's equation for ice inverted by hand: 0.1 K."""
    published = _circuit.published("gas_and_vacuum", f"gas_and_vacuum-water-{row}um")
    ours = _vacuum_trials.boils_at_k(float(row) * MICRON_PA) - 273.15
    assert published == pytest.approx(ours, abs=0.1)


@pytest.mark.parametrize("key", weighing_in.HANDBOOK_C)
def test_the_water_sheet_meets_the_handbook(key):
    """ASHRAE Handbook - Fundamentals, table of saturation pressure: 0.03 %."""
    published = _circuit.published("psychrometrics", f"psychrometrics-psat{key}")
    ours = _vacuum_trials.water_pa(float(key.removesuffix("C")) + 273.15)
    assert published == pytest.approx(ours, rel=3e-4)


@pytest.mark.parametrize(
    ("units", "vacuum", "tone", "words"),
    [
        ("us", "6544", "right", "even ice"),
        ("si", "872", "right", "even ice"),
        ("us", "500", "wrong", "goal"),
        ("us", "58400", "wrong", "other unit"),
        ("us", "3000", "wrong", "sheet above"),
    ],
)
def test_the_depth_on_a_cold_day_is_the_waters_own(units, vacuum, tone, words):
    """The goal of a dry circuit and the other unit of temperature have hints of their own."""
    reply = asked("boil", units, vacuum=vacuum)
    assert tone == reply["tone"]
    assert words in " ".join(reply["lines"])


def test_ice_and_water_are_told_apart_on_the_sheet():
    """Below freezing it is ice that turns to vapour."""
    assert "ice" in asked("water-sheet", t="20")["table"][1][1]
    assert "boils" in asked("water-sheet", t="50")["table"][1][1]


def test_a_core_and_a_thin_hose_deceive_the_gauge_at_the_pump():
    """Twenty minutes: goal reached at the pump only; core out and a wide hose reach it for both."""
    narrow = asked("pump", hose="narrow", core="in", oil="fresh", time="20")
    wide = asked("pump", hose="wide", core="out", oil="fresh", time="20")
    tired = asked("pump", hose="wide", core="out", oil="old", time="60")
    assert "in the circuit it is not" in narrow["lines"][1]
    assert "Below the goal" in wide["lines"][1]
    assert "not reached" in tired["lines"][1]


def test_a_time_out_of_range_is_refused_and_not_moved_inside():
    """A day under the pump is no answer of this trial."""
    with pytest.raises(KitError, match="time"):
        asked("pump", hose="wide", core="out", oil="fresh", time="1440")


@pytest.mark.parametrize(
    ("said", "tone"),
    [("leak", "right"), ("wet", "wrong"), ("both", "wrong"), ("neither", "wrong")],
)
def test_only_the_leaking_circuit_still_climbs_after_half_an_hour(said, tone):
    """The verdict follows from the run; the wet one has levelled near saturation."""
    tests = _vacuum_trials.decays()
    assert tone == asked("guess-decay", climbs=said)["tone"]
    assert ["leak"] == [name for name, pressures in tests.items() if weighing_in.climbs(pressures)]
    dry, wet, leak = (tests[name][-1] / MICRON_PA for name in ("dry", "wet", "leak"))
    assert dry < 1000 < leak < wet
    assert wet < _vacuum_trials.water_pa(_vacuum_trials.CIRCUIT_K) / MICRON_PA


@pytest.mark.parametrize(
    ("units", "charge", "tone", "words"),
    [
        ("us", "40.2", "right", "Plate, and what"),
        ("si", "1140", "right", "Plate, and what"),
        ("us", "44.7", "wrong", "in the factory charge already"),
        ("us", "3.2", "wrong", "addition alone"),
        ("us", "37", "wrong", "plate alone"),
        ("us", "33.8", "wrong", "on top"),
    ],
)
def test_the_charge_is_plate_and_line_beyond_it(units, charge, tone, words):
    """The whole line counted, the addition alone, the plate alone: each is named."""
    reply = asked("line-set", units, charge=charge)
    assert tone == reply["tone"]
    assert words in " ".join(reply["lines"])


@pytest.mark.parametrize("name", _circuit.COOLPROP_NAMES)
def test_a_metre_of_line_holds_what_the_table_says(name):
    """Tube volume times CoolProp's density against the table, printed to three digits: 0.5 %."""
    published = _circuit.published("void_and_lines", f"void_and_lines-line-{name}-6.35")
    ours = _vacuum_trials.metre_kg(
        name, weighing_in.OUTSIDE_M, weighing_in.WALL_M, weighing_in.LIQUID_K
    )
    assert published == pytest.approx(1000.0 * ours, rel=0.005)


@pytest.mark.parametrize("units", ["us", "si"])
@pytest.mark.parametrize("name", TASKS)
def test_every_task_can_be_shown_in_both_units(name, units):
    """Question, table and fields speak the learner's units."""
    shown = TaskScreen(TASKS[name], units=units).task
    other = "°C" if units == "us" else "°F"
    assert other not in " ".join([*shown["ask"], *(c for r in shown["table"] for c in r)])
