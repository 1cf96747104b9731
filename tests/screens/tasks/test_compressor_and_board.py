"""Tasks on units that do not cool: what separates them comes from the engine and from CoolProp."""

from __future__ import annotations

import math

import pytest

from kit.errors import KitError
from kit.screens.task_screen import TaskScreen
from kit.screens.tasks import _dead_units as units
from kit.screens.tasks import compressor_and_board as lesson
from tests.screens.asking import asker

TASKS = {task.name: task for task in lesson.TASKS}
asked = asker(lesson.TASKS)
PSI = 6894.757


@pytest.mark.parametrize(("low", "tone"), [("empty", "right"), ("both", "wrong"), ("all", "wrong")])
def test_only_an_empty_circuit_stands_below_saturation(low, tone):
    """Two fifths of the charge may be gone and the gauge says nothing."""
    assert tone == asked("guess-standing", low=low)["tone"]


def test_the_prediction_follows_from_the_run(monkeypatch):
    """Where the short unit stood low as well, another answer would be right."""
    run = lesson.reading
    short = {"standing_excess": -1e5}
    monkeypatch.setattr(
        lesson,
        "reading",
        lambda name, unit, mode="cooling": (
            short[name] if unit == "short" and name in short else run(name, unit, mode)
        ),
    )
    assert "right" == asked("guess-standing", low="both")["tone"]


def test_a_prediction_stands():
    """It is asked once."""
    screen = TaskScreen(TASKS["guess-pump"])
    assert screen.answer(suction="down", current="up").startswith("Not as you said.")
    assert screen.reply["plots"]
    with pytest.raises(KitError, match="first answer stands"):
        screen.answer(suction="up", current="down")


@pytest.mark.parametrize(("suction", "current"), [("up", "up"), ("down", "down")])
def test_half_a_prediction_is_not_one(suction, current):
    """Pressure and current tell it together."""
    assert "wrong" == asked("guess-pump", suction=suction, current=current)["tone"]


def test_saturation_is_that_of_coolprop():
    """R-32 and R-410A at 80 °F within 0.1 % of CoolProp 8, as the kit's tables promise."""
    from CoolProp.CoolProp import PropsSI

    for name, fluid in units.COOLPROP.items():
        absolute = PropsSI("P", "T", units.AIR_K, "Q", 0, fluid)
        shown = units.saturation_gauge_pa(name, units.AIR_K) + units.ATMOSPHERE_PA
        assert absolute == pytest.approx(shown, rel=1e-3)


@pytest.mark.parametrize(
    ("off_psi", "name", "means", "words"),
    [
        (0, "R-32", "how_much", "any liquid"),
        (0, "R-32", "air", "above or below"),
        (14.7, "R-32", "empty", "absolute"),
        (0, "R-410A", "empty", "another refrigerant"),
        (18, "R-32", "empty", "row of the temperature"),
    ],
)
def test_each_slip_with_a_standing_pressure_has_its_hint(off_psi, name, means, words):
    """Column, row, absolute for gauge, and what it means."""
    at_k = (lesson.STEP_F + 459.67) / 1.8
    typed = f"{units.saturation_gauge_pa(name, at_k) / PSI + off_psi:.1f}"
    reply = asked("standing", saturation=typed, means=means)
    assert "wrong" == reply["tone"]
    assert words in " ".join(reply["lines"])


@pytest.mark.parametrize("system", ["us", "si"])
def test_an_empty_circuit_is_seen_in_any_unit(system):
    """The table is read in the units chosen."""
    screen = TaskScreen(TASKS["standing"], units=system)
    row = screen.task["table"][1 + lesson.TABLE_F.index(lesson.STEP_F)]
    screen.answer(saturation=row[1].split()[0], means="empty")
    assert "right" == screen.reply["tone"]


