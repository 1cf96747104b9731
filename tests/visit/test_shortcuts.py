"""Other people's locks and hands, the bus, the tape, the remote as found, and the conclusion."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from kit import library
from kit.errors import KitError, UnknownNameError
from kit.machine.surroundings import Command
from kit.visit.places import OUTLET_OF_FACE, bus_voltage_v
from kit.visit.site_facts import SiteFacts, site_facts
from kit.visit.steps.tape import outlet_size_m
from kit.visit.visit import Visit
from kit.visit.work_order import load_work_order
from tests.visit.handy import do, run, state_of

ROOFER = "A roofer, Odo Plumb"


def visit(**changes) -> Visit:
    """Return a visit just begun, its order changed."""
    return Visit(replace(load_work_order("spring-check-01"), **changes), seed=7)


def out(one: Visit) -> Visit:
    """Pull the disconnect, lock it, and take the lock off again."""
    for action in ("pull_disconnect", "lock", "tag", "remove_lock"):
        do(one, action)
    return one


def test_another_lock_keeps_the_power_out() -> None:
    """Only its owner takes it off, and it takes a while."""
    one = out(visit(people=SiteFacts(other_lock=ROOFER)))
    refused = one.step("restore_power")
    before = one.clock_s
    do(one, "call_owner")
    waited = one.clock_s - before
    do(one, "restore_power")

    assert refused.refused
    assert ROOFER in refused.why
    assert waited >= 600
    assert state_of(one).powered


def test_the_other_lock_is_seen_when_ones_own_comes_off() -> None:
    """Nobody can say they did not know."""
    one = visit(people=SiteFacts(other_lock=ROOFER))
    for action in ("pull_disconnect", "lock"):
        do(one, action)

    assert ROOFER in do(one, "remove_lock").text


def test_where_nobody_else_is_there_is_no_lock_to_cut() -> None:
    """The action is offered only where it means something."""
    one = out(visit())

    assert one.step("cut_lock").refused
    assert one.step("call_owner").refused
    assert not do(one, "restore_power").hazards


def test_calling_out_counts_for_this_time_only() -> None:
    """Clear an hour ago is not clear now."""
    one = visit(people=SiteFacts(person_at_unit="A window cleaner"))
    do(one, "clear_people")
    out(one)
    stopped = one.step("restore_power")
    do(one, "clear_people")
    do(one, "restore_power")

    assert ["restored_with_person"] == [h.code for h in stopped.hazards]
    assert stopped.stopped
    assert state_of(one).powered


def test_a_resistor_empties_the_bus_and_measuring_is_still_needed() -> None:
    """Where a bleed resistor is broken, waiting alone never helps."""
    one = visit(knobs={"bleed_resistor_open": True}, faults=())
    run(one, 5)
    do(one, "set_demand", mode="off")
    for action in ("pull_disconnect", "lock"):
        do(one, action)
    do(one, "wear", items=["insulating_gloves", "glasses"])
    do(one, "wait", minutes=30)
    do(one, "open_outdoor", part="terminal_cover")
    charged = bus_voltage_v(state_of(one))
    do(one, "discharge_bus", how="resistor")

    assert charged > 50
    assert bus_voltage_v(state_of(one)) < 5
    assert state_of(one).supply.proofs == ()


def test_the_bus_is_not_touched_bare_or_live() -> None:
    """Near miss without gloves; critical with the disconnect in."""
    one = visit()
    for action in ("pull_disconnect", "lock"):
        do(one, action)
    do(one, "open_outdoor", part="terminal_cover")
    bare = one.step("discharge_bus", how="resistor")
    live = visit(certified=True)
    do(live, "wear", items=["insulating_gloves", "glasses"])
    do(live, "open_outdoor", part="terminal_cover")
    stopped = live.step("discharge_bus", how="resistor")

    assert "near_miss" in {h.level for h in bare.hazards} or bus_voltage_v(state_of(one)) < 1
    assert ["live_work"] == [h.code for h in stopped.hazards]


@pytest.mark.parametrize("machine", ["wall-9k-r32", "wall-12k-r32", "wall-24k-r410a"])
def test_the_tape_gives_the_opening_that_the_air_leaves_by(machine) -> None:
    """Width times height is the area behind the anemometer's speed, to the tape's millimetre."""
    from kit.machine import load_spec

    face = load_spec(machine).indoor.face_m2
    width, height = outlet_size_m(face)

    assert pytest.approx(OUTLET_OF_FACE * face, rel=2e-3) == width * height


def test_the_tape_speaks_the_learners_units() -> None:
    """Inches or millimetres."""
    one = visit()

    assert "in." in do(one, "measure_outlet").text
    one.units = "si"
    assert "mm" in do(one, "measure_outlet").text


def test_the_remote_shows_what_it_was_left_at() -> None:
    """A learner who presses only the mode button asks for what the customer asked for."""
    one = Visit(load_work_order("little-demand-01"), seed=7)
    left = one.view()
    do(one, "set_demand", mode="cooling")

    assert ("off", 297.15, "high") == (left.mode, left.setpoint_k, left.fan)
    assert 297.15 == one.view().setpoint_k


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("[remote]\nsetpoint_c = 12\nfan = 'auto'\n", "setpoint_c"),
        ("[remote]\nsetpoint_c = 24\nfan = 'turbo'\n", "turbo"),
        ("[remote]\nsetpoint = 24\nfan = 'auto'\n", "setpoint_c"),
        ("[remote]\nfan = 'auto'\n", "setpoint_c"),
    ],
)
def test_a_slip_at_the_remote_is_named(tmp_path, text, said) -> None:
    """An author learns which line to mend."""
    with pytest.raises(KitError, match=said):
        load_work_order(order_with(tmp_path, text))


def order_with(folder: Path, text: str) -> Path:
    """Return a work order with some more lines."""
    path = folder / "mine.toml"
    good = library.datasets("work_orders", "spring-check-01.toml").read_text("utf-8")
    path.write_text(good.replace("[customer]\n", f"{text}\n[customer]\n", 1), "utf-8")
    return path


def test_site_facts_are_words() -> None:
    """And a slip names what was meant."""
    assert SiteFacts(ROOFER, "") == site_facts({"other_lock": ROOFER, "hazard": []}, "f.toml")
    with pytest.raises(UnknownNameError, match="other_lock"):
        site_facts({"otherlock": ROOFER}, "f.toml")
    with pytest.raises(KitError, match="must be words"):
        site_facts({"person_at_unit": 3}, "f.toml")


def test_without_a_remote_it_is_off_and_plain() -> None:
    """As long as an order says nothing."""
    assert Command(mode="off") == Visit(load_work_order("spring-check-01"), 7)._state.command


@pytest.mark.parametrize(
    ("more", "said"),
    [
        ({"ruled_out": ["low-charge"]}, "found and ruled out at once"),
        ({"first": "top_up"}, "among what you recommend"),
    ],
)
def test_a_conclusion_does_not_contradict_itself(more, said) -> None:
    """What is found cannot be ruled out; what comes first must be recommended at all."""
    one = visit()
    outcome = one.step("conclude", findings=["low-charge"], recommendations=["leak_search"], **more)

    assert outcome.refused
    assert said in outcome.why


def test_a_conclusion_says_what_was_ruled_out_and_what_comes_first() -> None:
    """It stands on the sheet for the next technician."""
    said = do(
        visit(), "conclude", findings=["low-charge"], recommendations=["leak_search"],
        ruled_out=["overcharge"], first="leak_search",
    ).text  # fmt: skip

    assert "Ruled out: Overcharge." in said
    assert "Most important: Leak search" in said


def test_actions_are_offered_in_one_order_whoever_asked_first() -> None:
    """Modules imported early by the marking must not change what a screen shows."""
    from kit.visit.actions import registry
    from kit.visit.outcome import PHASES

    phases = [name for name, _ in PHASES]
    found = [(phases.index(act.phase), act.do.__module__) for act in registry().values()]

    assert sorted(found) == found
