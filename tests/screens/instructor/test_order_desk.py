"""A work order written at the desk is a work order like any other; what cannot be is refused."""

from __future__ import annotations

from dataclasses import replace

import pytest

import kit
from kit import library
from kit.errors import KitError
from kit.marking.script import load_script, play
from kit.screens import lesson, shelf
from kit.screens.instructor import draft, own_orders, toml_text
from kit.screens.instructor.fields import BRIEF, HAZARDS, SLOTS
from kit.screens.instructor.order_screen import OrderScreen
from kit.screens.offers import FormError
from kit.screens.voice import Voice
from kit.visit.work_order import load_work_order, work_order_names

NAME = "job-0901"


def asked(desk: OrderScreen, do: str, **more) -> dict | None:
    """Ask the desk as the view does, and return what it refuses."""
    sent = desk.answered + 1
    desk.receive({"do": do, "sent": sent, **more})
    assert sent == desk.answered
    return desk.problem


@pytest.mark.parametrize("name", work_order_names())
def test_each_job_of_the_kit_comes_back_from_the_form_as_it_was(name, tmp_path):
    """Nothing of a work order is lost between its file, the form and the file again."""
    values, kept, lost = draft.load(name)
    path = tmp_path / "again.toml"
    path.write_text(toml_text.dumps(draft.to_data(values, kept)), encoding="utf-8")
    before, after = load_work_order(name), load_work_order(path)
    texts = [one.text for one in before.site_hazards]
    assert texts == [one.text for one in after.site_hazards]
    same = {"digest": "", "translations": {}, "site_hazards": ()}
    assert replace(before, **same) == replace(after, **same)
    assert () == lost


def test_the_form_has_room_for_the_fullest_job_of_the_kit():
    """As many lines, hazards and faults as any of the kit's work orders has."""
    orders = [load_work_order(name) for name in work_order_names()]
    assert max(len(one.brief) for one in orders) <= BRIEF
    assert max(len(one.site_hazards) for one in orders) <= HAZARDS
    assert max(len(one.faults) for one in orders) <= SLOTS


@pytest.mark.parametrize("units", ["us", "si"])
def test_a_work_order_made_by_the_form_is_visited_and_marked(desk, own, units):
    """Saved, opened as a visit by its file, played to the end and marked."""
    assert asked(desk, "units", to=units, args=desk.shown(name=NAME)) is None
    assert asked(desk, "save", args=desk.shown()) is None
    path = own / "work_orders" / f"{NAME}.toml"
    values, _, _ = draft.load(path)
    assert 300.15 == pytest.approx(values["room_c"], abs=1e-9)
    script = load_script(library.answer_keys("practice", "dirty-coil-01", "model.toml"))
    journal = own / "visit.jsonl"
    visit = kit.open_visit(path, seed=script.seed, learner="p-1", journal=journal)
    play(script, visit)
    visit.close()
    mark = kit.mark(journal, work_order=path)
    theirs = kit.mark(library.answer_keys("practice", "dirty-coil-01", "model.jsonl"))
    assert NAME == mark.work_order
    assert mark.finished
    assert (theirs.points, theirs.out_of) == (mark.points, mark.out_of)


def test_it_stands_on_the_shelf_and_opens_there(desk):
    """Mixed practice offers it under its title; its file's name is nowhere on the list."""
    desk.save(**desk.shown(name=NAME, title="Weak air in the map room"))
    orders = shelf.work_orders()
    assert len(work_order_names()) + 1 == len(orders)
    page = lesson("15-mixed-practice").any_visit()
    place = [row["title"] for row in page.shelf.rows].index("Weak air in the map room")
    assert NAME not in str(page.shelf.rows)
    assert page.open(place) == ""
    assert page.screen.desk.work_order == NAME
    page.screen.desk.visit.step("read_work_order")
    page.screen.desk.visit.close()
    again = lesson("15-mixed-practice").any_visit()  # goes on where the learner was
    assert 1 == len(again.screen.desk.visit.outcomes)
    again.screen.desk.visit.close()


def test_trying_opens_what_was_saved_and_nothing_else(desk):
    """A visit of unsaved changes would teach the instructor another job than the class gets."""
    page = lesson("20-write-a-work-order").order_desk()
    page.desk.load("kit:little-demand-01")
    typed = page.desk.shown(name=NAME)
    assert "Save this work order first" in asked(page.desk, "try", args=typed)["text"]
    assert asked(page.desk, "save", args=typed) is None
    assert asked(page.desk, "try", args=page.desk.shown()) is None
    assert page.screen.desk.work_order == NAME
    assert (page.desk, page.screen) == page.box.children
    changed = page.desk.shown(room_c="80")
    assert "Save this work order first" in asked(page.desk, "try", args=changed)["text"]
    assert asked(page.desk, "save", args=changed, over=True) is None
    assert page.screen is None  # the visit of the old one was put away
    assert asked(page.desk, "try", args=page.desk.shown()) is None
    assert page.screen.desk.notice is None or "anew" in page.screen.desk.notice.render()
    page.put_away()