@pytest.mark.parametrize(
    ("times_leads", "tester", "words"),
    [
        (0, "leads", "copper is sound"),
        (1, "leads", "leads come off"),
        (2, "leads", "do not add them"),
        (5, "leads", "Take what the leads show"),
        (0, "board", "What must come off first"),
        (0, "vacuum", "under vacuum"),
    ],
)
def test_the_leads_come_off_and_the_board_too(times_leads, tester, words):
    """A winding is as small as the meter's own leads."""
    own = lesson._pairs()[0] - lesson.LEADS_OHM
    typed = f"{own + times_leads * lesson.LEADS_OHM:.2f}"
    assert words in " ".join(asked("windings", winding=typed, tester=tester)["lines"])


RIGHT = {name: wrong for name, (wrong, _) in lesson.UNITS.items()}


@pytest.mark.parametrize("missed", sorted(RIGHT))
def test_each_unit_has_a_hint_that_names_its_column(missed):
    """The hint sends the learner to a reading and never names the fault."""
    given = {**RIGHT, missed: "leak" if RIGHT[missed] != "leak" else "open"}
    said = asked("which-one", **given)["lines"]
    assert ["4 of 5 are right.", said[1]] == said
    assert said[1].startswith(f"Unit {missed.upper()}: ")


def test_five_faults_are_told_apart_by_the_table():
    """No two rows of the table are alike; each shows its own sign against the sound unit."""
    assert "right" == asked("which-one", **RIGHT)["tone"]
    rows = [tuple(row[1:]) for row in TaskScreen(TASKS["which-one"]).task["table"][1:]]
    assert len(rows) == len(set(rows))
    assert math.isinf(units.reading("winding_uv", "open", "off"))
    assert units.reading("bus", "board") == 0.0
    assert units.reading("current", "leak") < 0.6 * units.reading("current", "sound")


def test_the_compression_sheet_meets_the_kept_rows():
    """The rows cycles-R32-t2 and -work of datasets/published/cycles.csv, 0.2 K and 0.5 %."""
    point = lesson.POINT
    low, high = (units.dew_pa("R-32", point[k]) for k in ("evaporating_k", "condensing_k"))
    start_k = point["evaporating_k"] + point["superheat_k"]
    work, hot_k = units.ideal_compression("R-32", low, start_k, high)
    assert lesson.ROW_DISCHARGE_K == pytest.approx(hot_k, abs=0.2)
    assert lesson.ROW_WORK_J == pytest.approx(work, rel=0.005)


def test_a_measured_compressor_takes_more_than_the_ideal():
    """NISTIR 7350, test 9: between 0.6 and 0.8 of the power is ideal work, never all of it."""
    test = lesson.TEST
    work, hot_k = units.ideal_compression(
        "R-410A", test["suction_pa"], test["suction_k"], test["discharge_pa"]
    )
    assert 0.6 < work * test["flow_kg_s"] / test["power_w"] < 0.8
    assert hot_k < (179.35 + 459.67) / 1.8  # the report's own discharge temperature, with losses


@pytest.mark.parametrize(
    ("leaves", "tone", "words"),
    [
        ("101.0 C", "right", "the sheet is sound"),
        ("54.4 C", "wrong", "where it condenses"),
        ("84.9 C", "wrong", "other refrigerant"),
        ("70 C", "wrong", "into the sheet"),
    ],
)
def test_the_comparison_comes_with_a_right_answer_only(leaves, tone, words):
    """Each usual slip has its own words."""
    reply = asked("kept-row", "si", leaves=leaves)
    assert tone == reply["tone"]
    assert words in " ".join(reply["lines"])
    assert bool(reply["table"]) is (tone == "right")


def test_a_lift_upside_down_is_refused_with_a_reason():
    """Swapped temperatures give no work; out of range gives no figure."""
    given = {"refrigerant": "R-32", "superheat": "10 K"}
    reply = asked("ideal-work", evaporating="20 C", condensing="20 C", **given)
    assert "condensing is the higher one" in " ".join(reply["lines"])
    with pytest.raises(KitError):
        asked("ideal-work", evaporating="90 C", condensing="54 C", **given)
