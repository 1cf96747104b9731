"""Tasks on electrical checks: figures follow from the kit's electrics, mistakes get their hint."""

from __future__ import annotations

import pytest

from kit.errors import KitError
from kit.screens.task_screen import TaskScreen
from kit.screens.tasks import _meters, _motor, electrical_checks
from tests.screens.asking import asker

TASKS = {task.name: task for task in electrical_checks.TASKS}
asked = asker(electrical_checks.TASKS)


def table(name: str) -> list[list[str]]:
    """Return the rows shown with a task, their heading left out."""
    return TaskScreen(TASKS[name]).task["table"][1:]


def number(text: str) -> float:
    """Return a figure that is shown with its unit."""
    return float(text.split(maxsplit=1)[0].rstrip("%"))


@pytest.mark.parametrize(("said", "tone"), [("higher", "right"), ("lower", "wrong")])
def test_a_sagging_supply_draws_more_until_it_stops(said, tone):
    """The verdict follows from the run: P = V I pf at the same power, then under-voltage."""
    rows = asked("guess-voltage", current=said)["table"][1:]
    volts, watts, amps = ([number(row[n]) for row in rows] for n in range(3))
    assert tone == asked("guess-voltage", current=said)["tone"]
    assert volts[0] * amps[0] == pytest.approx(volts[3] * amps[3], rel=2e-3)
    assert watts[0] == watts[3]
    assert rows[-1][-1].startswith("stopped")
    assert amps[-1] < 0.5


@pytest.mark.parametrize(
    ("given", "tone", "words"),
    [("dead three good", "right", "Live-dead-live"), ("live three good", "wrong", "wreck"),
     ("remote three good", "wrong", "bus charged"), ("dead two good", "wrong", "CAT II is for"),
     ("dead three old", "wrong", "weakest part"), ("dead three bare", "wrong", "bridges")],
)  # fmt: skip
def test_meter_and_leads_are_chosen_by_category(given, tone, words):
    """Each unsafe choice is named by what it does."""
    state, meter, leads = given.split()
    reply = asked("meter", state=state, meter=meter, leads=leads)
    assert tone == reply["tone"]
    assert words in " ".join(reply["lines"])


def test_windings_are_judged_without_the_leads():
    """With the leads left in, the unequal motor would pass for equal within 10 %."""
    leads, *pairs = (number(row[1]) for row in table("windings"))
    net = [pair - leads for pair in pairs]
    spread, false = _motor.spread(tuple(net)), _motor.spread(tuple(pairs))
    good = asked("windings", uv=f"{net[0]:.2f}", spread=f"{100 * spread:.1f}", means="beyond")
    assert "right" == good["tone"]
    assert false < _motor.BALANCED < spread
    bad = " ".join(
        asked("windings", uv=f"{pairs[0]:.2f}", spread=f"{100 * false:.1f}", means="within")[
            "lines"
        ]
    )
    assert "leads are still in it" in bad
    assert "hide part" in bad
    assert "one part in ten" in bad


@pytest.mark.parametrize(
    ("uv", "spread", "words"),
    [("2.0", "11.8", "Take the reading of the leads"), ("1.14", "12.7", "by the smallest"),
     ("1.14", "0.13", "Those are ohms"), ("1.14", "50", "over their mean")],
)  # fmt: skip
def test_other_mistakes_with_the_windings_get_their_hint(uv, spread, words):
    """Smallest instead of mean, ohms instead of percent, or anything else."""
    assert words in asked("windings", uv=uv, spread=spread, means="beyond")["lines"][0]


def test_copper_is_reckoned_as_the_standard_says():
    """IEC 60028: 0.393 % a kelvin from 20 °C; 1.1 ohm at 30 °C are 1.143 ohm."""
    assert 1.1 * (1 + 0.00393 * 10) == pytest.approx(_meters.copper_ohm(303.15), rel=1e-6)


@pytest.mark.parametrize(
    ("typed", "means", "tone", "words"),
    [("0.5", "below", "right", "flatters"), ("32", "below", "wrong", "doubled"),
     ("4", "below", "wrong", "the reading itself"), ("1.3", "below", "wrong", "halve as often"),
     ("0.5", "above", "wrong", "warm figure")],
)  # fmt: skip
def test_insulation_is_brought_to_one_warmth(typed, means, tone, words):
    """IEEE 43: halves for 10 K, so 4 megohm at 10 °C are 0.5 at 40 °C, below (0.23 + 1)."""
    reply = asked("cold-insulation", at_40c=typed, means=means)
    assert tone == reply["tone"]
    assert words in " ".join(reply["lines"])


