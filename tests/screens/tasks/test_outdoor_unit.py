"""Tasks on the outdoor unit: the runs decide, each usual mistake has its hint."""

from __future__ import annotations

import pytest

from kit.errors import KitError
from kit.physics import correlations
from kit.screens.task_screen import TaskScreen
from kit.screens.tasks import _outdoor, outdoor_unit
from tests.screens.asking import asker

TASKS = {task.name: task for task in outdoor_unit.TASKS}
asked = asker(outdoor_unit.TASKS)


def figures(rows: list[list[str]], column: int) -> list[float]:
    """Return a column of a table as numbers, its heading left out."""
    return [float(row[column].split()[0].rstrip("%")) for row in rows[1:]]


@pytest.mark.parametrize(("said", "tone"), [("same", "right"), ("lower", "wrong")])
def test_half_of_the_air_hardly_moves_the_split(said, tone):
    """The verdict follows from the run: less than 2 °F of split, more than 15 °F at the coil."""
    reply = asked("guess-split", split=said)
    air, split, over = (figures(reply["table"], n) for n in range(3))
    assert tone == reply["tone"]
    assert 50 == pytest.approx(air[-1], abs=2)
    assert abs(split[0] - split[-1]) < 2
    assert over[-1] - over[0] > 15
    assert ["clean coil", "half of the outdoor air"] == [
        name for name in ("clean coil", "half of the outdoor air") if name in str(reply["plots"])
    ]


@pytest.mark.parametrize(("said", "tone"), [("lower", "right"), ("higher", "wrong")])
def test_held_back_it_draws_less_than_a_clean_unit(said, tone):
    """Current climbs as long as nothing is held back, and ends below the clean unit's."""
    reply = asked("guess-current", current=said)
    amps = figures(reply["table"], 2)
    free = sum(row[-1] == "nothing yet" for row in reply["table"][1:])
    assert tone == reply["tone"]
    assert sorted(amps[:free]) == amps[:free]
    assert amps[-1] < 0.8 * amps[0]
    assert "high head" == reply["table"][-1][-1]
    screen = TaskScreen(TASKS["guess-current"], {"current": said})
    with pytest.raises(KitError, match="first answer stands"):
        screen.answer(current="same")


def shown(units: str) -> list[float]:
    """Return the readings of the bend's table as they are shown."""
    return figures(TaskScreen(TASKS["over-ambient"], units=units).task["table"], 1)


@pytest.mark.parametrize("units", ["us", "si"])
def test_condensing_over_outdoor_air_is_taken_from_what_is_shown(units):
    """A learner who subtracts the figures on the screen is right, in either unit."""
    bend, intake, *_ = shown(units)
    reply = asked("over-ambient", units, over=f"{bend - intake:.1f}", means="high")
    assert "right" == reply["tone"]
    assert 5 == len(reply["table"])


@pytest.mark.parametrize(
    ("less", "sign", "words"),
    [(1, -1, "is positive"), (2, 1, "leaves the fan"), (3, 1, "air of the room"),
     (None, 1, "Take the air at the rear intake")],
)  # fmt: skip
def test_each_mistake_at_the_bend_gets_its_hint(less, sign, words):
    """Wrong sign, leaving air, room air, or anything else."""
    readings = shown("us")
    wrong = readings[0] if less is None else sign * (readings[0] - readings[less])
    reply = asked("over-ambient", over=f"{wrong:.1f}", means="high")
    assert "wrong" == reply["tone"]
    assert words in reply["lines"][0]
    assert [] == reply["table"]


def test_a_right_figure_still_wants_its_meaning():
    """The unit's own clean figure is what it is held against."""
    bend, intake, *_ = shown("us")
    reply = asked("over-ambient", over=f"{bend - intake:.1f}", means="usual")
    assert "last row" in " ".join(reply["lines"])


def test_the_laboratory_rows_agree_with_the_report():
    """NISTIR 7350, appendix D: its own saturation temperatures within 0.2 K."""
    rows = _outdoor.laboratory()
    assert 2 == len(rows)
    for outdoor_k, worked_k, printed_k in rows:
        assert printed_k == pytest.approx(worked_k, abs=0.2)
        assert 9 < worked_k - outdoor_k < 13


