"""Tasks of the lesson on split and humidity: right answers, usual mistakes, published values."""

from __future__ import annotations

import pytest

from kit.errors import KitError
from kit.quantities import BTU_H_W, CFM_M3_S, POUND_KG
from kit.screens.task_screen import TaskScreen
from kit.screens.tasks import _humid_runs as runs
from kit.screens.tasks import split_and_humidity
from kit.screens.tasks._air_side import air_of_humidity, air_of_wet_bulb, duty_of
from kit.screens.voice import Voice
from tests.screens.asking import asker

TASKS = {task.name: task for task in split_and_humidity.TASKS}
asked = asker(split_and_humidity.TASKS)


def told(name: str, units: str = "us", **given: str) -> str:
    """Answer a task and return tone and sentences as one text."""
    reply = asked(name, units, **given)
    return " ".join([reply["tone"], *reply["lines"]])


def column(reply: dict, at: int) -> list[float]:
    """Return the figures of one column of a reply's table."""
    return [float(row[at].split()[0].rstrip("%")) for row in reply["table"][1:]]


def btu_h(watts: float) -> str:
    """Return a heat flow as it would be typed."""
    return f"{watts / BTU_H_W:.0f}"


def test_humidity_takes_the_split_and_leaves_the_heat():
    """The verdict follows from the run: split down, heat in all and water up, step by step."""
    reply = asked("guess-heat", heat="larger")
    assert "right" == reply["tone"]
    assert column(reply, 1) == sorted(column(reply, 1), reverse=True)
    for at in (2, 3, 4):
        assert column(reply, at) == sorted(column(reply, at))
    assert "wrong" == asked("guess-heat", heat="smaller")["tone"]


def test_one_wet_bulb_is_one_capacity_and_many_splits():
    """Heat in all within 1 % over the rooms, while the split nearly doubles."""
    reply = asked("guess-wet-bulb", heat="same")
    heat, splits = column(reply, 3), column(reply, 2)
    assert "right" == reply["tone"]
    assert max(heat) < 1.01 * min(heat)
    assert splits[-1] > 1.8 * splits[0]
    assert "wrong" == asked("guess-wet-bulb", heat="larger")["tone"]


def test_a_prediction_cannot_be_mended():
    """The first answer stands."""
    screen = TaskScreen(TASKS["guess-heat"])
    screen.answer(heat="same")
    with pytest.raises(KitError, match="first answer stands"):
        screen.answer(heat="larger")


def by_hand() -> tuple[float, float, float]:
    """Return sensible, latent and all heat as the trade's factor gives them [Btu/h]."""
    t = runs.in_parts()
    cfm, split_f = round(t.airflow_m3_s / CFM_M3_S), round(t.split_k * 1.8, 1)
    total = round(t.net_capacity_w / BTU_H_W)
    return 1.08 * cfm * split_f, total - 1.08 * cfm * split_f, total


def test_the_heat_is_taken_apart_by_the_trades_factor():
    """1.08 with cfm and °F, 1.2 with L/s and K: both are close enough to be right."""
    sensible, latent, total = by_hand()
    reply = asked("two-parts", sensible=f"{sensible:.0f}", latent=f"{latent:.0f}")
    assert "right" == reply["tone"]
    t = runs.in_parts()
    watts = 1.2 * round(t.airflow_m3_s * 1000) * round(t.split_k, 1)
    rest = round(t.net_capacity_w) - watts
    assert told("two-parts", "si", sensible=f"{watts:.0f}", latent=f"{rest:.0f}").startswith(
        "right"
    )
    assert total == pytest.approx(column(reply, 2)[2], rel=1e-3)  # psychrolib and engine agree


def test_each_slip_with_the_parts_has_its_hint():
    """Turned round, all of it, no factor, does not add up."""
    sensible, latent, total = by_hand()
    for given, words in (
        ((latent, sensible), "wrong way round"),
        ((total, 0), "all of the heat"),
        ((sensible / 1.08, total - sensible / 1.08), "factor is missing"),
        ((sensible * 1.2, latent), "the factor, times"),
        ((sensible, latent / 2), "add up"),
    ):
        assert words in told("two-parts", sensible=f"{given[0]:.0f}", latent=f"{given[1]:.0f}")
    t = runs.in_parts()
    bare = t.airflow_m3_s * 1000 * t.split_k
    assert "factor is missing" in told("two-parts", "si", sensible=f"{bare:.0f}", latent="1000")


def test_a_bucket_gives_the_latent_heat():
    """By the hour, in both unit systems; the engine's own figure stands within a few per cent."""
    pounds_h = runs.bucket_kg() / POUND_KG * 3
    kilos_h = runs.bucket_kg() * 3
    reply = asked("bucket", latent=f"{pounds_h * 1060:.0f}")
    assert "right" == reply["tone"]
    assert column(reply, 1)[0] == pytest.approx(column(reply, 1)[1], rel=0.04)
    assert told("bucket", "si", latent=f"{kilos_h * 2470 / 3.6:.0f}").startswith("right")
    assert "by the hour" in told("bucket", latent=f"{pounds_h * 1060 / 3:.0f}")
    assert "kilojoules" in told("bucket", "si", latent=f"{kilos_h * 2470:.0f}")
    assert "Bring the water" in told("bucket", latent=f"{pounds_h:.0f}")