def test_the_least_insulation_is_the_standards():
    """IEEE 43: (kV + 1) megohm."""
    assert 1.23e6 == pytest.approx(_meters.least_ohm())


def test_four_motors_read_as_what_is_wrong_with_them():
    """Open on two pairs; the board beside the leads; earthed; and a jammed one like a sound one."""
    opened, leads, earthed, sound = _meters.compressors()
    assert 2 == opened.pairs_ohm.count(float("inf"))
    assert sound.pairs_ohm == earthed.pairs_ohm
    assert leads.pairs_ohm[0] < sound.pairs_ohm[0]
    assert earthed.earth_ohm < leads.earth_ohm < 1e6 < sound.earth_ohm
    assert 2 == sum("OL" in row[1] for row in table("compressors"))


@pytest.mark.parametrize(
    ("answer", "tone", "words"),
    [("open leads earthed sound", "right", "do not see"), ("sound leads earthed sound", "wrong",
     "no way through"), ("open earthed earthed sound", "wrong", "not taken off"),
     ("open leads sound sound", "wrong", "next to nothing"),
     ("open leads earthed open", "wrong", "not here")],
)  # fmt: skip
def test_each_motor_is_named(answer, tone, words):
    """A cause that was missed is hinted at by its reading."""
    reply = asked("compressors", **dict(zip("abcd", answer.split(), strict=True)))
    assert tone == reply["tone"]
    assert words in " ".join(reply["lines"])


def test_the_sensor_sheet_works_both_ways():
    """Resistance from temperature and back by the same law; nothing given, nothing worked out."""
    there = asked("sensor-sheet", r25="10", beta="3950", temperature="50")["table"][1]
    back = asked("sensor-sheet", r25="10", beta="3950", resistance=there[1])["table"][1]
    assert "50.0 °F" == back[0]
    assert [] == asked("sensor-sheet", r25="10", beta="3950")["table"]
    with pytest.raises(KitError, match="out of range"):
        asked("sensor-sheet", r25="10", beta="39500", temperature="50")


def test_the_law_agrees_with_the_printed_table():
    """A typical 10 kohm, 3950 K component (from memory): within 3 % at 0 and 50 °C."""
    for celsius in (0, 50):
        law = _meters.ntc_ohm(celsius + 273.15, _meters.TABLE_R25_OHM, _meters.TABLE_BETA_K)
        assert _meters.ntc_table_ohm(celsius) == pytest.approx(law, rel=0.03)


@pytest.mark.parametrize(
    ("typed", "tone", "words"),
    [("33.62", "right", "part by up to"), ("33.6", "right", "part by up to"),
     ("28.70", "wrong", "another sensor's beta"), ("10", "wrong", "Ice is colder"),
     ("20", "wrong", "into the sheet above")],
)  # fmt: skip
def test_the_ice_bath_has_a_hint_for_each_mistake(typed, tone, words):
    """The other beta, the figure at 25 °C, or anything else."""
    reply = asked("ice-bath", ice=typed)
    assert tone == reply["tone"]
    assert words in reply["lines"][0]
    assert (3 if tone == "right" else 0) == len(reply["table"])


@pytest.mark.parametrize(
    ("units", "told", "effect", "tone", "words"),
    [("us", "66.2", "idles", "right", "takes its ease"), ("si", "19", "idles", "right", "cooler"),
     ("us", "68.0", "idles", "wrong", "beta of the other"), ("us", "78.8", "idles", "wrong",
     "That is the air"), ("us", "50", "idles", "wrong", "into the sheet"),
     ("us", "66.2", "races", "wrong", "cooler or warmer")],
)  # fmt: skip
def test_what_the_board_believes(units, told, effect, tone, words):
    """Its own beta; not the air; and what a cold sensor does in cooling."""
    if told == "68.0":
        other = _meters.ntc_temperature_k(_meters.room_sensor().ohm, 1e4, 3950.0)
        told = f"{other * 1.8 - 459.67:.1f}"
    reply = asked("room-sensor", units, told=told, effect=effect)
    assert tone == reply["tone"]
    assert words in " ".join(reply["lines"])


@pytest.mark.parametrize(
    ("answer", "tone", "words"),
    [("dead sound open", "right", "Swinging is healthy"), ("sound sound open", "wrong",
     "stands"), ("dead open open", "wrong", "swings between"),
     ("dead sound dead", "wrong", "nothing arrives")],
)  # fmt: skip
def test_a_signal_is_told_by_its_swing(answer, tone, words):
    """Steady high, swinging, steady low."""
    reply = asked("signal", **dict(zip("abc", answer.split(), strict=True)))
    assert tone == reply["tone"]
    assert words in " ".join(reply["lines"])
