"""What is in the circuit: every gram accounted for, knobs and pressures that follow from it."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kit.errors import KitError, UnknownNameError
from kit.machine import Surroundings
from kit.machine.condition import Condition
from kit.physics import charge, leak, refrigerant, textbook
from kit.visit import circuit_hoses, circuit_places, circuit_time, circuit_work, clock
from kit.visit.circuit_facts import NO_FACTS, CircuitFacts, facts
from kit.visit.circuit_work import Leak, Ledger
from kit.visit.transition import first_state, transition
from kit.visit.visit import Visit
from kit.visit.work_order import HiddenFault, load_work_order
from tests.visit.circuit import (
    LEAK,
    after,
    careful,
    gap_kg,
    in_vacuum,
    mended,
    on_gauges,
    order,
    recovered,
)
from tests.visit.handy import do, order_with, run, state_of, visit_with


def test_a_sound_machine_has_no_leak_and_its_full_charge(order) -> None:
    """A work order without such a fault leaves the circuit alone."""
    state = first_state(order, 7)

    assert () == state.work.leaks
    assert state.spec.charge_kg == state.work.charge_kg
    assert order.condition() == state.condition


def test_a_fault_of_the_charge_brings_its_leak() -> None:
    """Who takes charge away needs a hole; a work order may say which."""
    usual = first_state(order(circuit=NO_FACTS), 7)
    told = first_state(order(), 7)

    assert [Leak("gas_flare_outdoor", 4e-6)] == list(usual.work.leaks)
    assert [Leak("gas_flare_outdoor", pytest.approx(11e-6))] == list(told.work.leaks)


def test_an_empty_machine_has_let_air_in_until_it_was_level() -> None:
    """With no charge left it stands at the pressure of the air around."""
    state = first_state(order(faults=(HiddenFault("no-charge", 1.0),)), 7)

    assert pytest.approx(0.0, abs=200.0) == circuit_work.gauge_pa(state)
    assert state.work.gases.air_kg > 1e-3
    assert 0.0 == state.condition.noncondensable_kg


def test_static_pressure_is_saturation_while_liquid_is_left() -> None:
    """A partial charge reads full saturation: static pressure says nothing about charge."""
    state = careful()
    coldest = min(state.around.room_db_k, state.around.outdoor_db_k)
    saturation = math.exp(float(refrigerant.load("R-32").lnp_dew(coldest)))

    assert state.condition.charge_fraction < 0.7
    assert pytest.approx(saturation, rel=0.01) == circuit_work.port_pa(state)


def test_the_leak_takes_its_charge_in_time() -> None:
    """What leaves in an hour is the hole's own flow at that pressure (Hagen-Poiseuille)."""
    start = careful()
    later = clock.solved(clock.later(start, 3600.0))

    flow = leak.throughput_pa_m3_s(
        11e-6, circuit_work.port_pa(start), 101085.0, leak.VISCOSITY_PA_S["R-32"]
    )
    hour = leak.mass_flow_kg_s(flow, 0.052024, circuit_work.vessel_of(start).t_k) * 3600.0
    assert pytest.approx(hour, rel=0.02) == start.work.charge_kg - later.work.charge_kg
    assert pytest.approx(0.0, abs=1e-12) == gap_kg(later)


def test_knobs_follow_the_masses() -> None:
    """A gram more or less turns the knob of the same machine."""
    state = careful()
    gases = replace(state.work.gases, refrigerant_kg=0.5, air_kg=0.002)

    moved = circuit_work.with_work(state, state.work, gases=gases)

    assert pytest.approx(0.5 / state.spec.charge_kg, abs=1e-4) == moved.condition.charge_fraction
    assert pytest.approx(0.002) == moved.condition.noncondensable_kg


@given(moves=st.lists(st.sampled_from(["attach", "puff", "remove", "wait", "top"]), max_size=6))
@settings(max_examples=15)
def test_every_gram_is_accounted_for(moves) -> None:
    """In the machine, in hoses, in the cylinder, lost: all together what there was."""
    state = careful()
    for move in moves:
        if move in ("attach", "puff") and not state.gauges_on:
            purge = "puff" if move == "puff" else "vacuum"
            state = after(state, "attach_gauges", purge=purge)
        elif move == "remove" and state.gauges_on:
            state = after(state, "remove_gauges")
        elif move == "wait":
            state = after(state, "wait", minutes=20)
        elif move == "top" and state.gauges_on:
            args = {"refrigerant": "R-32", "phase": "vapour", "seconds": 60}
            state = clock.solved(clock.later(state, 1))
            state = clock.solved(transition(state, "top_up", args)[0])

        assert abs(gap_kg(state)) < 1e-9


@pytest.mark.parametrize("stage", [on_gauges, recovered, mended, in_vacuum])
def test_every_gram_is_accounted_for_at_each_stage(stage) -> None:
    """Recovery, opening and the pump move refrigerant; none appears or vanishes."""
    assert abs(gap_kg(stage())) < 1e-9


