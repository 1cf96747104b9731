"""Tasks of the lesson on making safe: right answers, the usual mistakes, and what they rest on."""

from __future__ import annotations

import math

import pytest

from kit.errors import KitError
from kit.machine import Condition
from kit.screens.task_screen import TaskScreen
from kit.screens.tasks import _bus, making_safe
from tests.screens.asking import asker

TASKS = {task.name: task for task in making_safe.TASKS}
asked = asker(making_safe.TASKS)
ORDER = ("off", "pull", "lock", "try", "wait", "prove")


def ordered(*steps: str) -> dict:
    """Answer the task that asks for an order."""
    return asked("order", **dict(zip(making_safe.PLACES, steps, strict=True)))


def test_the_remote_leaves_the_supply_and_the_bus_live():
    """The verdict follows from the machine as it is when set off: standby power, charged bus."""
    right, wrong = asked("guess-remote", live="both"), asked("guess-remote", live="nothing")
    assert ("right", "wrong") == (right["tone"], wrong["tone"])
    bus = float(right["table"][2][1].split()[0])
    assert bus == pytest.approx(math.sqrt(2) * 230 - 2, abs=0.1)  # peak less two diodes


@pytest.mark.parametrize(
    ("steps", "words"),
    [
        (("off", "pull", "lock", "wait", "try", "prove"), "Then hands go in"),
        (("pull", "off", "lock", "try", "wait", "prove"), "draws an arc"),
        (("off", "pull", "try", "lock", "wait", "prove"), "anybody can push"),
        (("off", "pull", "lock", "try", "prove", "wait"), "has not had time"),
        (("off", "pull", "lock", "wait", "prove", "try"), "last word"),
        (("off", "off", "lock", "try", "wait", "prove"), "stands there twice"),
    ],
)
def test_an_order_is_judged_by_what_rests_on_what(steps, words):
    """Try-start and wait may change places; nothing else may."""
    reply = ordered(*steps)
    assert words in " ".join(reply["lines"])
    assert ("right" if "Then" in words else "wrong") == reply["tone"]


def test_ORDER_of_the_lesson_is_right():  # noqa: N802
    """The order that the lesson tells is taken."""
    assert "right" == ordered(*ORDER)["tone"]


def test_the_predicted_wait_is_judged_by_the_run():
    """Each row is the bus at that time, and the verdict is the time at which it passes 50 V."""
    reply = asked("guess-wait", wait="long")
    assert "right" == reply["tone"]
    assert {"wrong"} == {asked("guess-wait", wait=w)["tone"] for w in ("short", "middle")}
    falls = [float(row[1].split()[0]) for row in reply["table"][1:]]
    stays = {row[2] for row in reply["table"][1:]}
    assert sorted(falls, reverse=True) == falls
    assert 1 == len(stays)
    assert 50.0 == pytest.approx(_bus.bus_v("wall-12k-r32", _bus.wait_s("wall-12k-r32")))


def test_a_prediction_stands():
    """The first answer is kept."""
    screen = TaskScreen(TASKS["guess-wait"])
    screen.answer(wait="short")
    with pytest.raises(KitError, match="first answer stands"):
        screen.answer(wait="long")


@pytest.mark.parametrize(
    ("factor", "words"),
    [
        (1 / math.log(10), "base ten"),
        (60.0, "looks like seconds"),
        (1e-3, "kilohm"),
        (0.7, "so many time constants"),
    ],
)
def test_a_wrong_wait_gets_the_hint_that_fits(factor, words):
    """The usual slips are told apart, and no hint holds the answer."""
    want = _bus.wait_s(making_safe.ASKED)
    reply = asked("wait", wait=f"{factor * want:.3f} s")
    assert "wrong" == reply["tone"]
    assert words in " ".join(reply["lines"])
    assert f"{want / 60:.1f}" not in " ".join(reply["lines"])


