"""Each wrong act has its later consequence, in readings and in what can be seen or heard."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import pytest

from kit.visit import clock
from kit.visit.fitted import Fitted
from kit.visit.handwork import PLUGS
from kit.visit.transition import transition
from tests.visit.handy import (
    DRESS,
    close_up,
    do,
    make_safe,
    open_up,
    run,
    seen,
    state_of,
    value,
    visit_with,
)


def opened(*faults, **changes):
    """Return a visit made safe and open."""
    visit = visit_with(*faults, **changes)
    make_safe(visit)
    open_up(visit)
    return visit


def back_to_work(visit, minutes=15.0):
    """Close up, run, and return the machine."""
    close_up(visit)
    run(visit, minutes)
    return state_of(visit).truth


@cache
def sound(mode="cooling"):
    """Return a sound unit that was opened and closed with care."""
    return back_to_work(opened(mode=mode))


# ---------------------------------------------------------------- filter and strip


def test_a_filter_refitted_wet_chokes_the_unit_until_it_is_dry() -> None:
    """A film of water closes the mesh: less air now, all of it some hours later."""
    visit = opened(("dirty-filter", 0.5))
    do(visit, "clean_filter", method="vacuum_and_rinse")
    wet = float(back_to_work(visit, 10).airflow_m3_s)
    do(visit, "wait", minutes=180)

    assert wet < 0.97 * float(sound().airflow_m3_s)
    assert pytest.approx(float(sound().airflow_m3_s), rel=0.02) == float(
        state_of(visit).truth.airflow_m3_s
    )


@pytest.mark.parametrize("strip", ["carbon", "electret"])
def test_a_washed_strip_is_ruined_and_a_new_one_mends_it(strip) -> None:
    """Mesh is washed; carbon and charged strips are replaced."""
    visit = opened(("dirty-filter", 0.5), fitted=Fitted(strip=strip))
    do(visit, "clean_filter", method="wash_all")
    do(visit, "wait", minutes=120)
    choked = float(back_to_work(visit).airflow_m3_s)

    assert choked < 0.97 * float(sound().airflow_m3_s)
    do(visit, "set_demand", mode="off")
    do(visit, "wait", minutes=2)
    for part in ("front_panel", "filter"):
        do(visit, "open_indoor", part=part)
    assert "limp" in seen(visit, "filter")[0]
    do(visit, "change_part", part="filter_strip")
    for part in ("filter", "front_panel"):
        do(visit, "refit", part=part)
    run(visit)
    assert pytest.approx(float(sound().airflow_m3_s), rel=0.01) == float(
        state_of(visit).truth.airflow_m3_s
    )


def test_where_no_strip_is_fitted_all_may_go_under_the_tap() -> None:
    """The mesh alone stands it."""
    visit = opened(("dirty-filter", 0.5))

    do(visit, "clean_filter", method="wash_all")

    assert 0.0 == state_of(visit).condition.filter_loading
    assert 0.0 == state_of(visit).harm.strip


# ---------------------------------------------------------------- coils and fins


def test_an_outdoor_coil_washed_from_the_wrong_side_is_packed() -> None:
    """The felt goes in deeper, and the right wash afterwards gets only part of it out."""
    right, wrong = opened(("dirty-outdoor-coil", 0.8)), opened(("dirty-outdoor-coil", 0.8))
    do(wrong, "wash_outdoor_coil", method="inwards")
    assert "packed" in seen(wrong, "outdoor_coil")[0]
    for visit in (right, wrong):
        do(visit, "wash_outdoor_coil", method="outwards")
    washed, packed = back_to_work(right), back_to_work(wrong)

    assert float(packed.condensing_k) > float(washed.condensing_k) + 0.5
    assert pytest.approx(float(sound().condensing_k), abs=0.5) == float(washed.condensing_k)


@pytest.mark.parametrize(
    ("wash", "side", "flow"),
    [
        ("wash_indoor_coil", "indoor", "airflow_m3_s"),
        ("wash_outdoor_coil", "outdoor", "outdoor_airflow_m3_s"),
    ],
)
def test_fins_folded_by_a_lance_stay_folded_until_they_are_combed(wash, side, flow) -> None:
    """No wash straightens them; a comb brings the flow back."""
    visit = opened()
    do(visit, wash, method="lance")
    do(visit, wash, method={"indoor": "along_fins", "outdoor": "outwards"}[side])
    assert "folded flat" in seen(visit, f"{side}_coil")[0]
    folded = getattr(clock.working_condition(state_of(visit)), f"{side}_coil_blockage")
    do(visit, "comb_fins", side=side)
    combed = getattr(clock.working_condition(state_of(visit)), f"{side}_coil_blockage")
    mended = float(getattr(back_to_work(visit), flow))

    assert folded > 0.3
    assert combed < 0.05
    # Combing restores capacity to within 1 % (ASME IMECE2007-43009); flow, a little more.
    assert pytest.approx(float(getattr(sound(), flow)), rel=0.03) == mended


def test_folded_fins_cost_flow() -> None:
    """What the lance did shows in the next reading."""
    visit = opened()
    do(visit, "wash_outdoor_coil", method="lance")

    assert float(back_to_work(visit).outdoor_airflow_m3_s) < 0.9 * float(
        sound().outdoor_airflow_m3_s
    )


def test_acid_outdoors_is_marked() -> None:
    """Only where fins, coating and the unit's own instructions allow it."""
    visit = opened(("dirty-outdoor-coil", 0.5))

    outcome = do(visit, "wash_outdoor_coil", method="acid")

    assert {"acid_on_fins": "note"} == {h.code: h.level for h in outcome.hazards}


