"""A visit from the outside: what a learner can do, and what is never shown."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import fields, is_dataclass

import pytest

from kit.faults import fault_names
from kit.machine import Condition, Truth
from kit.visit.state import State
from kit.visit.transition import transition
from kit.visit.visit import Visit

BASELINE = [
    ("set_demand", {"mode": "cooling", "setpoint_k": 291.15}),
    ("place", {"instrument": "air_probe", "at": "supply"}),
    ("wait", {"minutes": 12}),
    ("read", {"instrument": "air_probe", "at": "supply"}),
    ("read", {"instrument": "psychrometer", "at": "return_grille", "hold_s": 120.0}),
]


def inside(value) -> Iterator[object]:
    """Give a value and everything it holds."""
    yield value
    if is_dataclass(value) and not isinstance(value, type):
        for one in fields(value):
            yield from inside(getattr(value, one.name))
    elif isinstance(value, dict):
        for one in value.values():
            yield from inside(one)
    elif isinstance(value, tuple | list | frozenset):
        for one in value:
            yield from inside(one)


def test_equal_seeds_give_equal_visits(order) -> None:
    """Two visits with one seed show the same, figure by figure."""
    one, other = Visit(order, 5), Visit(order, 5)

    assert [one.step(n, **a) for n, a in BASELINE] == [other.step(n, **a) for n, a in BASELINE]


def test_another_seed_reads_otherwise(order) -> None:
    """The machine is the same, the instruments are not."""
    one, other = Visit(order, 5), Visit(order, 6)
    for name, args in BASELINE:
        first, second = one.step(name, **args), other.step(name, **args)

    assert first.readings != second.readings
    assert one._state.truth == other._state.truth


def test_hidden_truth_never_leaves_the_visit(order) -> None:
    """Neither outcome nor view nor offer holds the truth, the condition or a fault's name."""
    visit = Visit(order, 5)
    shown = [visit.step(n, **a) for n, a in BASELINE]
    shown += [visit.step("ask", topic="what"), visit.step("inspect", part="outdoor_coil")]

    held = list(inside([shown, visit.view()]))

    assert not [one for one in held if isinstance(one, Truth | Condition | State)]
    words = [one for one in held if isinstance(one, str)]
    assert not [one for one in words if one in fault_names()]


def test_a_reading_at_two_minutes_is_visibly_wrong(order) -> None:
    """The split grows for minutes after the start; who reads early reads little."""
    visit = Visit(order, 5)
    visit.step("set_demand", mode="cooling", setpoint_k=291.15)
    visit.step("wait", minutes=1)
    early = visit.step("read", instrument="air_probe", at="supply", hold_s=60).readings[0]
    visit.step("wait", minutes=12)
    late = visit.step("read", instrument="air_probe", at="supply", hold_s=60).readings[0]

    assert early.value - late.value > 1.5


def test_a_probe_just_moved_is_not_steady(order) -> None:
    """The display itself tells that it has not settled."""
    visit = Visit(order, 5)
    visit.step("set_demand", mode="cooling", setpoint_k=291.15)
    visit.step("wait", minutes=12)
    visit.step("read", instrument="air_probe", at="return_grille", hold_s=90)
    first = visit.step("read", instrument="air_probe", at="supply")
    then = visit.step("read", instrument="air_probe", at="supply", hold_s=120)

    assert not first.readings[0].steady
    assert then.readings[0].steady
    assert "still moves" in first.text


def test_a_probe_in_front_of_the_louvre_reads_room_air_mixed_in(order) -> None:
    """Placement is part of the reading."""
    visit = Visit(order, 5)
    visit.step("set_demand", mode="cooling", setpoint_k=291.15)
    visit.step("wait", minutes=12)
    good = visit.step("read", instrument="air_probe", at="supply", hold_s=150).readings[0]
    mixed = visit.step("read", instrument="air_probe", at="supply_in_front", hold_s=150).readings[0]

    assert mixed.value > good.value + 2


def test_cleaning_brings_the_split_back(order, run_in) -> None:
    """No reading is scripted: the cure turns knobs, and the equations give the rest."""
    from dataclasses import replace

    from kit.visit import clock, cures

    clean = cures.indoor_coil_cleaned(run_in.condition, "along_fins")
    clean = cures.wheel_cleaned(cures.filter_cleaned(clean, "vacuum_and_rinse"), "brush_and_rinse")
    clean = cures.outdoor_coil_cleaned(clean, "outwards")
    after = clock.solved(clock.later(replace(run_in, condition=clean), 900))

    assert 10 <= run_in.truth.split_k * 1.8 <= 16
    assert 20 <= after.truth.split_k * 1.8 <= 25


def test_a_refused_action_costs_time_and_changes_nothing_else(visit) -> None:
    """It is journalled like any other."""
    before = visit._state

    outcome = visit.step("lock")

    assert outcome.refused
    assert "disconnect is in" in outcome.why
    assert outcome.elapsed_s > 0
    assert before.supply == visit._state.supply
    assert [outcome] == visit.outcomes


def test_an_unknown_action_leaves_no_trace(visit) -> None:
    """A slip of the pen is no deed."""
    from kit.errors import UnknownNameError

    with pytest.raises(UnknownNameError):
        visit.step("fly")

    assert [] == visit.outcomes
    assert 0.0 == visit.clock_s