def cost() -> tuple[float, float]:
    """Return (more input alone, more input for the same cooling), from the table shown."""
    (_, q0, q1), (_, w0, w1) = TaskScreen(TASKS["cost"]).task["table"][1:]
    q0, q1, w0, w1 = (float(text.split()[0]) for text in (q0, q1, w0, w1))
    return w1 / w0 - 1, w1 / q1 / (w0 / q0) - 1


def test_the_cost_follows_from_the_table_and_lies_in_the_published_band():
    """Cheung and Braun, condenser airflow -50 %: half to twice the rise, capacity within 0.05."""
    alone, more = cost()
    reply = asked("cost", more=f"{100 * more:.1f}")
    case = ("condenser_airflow", "eir", 0.5, 292.55, 308.15, 4.0)
    rise = correlations.fault_ratio(*case) - 1
    assert "right" == reply["tone"]
    assert 0.5 * rise < more < 2 * rise
    ours, theirs = (float(text.rstrip("%")) for text in reply["table"][1][1:])
    assert theirs == pytest.approx(ours, abs=5)
    assert alone < more


@pytest.mark.parametrize(
    ("typed", "words"),
    [("alone", "input alone"), ("whole", "whole of it"), ("factor", "in percent"),
     ("turned", "Turn the division"), ("nonsense", "Divide input by cooling")],
)  # fmt: skip
def test_each_mistake_with_the_cost_gets_its_hint(typed, words):
    """Input alone, the whole, a factor instead of percent, the division upside down."""
    alone, more = cost()
    wrong = {
        "alone": 100 * alone, "whole": 100 * (1 + more), "factor": 1 + more,
        "turned": 100 * (1 - 1 / (1 + more)), "nonsense": 3.0,
    }[typed]  # fmt: skip
    reply = asked("cost", more=f"{wrong:.2f}")
    assert "wrong" == reply["tone"]
    assert words in reply["lines"][0]


def test_the_three_units_read_alike_but_for_the_reading_that_differs():
    """Otherwise the exercise would be a guess, or no exercise."""
    hot, plain, slow = _outdoor.suspects()
    for name, within in (("split", 0.5), ("current", 0.25), ("outdoor_coil_over_air", 0.5)):
        values = [unit[name] for unit in (hot, plain, slow)]
        assert max(values) - min(values) < within
    assert hot["outdoor_intake_over_air"] > 5
    assert plain["outdoor_intake_over_air"] < 1
    assert slow["outdoor_fan_speed"] < 0.5 * plain["outdoor_fan_speed"]


@pytest.mark.parametrize(
    ("answer", "tone", "words"),
    [("recirculation coil fan", "right", "told them apart"),
     ("coil recirculation fan", "wrong", "warmer than the shade"),
     ("recirculation fan coil", "wrong", "less than half the speed"),
     ("recirculation fan fan", "wrong", "What is left")],
)  # fmt: skip
def test_causes_are_told_apart(answer, tone, words):
    """Each cause that was missed is hinted at by the reading that tells it."""
    reply = asked("tell-apart", **dict(zip("abc", answer.split(), strict=True)))
    assert tone == reply["tone"]
    assert words in " ".join(reply["lines"])


@pytest.mark.parametrize(
    ("given", "tone", "words"),
    [("dead fan hose", "right", "way it came in"), ("remote fan hose", "wrong", "isolates nothing"),
     ("pulled fan hose", "wrong", "not proved"), ("dead rear hose", "wrong", "deeper"),
     ("dead along hose", "wrong", "leans on the fins"), ("dead fan lance", "wrong", "flat"),
     ("dead fan acid", "wrong", "eats fins")],
)  # fmt: skip
def test_the_wash_is_prepared_and_goes_outwards(given, tone, words):
    """Each way to do harm is named."""
    ready, side, jet = given.split()
    reply = asked("wash", ready=ready, side=side, jet=jet)
    assert tone == reply["tone"]
    assert words in " ".join(reply["lines"])


def test_a_share_beyond_reason_is_refused():
    """Nothing typed is moved into range."""
    with pytest.raises(KitError, match="must"):
        asked("cost", more="900")
