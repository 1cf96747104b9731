"""Tasks on a sound unit that reads low: the engine says how low, psychrolib how hard it works."""

from __future__ import annotations

import pytest

from kit.errors import KitError
from kit.machine import load_spec
from kit.screens.task_screen import TaskScreen
from kit.screens.tasks import _sound_unit as unit
from kit.screens.tasks import nothing_is_wrong as lesson
from tests.screens.asking import asker

TASKS = {task.name: task for task in lesson.TASKS}
asked = asker(lesson.TASKS)


def test_every_situation_but_the_fan_reads_lower():
    """A fan on high at full demand is where auto goes anyway."""
    usual = unit.shown_split_k("usual")
    lower = {name for name in unit.SITUATIONS if unit.shown_split_k(name) < usual - 0.5}
    assert set(unit.SITUATIONS) - {"usual", "fan"} == lower


@pytest.mark.parametrize(
    ("lowest", "same", "tone"),
    [("probe", "fan", "right"), ("humid", "fan", "wrong"), ("probe", "hot", "wrong")],
)
def test_the_prediction_asks_for_both(lowest, same, tone):
    """The lowest reading is the one of the badly placed probe."""
    reply = asked("guess-lowest", lowest=lowest, same=same)
    assert tone == reply["tone"]
    assert reply["plots"]


def test_the_prediction_follows_from_the_run(monkeypatch):
    """With other splits another answer would be right; the first answer stands."""
    splits = {**dict.fromkeys(unit.SITUATIONS, 9.0), "usual": 12.0, "hot": 1.0, "early": 11.9}
    monkeypatch.setattr(lesson, "shown_split_k", splits.__getitem__)
    screen = TaskScreen(TASKS["guess-lowest"])
    screen.answer(lowest="hot", same="early")
    assert "right" == screen.reply["tone"]
    with pytest.raises(KitError, match="first answer stands"):
        screen.answer(lowest="probe", same="fan")


@pytest.mark.parametrize(
    ("system", "typed", "words"),
    [
        ("us", "72", "full work"),
        ("si", "22", "full work"),
        ("us", "73", "less demand"),
        ("us", "82.4", "go below"),
        ("us", "65", "to spare"),
    ],
)
def test_demand_is_counted_from_the_entering_air(system, typed, words):
    """Sign, too little, and more than asked each have their words."""
    assert words in " ".join(asked("demand", system, set=typed)["lines"])


def test_a_setting_beyond_any_remote_is_refused():
    """A slip of the finger is told and never moved inside."""
    with pytest.raises(KitError):
        asked("demand", set="720")


def test_air_and_engine_agree_on_the_heat():
    """Enthalpies of psychrolib 2.5 and the engine's own duty, fan's heat taken off, within 1 %."""
    for name in ("usual", "humid"):
        engine = float(unit.sound(name)[0].net_capacity_w)
        assert lesson._duties(name)[1] == pytest.approx(engine, rel=0.01)


def test_a_kept_row_is_met():
    """Rows air_enthalpy-27-12-* of datasets/published: 0.2 kg/s, 4252.57 W in all, 3063.26 felt."""
    import psychrolib

    psychrolib.SetUnitSystem(psychrolib.SI)
    w, out_w = 0.01044192, 0.00811104
    flow = 0.2 * psychrolib.GetMoistAirVolume(27.0, w, unit.SEA_PA)
    enter, leave = (
        (db + 273.15, psychrolib.GetTWetBulbFromHumRatio(db, ratio, unit.SEA_PA) + 273.15)
        for db, ratio in ((27.0, w), (12.0, out_w))
    )
    felt, total = unit.air_duty_w(enter, leave, flow)
    assert total == pytest.approx(4252.57, rel=2e-3)  # psychrolib's wet bulb to 0.001 K
    assert felt == pytest.approx(3063.26, rel=2e-3)


def test_the_humid_unit_moves_more_with_a_smaller_split():
    """What the lesson says follows from the run."""
    assert unit.shown_split_k("humid") < unit.shown_split_k("usual") - 3.0
    assert lesson._duties("humid")[1] > 1.05 * lesson._duties("usual")[1]


def test_the_figures_of_the_table_lead_to_the_answer():
    """Typed into the sheet as they are shown, in either unit, they come out right."""
    for system in ("us", "si"):
        screen = TaskScreen(TASKS["humid-duty"], units=system)
        shown = [cell.split()[0] for cell in screen.task["table"][2][1:]]
        names = ("in_db", "in_wb", "out_db", "out_wb", "airflow")
        sheet = asked("duty-sheet", system, **dict(zip(names, shown, strict=True)))
        assert "right" == asked("humid-duty", system, total=sheet["table"][3][1])["tone"]


def test_each_slip_with_the_heat_has_its_hint():
    """Felt heat alone, the other room, anything else."""
    (felt, _), (_, dry) = lesson._duties("humid"), lesson._duties("usual")
    for watts, words in ((felt, "thermometer feels"), (dry, "other room"), (900.0, "five figures")):
        reply = asked("humid-duty", "si", total=f"{watts:.0f}")
        assert ("wrong", []) == (reply["tone"], reply["table"])
        assert words in " ".join(reply["lines"])


def test_a_wet_bulb_above_the_dry_one_is_told():
    """As on the air sheet of the first lesson."""
    given = {"in_db": "70", "in_wb": "75", "out_db": "55", "out_wb": "54", "airflow": "400"}
    assert "wrong" == asked("duty-sheet", **given)["tone"]


RIGHT = {name: what for name, (_, _, _, what) in lesson.SHEETS.items()}


@pytest.mark.parametrize("missed", sorted(RIGHT))
def test_each_sheet_has_a_hint_that_does_not_tell(missed):
    """Target, way of measuring, or both."""
    for other in set(RIGHT.values()) - {RIGHT[missed]}:
        said = asked("sheets", **{**RIGHT, missed: other})["lines"]
        assert "4 of 5 are right." == said[0]
        assert said[1].startswith(f"Sheet {missed.upper()}: ")


def test_the_sheets_follow_from_band_and_target():
    """Left alone is what is on target; further, what is well measured and below it."""
    assert "right" == asked("sheets", **RIGHT)["tone"]
    for what, minutes, demand, todo in lesson.SHEETS.values():
        lacks = lesson._target_k(what) - float(unit.sound(what)[0].split_k)
        well = minutes >= 10 and demand == "full demand"
        low = lacks > lesson.BAND_K
        assert todo == (("further" if low else "leave") if well else "again")


def test_the_nameplate_is_the_machines():
    """The question's charge is that of the data sheet."""
    assert lesson.CHARGE_G == pytest.approx(1e3 * load_spec(unit.MACHINE).charge_kg, abs=1.0)


@pytest.mark.parametrize(
    ("grams", "share", "tone", "words"),
    [
        ("24", "3.5", "right", "printed table"),
        ("48", "7", "wrong", "Only half"),
        ("1.2", "3.5", "wrong", "A litre is 1000 mL"),
        ("24", "35", "wrong", "Divide the grams"),
    ],
)
def test_a_hose_is_reckoned_with_volume_density_and_half(grams, share, tone, words):
    """Each slip has its own words."""
    reply = asked("hose", grams=grams, share=share)
    assert tone == reply["tone"]
    assert words in " ".join(reply["lines"])


def test_the_density_is_the_printed_one():
    """R-32 liquid at 10 °C: 1019.295 kg/m3 (allchemi.com, appendix 9), 0.5 % as in the rows."""
    assert lesson.TABLE_LIQUID == pytest.approx(unit.liquid_kg_m3(283.15), rel=0.005)