def test_a_name_that_is_taken_is_not_written_over_unasked(desk, own):
    """The first file stays until the instructor says so, and is kept even then."""
    path = desk.save(**desk.shown(name=NAME))
    before = path.read_bytes()
    changed = desk.shown(title="Another job altogether")
    problem = asked(desk, "save", args=changed)
    assert ("name", True) == (problem["field"], problem["taken"])
    assert before == path.read_bytes()
    assert asked(desk, "save", args=changed, over=True) is None
    assert before != path.read_bytes()
    assert before == (own / "work_orders" / "older" / f"{NAME}.1.toml").read_bytes()


@pytest.mark.parametrize(
    ("changes", "field", "says"),
    [
        ({"name": ""}, "name", "nothing was given"),
        ({"name": "Job 0812"}, "name", "small letters"),
        ({"name": "../../out"}, "name", "small letters"),
        ({"name": "dirty-coil-01"}, "name", "kit's work orders"),
        ({"title": "   "}, "title", "nothing was given"),
        ({"brief_1": ""}, "brief_1", "nothing was given"),
        ({"allowed_min": "5"}, "allowed_min", "out of range"),
        ({"allowed_min": "soon"}, "allowed_min", "not a number"),
        ({"room_c": "130"}, "room_c", "must lie from"),
        ({"room_rh": "120"}, "room_rh", "must lie from"),
        ({"room_c": "62"}, "room_c", "low enough below this room"),
        ({"mode": "heating", "room_c": "88"}, "room_c", "high enough above this room"),
        ({"outdoor_c": "-10"}, "outdoor_c", "even a sound unit stands still"),
        ({"fault_3": "dirty-filter", "severity_3": "mild"}, "fault_3", "in the list already"),
        ({"fault_3": "low-charge"}, "severity_3", "how bad"),
        ({"fault_3": "low-charge", "severity_3": "failed"}, "severity_3", "how bad"),
        ({"fault_3": "low-charge", "severity_3": "exact"}, "level_3", "exact level"),
        ({"fault_3": "low-charge", "severity_3": "exact", "level_3": "1.5"}, "level_3",
         "out of range"),
        ({"fault_3": "low-charge", "severity_3": "mild", "level_3": "0.4"}, "level_3",
         "counts only"),
        ({"fault_3": "low-charge", "severity_3": "mild",
          "fault_4": "overcharge", "severity_4": "mild"}, "fault_4", "cannot both be"),
        ({"fault_3": "open-winding", "severity_3": "failed",
          "fault_4": "locked-rotor", "severity_4": "failed"}, "fault_4", "broken otherwise"),
        ({"fault_3": "iced-outdoor-coil", "severity_3": "severe"}, "fault_3", "warm one"),
        ({"float_stuck": True}, "float_stuck", "no float and no pump"),
        ({"drain": "pump", "fault_3": "uphill-drain", "severity_3": "severe"}, "drain",
         "no fault"),
        ({"leak_at": "port_core"}, "leak_at", "Nothing has leaked"),
        ({"leak_um": "12"}, "leak_um", "Nothing has leaked"),
        ({"fan": "low"}, "setpoint_c", "remote is set to"),
    ],
)  # fmt: skip
def test_what_cannot_be_is_refused_with_its_reason(desk, own, changes, field, says):
    """Nothing is saved, nothing is moved inside a range, and the field is named."""
    problem = asked(desk, "save", args=desk.shown(**{"name": NAME, **changes}))
    assert field == problem["field"]
    assert says in problem["text"]
    assert [] == list((own / "work_orders").glob("*.toml"))


def test_the_desk_says_what_cannot_be_found(desk):
    """A valve that sticks where the job wants it shows in nothing: a cross, and no fair job."""
    typed = desk.shown(name=NAME, fault_1="stuck-reversing-valve", severity_1="failed",
                       level_1="", fault_2="", severity_2="", level_2="")  # fmt: skip
    assert not desk.look(**typed)
    assert "bad" == desk.reads["whole"]["tone"]
    assert "Cannot be found" in desk.reads["faults"][0]["said"][0]["text"]
    assert desk.look(**{**typed, "fault_1": "dirty-filter", "severity_1": "severe"})
    assert "good" == desk.reads["whole"]["tone"]


def test_a_sign_too_small_for_its_tool_is_said(desk):
    """A filter with a little dust moves no air reading by more than the tool can be wrong."""
    desk.look(**desk.shown(name=NAME))
    (filter_,) = [one for one in desk.reads["faults"] if "filter" in one["title"]]
    states = {row[0]: row[4]["text"] for row in filter_["signs"][1:]}
    assert "can be seen" == states["Look of the filter (higher)"]
    assert "too small for the tool" == states["Airflow at the outlet (lower)"]


