"""What stands beside the marks: the learner's own air, and the circuit nobody saw before."""

from __future__ import annotations

import json
import shutil
import time

import pytest

from kit import library
from kit.journal.file import read_journal
from kit.machine import Command, Condition, load_spec, settle
from kit.screens import revealed
from kit.screens.desk import Desk
from kit.screens.revealed import Revealed, own_air
from kit.screens.visit_screen import VisitScreen
from kit.visit.target import humidity_of
from kit.visit.work_order import load_work_order, work_order_names
from tests.screens.double import entry
from tests.screens.plots.reading import ES, SI, US, parsed, points, words

WET = (("return_dry_bulb", 300.0), ("return_wet_bulb", 292.5), ("supply_dry_bulb", 287.0),
       ("supply_humidity", 0.9))  # fmt: skip
SHEET = (
    *(entry(item, value) for item, value in WET),
    *(entry(item, value - 0.5, "as_left") for item, value in WET if "humidity" not in item),
)
MS = 1e3


@pytest.fixture(scope="module")
def handed_over(tmp_path_factory):
    """Return a desk with a visit that has been handed over."""
    order = "spring-check-01"
    source = library.answer_keys("practice", order, "model.jsonl")
    header = read_journal(source).header
    folder = tmp_path_factory.mktemp("desk")
    shutil.copy(source, folder / f"{order}.jsonl")
    desk = Desk(order, folder, header["learner"], header["seed"])
    yield desk
    desk.visit.close()


def test_states_are_the_learners_own_figures():
    """Humidity from the wet bulb, or as it was read; the last entry of a line counts."""
    sheet = (entry("return_dry_bulb", 280.0), *SHEET)
    air = own_air(sheet, 120.0)
    entering, leaving = air.groups[0]
    assert ("entering, as found", 300.0) == entering[:2]
    assert humidity_of(300.0, 292.5, 120.0) == pytest.approx(entering[2])
    assert ("leaving, as found", 287.0, 0.9) == leaving
    assert [("leaving, as left", 286.5, 1)] == list(air.dry_bulbs)
    assert () == air.unfit


def test_a_wet_bulb_above_the_dry_bulb_is_said_and_not_drawn():
    """The chart shows no air that cannot be, and says why."""
    sheet = (entry("return_dry_bulb", 290.0), entry("return_wet_bulb", 295.0))
    air = own_air(sheet, 0.0)
    assert not any(air.groups)
    said = Revealed(load_work_order("spring-check-01")).charts(sheet, US)["list"][0]
    assert not said["svg"]
    assert "do not fit together" in " ".join(said["said"])


def test_nothing_written_down_is_said_in_words():
    """Instead of an empty chart."""
    air = Revealed(load_work_order("spring-check-01")).charts((), ES)["list"][0]
    assert not air["svg"]
    assert air["said"][0].startswith("Su hoja de trabajo no tiene ningún estado")


def test_what_lies_outside_any_chart_is_said_in_words():
    """A slip on the job sheet must not cost the marks."""
    sheet = (entry("return_dry_bulb", 339.0), entry("return_humidity", 0.5))
    air = Revealed(load_work_order("spring-check-01")).charts(sheet, US)["list"][0]
    assert not air["svg"]
    assert "outside the chart" in air["said"][0]


def test_the_circuit_is_the_work_orders_own_beside_a_sound_one():
    """As the engine settles it at full demand; the figures stand in words as well."""
    order = load_work_order("low-charge-01")
    circuit = Revealed(order).charts((), SI)["list"][1]
    found, sound = (
        settle(load_spec(order.machine), condition, order.surroundings,
               Command(order.mode, max(order.surroundings.room_db_k - 10.0, 289.15)))
        for condition in (order.condition(), Condition())
    )  # fmt: skip
    assert f"superheat {found.superheat_k:.1f} K" in circuit["alt"]
    assert f"subcooling {sound.subcooling_k:.1f} K" in circuit["alt"]
    assert found.superheat_k > sound.superheat_k + 3
    names = points(parsed(circuit["svg"]))
    assert {"as found: suction", "the same unit, sound: suction"} <= set(names)


@pytest.mark.parametrize("name", work_order_names())
def test_every_work_order_has_a_circuit_or_a_reason(name):
    """A compressor that cannot run is said in words; all else is drawn, and no value is none."""
    order = load_work_order(name)
    shown = Revealed(order)
    circuit = shown.charts(SHEET, US)["list"][1]
    runs = shown.truths()[0].running
    assert runs == bool(circuit["svg"])
    assert circuit["said"]
    if runs:
        assert "nan" not in circuit["svg"]
        assert load_spec(order.machine).refrigerant in circuit["alt"]
    else:
        assert "could not run" in circuit["said"][0]


def test_a_sound_circuit_is_said_to_be_one():
    """Two lines on one another are explained; two that differ are not called the same."""
    same = "lie on one another"
    sound, short = (
        " ".join(Revealed(load_work_order(name)).charts((), US)["list"][1]["said"])
        for name in ("heating-sound-01", "low-charge-01")
    )
    assert same in sound
    assert same not in short


def test_the_air_is_drawn_in_units_and_language_of_the_learner():
    """As found and as left, each with its figures."""
    shown = Revealed(load_work_order("spring-check-01"))
    us, es = (shown.charts(SHEET, voice)["list"][0] for voice in (US, ES))
    assert "80.3 °F" in us["alt"]
    assert "26.9 °C" in es["alt"]
    assert "entrada, como se encontró" in words(parsed(es["svg"]))
    assert {"entering, as found", "leaving, as found"} <= set(points(parsed(us["svg"])))
    assert ["Without a humidity a state is a line and no point: leaving, as left."] == us["said"]


def test_charts_stand_beside_the_marks_after_the_hand_over(handed_over):
    """Both of them, and they follow the units."""
    screen = VisitScreen(handed_over)
    charts = screen.verdict["charts"]
    assert 2 == len(charts["list"])
    assert "psig" in charts["list"][1]["alt"]
    screen.receive({"do": "units", "args": {"to": "si"}})
    assert "kPa" in screen.verdict["charts"]["list"][1]["alt"]


def test_charts_can_be_left_out(handed_over):
    """An examination may show marks alone."""
    assert VisitScreen(handed_over, feedback_charts=False).verdict["charts"] is None


def test_nothing_is_worked_out_or_told_before_the_hand_over(tmp_path, monkeypatch):
    """No trait holds any of it, and the hidden truth is not even settled."""

    def settled(_):
        raise AssertionError("settled before the hand-over")

    monkeypatch.setattr(revealed, "_settled", settled)
    desk = Desk("low-charge-01", tmp_path, "learner-1")
    screen = VisitScreen(desk)
    screen.receive({"do": "units", "args": {"to": "si"}})
    assert screen.verdict is None
    assert screen._revealed is None
    told = json.dumps({k: v for k, v in screen.get_state().items() if not k.startswith("_")})
    for hidden in ("as you found it", "the same unit, sound", "dew line", "data-point"):
        assert hidden not in told
    desk.visit.close()


def test_the_charts_are_quick(handed_over):
    """About a twentieth of a second of work, and the truth is settled once."""
    shown = Revealed(handed_over.visit.order)
    sheet = handed_over.visit.view().sheet
    Revealed(handed_over.visit.order).charts(sheet, US)  # modules and tables are read
    took = []
    for voice in (US, SI, ES):
        begun = time.process_time()
        shown.charts(sheet, voice)
        took.append(MS * (time.process_time() - begun))
    assert min(took[1:]) < 60.0
    assert took[0] < 120.0  # with both settled; wide, for a busy computer