def test_time_constants_are_told_from_the_wait():
    """One and five time constants are answers to other questions."""
    spec = _bus.machine(making_safe.ASKED)
    tau = spec.bus_bleed_ohm * spec.bus_capacitance_f
    assert "time constant" in asked("wait", wait=f"{tau:.1f} s")["lines"][0]
    assert "empty it almost" in asked("wait", wait=f"{5 * tau:.1f} s")["lines"][0]


def test_a_right_wait_shows_the_published_examples():
    """Two worked examples (resicalc.com; scribd.com 347454186) come out to their last digit."""
    reply = asked("wait", wait=f"{_bus.wait_s(making_safe.ASKED) / 60:.1f}")
    assert "right" == reply["tone"]
    for row in reply["table"][1:]:
        printed, engine, by_hand = (float(cell.split()[0]) for cell in row[1:])
        assert printed == pytest.approx(engine, rel=4e-3)
        assert engine == pytest.approx(by_hand, rel=1e-3)


def test_a_wait_out_of_range_is_refused():
    """Nothing is moved inside the range."""
    with pytest.raises(KitError, match="2000"):
        TaskScreen(TASKS["wait"]).answer(wait="2000")


@pytest.mark.parametrize(
    ("picked", "words"),
    [
        ("cd", "five outcomes"),
        ("acd", "exactly right"),
        ("bcd", "not below"),
        ("cde", "not below"),
        ("c", "left one out"),
    ],
)
def test_only_what_is_surely_below_the_limit_counts(picked, words):
    """The meter's accuracy decides at the edge."""
    assert words in " ".join(asked("same-wait", touch=list(picked))["lines"])


def test_a_bus_that_stays_up_is_recognised():
    """Figure and deed are both judged."""
    want = _bus.bus_v(making_safe.HELD, making_safe.HELD_AFTER_S)
    sound = f"{want:.1f}"
    assert "right" == asked("held", sound=sound, now="hold")["tone"]
    assert "arc flash" in asked("held", sound=sound, now="short")["lines"][0]
    assert "bring nothing" in asked("held", sound=sound, now="wait")["lines"][0]
    assert "deadly" in asked("held", sound=sound, now="work")["lines"][0]
    seconds = _bus.bus_v(making_safe.HELD, making_safe.HELD_AFTER_S / 60)
    assert "eight seconds" in asked("held", sound=f"{seconds:.1f}", now="hold")["lines"][0]
    assert "once more" in asked("held", sound="100", now="hold")["lines"][0]


def test_a_broken_bleed_resistor_keeps_the_charge():
    """The knob alone does it."""
    start = _bus.bus_start_v(making_safe.HELD)
    assert start == _bus.bus_v(making_safe.HELD, 3600.0, Condition(bleed_resistor_open=True))


@pytest.mark.parametrize(
    ("points", "ends", "words"),
    [
        ("lines line_1_earth line_2_earth bus", "both", "live, dead, live"),
        ("lines line_1_earth line_2_earth", "both", "store of charge"),
        ("lines line_1_earth bus", "both", "each against earth"),
        ("lines line_1_earth line_2_earth bus lamp", "both", "are signs"),
        ("lines line_1_earth line_2_earth bus", "none", "dead battery"),
        ("lines line_1_earth line_2_earth bus", "before", "may fail between"),
    ],
)
def test_a_proof_has_all_its_points_and_a_proved_meter(points, ends, words):
    """What is lacking is named by its reason."""
    assert words in " ".join(asked("proof", points=points.split(), ends=ends)["lines"])


def test_the_chart_of_the_bus_shows_both_curves_and_the_limit():
    """What the chart shows is told in words as well, in the learner's language."""
    chart = asked("guess-wait", wait="long")["plots"][0]
    assert 2 == chart["svg"].count("data-point=")
    assert "50.0 V" in chart["alt"]
    assert "from 323.3 V to 323.3 V in 15 min" in chart["alt"]
