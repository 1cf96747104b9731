"""Critical errors at the circuit, each committed and stopped; next to each what is not one.

The numbers are those of the kinds of critical error: 6 venting, 7 unqualified, 8 test gas,
9 fire and mixing, 13 compressor.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from kit.visit import circuit_work, hazards_circuit
from kit.visit.outcome import Hazard
from kit.visit.state import Proof, State
from kit.visit.transition import transition
from tests.visit.circuit import (
    LEAK,
    after,
    careful,
    in_vacuum,
    mended,
    met,
    on_gauges,
    order,
    recovered,
    tried,
)
from tests.visit.handy import PROOF

RATED_PA = 4.15e6
WEIGH = {"refrigerant": "R-32", "phase": "liquid", "mass_kg": 0.7}


def stepped() -> State:
    """Return a mended circuit in which the second step of the test was held."""
    state = after(mended(), "pressurise", gas="nitrogen", regulator="relief", to_pa=1e6)
    return after(state, "wait", minutes=3)


def on_scale() -> State:
    """Return an evacuated circuit with the supply cylinder on the scale."""
    return after(in_vacuum(), "set_up_scale", tare="hose_filled")


def careless(state: State, *missing: str) -> State:
    """Return the state with some precautions not taken."""
    return replace(state, work=replace(state.work, care=state.work.care - set(missing)))


def open_and_dead(state: State) -> State:
    """Return the state with the outdoor unit open, proved dead, the compressor's leads off."""
    proofs = tuple(
        Proof(place, 240.0 if place == "known_source" else 0.0, float(i))
        for i, place in enumerate(PROOF)
    )
    return replace(
        state,
        off=frozenset({"terminal_cover", "outdoor_panels"}),
        supply=replace(state.supply, proofs=proofs),
        loose=replace(state.loose, plugs=frozenset({"compressor_leads"})),
    )


def alone(state: State) -> State:
    """Return the state without anybody certified standing by."""
    return replace(state, supervised=False)


def shut(state: State) -> State:
    """Return the state with a service valve shut."""
    return replace(state, work=replace(state.work, valves_shut=frozenset({"small"})))


def powered(state: State) -> State:
    """Return the state with the disconnect in."""
    return replace(state, supply=replace(state.supply, pulled=False, locked=False, tagged=False))


COOL = {"mode": "cooling", "setpoint_k": 289.15}
FLARE = {"where": LEAK, "method": "new_flare", "nitrogen_flow": True}
N2 = {"gas": "nitrogen", "regulator": "relief"}

# what is committed: (state, action, arguments, code)
CRITICAL = {
    "6 let out to the air": (on_gauges, "let_out", {}, "vented"),
    "6 opened without recovery": (on_gauges, "repair_leak", FLARE, "opened_unrecovered"),
    "6 blown out by the pump": (
        lambda: after(on_gauges(), "connect_pump", hose="wide", cores_out=True),
        "start_pump", {}, "vented_through_pump",
    ),
    "7 gauges alone": (lambda: alone(careful()), "attach_gauges", {}, "gauges_unqualified"),
    "7 recovery alone": (
        lambda: alone(on_gauges()), "recover", {"cylinder": "own"}, "gauges_unqualified",
    ),
    "7 charging alone": (lambda: alone(on_scale()), "weigh_in", WEIGH, "gauges_unqualified"),
    "8 oxygen": (
        mended, "pressurise", {**N2, "gas": "oxygen", "to_pa": 3e5}, "wrong_test_gas",
    ),
    "8 compressed air": (
        mended, "pressurise", {**N2, "gas": "compressed_air", "to_pa": 3e5}, "wrong_test_gas",
    ),
    "8 no regulator": (
        mended, "pressurise", {**N2, "regulator": "none", "to_pa": 3e5}, "no_regulator",
    ),
    "8 no relief": (
        mended, "pressurise", {**N2, "regulator": "no_relief", "to_pa": 3e5}, "no_regulator",
    ),
    "8 above what is rated": (
        stepped, "pressurise", {**N2, "to_pa": RATED_PA + 1e5}, "above_rating",
    ),
    "9 sparks about": (
        lambda: careless(on_gauges(), "ignition_clear"),
        "recover", {"cylinder": "own"}, "flammable_work",
    ),
    "9 no detector": (
        lambda: careless(on_gauges(), "detector_on"),
        "recover", {"cylinder": "own"}, "flammable_work",
    ),
    "9 not aired": (
        lambda: careless(on_scale(), "aired"), "weigh_in", WEIGH, "flammable_work",
    ),
    "9 a detector that sparks": (
        careful, "read", {"instrument": "leak_detector_old", "at": f"sniff_{LEAK}"},
        "ignition_at_leak",
    ),
    "9 torch without nitrogen": (
        recovered, "repair_leak", {"where": "outdoor_coil", "method": "replace_part"},
        "torch_unswept",
    ),
    "9 wrong refrigerant": (
        on_scale, "weigh_in", {**WEIGH, "refrigerant": "R-410A"}, "wrong_refrigerant",
    ),
    "9 topped up with another": (
        on_scale, "top_up", {"refrigerant": "R-22", "phase": "vapour", "seconds": 30},
        "wrong_refrigerant",
    ),
    "9 mixed in the cylinder": (
        on_gauges, "recover", {"cylinder": "other"}, "mixed_cylinder",
    ),
    "8 one-way cylinder": (on_gauges, "recover", {"cylinder": "one_way"}, "one_way_cylinder"),
    "8 cylinder too full": (
        on_gauges, "recover", {"cylinder": "nearly_full"}, "cylinder_overfilled",
    ),
    "13 run in vacuum": (
        lambda: powered(in_vacuum()), "set_demand", COOL, "compressor_in_vacuum",
    ),
    "13 power back in vacuum, remote on": (
        lambda: replace(
            in_vacuum(),
            supply=replace(in_vacuum().supply, locked=False, tagged=False),
            command=replace(in_vacuum().command, mode="cooling"),
        ),
        "restore_power", {}, "compressor_in_vacuum",
    ),
    "13 tried in vacuum": (lambda: powered(in_vacuum()), "try_start", {}, "compressor_in_vacuum"),
    "13 run on a shut valve": (
        lambda: powered(shut(careful())), "set_demand", COOL, "compressor_on_shut_valve",
    ),
    "13 run on test gas": (
        lambda: powered(stepped()), "set_demand", COOL, "compressor_on_test_gas",
    ),
    "13 insulation tested in vacuum": (
        lambda: open_and_dead(in_vacuum()),
        "read", {"instrument": "insulation_tester", "at": "windings_to_earth"},
        "insulation_in_vacuum",
    ),
}  # fmt: skip

