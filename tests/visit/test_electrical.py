"""Electrical checks: meters show the machine within their class, and who may hold them where."""

from __future__ import annotations

from dataclasses import replace

import pytest

from kit.machine import readings
from kit.physics import thermistor
from kit.visit.instruments import instrument
from kit.visit.state import PARTS, Supply
from kit.visit.transition import transition
from tests.visit.handy import (
    close_up,
    do,
    live,
    make_safe,
    open_up,
    order_with,
    run,
    state_of,
    value,
    visit_with,
)

PAIRS = ("winding_uv", "winding_vw", "winding_wu")
ICE_K = 273.15


def true(visit, name):
    """Return a reading of the machine as it is, without an instrument."""
    s = state_of(visit)
    case = readings.Case(s.truth, s.spec, s.condition, s.around, s.asked.mode)
    return readings.take(name, case)


def within(shown, expected, tool, quantity):
    """Return whether a figure lies within the instrument's class of what is there."""
    return abs(shown - expected) <= instrument(tool).scale(quantity).error_limit(expected) + 1e-9


def opened(*faults, leads_off=True, **changes):
    """Return a visit made safe and open, the compressor's leads off the board."""
    visit = visit_with(*faults, **changes)
    make_safe(visit)
    open_up(visit)
    if leads_off:
        do(visit, "unplug", what="compressor_leads")
    return visit


# ---------------------------------------------------------------- windings and insulation


def test_three_equal_pairs_once_the_leads_are_taken_off_the_figure() -> None:
    """At an ohm or so the meter's own leads count; held together first, they are subtracted."""
    visit = opened()
    leads = value(visit, "multimeter", "leads_together")

    pairs = [value(visit, "multimeter", pair) - leads for pair in PAIRS]

    assert leads > 0.1
    for pair, name in zip(pairs, PAIRS, strict=True):
        # Two readings, each within 0.05 ohm + 1 % (datasets/instruments/multimeter.toml).
        assert pytest.approx(true(visit, name), abs=0.1 + 0.03) == pair
    assert max(pairs) < 1.1 * min(pairs)


def test_an_open_winding_shows_on_two_pairs() -> None:
    """The third pair is whole: that is how the open phase is named."""
    visit = opened(("open-winding", 1.0))

    said = [do(visit, "read", instrument="multimeter", at=pair) for pair in PAIRS]

    assert [True, False, True] == ["OL" in outcome.text for outcome in said]


def test_with_the_leads_on_the_figure_is_the_boards_as_well() -> None:
    """An open winding does not read open then, and the error is marked."""
    visit = opened(("open-winding", 1.0), leads_off=False)

    outcome = do(visit, "read", instrument="multimeter", at="winding_uv")

    assert "OL" not in outcome.text
    assert ["leads_on"] == [h.code for h in outcome.hazards]


def test_a_dead_board_makes_a_sound_compressor_look_shorted() -> None:
    """With the leads on, a good compressor would be condemned for a failed board."""
    visit = opened(("dead-inverter-board", 1.0), leads_off=False)
    leads = value(visit, "multimeter", "leads_together")
    on = value(visit, "multimeter", "winding_uv") - leads
    do(visit, "unplug", what="compressor_leads")
    off = value(visit, "multimeter", "winding_uv") - leads

    assert on < 0.5 * off
    assert pytest.approx(true(visit, "winding_uv"), abs=0.13) == off


@pytest.mark.parametrize(
    ("faults", "sound"), [((), True), ((("earthed-winding", 1.0),), False)]
)
def test_insulation_tells_an_earthed_winding(faults, sound) -> None:
    """Tens of megohm are usual; below one the winding is earthed (the 1 megohm rule)."""
    visit = opened(*faults)

    shown = value(visit, "insulation_tester", "windings_to_earth")

    assert within(shown, true(visit, "insulation"), "insulation_tester", "insulation")
    assert (shown > 10e6) is sound
    assert (shown < 1e6) is not sound


def test_an_ohmmeter_finds_a_winding_burnt_to_the_shell_too() -> None:
    """Twenty kilohm need no test voltage; sound insulation is beyond its scale."""
    burnt = opened(("earthed-winding", 1.0))
    sound = opened()

    assert within(
        value(burnt, "multimeter", "winding_to_earth"), 20e3, "multimeter", "resistance"
    )
    assert "OL" in do(sound, "read", instrument="multimeter", at="winding_to_earth").text