def test_the_sick_unit_is_the_one_below_its_own_target():
    """Its split lies inside the trade's 20-25 °F, those of two sound ones do not."""
    assert ["b"] == runs.below_target()
    splits_f = {name: shown.split_k * 1.8 for name, shown in runs.four_units().items()}
    assert 20 <= splits_f["b"] <= 25
    assert splits_f["a"] < 20 > splits_f["d"]
    assert "right" == asked("which-is-sick", unit="b")["tone"]
    assert "wettest air" in told("which-is-sick", unit="a")
    for sound in ("c", "d"):
        assert "target sheet" in told("which-is-sick", unit=sound)


def test_the_target_sheet_shows_card_and_published_table():
    """80 °F dry and 67 °F wet bulb: 18.3 °F in RA3.2's table (from memory, within 0.1 °F)."""
    reply = asked("target-sheet", db="80", wb="67")
    assert 18.3 == pytest.approx(column(reply, 1)[1], abs=0.1)
    assert 21 < column(reply, 1)[0] < 23
    outside = asked("target-sheet", db="80", wb="75")
    assert split_and_humidity.OUTSIDE == outside["table"][2][1]
    assert "cannot be above" in told("target-sheet", db="70", wb="75")


def test_the_coil_agrees_with_a_published_one():
    """198.18 kW and 0.0325 kg/s within 1 % (datasets/published, coil-kw and coil-condensate)."""
    duty = runs.example_duty()
    assert 198.18e3 == pytest.approx(duty.total_w, rel=0.01)
    assert 0.0325 == pytest.approx(duty.condensate_kg_s, rel=0.01)
    right = asked("published-coil", "si", total=f"{duty.total_w:.0f}", water="116.6")
    assert "right" == right["tone"]
    assert ["198180 W", "117.00 kg/h"] == [row[2] for row in right["table"][1:]]


def test_each_slip_with_the_published_coil_has_its_hint():
    """The sensible part alone, a wrong field, the water."""
    duty = runs.example_duty()
    typed = {"total": btu_h(duty.total_w), "water": "256.6"}
    assert told("published-coil", **typed).startswith("right")
    assert "sensible part" in told("published-coil", total=btu_h(duty.sensible_w), water="256.6")
    assert "five figures" in told("published-coil", total="500000", water="256.6")
    assert "last row" in told("published-coil", total=typed["total"], water="100")


def test_the_capacity_sheet_draws_what_it_works_out():
    """Heat, parts and water, and the two states on the chart."""
    given = {"airflow": "400", "db_in": "80", "wb_in": "67", "db_out": "58", "wb_out": "56"}
    reply = asked("capacity-sheet", **given)
    heat = column(reply, 1)
    assert heat[0] == pytest.approx(heat[1] + heat[2], abs=1)
    plots = (
        TASKS["capacity-sheet"]
        .check({"airflow": 0.19, "db_in": 300, "wb_in": 292, "db_out": 288, "wb_out": 287})
        .plots
    )
    assert plots[0].draw(Voice()).startswith("<svg")


@pytest.mark.parametrize(
    ("changed", "words"),
    [
        ({"wb_out": "70"}, "cannot be above"),
        ({"wb_in": "40"}, "so dry"),
        ({"db_in": "58", "wb_in": "56", "db_out": "80", "wb_out": "67"}, "own fields"),
    ],
)
def test_the_capacity_sheet_refuses_what_cannot_be(changed, words):
    """Wet above dry, and both sides of the coil mixed up."""
    given = {"airflow": "400", "db_in": "80", "wb_in": "67", "db_out": "58", "wb_out": "56"}
    assert words in told("capacity-sheet", **{**given, **changed})


def test_an_airflow_out_of_range_is_refused_and_not_moved():
    """A slip of the finger is told, with the limits."""
    with pytest.raises(KitError, match="airflow"):
        asked("capacity-sheet", airflow="0", db_in="80", wb_in="67", db_out="58", wb_out="56")


def test_air_is_the_same_by_either_instrument():
    """A psychrometer's and a hygrometer's air agree; air that is not changed gives nothing off."""
    by_wet = air_of_wet_bulb(303.15, air_of_humidity(303.15, 0.5).wet_bulb_k)
    assert 0.5 == pytest.approx(by_wet.rh, abs=1e-4)
    cold = air_of_humidity(290.0, 0.5)
    assert 0.0 == duty_of(1.0, cold, cold).total_w


def test_equal_bulbs_are_saturated_air_and_no_more():
    """A fog coil's outlet can be drawn at any temperature; rounding must not refuse it."""
    temperatures = [270.0 + step * 0.1 for step in range(300)]
    assert max(air_of_wet_bulb(t, t).rh for t in temperatures) <= 1.0


@pytest.mark.parametrize("units", ["us", "si"])
@pytest.mark.parametrize("name", TASKS)
def test_every_task_can_be_shown_in_both_units(name, units):
    """Question, table and fields speak the learner's units."""
    shown = TaskScreen(TASKS[name], units=units).task
    other = "°C" if units == "us" else "°F"
    assert other not in " ".join([*shown["ask"], *(cell for row in shown["table"] for cell in row)])