# next to it, and allowed: (state, action, arguments)
NEAR = {
    "6 test gas let out": (stepped, "let_out", {}),
    "6 opened at zero gauge": (recovered, "repair_leak", FLARE),
    "6 pump on an empty circuit": (
        lambda: after(mended(), "connect_pump", hose="wide", cores_out=True), "start_pump", {},
    ),
    "6 nut of a full circuit only tightened": (
        on_gauges, "repair_leak", {"where": LEAK, "method": "tighten"},
    ),
    "7 gauges with a certified colleague": (careful, "attach_gauges", {}),
    "7 gauges by a certified learner": (
        lambda: alone(careful(certified=True)), "attach_gauges", {},
    ),
    "8 nitrogen up to what is rated": (stepped, "pressurise", {**N2, "to_pa": RATED_PA}),
    "9 recovery with every precaution": (on_gauges, "recover", {"cylinder": "own"}),
    "9 gauges without a detector: some grams": (
        lambda: careless(careful(), "detector_on"), "attach_gauges", {},
    ),
    "9 the fit detector": (
        careful, "read", {"instrument": "leak_detector", "at": f"sniff_{LEAK}"},
    ),
    "9 braze with nitrogen flowing": (
        recovered, "repair_leak",
        {"where": "outdoor_coil", "method": "replace_part", "nitrogen_flow": True},
    ),
    "9 the right refrigerant": (on_scale, "weigh_in", WEIGH),
    "13 remote without power": (in_vacuum, "set_demand", COOL),
    "13 fan alone in vacuum": (
        lambda: powered(in_vacuum()), "set_demand", {"mode": "fan", "setpoint_k": 289.15},
    ),
    "13 valves shut on a unit at rest": (
        on_gauges, "turn_valves", {"valves": ["small"], "open": False},
    ),
    "13 insulation tested before the vacuum": (
        lambda: open_and_dead(mended()),
        "read", {"instrument": "insulation_tester", "at": "windings_to_earth"},
    ),
    "13 started after the charge is in": (
        lambda: powered(after(on_scale(), "weigh_in", **WEIGH)), "set_demand", COOL,
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", list(CRITICAL))
def test_a_critical_error_is_stopped(name) -> None:
    """It is judged from the state, told, and not done; a minute is lost, no more."""
    make, action, args, code = CRITICAL[name]
    before = make()

    after_it, outcome = transition(before, action, args)

    assert (code, "critical") in [(h.code, h.level) for h in outcome.hazards]
    assert outcome.stopped
    assert before.work == after_it.work


@pytest.mark.parametrize("name", list(NEAR))
def test_a_near_miss_is_not_stopped(name) -> None:
    """The same act with what it lacked, or one step short of it, goes through."""
    make, action, args = NEAR[name]

    outcome = tried(make(), action, **args)

    assert not outcome.refused, outcome.why
    assert not outcome.stopped, outcome.text
    assert "critical" not in {hazard.level for hazard in outcome.hazards}


@pytest.mark.parametrize(
    ("make", "action", "args", "code"),
    [
        (careful, "attach_gauges", {"purge": "puff"}, "purged_to_air"),
        (careful, "attach_gauges", {"gauge_set": "gauges_old"}, "gauges_unfit"),
        (careful, "attach_gauges", {"gauge_set": "gauges_dial"}, "gauges_unfit"),
        (lambda: careless(careful(), "aired"), "attach_gauges", {}, "flammable_work"),
        (lambda: replace(careful(), worn=frozenset()), "attach_gauges", {}, "bare_at_pressure"),
        (lambda: powered(recovered()), "repair_leak", FLARE, "opened_not_isolated"),
        (on_gauges, "repair_leak", {"where": LEAK, "method": "sealant"}, "sealant"),
        (mended, "pressurise", {**N2, "to_pa": 3.5e6}, "no_steps"),
        (in_vacuum, "break_vacuum", {"gas": "air"}, "air_let_in"),
    ],
)
def test_poor_practice_is_told_and_done(make, action, args, code) -> None:
    """A near miss is for the mark and the talk afterwards; the act happens."""
    assert "near_miss" == met(make(), action, **args).get(code)


def test_a_step_that_was_not_held_is_no_step() -> None:
    """Two minutes at the low step, or the full pressure comes unprepared."""
    rushed = after(mended(), "pressurise", **N2, to_pa=1e6)

    assert "no_steps" in met(replace(rushed, clock_s=rushed.clock_s - 60), "pressurise", **N2,
                             to_pa=3.5e6)  # fmt: skip
    assert "no_steps" not in met(stepped(), "pressurise", **N2, to_pa=3.5e6)


def test_the_share_of_the_limit_counts_charge_and_room() -> None:
    """A few grams are a near miss, the charge is not; in a small room less is too much."""
    rule = hazards_circuit.flammable(lambda _, args: args["kg"])
    state = careless(careful(), "detector_on")
    tiny = replace(state, around=replace(state.around, room_volume_m3=10.0))

    def level(at: State, kg: float) -> str:
        hazard = rule(at, {"kg": kg})
        return hazard.level if isinstance(hazard, Hazard) else ""

    assert "near_miss" == level(state, 0.003)
    assert "critical" == level(state, 0.5)
    assert "" == level(careful(), 0.5)
    shares = [_room_share(at, 0.05) for at in (state, tiny)]
    assert pytest.approx(6.0) == shares[1] / shares[0]


def _room_share(state: State, kg: float) -> float:
    hazard = hazards_circuit.flammable(lambda *_: kg)(state, {})
    assert hazard is not None
    return float(dict(hazard.line.values)["room"].value)


def test_a_refrigerant_that_does_not_burn_needs_no_such_care() -> None:
    """R-410A is of class A1: no limit, no rule."""
    state = careless(careful(machine="wall-12k-r410a"), "ignition_clear", "detector_on", "aired")

    assert hazards_circuit.flammable()(state, {}) is None


def test_hoses_that_bear_less_than_the_port_gives_are_critical() -> None:
    """In heating the gas port carries discharge: 500 psig hoses at more than that."""
    state = careful()
    hot = replace(state, truth=replace(state.truth, suction_pa=3.6e6))

    assert "critical" == met_rule(hot, "gauges_old")
    assert "near_miss" == met_rule(state, "gauges_old")
    assert "" == met_rule(state, "gauges")


def met_rule(state: State, gauge_set: str) -> str:
    """Return the level at which gauges are judged."""
    hazard = hazards_circuit.unfit_gauges(state, {"gauge_set": gauge_set})
    return hazard.level if hazard else ""


def test_a_blend_as_vapour_is_marked_and_remembered() -> None:
    """Its light part comes first: told at once, kept in the state."""
    state = first_blend()
    outcome = tried(state, "top_up", refrigerant="R-454B", phase="vapour", seconds=30)
    filled = transition(
        state, "top_up", {"refrigerant": "R-454B", "phase": "vapour", "seconds": 30}
    )[0]

    assert "blend_as_vapour" in {hazard.code for hazard in outcome.hazards}
    assert filled.work.shifted


def first_blend() -> State:
    """Return a machine on a blend, nearly empty, gauges on."""
    state = after(careful(machine="wall-12k-r454b"), "attach_gauges")
    gases = replace(state.work.gases, refrigerant_kg=0.0)
    return circuit_work.with_work(state, state.work, gases=gases)


def test_a_machine_found_empty_may_be_run() -> None:
    """Nobody has evacuated it: its own switch keeps the compressor off, no error of the learner."""
    from kit.visit.transition import first_state
    from kit.visit.work_order import HiddenFault

    state = first_state(order(faults=(HiddenFault("no-charge", 1.0),)), 7)

    assert {} == met(state, "set_demand", **COOL)