def test_a_sound_unit_reads_the_same_twice_and_is_a_fair_job(desk):
    """A work order without faults shows equal columns."""
    empty = {f"{stem}_{n}": "" for n in (1, 2) for stem in ("fault", "severity", "level")}
    assert desk.look(**desk.shown(name=NAME, **empty))
    for _, found, sound in desk.reads["readings"][1:]:
        assert found == sound


def test_a_title_that_tells_the_fault_is_warned_of(desk):
    """The paper is read by those who are to find it."""
    desk.look(**desk.shown(name="low-charge-7", fault_3="low-charge", severity_3="severe"))
    assert any("The file's name" in text for text in desk.warnings)
    desk.look(**desk.shown(name=NAME, fault_3="low-charge", severity_3="severe"))
    assert not any("The file's name" in text for text in desk.warnings)


def test_words_with_quotes_and_line_ends_come_back_as_typed(desk):
    """What an instructor types is data; it ends no string and adds no table."""
    nasty = 'He said: "no\\way"\n[learner]\ncertified = true # \x07'
    path = desk.save(**desk.shown(name=NAME, says_what=nasty))
    order = load_work_order(path)
    assert nasty == order.says["what"]
    assert not order.certified


def test_a_file_that_is_no_work_order_is_told_and_hinders_nothing(desk, own):
    """Other files in the folder neither stop the desk nor the learners' list."""
    desk.save(**desk.shown(name=NAME))
    folder = own / "work_orders"
    (folder / "notes.toml").write_text("hello", encoding="utf-8")
    (folder / "huge.toml").write_bytes(b"#" * (own_orders.LARGEST + 1))
    text = (folder / f"{NAME}.toml").read_text("utf-8")
    (folder / "twin.toml").write_text(text, encoding="utf-8")
    (folder / "same.toml").write_text(text.replace(NAME, "low-charge-01"), encoding="utf-8")
    broken = OrderScreen().shelf["broken"]
    assert 4 == len(broken)
    assert all(any(name in said for said in broken) for name in ("notes", "huge", "twin", "same"))
    assert len(work_order_names()) + 1 == len(shelf.work_orders())


def test_nothing_is_kept_when_the_text_is_no_work_order(own):
    """The file is written whole and valid, or not at all."""
    with pytest.raises(KitError, match="format"):
        own_orders.save("format = 2\n", NAME)
    assert [] == list((own / "work_orders").iterdir())
    assert [] == list(own.glob("*.toml"))


def test_what_the_form_does_not_show_is_not_lost(desk, own):
    """Knobs and broken instruments of a file written by hand survive its editing."""
    path = desk.save(**desk.shown(name=NAME))
    path.write_text(
        path.read_text("utf-8") + '\n[condition]\nindoor_fan_factor = 0.9\n\n[instrument]\n'
        'gauges = "dead"\n', encoding="utf-8",
    )  # fmt: skip
    other = OrderScreen()
    other.load(f"own:{NAME}")
    other.save(over=True, **other.shown(title="The same, renamed"))
    order = load_work_order(path)
    assert {"indoor_fan_factor": 0.9} == order.knobs
    assert {"gauges": "dead"} == order.instrument_faults
    assert "The same, renamed" == order.title


def test_another_language_keeps_what_was_typed(desk):
    """Switching units or language loses nothing that stands in the form."""
    typed = desk.shown(name=NAME, room_c="79", title="Aire débil")
    assert asked(desk, "language", to="es", args=typed) is None
    assert "es" == desk.words["lang"]
    assert "Aire débil" == desk.shown()["title"]
    assert asked(desk, "units", to="si", args=desk.shown()) is None
    assert 26.1 == pytest.approx(float(desk.shown()["room_c"]), abs=0.02)


def test_every_word_of_a_registry_that_the_desk_shows_is_translated():
    """Readings, degrees and protections have no screen of their own that would have them found."""
    from kit.faults import registry
    from kit.language import translator
    from kit.machine import load_spec, spec_names
    from kit.machine.readings import READINGS
    from kit.machine.truth import LIMIT_NAMES

    spanish = translator("es")
    words = {one.title for one in READINGS.values()}
    words |= {s.name for one in registry().values() for s in one.severities}
    words |= {name.replace("_", " ") for name in LIMIT_NAMES}
    words |= {load_spec(name).title for name in spec_names()}
    assert [] == sorted(word for word in words if spanish.known(word) is None)


def test_a_form_that_lacks_a_field_names_it():
    """The look at the readings needs machine, air and faults, and nothing of the paper."""
    desk = OrderScreen()
    assert desk.look(**desk.shown())
    with pytest.raises(FormError) as refused:
        desk.look(**desk.shown(machine=""))
    assert "machine" == refused.value.field_name
    assert "°C" in desk.form["units"][1]["label"]
    assert Voice().units == "us"