def test_an_insulation_test_through_the_board_kills_it() -> None:
    """Five hundred volts belong to windings, never to electronics."""
    visit = opened(leads_off=False)

    outcome = do(visit, "read", instrument="insulation_tester", at="windings_to_earth")

    assert {"tested_through_board": "near_miss"} == {h.code: h.level for h in outcome.hazards}
    assert outcome.readings[0].value < 1e6  # and it reads the board's filters
    assert "dead" == state_of(visit).condition.inverter_state


def test_windings_are_the_same_for_locked_and_sound() -> None:
    """A locked rotor has sound windings; its starting current tells."""
    visit = opened(("locked-rotor", 1.0))
    pairs = [value(visit, "multimeter", pair) for pair in PAIRS]

    assert max(pairs) < 1.1 * min(pairs)


def test_a_start_that_locks_draws_its_peak() -> None:
    """Peak hold over a start: far above any running current."""
    locked, sound = visit_with(("locked-rotor", 1.0)), visit_with()
    for visit in (locked, sound):
        run(visit, 5)
    peak = value(locked, "clamp_meter", "one_conductor_start", "peak_current")

    assert within(peak, true(locked, "start_peak"), "clamp_meter", "peak_current")
    assert peak > 1.5 * value(sound, "clamp_meter", "one_conductor_start", "peak_current")


def test_a_clamp_round_the_whole_cable_shows_nothing() -> None:
    """What goes in comes back: one conductor only."""
    visit = visit_with()
    run(visit, 12)

    assert value(visit, "clamp_meter", "one_conductor") > 2.0
    assert 0.1 > value(visit, "clamp_meter", "whole_cable")


# ---------------------------------------------------------------- live tests


def live_run(*faults, minutes=12.0, **changes):
    """Return a running visit in which somebody qualified stands by, terminals open."""
    visit = visit_with(*faults, **changes)
    live(visit)
    run(visit, minutes)
    return visit


def test_a_live_test_alone_is_stopped() -> None:
    """Qualified, or with somebody qualified standing by; nobody else."""
    state = replace(
        state_of(visit_with()),
        off=frozenset({"terminal_cover"}),
        worn=frozenset({"glasses", "insulating_gloves"}),
    )
    args = {"instrument": "multimeter", "at": "line_1_line_2"}

    _, alone = transition(state, "read", args)
    _, watched = transition(replace(state, supervised=True), "read", args)

    assert alone.stopped
    assert {"live_test_unqualified": "critical"} == {h.code: h.level for h in alone.hazards}
    assert not watched.hazards


@pytest.mark.parametrize("at", ["line_1_line_2", "dc_bus", "signal_line", "fan_plug_control"])
def test_a_live_test_bare_handed_is_a_near_miss(at) -> None:
    """Gloves and glasses, also with somebody standing by."""
    state = replace(
        state_of(visit_with()), off=frozenset({"terminal_cover"}), supervised=True
    )

    _, outcome = transition(state, "read", {"instrument": "multimeter", "at": at})

    assert {"bare_electrical_test": "near_miss"} == {h.code: h.level for h in outcome.hazards}


def test_the_terminal_cover_comes_off_live_only_for_the_qualified_and_dressed() -> None:
    """All other covers never do."""
    state = replace(state_of(visit_with()), worn=frozenset({"glasses", "insulating_gloves"}))
    watched = replace(state, supervised=True)

    def stopped(before, part):
        return transition(before, "open_outdoor", {"part": part})[1].stopped

    assert stopped(state, "terminal_cover")
    assert not stopped(watched, "terminal_cover")
    assert stopped(replace(watched, worn=frozenset()), "terminal_cover")
    assert stopped(watched, "outdoor_panels")


def test_low_supply_shows_under_load_and_hardly_without() -> None:
    """A bad joint drops with the current: measure under load."""
    visit = visit_with(("low-supply-voltage", 0.6))
    live(visit)
    off_load = value(visit, "multimeter", "line_1_line_2")
    run(visit, 12)
    loaded = value(visit, "multimeter", "line_1_line_2")

    assert off_load > 0.97 * visit._state.spec.supply_v
    assert within(loaded, true(visit, "supply"), "multimeter", "voltage")
    assert loaded < 0.9 * visit._state.spec.supply_v


