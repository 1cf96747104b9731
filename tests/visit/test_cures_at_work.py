"""Every fault is cured by what hands do in a visit, and the next readings are a sound unit's."""

from __future__ import annotations

from functools import cache

import pytest

from kit.faults import fault_names, registry
from kit.machine import readings
from kit.visit import clock
from kit.visit.instruments import instrument
from kit.visit.repairs import PARTS
from tests.visit.handy import close_up, do, make_safe, open_up, run, state_of, value, visit_with

HEATING = {"stuck-reversing-valve", "iced-outdoor-coil"}
# fault: what cures it, while everything is open and proved dead.
OPEN = {
    "blocked-drain": [("clear_drain", {"method": "suck"})],
    "blocked-indoor-coil": [("wash_indoor_coil", {"method": "along_fins"}),
                            ("clear_drain", {"method": "suck"})],
    "chewed-communication-wire": [("change_part", {"part": "signal_cable"})],
    "clogged-blower-wheel": [("clean_wheel", {"method": "brush_and_rinse"}),
                             ("clear_drain", {"method": "suck"})],
    "coil-sensor-out-of-range": [("change_part", {"part": "coil_sensor"})],
    "dirty-filter": [("clean_filter", {"method": "vacuum_and_rinse"}), ("wait", {"minutes": 90})],
    "dirty-outdoor-coil": [("wash_outdoor_coil", {"method": "outwards"})],
    "displaced-room-sensor": [("reseat_sensor", {"sensor": "room_sensor"})],
    "film-on-indoor-coil": [("wash_indoor_coil", {"method": "along_fins"}),
                            ("clear_drain", {"method": "suck"})],
    "iced-outdoor-coil": [("thaw", {"side": "outdoor", "how": "warm_water"})],
    "outdoor-recirculation": [("clear_air_path", {"how": "move"})],
    "partly-blocked-drain": [("clear_drain", {"method": "suck"})],
    "uphill-drain": [("relay_hose", {})],
}  # fmt: skip
# fault: what is ordered, brought another day, and put in.
ORDERED = {
    "dead-inverter-board": "inverter_board",
    "open-bleed-resistor": "inverter_board",
    "failed-outdoor-fan": "outdoor_fan_motor",
    "weak-outdoor-fan": "outdoor_fan_motor",
    "weak-indoor-fan": "indoor_fan_motor",
}
# fault: what others come to do.
OTHERS = {
    "open-winding": "compressor",
    "locked-rotor": "compressor",
    "earthed-winding": "compressor",
    "compressor-not-pumping": "compressor",
    "leaking-reversing-valve": "reversing_valve",
    "stuck-reversing-valve": "reversing_valve",
    "valve-stuck-closed": "expansion_valve",
    "valve-stuck-open": "expansion_valve",
    "liquid-line-restriction": "strainer",
    "low-charge": "charge",
    "no-charge": "charge",
    "overcharge": "charge",
    "air-in-circuit": "charge",
    "low-supply-voltage": "supply",
}
THAWED = {"iced-indoor-coil"}


def cured_by_hand(visit, name):
    """Do what cures a fault, and close up."""
    if name in THAWED:
        do(visit, "thaw", side="indoor", how="fan")
        return
    if name in OTHERS:
        if OTHERS[name] in PARTS:
            do(visit, "order_part", part=OTHERS[name])
        do(visit, "have_done", work=OTHERS[name])
        return
    make_safe(visit)
    open_up(visit)
    if name in ORDERED:
        do(visit, "order_part", part=ORDERED[name])
        do(visit, "fetch_parts")
        do(visit, "change_part", part=ORDERED[name])
    for action, args in OPEN.get(name, []):
        do(visit, action, **args)
    close_up(visit)


def shown(visit):
    """Return what a technician would write on the sheet."""
    figures = {
        "entering": ("air_probe", "return_grille", 120),
        "leaving": ("air_probe", "supply", 150),
        "current": ("clamp_meter", "one_conductor", 15),
        "outdoor_fan": ("tachometer", "outdoor_fan_mark", 15),
        "wheel": ("tachometer", "wheel_mark", 15),
    }
    return {name: value(visit, tool, at, hold_s=hold) for name, (tool, at, hold) in figures.items()}


CLASS = {
    "entering": ("air_probe", "dry_bulb"),
    "leaving": ("air_probe", "dry_bulb"),
    "current": ("clamp_meter", "current"),
    "outdoor_fan": ("tachometer", "rotation"),
    "wheel": ("tachometer", "rotation"),
}


def every_reading(visit, mode):
    """Return every reading that the mode allows, without instruments' errors."""
    s = state_of(visit)
    case = readings.Case(s.truth, s.spec, clock.working_condition(s), s.around, mode)
    return readings.take_all(case)


def stood(visit):
    """Let the machine stand until all is level and at its surroundings."""
    do(visit, "set_demand", mode="off")
    do(visit, "wait", minutes=60)


@cache
def sound(mode):
    """Return what a sound unit shows, running and then standing."""
    visit = visit_with(mode=mode)
    run(visit, 20)
    figures, running = shown(visit), every_reading(visit, mode)
    stood(visit)
    return figures, running, every_reading(visit, "off")