def test_looking_does_not_change_what_comes_next(order) -> None:
    """A screen may ask for view and actions as often as it likes."""
    quiet, looked_at = Visit(order, 5), Visit(order, 5)
    for name, args in BASELINE:
        looked_at.view()
        looked_at.actions()
        assert quiet.step(name, **args) == looked_at.step(name, **args)


def test_only_what_can_be_done_is_offered(visit) -> None:
    """A lock needs a disconnect that is out; the rest is listed with its reason on demand."""
    now = {info.name for info in visit.actions()}
    all_of_them = {info.name: info for info in visit.actions(everything=True)}

    assert "pull_disconnect" in now
    assert "lock" not in now
    assert "disconnect is in" in all_of_them["lock"].why


def test_a_dangerous_action_is_offered_all_the_same(visit) -> None:
    """A screen does not keep a learner from a mistake; the trainer in the visit does."""
    assert {"attach_gauges", "open_outdoor"} <= {info.name for info in visit.actions()}


def test_units_can_be_changed_at_any_moment(visit) -> None:
    """Text speaks the learner's units; readings stay in SI."""
    american = visit.step("read", instrument="air_probe", at="return_grille", hold_s=60)
    visit.units = "si"
    metric = visit.step("read", instrument="air_probe", at="return_grille", hold_s=60)

    assert "°F" in american.text
    assert "°C" in metric.text


def test_after_the_hand_over_nothing_can_be_done(visit) -> None:
    """The visit ends with the customer's signature."""
    visit.step("conclude", findings=["dirty-filter"], recommendations=["wash_filter"])
    visit.step("hand_over", explain=["what_was_done"])

    assert visit.view().closed
    assert visit.step("read_work_order").refused
    assert () == visit.actions()


def test_transition_is_pure(arrived) -> None:
    """The state given is never changed; doing it twice gives the same twice."""
    first = transition(arrived, "set_demand", {"mode": "cooling"})
    again = transition(arrived, "set_demand", {"mode": "cooling"})

    assert first[1] == again[1]
    assert "off" == arrived.command.mode


def test_the_bus_is_still_charged_right_after_the_disconnect(visit) -> None:
    """It decays with the machine's own resistor; a broken one leaves the charge."""
    from dataclasses import replace

    from kit.visit.places import bus_voltage_v

    visit.step("pull_disconnect")
    soon = bus_voltage_v(visit._state)
    visit.step("wait", minutes=15)
    late = bus_voltage_v(visit._state)
    broken = replace(visit._state.condition, bleed_resistor_open=True)
    kept = bus_voltage_v(replace(visit._state, condition=broken))

    assert soon > 200
    assert late < 50
    assert kept > 300


def test_gauges_cost_charge_each_time(visit) -> None:
    """Each connection loses a little, and the mass balance knows."""
    visit.step("call_supervisor")
    left = [1.0]
    for _ in range(2):
        visit.step("attach_gauges")
        visit.step("remove_gauges")
        left.append(visit._state.condition.charge_fraction)

    work = visit._state.work
    assert left[0] > left[1] > left[2] > 0.98
    assert pytest.approx(0.0, abs=1e-12) == work.ledger.gap_kg(work.charge_kg)
    assert pytest.approx(work.charge_kg / visit._state.spec.charge_kg, abs=1e-4) == left[2]


@pytest.mark.parametrize(
    ("instrument", "at", "codes"),
    [
        ("air_probe", "return_grille", ()),
        ("air_probe", "supply", ("rotation",)),
        ("clamp_meter", "one_conductor", ("mains",)),
        ("pipe_clamp", "gas_line", ("hot",)),
        ("multimeter", "known_source", ()),
    ],
)
def test_the_caution_comes_where_its_hazard_is_met(visit, instrument, at, codes) -> None:
    """A caution shown everywhere is read nowhere."""
    outcome = visit.step("read", instrument=instrument, at=at)

    assert codes == tuple(caution.code for caution in outcome.cautions)


def test_cautions_defer_to_codes_labels_and_licences() -> None:
    """The exercise never replaces them, and says so at the start."""
    from kit.visit.cautions import GENERAL, caution

    assert "local codes" in GENERAL
    assert "licence" in GENERAL
    assert "local codes" in caution("mains").line.render()
    assert "certified" in caution("refrigerant").line.render()


def test_a_dead_meter_is_found_at_the_known_source(order) -> None:
    """A work order can put a broken meter into the bag; live-dead-live finds it."""
    from dataclasses import replace

    visit = Visit(replace(order, instrument_faults={"multimeter": "dead"}), 5)

    assert 0.0 == visit.step("read", instrument="multimeter", at="known_source").readings[0].value


def test_the_small_line_of_a_sound_unit_is_cold_in_cooling(run_in) -> None:
    """The valve is outdoors, so the small line lies behind it: cold is no fault."""
    from kit.visit.places import PLACES

    small = PLACES["small_line"].values(run_in)["pipe_temperature"]

    assert small < run_in.around.outdoor_db_k - 8


def test_an_infrared_thermometer_lies_about_bare_copper(run_in) -> None:
    """Bright metal sends back what is around it."""
    from kit.visit.places import PLACES

    pipe = float(run_in.truth.valve_outlet_k)
    seen = PLACES["small_line_bare"].values(run_in)["surface_temperature"]

    assert seen - pipe > 5
