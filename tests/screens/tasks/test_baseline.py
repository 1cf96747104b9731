"""Tasks of the lesson on the baseline: what is right, and what each usual mistake is told."""

from __future__ import annotations

import pytest

from kit.errors import KitError
from kit.screens.task_screen import TaskScreen
from kit.screens.tasks import _baseline_runs as runs
from kit.screens.tasks import baseline
from kit.screens.tasks._air_side import air_of_humidity
from tests.screens.asking import asker

TASKS = {task.name: task for task in baseline.TASKS}
asked = asker(baseline.TASKS)
NEEDED = list(baseline.NEEDED)


def told(name: str, units: str = "us", **given: str | list[str]) -> str:
    """Answer a task and return tone and sentences as one text."""
    reply = asked(name, units, **given)
    return " ".join([reply["tone"], *reply["lines"]])


def in_f(split_k: float) -> str:
    """Return a temperature difference as it would be typed in °F."""
    return f"{split_k * 1.8:.1f}"


def test_two_minutes_are_too_early_and_the_engine_says_so():
    """The verdict follows from the run: at two minutes the split is short, at ten it stands."""
    reply = asked("guess-two-minutes", early="smaller")
    splits = [float(row[3].split()[0]) for row in reply["table"][1:]]
    assert "right" == reply["tone"]
    assert splits == sorted(splits)
    assert splits[-2] - splits[1] > 5
    assert abs(splits[-1] - splits[-2]) <= 0.1
    for wrong in ("same", "larger"):
        assert told("guess-two-minutes", early=wrong).startswith("wrong")


def test_the_first_answer_to_a_prediction_stands():
    """A prediction that could be mended afterwards would be none."""
    screen = TaskScreen(TASKS["guess-in-front"])
    screen.answer(front="same")
    with pytest.raises(KitError, match="first answer stands"):
        screen.answer(front="smaller")


def test_the_log_is_read_to_the_minute():
    """Right is the first minute that stays; too early and too late are told apart."""
    want = runs.standing_from(runs.log())
    reply = asked("standing-still", minutes=str(want))
    assert "right" == reply["tone"]
    rested, stopped = (int(row[1].split()[0]) for row in reply["table"][1:])
    assert want == rested
    assert stopped > rested  # the unit waits before it restarts
    assert "further to go" in told("standing-still", minutes=str(want - 1))
    assert "Go up the table" in told("standing-still", minutes=str(want + 2))


def test_the_log_stands_still_where_its_figures_say_so_in_both_units():
    """A learner who reads only what is shown, in °F or °C, finds the same minute."""
    want = runs.standing_from(runs.log())
    for units, still in (("us", 0.55), ("si", 0.3)):
        table = TaskScreen(TASKS["standing-still"], units=units).task["table"]
        splits = [float(row[1].split()[0]) for row in table[1:]]
        moving = [at for at, one in enumerate(splits, 1) if abs(one - splits[-1]) > still]
        assert want == max(moving) + 1


@pytest.mark.parametrize(
    ("units", "setpoint", "words"),
    [
        ("us", "71.1", "right"),
        ("us", "71", "right"),
        ("si", "21.7", "right"),
        ("us", "81.1", "below the room"),
        ("us", "74", "closer"),
        ("si", "19.5", "not one of 5 K"),
    ],
)
def test_a_demand_has_the_right_sign_and_size(units, setpoint, words):
    """The wrong side of the room, too close, and kelvins for degrees Fahrenheit."""
    assert words in told("demand", units, setpoint=setpoint)


def test_little_demand_with_a_high_fan_looks_sick():
    """The table that rewards the answer comes from the engine: full demand, same split."""
    rows = asked("demand", setpoint="71.1")["table"][1:]
    auto, high = ([float(row[n].split()[0]) for row in rows] for n in (1, 2))
    assert high[0] < 15 < auto[0]
    assert high[-1] == auto[-1] > 20