def test_every_fault_has_its_cure_in_the_visit() -> None:
    """A fault added to the folder must be curable by hand, or be handed on."""
    assert set(fault_names()) == {*OPEN, *ORDERED, *OTHERS, *THAWED}


@pytest.mark.parametrize("name", fault_names())
def test_the_cure_brings_a_sound_units_readings_back(name) -> None:
    """Actions turn knobs, the equations give the rest: all that a tool could tell is as it was."""
    mode = "heating" if name in HEATING else "cooling"
    visit = visit_with((name, registry()[name].severities[-1].level), mode=mode)

    cured_by_hand(visit, name)
    run(visit, 20)
    figures, running = shown(visit), every_reading(visit, mode)
    stood(visit)

    healthy, ran, rested = sound(mode)
    for figure, (tool, quantity) in CLASS.items():
        limit = instrument(tool).scale(quantity).error_limit(healthy[figure])
        assert abs(figures[figure] - healthy[figure]) <= 2 * limit, figure
    apart = [n for n, v in ran.items() if readings.reading(n).apart(v, running[n])]
    apart += [
        n
        for n, v in every_reading(visit, "off").items()
        if readings.reading(n).apart(v, rested[n])
    ]
    assert [] == apart


@pytest.mark.parametrize("name", fault_names())
def test_without_the_cure_the_fault_is_still_there(name) -> None:
    """What tells the fault tells it after all other care as well: the test above can fail."""
    mode = "heating" if name in HEATING else "cooling"
    visit = visit_with((name, registry()[name].severities[-1].level), mode=mode)
    run(visit, 0.5 if name.startswith("iced") else 20)

    _, ran, rested = sound(mode)
    running = every_reading(visit, mode)
    apart = [n for n, v in ran.items() if readings.reading(n).apart(v, running[n])]
    if not name.startswith("iced"):
        stood(visit)
    apart += [
        n
        for n, v in every_reading(visit, "off").items()
        if readings.reading(n).apart(v, rested[n])
    ]
    assert apart


@pytest.mark.parametrize(
    "part", ["inverter_board", "outdoor_fan_motor", "indoor_fan_motor", "compressor"]
)
def test_what_is_not_in_the_van_is_ordered_first(part) -> None:
    """Nobody carries boards and compressors about."""
    visit = visit_with()
    make_safe(visit)
    open_up(visit)
    if PARTS[part].circuit:
        assert visit.step("have_done", work=part).refused
        return

    assert "Order it" in visit.step("change_part", part=part).why
    do(visit, "order_part", part=part)
    assert visit.step("change_part", part=part).refused
    do(visit, "fetch_parts")
    do(visit, "change_part", part=part)


GROUNDED = [
    ("coil-sensor-out-of-range", "coil_sensor",
     [("unplug", {"what": "coil_sensor"}), ("pull_sensor", {"sensor": "coil_sensor"}),
      ("read", {"instrument": "multimeter", "at": "coil_sensor_in_ice"})]),
    ("chewed-communication-wire", "signal_cable", [("inspect", {"part": "outdoor_wires"})]),
    ("dead-inverter-board", "inverter_board", [("inspect", {"part": "outdoor_board"})]),
    ("failed-outdoor-fan", "outdoor_fan_motor", [("try_by_hand", {"part": "outdoor_fan"})]),
    ("weak-indoor-fan", "indoor_fan_motor", [("try_by_hand", {"part": "wheel"})]),
    ("open-winding", "compressor",
     [("unplug", {"what": "compressor_leads"}),
      ("read", {"instrument": "multimeter", "at": "winding_uv"})]),
    ("earthed-winding", "compressor",
     [("unplug", {"what": "compressor_leads"}),
      ("read", {"instrument": "insulation_tester", "at": "windings_to_earth"})]),
]  # fmt: skip


def named(visit, part):
    """Return the hazards of ordering a part, or of changing one from the van."""
    if PARTS[part].in_van:
        outcome = do(visit, "change_part", part=part)
    else:
        outcome = do(visit, "order_part", part=part)
    return [h.code for h in outcome.hazards]


@pytest.mark.parametrize(("name", "part", "evidence"), GROUNDED)
def test_a_part_named_on_evidence_is_no_swapping(name, part, evidence) -> None:
    """A look or a figure that speaks for it is enough."""
    visit = visit_with((name, registry()[name].severities[-1].level))
    make_safe(visit)
    open_up(visit)
    for action, args in evidence:
        do(visit, action, **args)

    assert [] == named(visit, part)


@pytest.mark.parametrize(("name", "part", "evidence"), GROUNDED)
def test_the_same_figure_on_a_sound_unit_speaks_for_nothing(name, part, evidence) -> None:
    """A part changed against the evidence costs its time and is marked as swapped."""
    visit = visit_with()
    make_safe(visit)
    open_up(visit)
    for action, args in evidence:
        do(visit, action, **args)

    assert ["part_swapped"] == named(visit, part)