@pytest.mark.parametrize(
    ("faults", "words"),
    [
        ((), "swings"),
        ((("chewed-communication-wire", 1.0),), "stands still"),
        ((("dead-inverter-board", 1.0),), "stands still"),
    ],
)
def test_a_sound_signal_line_swings(faults, words) -> None:
    """Steady zero is an open wire, steady high a dead sender."""
    visit = live_run(*faults, minutes=5)

    outcome = do(visit, "read", instrument="multimeter", at="signal_line")
    shown = {r.quantity: r.value for r in outcome.readings}

    assert words in outcome.text
    assert within(
        shown["highest_voltage"], true(visit, "signal_high"), "multimeter", "highest_voltage"
    )
    swing = shown["highest_voltage"] - shown["lowest_voltage"]
    assert pytest.approx(true(visit, "signal_swing"), abs=1.3) == swing


@pytest.mark.parametrize("faults", [(), (("dead-inverter-board", 1.0),)])
def test_the_bus_is_there_or_the_board_is_dead(faults) -> None:
    """With mains on, the DC bus of a dead board reads nothing."""
    visit = live_run(*faults, minutes=5)

    assert within(value(visit, "multimeter", "dc_bus"), true(visit, "bus"), "multimeter", "voltage")


def test_a_fan_that_has_its_supplies_and_stands_is_bad_itself() -> None:
    """Supply and control there, no turning: motor; control missing: board."""
    motor = live_run(("failed-outdoor-fan", 1.0), minutes=2)
    board = live_run(("dead-inverter-board", 1.0), minutes=2)

    assert value(motor, "multimeter", "fan_plug_supply") > 250
    assert pytest.approx(15.0, abs=0.7) == value(motor, "multimeter", "fan_plug_control")
    assert value(board, "multimeter", "fan_plug_control") < 1.0


@pytest.mark.parametrize(
    ("faults", "held"), [((), False), ((("open-bleed-resistor", 1.0),), True)]
)
def test_the_wait_does_not_replace_the_measuring(faults, held) -> None:
    """After ten minutes a sound bus is below 50 V; with its bleed resistor open it is not."""
    visit = visit_with(*faults)
    do(visit, "wear", items=["glasses", "insulating_gloves"])
    for step in ("pull_disconnect", "lock", "tag"):
        do(visit, step)
    do(visit, "wait", minutes=10)
    do(visit, "open_outdoor", part="terminal_cover")

    assert held is (value(visit, "multimeter", "dc_bus") > 50.0)


def test_a_bus_that_keeps_its_charge_is_drained_by_a_resistor_and_never_by_a_tool() -> None:
    """And measured again, because only the meter proves it."""
    visit = visit_with(("open-bleed-resistor", 1.0))
    do(visit, "wear", items=["glasses", "insulating_gloves"])
    for step in ("pull_disconnect", "lock", "tag"):
        do(visit, step)
    do(visit, "open_outdoor", part="terminal_cover")

    shorted = visit.step("discharge_bus", how="tool")
    assert shorted.stopped
    assert {"bus_shorted": "critical"} == {h.code: h.level for h in shorted.hazards}
    assert value(visit, "multimeter", "dc_bus") > 250
    do(visit, "discharge_bus", how="resistor")
    assert value(visit, "multimeter", "dc_bus") < 5


@pytest.mark.parametrize("at", ["winding_uv", "coil_sensor_plug", "reversing_coil"])
def test_no_ohms_before_it_is_proved_dead(arrived, at) -> None:
    """Meter and hand touch what may be live."""
    state = replace(
        arrived, off=frozenset(PARTS), supply=Supply(pulled=True, locked=True, tagged=True)
    )

    _, outcome = transition(state, "read", {"instrument": "multimeter", "at": at})

    assert {"not_proved_dead": "critical"} == {h.code: h.level for h in outcome.hazards}


def test_an_ohm_reading_does_not_undo_the_proof() -> None:
    """Only tests of voltage count for dead or live."""
    visit = opened()
    before = visit._state.supply.proofs

    value(visit, "multimeter", "winding_uv")

    assert before == visit._state.supply.proofs


# ---------------------------------------------------------------- sensors


def in_ice(visit, sensor):
    """Return a sensor's resistance with its plug off and its tip in ice and water."""
    if sensor not in visit._state.loose.plugs:
        do(visit, "unplug", what=sensor)
    do(visit, "pull_sensor", sensor=sensor)
    return value(visit, "multimeter", f"{sensor}_in_ice")


def table(visit, kelvin):
    """Return what the unit's table says of a sound sensor."""
    spec = visit._state.spec
    return thermistor.ntc_resistance_ohm(kelvin, spec.thermistor_ohm, spec.thermistor_beta_k)