# ---------------------------------------------------------------- water at the boards


@pytest.mark.parametrize(
    ("wash", "method", "cover", "stop"),
    [
        ("wash_outdoor_coil", "outwards", "outdoor_electrics", ""),
        ("wash_indoor_coil", "along_fins", "indoor_electrics", "communication_stop"),
    ],
)
def test_a_board_sprayed_uncovered_fails_when_power_comes_back(wash, method, cover, stop) -> None:
    """Outdoors the inverter dies, indoors the units no longer hear each other."""
    visit = opened()
    do(visit, "unprotect", items=[cover])

    outcome = do(visit, wash, method=method)
    truth = back_to_work(visit, 5)

    assert "electrics_sprayed" in {h.code for h in outcome.hazards}
    assert not truth.running
    assert stop in ("", *truth.limits)
    assert "lamp blinks" in seen(visit, "display")[0]


@pytest.mark.parametrize(
    ("wash", "method", "cover", "where"),
    [
        ("wash_outdoor_coil", "outwards", "outdoor_electrics", "outdoor"),
        ("wash_indoor_coil", "along_fins", "indoor_electrics", "indoor"),
    ],
)
def test_a_wet_board_that_was_dried_in_time_lives(wash, method, cover, where) -> None:
    """Half an hour with cloth and air saves what the spray had got."""
    visit = opened()
    do(visit, "unprotect", items=[cover])
    do(visit, wash, method=method)
    do(visit, "dry_board", where=where)

    assert back_to_work(visit, 5).running


def test_a_drowned_indoor_board_is_not_mended_by_a_new_cable() -> None:
    """Both show the same code; only the right part cures it."""
    visit = opened()
    do(visit, "unprotect", items=["indoor_electrics"])
    do(visit, "wash_indoor_coil", method="along_fins")
    close_up(visit)
    make_safe(visit)
    open_up(visit)
    do(visit, "change_part", part="signal_cable")
    assert not back_to_work(visit, 5).running

    make_safe(visit)
    open_up(visit)
    do(visit, "order_part", part="indoor_board")
    do(visit, "fetch_parts")
    do(visit, "change_part", part="indoor_board")
    assert back_to_work(visit, 5).running


# ---------------------------------------------------------------- wheel