@pytest.mark.parametrize("part", [n for n, p in PARTS.items() if p.in_van and p.cures])
def test_a_part_changed_for_nothing_costs_time_and_cures_nothing_else(part) -> None:
    """The swapped part leaves the real fault where it was."""
    visit = visit_with(("weak-outdoor-fan", 0.5))
    make_safe(visit)
    open_up(visit)

    outcome = do(visit, "change_part", part=part)

    assert ["part_swapped"] == [h.code for h in outcome.hazards]
    assert PARTS[part].takes_s == outcome.elapsed_s
    assert pytest.approx(0.5) == state_of(visit).condition.outdoor_fan_factor


def test_a_new_board_on_an_earthed_compressor_dies_too() -> None:
    """Test the motor's insulation before fitting another board."""
    visit = visit_with(("earthed-winding", 1.0), ("dead-inverter-board", 1.0))
    make_safe(visit)
    open_up(visit)
    do(visit, "order_part", part="inverter_board")
    do(visit, "fetch_parts")
    do(visit, "change_part", part="inverter_board")
    assert "ok" == state_of(visit).condition.inverter_state

    close_up(visit)

    assert "dead" == state_of(visit).condition.inverter_state
    assert "new board is gone" in visit.outcomes[-1].text


def test_an_electrician_is_called_on_a_figure_taken_under_load() -> None:
    """Off load the voltage looks right and speaks for nothing."""
    codes = []
    for minutes in (0, 12):
        visit = visit_with(("low-supply-voltage", 0.8))
        do(visit, "call_supervisor")
        do(visit, "wear", items=["insulating_gloves", "glasses"])
        do(visit, "open_outdoor", part="terminal_cover")
        if minutes:
            run(visit, minutes)
        value(visit, "multimeter", "line_1_line_2")
        codes.append([h.code for h in do(visit, "have_done", work="supply").hazards])

    assert [["part_swapped"], []] == codes


def test_changing_a_part_needs_the_proof() -> None:
    """Hands among terminals: isolated, locked, proved dead."""
    visit = visit_with()
    do(visit, "set_demand", mode="off")
    for step in ("pull_disconnect", "lock", "tag"):
        do(visit, step)
    for part in ("front_panel", "indoor_casing"):
        do(visit, "open_indoor", part=part)

    outcome = visit.step("change_part", part="coil_sensor")

    assert outcome.stopped
    assert ["not_proved_dead"] == [h.code for h in outcome.hazards]


@pytest.mark.parametrize(
    ("name", "part"),
    [
        ("valve-stuck-closed", "expansion_valve"),
        ("open-winding", "compressor"),
        ("stuck-reversing-valve", "reversing_valve"),
        ("liquid-line-restriction", "strainer"),
    ],
)
def test_a_circuit_part_changed_under_supervision_cures_too(name, part) -> None:
    """Recover, braze under nitrogen, evacuate, weigh in: then the readings are a sound unit's."""
    mode = "heating" if name in HEATING else "cooling"
    visit = visit_with((name, registry()[name].severities[-1].level), mode=mode)
    make_safe(visit)
    open_up(visit)
    do(visit, "call_supervisor")
    do(visit, "take_precautions", measures=["ignition_clear", "detector_on", "aired"])
    do(visit, "order_part", part=part)
    do(visit, "fetch_parts")
    full = visit.step("change_circuit_part", part=part, nitrogen_flow=True)
    assert full.stopped
    assert "critical" in {h.level for h in full.hazards}

    do(visit, "attach_gauges", gauge_set="gauges")
    do(visit, "recover", cylinder="own", until_pa=0.0)
    do(visit, "change_circuit_part", part=part, nitrogen_flow=True)
    do(visit, "connect_pump", hose="wide", cores_out=True, oil="fresh")
    do(visit, "start_pump")
    do(visit, "wait", minutes=60)
    do(visit, "stop_pump", valve_shut=True)
    do(visit, "disconnect_pump")
    do(visit, "set_up_scale", tare="hose_filled")
    charge = visit._state.spec.charge_kg
    do(visit, "weigh_in", refrigerant=visit._state.spec.refrigerant, phase="liquid",
       mass_kg=charge)  # fmt: skip
    do(visit, "remove_gauges")
    close_up(visit)
    run(visit, 20)

    _, ran, _ = sound(mode)
    running = every_reading(visit, mode)
    assert [] == [n for n, v in ran.items() if readings.reading(n).apart(v, running[n])]


def test_a_circuit_part_is_not_brazed_into_a_pipe_that_was_not_swept() -> None:
    """Refrigerant left in pipe and oil meets the flame: nitrogen sweeps and flows."""
    visit = visit_with(("valve-stuck-closed", 0.6))
    make_safe(visit)
    open_up(visit)
    do(visit, "call_supervisor")
    do(visit, "take_precautions", measures=["ignition_clear", "detector_on", "aired"])
    do(visit, "order_part", part="expansion_valve")
    do(visit, "fetch_parts")
    do(visit, "attach_gauges", gauge_set="gauges")
    do(visit, "recover", cylinder="own", until_pa=0.0)

    outcome = visit.step("change_circuit_part", part="expansion_valve")

    assert outcome.stopped
    assert ["torch_unswept"] == [h.code for h in outcome.hazards]