@pytest.mark.parametrize("sensor", ["room_sensor", "coil_sensor"])
def test_a_sound_sensor_agrees_with_its_table_in_ice(sensor) -> None:
    """Resistance against the table at a temperature that is known."""
    visit = opened(leads_off=False)

    shown = in_ice(visit, sensor)

    assert within(shown, table(visit, ICE_K), "multimeter", "resistance")


@pytest.mark.parametrize("severity", ["drifted", "open"])
def test_a_drifted_coil_sensor_is_off_its_table(severity) -> None:
    """By far more than the 5 to 10 % at which it is changed."""
    visit = opened(("coil-sensor-out-of-range", severity), leads_off=False)
    do(visit, "unplug", what="coil_sensor")

    soaked = value(visit, "multimeter", "coil_sensor_plug")
    ratio = soaked / table(visit, float(state_of(visit).truth.indoor_coil_surface_k))

    assert ratio > 1.1
    assert pytest.approx(true(visit, "coil_sensor_ratio"), rel=0.05) == ratio
    assert in_ice(visit, "coil_sensor") > 1.1 * table(visit, ICE_K)


def test_a_displaced_sensor_is_itself_sound() -> None:
    """In ice it is right: it is its place that is wrong, and no part is needed."""
    visit = opened(("displaced-room-sensor", "severe"), leads_off=False)

    assert within(in_ice(visit, "room_sensor"), table(visit, ICE_K), "multimeter", "resistance")


@pytest.mark.parametrize("level", [0.0, 0.42])
def test_the_units_own_display_shows_what_a_displaced_sensor_feels(level) -> None:
    """Beside the air at the grille it tells the displacement while the unit runs."""
    visit = visit_with(*([("displaced-room-sensor", level)] if level else []))
    run(visit, 12)
    air = value(visit, "air_probe", "return_grille", hold_s=120)
    lines = do(visit, "inspect", part="board_values").lines
    felt = dict(lines[0].values)["value"].value

    # A display in whole degrees, an air probe of 0.5 K.
    assert pytest.approx(true(visit, "room_sensor_error"), abs=1.1) == felt - air


def test_with_its_plug_in_a_sensor_reads_with_the_boards_resistor() -> None:
    """Half its value would be believed; it is marked."""
    visit = opened(leads_off=False)
    plugged = do(visit, "read", instrument="multimeter", at="room_sensor_plug")
    do(visit, "unplug", what="room_sensor")
    free = value(visit, "multimeter", "room_sensor_plug")

    assert plugged.readings[0].value < 0.7 * free
    assert ["plug_on"] == [h.code for h in plugged.hazards]


def test_outdoor_sensors_and_coils_read_as_sound_ones() -> None:
    """Air and discharge sensor at the outdoor air; coils of 1 to 2.5 kohm and 40 to 50 ohm."""
    visit = opened(leads_off=False)
    for plug in ("ambient_sensor", "discharge_sensor"):
        do(visit, "unplug", what=plug)

    ambient = value(visit, "multimeter", "ambient_sensor_plug")
    expected = table(visit, visit._state.around.outdoor_db_k)

    assert within(ambient, expected, "multimeter", "resistance")
    assert pytest.approx(expected, rel=0.05) == value(
        visit, "multimeter", "discharge_sensor_plug"
    )
    assert 1000 <= value(visit, "multimeter", "reversing_coil") <= 2500
    assert 40 <= value(visit, "multimeter", "valve_coil") <= 50


def test_the_units_table_can_be_looked_up() -> None:
    """At 77 °F a sensor has the resistance it is named after."""
    outcome = do(visit_with(), "look_up_sensor", temperature_k=298.15)

    assert "10.00 kohm" in outcome.text
    assert "5%" in outcome.text


# ---------------------------------------------------------------- probes, clamps, tachometer


def bias(visit, name="air_probe", place="ice_bath"):
    """Return what a probe is off in the ice bath, after it has settled."""
    return value(visit, name, place, hold_s=300) - ICE_K


@pytest.mark.parametrize(("name", "place"), [("air_probe", "ice_bath"),
                                             ("pipe_clamp", "pipe_ice_bath")])  # fmt: skip
def test_ice_and_water_reveal_a_probes_bias_and_set_it_right(name, place) -> None:
    """Known to be 32 °F: what it shows there is its own error, and can be taken off."""
    visits = [visit_with() for _ in range(6)]
    biases = []
    for seed, visit in enumerate(visits):
        visit._state = replace(visit._state, seed=seed)
        biases.append(bias(visit, name, place))
        do(visit, "adjust_probe", instrument=name)

    assert max(abs(b) for b in biases) > 0.15
    step = instrument(name).scales[0].resolution + 3 * instrument(name).scales[0].repeat
    assert all(abs(bias(visit, name, place)) <= 2 * step for visit in visits)