def test_a_scraped_wheel_is_clean_slow_and_shakes() -> None:
    """Out of balance it thumps and moves less air, until another wheel is in."""
    visit = opened(("clogged-blower-wheel", 0.6))
    do(visit, "clean_wheel", method="scrape")
    assert "out of balance" in do(visit, "try_by_hand", part="wheel").text
    scraped = back_to_work(visit)

    assert float(scraped.airflow_m3_s) < 0.92 * float(sound().airflow_m3_s)
    assert "thumps" in seen(visit, "listen_indoor")[0]
    make_safe(visit)
    open_up(visit)
    do(visit, "order_part", part="blower_wheel")
    do(visit, "fetch_parts")
    do(visit, "change_part", part="blower_wheel")
    assert pytest.approx(float(sound().airflow_m3_s), rel=0.01) == float(
        back_to_work(visit).airflow_m3_s
    )


# ---------------------------------------------------------------- covers and screws


def test_panels_held_by_a_few_screws_rattle_and_let_warm_air_by() -> None:
    """Heard, seen, and measured at the intake; and unsafe to leave."""
    visit = opened()
    do(visit, "refit_loosely", part="outdoor_panels")
    close_up(visit)
    run(visit, 15)
    loose = value(visit, "air_probe", "outdoor_intake", hold_s=180)

    assert loose > visit._state.around.outdoor_db_k + 0.6
    assert "rattles" in seen(visit, "listen_outdoor")[0]
    assert "Screws are missing" in seen(visit, "outdoor_covers")[0]
    assert "Screws left over" in do(visit, "check_reassembly").text
    do(visit, "conclude", findings=["nothing-wrong"], recommendations=[])
    state = visit._state
    _, outcome = transition(state, "hand_over", {"explain": ["defects"]})
    assert {"left_open": "near_miss"} == {h.code: h.level for h in outcome.hazards}

    do(visit, "add_screws", part="outdoor_panels")
    do(visit, "wait", minutes=10)
    assert pytest.approx(visit._state.around.outdoor_db_k, abs=0.6) == value(
        visit, "air_probe", "outdoor_intake", hold_s=180
    )
    assert not do(visit, "hand_over", explain=["defects"]).hazards


def test_a_site_left_with_live_parts_open_is_a_near_miss(arrived) -> None:
    """The terminal cover belongs on before anybody signs."""
    state = replace(
        arrived, off=frozenset({"terminal_cover"}), done=(("conclude", 0.0),)
    )

    _, outcome = transition(state, "hand_over", {"explain": ["defects"]})

    assert ["left_open"] == [h.code for h in outcome.hazards]


# ---------------------------------------------------------------- plugs and sensors


def _held(truth):
    """Return whether a sensor that seems frozen holds the unit back or stops it."""
    return bool({"coil_freeze", "coil_sensor_stop"} & set(truth.limits))


# plug: how the machine shows that it was left off
LEFT_OFF = {
    "room_sensor": lambda t: t.compressor_rps == 0.0,
    "coil_sensor": _held,
    "ambient_sensor": _held,
    "discharge_sensor": _held,
    "indoor_fan": lambda t: float(t.indoor_fan_rpm) < 1.0,
    "outdoor_fan": lambda t: float(t.outdoor_fan_rpm) < 1.0,
    "compressor_leads": lambda t: "over_current_stop" in t.limits,
    "valve_coil": lambda t: abs(float(t.superheat_k) - float(sound().superheat_k)) > 2.0,
}


@pytest.mark.parametrize("plug", list(LEFT_OFF))
def test_a_plug_left_off_shows_when_the_unit_runs(plug) -> None:
    """And a last look before power would have found it."""
    visit = opened()
    do(visit, "unplug", what=plug)
    assert PLUGS[plug][0] in do(visit, "check_reassembly").text

    truth = back_to_work(visit, 12)

    assert not LEFT_OFF[plug](sound())
    assert LEFT_OFF[plug](truth)
    restored = next(o for o in reversed(visit.outcomes) if o.action == "restore_power")
    assert "left_off" in {h.code for h in restored.hazards}