def test_the_cylinder_gains_what_the_machine_loses() -> None:
    """Recovered and left over make what was there."""
    before, now = on_gauges().work, recovered().work

    leaked = now.ledger.lost_kg - before.ledger.lost_kg  # while it went on
    assert pytest.approx(before.charge_kg + before.ledger.hose_kg, abs=1e-9) == (
        now.ledger.cylinder_kg + now.charge_kg + leaked
    )
    assert now.ledger.cylinder_kg > 0.9 * before.charge_kg


def test_recovery_ends_at_zero_gauge() -> None:
    """40 CFR 82.156: 0 inHg for this class below 200 lb of charge."""
    assert pytest.approx(0.0, abs=6e3) == circuit_work.gauge_pa(recovered())


def test_each_connection_costs_charge_and_hot_gas_in_a_cold_hose_costs_most() -> None:
    """Hose volume times density; where the port carries discharge it condenses in the hose."""
    state = careful()
    standing = circuit_hoses.contents_kg(state)
    hot = replace(state, truth=replace(state.truth, suction_pa=2.9e6))

    assert 1e-3 < standing < 5e-3
    assert circuit_hoses.contents_kg(hot) > 5 * standing


def test_a_hose_screwed_on_as_it_is_brings_its_air_along() -> None:
    """A thimble of air, every time."""
    state = after(careful(), "attach_gauges", purge="none")

    assert 4e-5 < state.work.gases.air_kg < 8e-5


def test_nitrogen_follows_its_absolute_temperature() -> None:
    """The closed gas of the textbook: pressures as absolute temperatures."""
    state = after(mended(), "pressurise", gas="nitrogen", regulator="relief", to_pa=1e6)
    state = clock.solved(clock.later(state, 3600.0))
    cold = replace(state, work=replace(state.work, over_k=0.0))
    around = cold.around
    warm = replace(
        cold,
        around=replace(
            around, room_db_k=around.room_db_k * 1.02, outdoor_db_k=around.outdoor_db_k * 1.02
        ),
    )

    p, t = circuit_work.port_pa(cold), circuit_work.vessel_of(cold).t_k
    expected = textbook.closed_gas_pressure_pa(p, t, circuit_work.vessel_of(warm).t_k)
    assert pytest.approx(expected, rel=1e-9) == circuit_work.port_pa(warm)


def test_gas_just_filled_is_warm_and_falls_a_little() -> None:
    """A reading right after filling looks like a leak; ten minutes later it stands."""
    filled = after(mended(), "pressurise", gas="nitrogen", regulator="relief", to_pa=1e6)
    filled = after(filled, "pressurise", gas="nitrogen", regulator="relief", to_pa=3.5e6)
    readings = [circuit_work.gauge_pa(clock.solved(clock.later(filled, s))) for s in (0, 900, 1800)]

    assert pytest.approx(3.5e6, rel=1e-3) == readings[0]
    assert readings[0] - readings[1] > 30e3
    assert readings[1] - readings[2] < 0.2 * (readings[0] - readings[1])


def test_free_water_freezes_in_a_cold_valve_and_thaws_when_it_stands() -> None:
    """Moisture stops the valve only where it is below freezing, and comes back after a rest."""
    state = careful()
    wet = replace(state.work, gases=replace(state.work.gases, water_kg=1e-3))
    cold = replace(state, work=wet, truth=replace(state.truth, running=True, valve_outlet_k=266.0))
    iced = circuit_time._iced(cold, 600.0)
    rested = circuit_time._iced(replace(iced, truth=replace(iced.truth, running=False)), 3600.0)
    mild = circuit_time._iced(replace(cold, truth=replace(cold.truth, valve_outlet_k=281.0)), 600.0)

    assert circuit_work.iced(Condition(), iced.work).liquid_restriction > 0.4
    assert rested.work.valve_ice < 0.05
    assert 0.0 == mild.work.valve_ice


def test_a_dry_circuit_does_not_ice() -> None:
    """The trace a sound machine holds stays in solution."""
    state = careful()
    cold = replace(state, truth=replace(state.truth, running=True, valve_outlet_k=266.0))

    assert state == replace(circuit_time._iced(cold, 600.0), truth=state.truth)


def test_a_detector_smells_refrigerant_and_not_nitrogen() -> None:
    """Under test gas it hardly answers, whatever leaks; bubbles are for that."""
    leaking = on_gauges()
    filled = after(
        replace(mended(), work=replace(mended().work, leaks=leaking.work.leaks)),
        "pressurise", gas="nitrogen", regulator="relief", to_pa=1e6,
    )  # fmt: skip

    flows = [circuit_places.leak_at_kg_s(state, LEAK) for state in (leaking, filled)]
    assert flows[1] < 0.02 * flows[0]  # what little refrigerant the oil still gives off
    assert circuit_time.hole_pa_m3_s(filled, filled.work.leaks[0]) > 1e-3