def test_a_probe_set_before_it_has_settled_is_set_wrong() -> None:
    """The correction is then the probe's lag."""
    visit = visit_with()
    value(visit, "air_probe", "ice_bath", hold_s=10)
    do(visit, "adjust_probe", instrument="air_probe")

    assert bias(visit) < -1.5


def test_a_probe_can_only_be_set_in_the_ice_bath() -> None:
    """Nowhere else is the temperature known."""
    assert visit_with().step("adjust_probe", instrument="air_probe").refused


def test_infrared_is_right_on_tape_wrong_on_copper_and_blind_to_air() -> None:
    """It sees surfaces, and bright metal shows it what is around."""
    visit = visit_with()
    run(visit, 12)
    pipe = float(state_of(visit).truth.valve_outlet_k)
    supply = float(state_of(visit).truth.supply_db_k)

    taped = value(visit, "infrared", "small_line_taped")
    bare = value(visit, "infrared", "small_line_bare")
    aimed = value(visit, "infrared", "outlet_aimed")

    assert within(taped, pipe, "infrared", "surface_temperature")
    assert bare - pipe > 5
    assert aimed - supply > 3


@pytest.mark.parametrize(
    ("faults", "at", "reading", "slow"),
    [
        ((), "outdoor_fan_mark", "outdoor_fan_speed", False),
        ((("weak-outdoor-fan", 0.5),), "outdoor_fan_mark", "outdoor_fan_speed", True),
        ((("failed-outdoor-fan", 1.0),), "outdoor_fan_mark", "outdoor_fan_speed", True),
        ((), "wheel_mark", "indoor_fan_speed", False),
        ((("weak-indoor-fan", 0.45),), "wheel_mark", "indoor_fan_speed", True),
        ((("clogged-blower-wheel", 0.9),), "wheel_mark", "indoor_fan_speed", False),
    ],
)
def test_a_tachometer_tells_a_slow_fan_from_a_dirty_one(faults, at, reading, slow) -> None:
    """A clogged wheel turns at its speed; a weak motor does not."""
    visit = visit_with(*faults)
    run(visit, 12)
    rpm = 60 * value(visit, "tachometer", at)
    spec = visit._state.spec
    full = (spec.indoor_fan if at == "wheel_mark" else spec.outdoor_fan).full_rpm

    assert within(rpm / 60, true(visit, reading) / 60, "tachometer", "rotation")
    if not slow:
        assert rpm > 0.5 * full
    else:
        healthy = visit_with()
        run(healthy, 12)
        assert rpm < 0.8 * 60 * value(healthy, "tachometer", at)


@pytest.mark.parametrize(
    ("fault", "upstream", "downstream", "reading"),
    [
        (("liquid-line-restriction", 0.52), "liquid_line", "after_strainer", "liquid_line_drop"),
        (("leaking-reversing-valve", 0.9), "before_reversing_valve", "after_reversing_valve",
         "valve_warming"),
    ],
)  # fmt: skip
def test_clamps_put_on_dead_are_read_running(fault, upstream, downstream, reading) -> None:
    """Two clamps stay on the pipes while the panels go back, and show what happens between."""
    differences = {}
    for faults in ((), (fault,)):
        visit = opened(*faults, leads_off=False)
        do(visit, "place", instrument="pipe_clamp", at=upstream)
        do(visit, "place", instrument="pipe_clamp_b", at=downstream)
        close_up(visit)
        run(visit, 15)
        one = value(visit, "pipe_clamp", upstream, hold_s=120)
        other = value(visit, "pipe_clamp_b", downstream, hold_s=120)
        differences[faults] = other - one
        sign = -1.0 if reading == "liquid_line_drop" else 1.0
        expected = sign * true(visit, reading)
        # Two clamps of 0.72 K + 0.1 %, and 6 % of the pipe's distance from the air.
        assert pytest.approx(expected, abs=2.2 + 0.06 * abs(expected)) == other - one

    assert abs(differences[(fault,)]) > abs(differences[()]) + 2.0


def test_a_broken_meter_reads_zero_ohm_as_it_reads_zero_volt() -> None:
    """Held together its leads show nothing either, which no leads do."""
    from kit.visit.visit import Visit

    visit = Visit(order_with(instrument_faults={"multimeter": "dead"}), seed=7)

    assert 0.0 == value(visit, "multimeter", "leads_together")