def test_a_reversing_coil_left_off_cools_when_heat_is_asked() -> None:
    """Without its coil the valve rests in cooling; units differ."""
    visit = opened(mode="heating")
    do(visit, "unplug", what="reversing_coil")

    assert float(back_to_work(visit, 12).split_k) < 0.0


@pytest.mark.parametrize("plug", list(PLUGS))
def test_a_plug_put_back_leaves_no_trace(plug) -> None:
    """Marked when it came off, it goes home."""
    visit = opened()
    before = clock.working_condition(state_of(visit))
    do(visit, "unplug", what=plug)
    assert before != clock.working_condition(state_of(visit)) or plug == "ambient_sensor"
    do(visit, "plug_in", what=plug)

    assert before == clock.working_condition(state_of(visit))


def test_a_room_sensor_left_out_of_its_clip_makes_the_unit_idle() -> None:
    """Against the cold coil it thinks the room is cool."""
    visit = opened()
    do(visit, "pull_sensor", sensor="room_sensor")
    close_up(visit)
    do(visit, "set_demand", mode="cooling", setpoint_k=295.15)
    do(visit, "wait", minutes=15)
    hanging = state_of(visit).truth
    careful = opened()
    close_up(careful)
    do(careful, "set_demand", mode="cooling", setpoint_k=295.15)
    do(careful, "wait", minutes=15)

    assert float(hanging.power_w) < 0.5 * float(state_of(careful).truth.power_w)
    assert "out of its clip" in seen_open(visit, "room_sensor")


def seen_open(visit, part):
    """Return the words of a look behind the casing."""
    state = replace(state_of(visit), off=frozenset({"indoor_casing"}))
    return transition(state, "inspect", {"part": part})[1].text


def test_a_sensor_reseated_after_the_ice_bath_reads_the_room_again() -> None:
    """What was taken out for a test goes back."""
    visit = opened()
    do(visit, "pull_sensor", sensor="coil_sensor")
    do(visit, "reseat_sensor", sensor="coil_sensor")

    assert pytest.approx(float(sound().split_k), abs=0.1) == float(back_to_work(visit).split_k)


# ---------------------------------------------------------------- ice


@pytest.mark.parametrize(
    ("how", "hazard", "harm"),
    [("chip", "chipped_ice", "bent_indoor"), ("hot_air", "heat_near_refrigerant", "wheel")],
)
def test_ice_got_off_by_force_leaves_its_mark(how, hazard, harm) -> None:
    """Fins fold under a chisel, plastic under a hot-air gun; water and time do neither."""
    visit = visit_with(("iced-indoor-coil", 0.96))
    make_safe(visit, wait_min=8)
    open_up(visit)
    state = replace(visit._state, condition=replace(visit._state.condition, indoor_coil_ice=0.8))

    after, outcome = transition(state, "thaw", {"side": "indoor", "how": how})

    assert [hazard] == [h.code for h in outcome.hazards]
    assert getattr(after.harm, harm) > 0.2
    kind, told = transition(state, "thaw", {"side": "indoor", "how": "warm_water"})
    assert not told.hazards
    assert state.harm == kind.harm


def test_ice_melts_into_the_pan_and_floods_behind_a_shut_drain() -> None:
    """What melts goes where water goes."""
    visit = visit_with(("iced-indoor-coil", 0.96), ("blocked-drain", 1.0))

    do(visit, "thaw", side="indoor", how="fan")

    assert float(state_of(visit).truth.pan_water_kg) > 0.3


# ---------------------------------------------------------------- float and pump


def test_a_float_stops_the_unit_before_the_wall_gets_wet() -> None:
    """Without one the same drain spills; with one it stops and says why."""
    spilt = {}
    for drain in ("gravity", "float_switch"):
        visit = visit_with(("blocked-drain", 1.0), fitted=Fitted(drain=drain))
        run(visit, 90)
        spilt[drain] = float(state_of(visit).truth.overflow_kg)
        if drain == "float_switch":
            assert not state_of(visit).truth.running
            assert "water high in the pan" in seen(visit, "display")[0]

    assert spilt["gravity"] > 0.2
    assert spilt["float_switch"] < 0.05 * spilt["gravity"]


