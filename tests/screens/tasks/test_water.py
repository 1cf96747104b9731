"""Tasks of the lesson on water: right answers, the usual mistakes, and what they rest on."""

from __future__ import annotations

import pytest

from kit.errors import KitError
from kit.quantities import POUND_KG
from kit.screens.task_screen import TaskScreen
from kit.screens.tasks import _pan, water
from kit.screens.tasks._given import published
from tests.screens.asking import asker

TASKS = {task.name: task for task in water.TASKS}
asked = asker(water.TASKS)
COIL = _pan.coil(water.ASKED, water.ASKED_RH)
LB_H = POUND_KG / 3600.0


def test_the_predicted_overflow_is_judged_by_the_run():
    """More humidity, more water, sooner over the edge; the verdict is the run at 60 %."""
    reply = asked("guess-overflow", when="hour")
    flows = [float(row[1].split()[0]) for row in reply["table"][1:]]
    minutes = [float(row[2].split()[0]) for row in reply["table"][1:]]
    assert "right" == reply["tone"]
    assert {"wrong"} == {asked("guess-overflow", when=w)["tone"] for w in ("quick", "long")}
    assert sorted(flows) == flows
    assert sorted(minutes, reverse=True) == minutes
    assert minutes[0] > 60 > minutes[-1]


def test_a_closed_pan_holds_what_came_off_the_coil():
    """No sooner than pan over flow, and later by what ramp and dry fins take."""
    by_hand = water.pan_s() / 60
    assert by_hand < _pan.overflow_min(water.ASKED, water.ASKED_RH) < 1.5 * by_hand


@pytest.mark.parametrize(
    ("factor", "words"),
    [
        (7000.0, "7,000 grains"),
        (1000.0, "1,000 grams"),
        (1 / 60, "a minute's worth"),
        (COIL.entering.ratio * COIL.dry_kg_s / COIL.by_hand_kg_s, "all the water that comes in"),
        (1.5, "entering less leaving"),
    ],
)
def test_a_wrong_flow_of_water_gets_the_hint_that_fits(factor, words):
    """Units, time and difference are told apart."""
    reply = asked("water", water=f"{factor * COIL.by_hand_kg_s / LB_H:.3f}")
    assert "wrong" == reply["tone"]
    assert words in " ".join(reply["lines"])
    assert [] == reply["table"]


@pytest.mark.parametrize(("units", "unit"), [("us", LB_H), ("si", 1 / 3600)])
def test_water_worked_out_from_what_is_shown_is_right(units, unit):
    """The figures of the question, at their last digits, lead to the answer in either system."""
    screen = TaskScreen(TASKS["water"], units=units)
    dry, entering, leaving = (float(row[1].split()[0]) for row in screen.task["table"][1:])
    screen.answer(water=f"{dry * (entering - leaving) / (7000 if units == 'us' else 1000):.2f}")
    assert "right" == screen.reply["tone"]
    assert COIL.by_hand_kg_s == pytest.approx(dry * unit * (
        (entering - leaving) / (7000 if units == "us" else 1000)), rel=0.02)  # fmt: skip


def test_the_engines_coil_gives_the_water_that_psychrolib_finds():
    """Two sets of equations of moist air, one balance."""
    for rh in water.ROOMS:
        coil = _pan.coil(water.GUESSED, rh)
        assert coil.by_hand_kg_s == pytest.approx(coil.engine_kg_s, rel=0.005)


def test_the_published_example_comes_out():
    """Worked example 4 of a moist-air table program: within 1 % (real gas, three digits)."""
    row = published("psychrometrics", water.EXAMPLE)
    assert float(row["expected"]) == pytest.approx(water.example().condensate_kg_s, rel=0.01)


def test_the_example_is_shown_to_a_right_answer_alone():
    """The sheet's figure is asked for; a minute's worth and a guess have their hints."""
    kg_h = 3600 * water.example().condensate_kg_s
    assert "they differ by" == asked("example", "si", water=f"{kg_h:.1f}")["table"][-1][0]
    assert "minute's worth" in asked("example", "si", water=f"{kg_h / 60:.3f}")["lines"][0]
    assert [] == asked("example", "si", water="50")["table"]


def test_the_sheet_refuses_air_that_got_wetter():
    """A cooling coil adds no water."""
    given = {"flow": "400", "db": "75", "rh": "50", "out_db": "70", "out_rh": "95"}
    assert "leaves wetter" in asked("water-sheet", **given)["lines"][0]


def test_the_sheet_refuses_what_is_out_of_range():
    """Nothing is moved inside the range."""
    given = {"flow": "400", "db": "75", "rh": "150", "out_db": "55", "out_rh": "95"}
    with pytest.raises(KitError, match="150"):
        TaskScreen(TASKS["water-sheet"]).answer(**given)


@pytest.mark.parametrize(
    ("minutes", "tone", "words"),
    [
        (water.pan_s() / 60, "right", "ramps up"),
        (water.pan_s() / 3600, "wrong", "looks like hours"),
        (3600 / water.pan_s(), "wrong", "Upside down"),
        (216000 / water.pan_s(), "wrong", "Upside down"),
        (60.0, "wrong", "Times sixty"),
    ],
)
def test_a_pan_is_filled_by_its_flow(minutes, tone, words):
    """Each slip has its own hint."""
    reply = asked("pan", full=f"{minutes:.3f}")
    assert tone == reply["tone"]
    assert words in " ".join(reply["lines"])


def test_a_narrow_drain_passes_the_day_and_fails_the_pour_test():
    """Four fifths closed: the verdict is what run and pour show."""
    reply = asked("guess-pour", finds="pour")
    assert ("right", "wrong") == (reply["tone"], asked("guess-pour", finds="both")["tone"])
    narrow, closed = reply["table"][3], reply["table"][5]
    assert narrow[1].endswith("lb")
    assert float(narrow[3].split()[0]) > 0
    assert ("it runs over", "does not empty") == (closed[1], closed[2])


@pytest.mark.parametrize(
    ("units", "fall", "enough", "words"),
    [
        ("us", "1.5", "no", "Too flat"),
        ("si", "38", "no", "Too flat"),
        ("us", "1.5", "yes", "compare"),
        ("us", "3", "no", "asked is the least"),
        ("us", "1", "no", "fall it has"),
        ("us", "18", "no", "inches, not feet"),
        ("us", "0.125", "no", "one foot of it"),
        ("us", "6", "no", "Fall of each foot"),
    ],
)
def test_a_hose_needs_its_fall(units, fall, enough, words):
    """An eighth of an inch per foot over twelve feet, and an inch is less."""
    reply = asked("slope", units, fall=fall, enough=enough)
    assert words in " ".join(reply["lines"])
    assert ("right" if words == "Too flat" else "wrong") == reply["tone"]


@pytest.mark.parametrize("clue", water.CAUSES)
def test_each_clue_has_its_cause_and_its_hint(clue):
    """A wrong cause is answered by what the clue says, not by the cause."""
    assert "right" == asked("causes", **water.CAUSES)["tone"]
    other = "ice" if water.CAUSES[clue] != "ice" else "blocked"
    reply = asked("causes", **{**water.CAUSES, clue: other})
    assert [water._CAUSE_HINTS[clue]] == reply["lines"]


def test_the_chart_of_the_pan_ends_at_its_edge():
    """Three rooms; each curve ends with a full pan."""
    chart = asked("guess-overflow", "si", when="hour")["plots"][0]
    assert 3 == chart["svg"].count("data-point=")
    assert 4 == chart["alt"].count("0.60 kg")