def test_a_cleaner_sets_a_detector_off_for_a_while() -> None:
    """A false alarm right after washing, gone an hour later."""
    state = careful()
    washed = replace(state, done=(("wash_outdoor_coil", state.clock_s),))

    soon = circuit_places.smelt_kg_a(washed, "small_flare_outdoor")
    late = circuit_places.smelt_kg_a(clock.later(washed, 7200.0), "small_flare_outdoor")

    assert soon > 0.02
    assert late < 0.001


def test_an_uncapped_port_leaks_some_grams_a_year() -> None:
    """A cap is a seal; the core alone is not."""
    bare = after(after(careful(), "attach_gauges"), "remove_gauges", cap=False)
    capped = after(bare, "refit_caps")

    assert 2e-3 < circuit_places.smelt_kg_a(bare, "port_core") < 20e-3
    assert 0.0 == circuit_places.smelt_kg_a(capped, "port_core")


def test_free_refrigerant_is_counted_as_in_the_machine() -> None:
    """The standing pressure of the engine and of the bench agree."""
    state = careful()
    free = float(charge.free_kg(0.3, state.spec.oil_kg))

    assert pytest.approx(0.3 - 0.12 * state.spec.oil_kg) == free


def test_the_ledger_tells_a_gram_that_is_missing() -> None:
    """The balance would notice."""
    assert pytest.approx(1e-3) == Ledger(found_kg=0.5, lost_kg=0.1).gap_kg(0.399)


@pytest.mark.parametrize(
    ("table", "said"),
    [
        ({"leak_um": -1}, "leak_um"),
        ({"leak_um": "wide"}, "leak_um"),
        ({"moisture_g": 500}, "moisture_g"),
    ],
)
def test_a_figure_out_of_range_is_refused(table, said) -> None:
    """A work order's author is told the key."""
    with pytest.raises(KitError, match=said):
        facts(table, "x.toml")


@pytest.mark.parametrize("table", [{"leek_um": 1}, {"leak_at": "gas_flare_outdor"}])
def test_a_slip_in_a_work_order_names_what_was_meant(table) -> None:
    """The nearest key or place is named."""
    with pytest.raises(UnknownNameError, match=r"leak_um|gas_flare_outdoor"):
        facts(table, "x.toml")


def test_facts_are_read_in_si() -> None:
    """Grams become kilograms; what is left out is nothing."""
    assert CircuitFacts("", 0.0, 0.002) == facts({"moisture_g": 2}, "x.toml")
    assert NO_FACTS == facts({}, "x.toml")
    assert load_work_order("low-charge-01").circuit.leak_at == LEAK


def test_the_air_outdoors_follows_the_hour_where_an_order_says_so() -> None:
    """Six tenths of a kelvin an hour; probes and circuit see the same air."""
    start = careful()
    later = clock.solved(clock.later(start, 3 * 3600.0))

    assert pytest.approx(1.8, abs=0.11) == later.around.outdoor_db_k - start.around.outdoor_db_k
    assert start.around.room_db_k == later.around.room_db_k


def test_the_gas_port_carries_discharge_in_heating() -> None:
    """One port, two meanings: suction in cooling, discharge in heating."""
    port = {}
    for mode, setpoint_k in (("cooling", 289.15), ("heating", 303.15)):
        visit = visit_with(mode=mode)
        do(visit, "set_demand", mode=mode, setpoint_k=setpoint_k)
        do(visit, "wait", minutes=12)
        state = state_of(visit)
        port[mode] = (circuit_work.port_pa(state), state.truth)

    assert float(port["cooling"][1].suction_pa) == port["cooling"][0]
    assert float(port["heating"][1].discharge_pa) == port["heating"][0]
    assert port["heating"][0] > 2.0 * port["cooling"][0]


def test_a_wet_circuit_starves_in_the_cold_and_recovers_after_a_rest() -> None:
    """Water left in by a poor evacuation freezes at the valve in heating; a dry one runs on."""
    suction, visits = [], []
    frosty = Surroundings(293.15, 0.4, 268.15, 0.5, 120.0)
    for grams in (0.0, 1.0):
        order = replace(
            order_with(mode="heating", circuit=CircuitFacts(moisture_kg=grams / 1000.0)),
            surroundings=frosty,
        )
        visit = Visit(order, seed=7)
        run(visit, 30)
        visits.append(visit)
        suction.append(float(state_of(visit).truth.suction_pa))
    do(visits[1], "set_demand", mode="off")
    do(visits[1], "wait", minutes=90)
    ice = state_of(visits[1]).work.valve_ice

    assert suction[1] < 0.97 * suction[0]
    assert ice < 0.1