@pytest.mark.parametrize(
    ("fitted", "running", "words"),
    [
        (Fitted(drain="float_switch"), True, "stops at once"),
        (Fitted(drain="float_switch", float_stuck=True), True, "Nothing happens"),
        (Fitted(drain="pump"), False, "pump starts"),
        (Fitted(drain="pump", float_stuck=True), False, "stays silent"),
    ],
)
def test_lifting_the_float_tells_whether_it_acts(fitted, running, words) -> None:
    """The unit must stop, or the pump must start."""
    visit = visit_with(fitted=fitted)
    if running:
        run(visit, 3)

    assert words in do(visit, "lift_float").text


def test_a_float_that_is_not_there_cannot_be_lifted() -> None:
    """A wall unit usually drains by gravity."""
    assert visit_with().step("lift_float").refused


def test_a_dead_pump_is_a_shut_drain_until_it_is_changed() -> None:
    """Nothing lifts the water out of the cup."""
    visit = visit_with(fitted=Fitted(drain="pump", float_stuck=True))
    run(visit, 90)
    assert float(state_of(visit).truth.overflow_kg) > 0.2
    do(visit, "lift_float")
    make_safe(visit)

    assert not do(visit, "change_part", part="float_device").hazards
    do(visit, "refit", part="terminal_cover")
    do(visit, "remove_lock")
    do(visit, "restore_power")
    run(visit, 60)
    before = float(state_of(visit).truth.overflow_kg)
    do(visit, "wait", minutes=30)
    assert pytest.approx(before, abs=1e-6) == float(state_of(visit).truth.overflow_kg)


# ---------------------------------------------------------------- ladder and protections


def test_an_outdoor_unit_out_of_reach_needs_a_ladder_that_stands_right() -> None:
    """One in four, firm, tied, never its top rung; otherwise the trainer calls down."""
    visit = visit_with(fitted=Fitted(ladder=True))
    do(visit, "wear", items=list(DRESS))
    for step in ("pull_disconnect", "lock", "tag"):
        do(visit, step)

    assert "ladder" in visit.step("open_outdoor", part="terminal_cover").why
    for how in ("steep", "loose_ground", "top_rung"):
        do(visit, "set_ladder", how=how)
        outcome = visit.step("open_outdoor", part="terminal_cover")
        assert outcome.stopped
        assert {"ladder_misuse": "critical"} == {h.code: h.level for h in outcome.hazards}
    do(visit, "set_ladder", how="right")
    assert not do(visit, "open_outdoor", part="terminal_cover").hazards


def test_where_no_ladder_is_needed_none_is_set() -> None:
    """The near miss: the same acts from the ground."""
    visit = visit_with()

    assert visit.step("set_ladder", how="steep").refused


@pytest.mark.parametrize("what", ["float_switch", "pressure_switch", "thermistor", "fuse"])
def test_a_protection_is_never_bridged(what) -> None:
    """Whatever the hurry: find out why it acts."""
    outcome = visit_with().step("bridge_protection", what=what)

    assert outcome.stopped
    assert {"protection_defeated": "critical"} == {h.code: h.level for h in outcome.hazards}


def test_a_probe_pushed_into_the_wheel_leaves_it_out_of_balance() -> None:
    """The trainer stops the learner, and the blade is broken all the same."""
    visit = visit_with()
    run(visit, 12)
    before = float(state_of(visit).truth.airflow_m3_s)

    outcome = visit.step("read", instrument="air_probe", at="supply_deep")
    do(visit, "wait", minutes=5)

    assert outcome.stopped
    assert "thumps" in seen(visit, "listen_indoor")[0]
    assert float(state_of(visit).truth.airflow_m3_s) < 0.95 * before


def test_other_acts_that_were_stopped_change_nothing(arrived) -> None:
    """A trainer's hand came in time."""
    state = replace(arrived, off=frozenset({"front_panel"}))

    after, outcome = transition(state, "open_indoor", {"part": "indoor_casing"})

    assert outcome.stopped
    assert state.harm == after.harm
    assert state.off == after.off