def test_the_probe_in_front_of_the_outlet_halves_the_split():
    """Room air in the jet; against metal it comes out too large."""
    reply = asked("guess-in-front", front="smaller")
    splits = [float(row[2].split()[0]) for row in reply["table"][1:]]
    assert "right" == reply["tone"]
    assert splits[3] < 0.7 * splits[0]
    assert splits[4] > splits[0]


@pytest.mark.parametrize(
    ("entering", "leaving", "words"),
    [
        ("return_grille", "supply", "right"),
        ("return_wall", "supply", "wall is warmer"),
        ("return_grille", "supply_in_front", "mixed in"),
        ("return_grille", "supply_touching", "measure metal"),
        ("supply", "return_grille", "leaving from entering"),
        ("return_wall", "supply_touching", "Two of these places"),
    ],
)
def test_each_wrong_place_has_its_own_hint(entering, leaving, words):
    """The split worked out from the tenths that are shown, in °F."""
    seen = dict(runs.probed())
    assert words in told("right-places", split=in_f(seen[entering] - seen[leaving]))


@pytest.mark.parametrize(
    ("units", "split", "words"),
    [
        ("us", "20.7", "right"),
        ("si", "11.5", "right"),
        ("us", "22.5", "two displays"),
        ("us", "24.3", "other way"),
        ("us", "21.6", "one probe"),
        ("us", "11.5", "Ice and water stand at 32.0 °F"),
    ],
)
def test_two_probes_are_corrected_each_by_its_own_error(units, split, words):
    """No correction, the wrong direction, half of it."""
    assert words in told("two-probes", units, split=split)


def test_the_wet_bulb_meets_a_published_example():
    """30 °C at 50 %: 22.0 °C wet bulb, 0.0134 kg/kg (datasets/published, coil-wb1 and coil-w1)."""
    found = air_of_humidity(303.15, 0.5)
    assert baseline.EXAMPLE["wet_bulb_k"] == pytest.approx(found.wet_bulb_k, abs=0.06)
    assert baseline.EXAMPLE["ratio"] == pytest.approx(found.ratio, abs=1e-4)
    reply = asked("published-wet-bulb", "si", wb="22.0")
    assert "right" == reply["tone"]
    assert ["Wet bulb", "22.0 °C", "22.0 °C"] == reply["table"][1]


def test_dew_point_and_wet_bulb_are_not_mixed_up():
    """The usual slip gets its name; anything else is sent back to the sheet."""
    dew_c = f"{air_of_humidity(303.15, 0.5).dew_k - 273.15:.1f}"
    assert "dew point" in told("published-wet-bulb", "si", wb=dew_c)
    assert "Type both figures" in told("published-wet-bulb", "si", wb="25")


@pytest.mark.parametrize(
    ("lines", "words"),
    [
        (NEEDED, "right"),
        (NEEDED[1:], "repeat your run"),
        ([*NEEDED, "pressure"], "need gauges"),
        ([*NEEDED, "remote"], "own sensor"),
        ([*NEEDED, "report"], "knows nothing"),
    ],
)
def test_the_sheet_holds_what_a_stranger_needs(lines, words):
    """What is lacking is hinted at, what is too much is named."""
    assert words in told("job-sheet", lines=lines)


def test_a_humidity_out_of_range_is_refused_and_not_moved():
    """More than saturated is a slip of the finger, and is told so."""
    with pytest.raises(KitError, match="100"):
        asked("humidity-sheet", db="75", rh="150")


@pytest.mark.parametrize("units", ["us", "si"])
@pytest.mark.parametrize("name", TASKS)
def test_every_task_can_be_shown_in_both_units(name, units):
    """Question, table and fields speak the learner's units."""
    shown = TaskScreen(TASKS[name], units=units).task
    other = "°C" if units == "us" else "°F"
    assert other not in " ".join([*shown["ask"], *(cell for row in shown["table"] for cell in row)])
