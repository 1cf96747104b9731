"""Hazards are judged from the state: power, lock, proof, charge, rotation, covers, people."""

from __future__ import annotations

from dataclasses import replace

import pytest

from kit.visit import hazards
from kit.visit.state import PARTS, Proof, State, Supply
from kit.visit.transition import transition

PROOFS = ("known_source", "line_1_line_2", "line_1_earth", "line_2_earth", "dc_bus", "known_source")
DRESSED = frozenset({"goggles", "cut_gloves", "mask", "insulating_gloves", "glasses"})
OPEN = frozenset(PARTS)
COVERED = frozenset({"drop_cloth", "wash_bag", "indoor_electrics", "outdoor_electrics"})


def proved(*places: str, volts: float = 0.0) -> tuple[Proof, ...]:
    """Return tests at these places, all dead but the known source."""
    return tuple(
        Proof(place, 240.0 if place == "known_source" else volts, 100.0 + i)
        for i, place in enumerate(places)
    )


@pytest.fixture
def safe(arrived) -> State:
    """Return a visit made safe as it should be, everything open, the learner dressed."""
    supply = Supply(pulled=True, locked=True, tagged=True, tried=True, proofs=proved(*PROOFS))
    return replace(arrived, supply=supply, worn=DRESSED, off=OPEN, protected=COVERED)


def met(state: State, action: str, **args) -> dict[str, str]:
    """Return the hazards of an action, code to level."""
    _, outcome = transition(state, action, args)
    return {hazard.code: hazard.level for hazard in outcome.hazards}


def test_work_made_safe_meets_no_hazard(safe) -> None:
    """Who does it right is not told off."""
    assert {} == met(safe, "wash_indoor_coil", method="along_fins")
    assert {} == met(safe, "clean_wheel", method="brush_and_rinse")
    assert {} == met(safe, "wash_outdoor_coil", method="outwards")
    assert {} == met(safe, "clear_drain", method="suck")


WORK = [
    ("wash_indoor_coil", {"method": "along_fins"}),
    ("clean_wheel", {"method": "brush_and_rinse"}),
    ("wash_outdoor_coil", {"method": "outwards"}),
    ("clear_drain", {"method": "suck"}),
]


@pytest.mark.parametrize(("action", "args"), WORK)
def test_work_with_the_disconnect_in_is_critical_and_stopped(safe, action, args) -> None:
    """A trainer holds the arm: nothing is done, and the mark knows."""
    live = replace(safe, supply=Supply())

    after, outcome = transition(live, action, args)

    assert outcome.stopped
    assert {"live_work": "critical"} == {h.code: h.level for h in outcome.hazards}
    assert live.condition == after.condition


@pytest.mark.parametrize(("action", "args"), WORK)
def test_work_without_a_lock_is_critical(safe, action, args) -> None:
    """Anybody could push the disconnect back."""
    unlocked = replace(safe, supply=replace(safe.supply, locked=False))

    assert {"not_locked": "critical"} == met(unlocked, action, **args)


@pytest.mark.parametrize(("action", "args"), WORK)
@pytest.mark.parametrize("missing", range(len(PROOFS)))
def test_every_test_of_the_proof_is_needed(safe, action, args, missing) -> None:
    """Leave one of the six tests out, and it is not proved dead."""
    proofs = proved(*(p for i, p in enumerate(PROOFS) if i != missing))
    gap = replace(safe, supply=replace(safe.supply, proofs=proofs))

    assert {"not_proved_dead": "critical"} == met(gap, action, **args)


def test_a_bus_still_charged_is_no_proof(safe) -> None:
    """The wait does not replace the measuring, nor the measuring the reading of the figure."""
    proofs = proved(*PROOFS, volts=120.0)
    charged = replace(safe, supply=replace(safe.supply, proofs=proofs))

    assert {"not_proved_dead": "critical"} == met(charged, "clean_wheel", method="spray")


def test_a_dead_meter_proves_nothing(safe) -> None:
    """It shows zero at the known source too; that is what the known source is for."""
    proofs = tuple(replace(p, shown_v=0.0) for p in safe.supply.proofs)
    blind = replace(safe, supply=replace(safe.supply, proofs=proofs))

    assert hazards.proof_gap(blind) is not None


def test_moving_the_disconnect_undoes_the_proof(safe) -> None:
    """Proved dead is proved for this isolation only."""
    closed = replace(safe, off=frozenset(), protected=frozenset())
    open_again, _ = transition(closed, "remove_lock", {})
    live, _ = transition(open_again, "restore_power", {})
    pulled, _ = transition(live, "pull_disconnect", {})

    assert () == pulled.supply.proofs


def test_a_missing_tag_is_a_near_miss(safe) -> None:
    """The lock holds, but nobody knows whose it is."""
    bare = replace(safe, supply=replace(safe.supply, tagged=False))

    assert {"no_tag": "near_miss"} == met(bare, "clean_wheel", method="brush_and_rinse")


@pytest.mark.parametrize("part", ["indoor_casing"])
def test_opening_a_live_cover_is_critical(arrived, part) -> None:
    """Behind it are live parts and the wheel."""
    state = replace(arrived, off=frozenset({"front_panel"}))

    assert {"live_work": "critical"} == met(state, "open_indoor", part=part)


@pytest.mark.parametrize("part", ["terminal_cover", "outdoor_panels"])
def test_opening_a_live_outdoor_unit_is_critical(arrived, part) -> None:
    """Behind it are live parts and the fan."""
    assert {"live_work": "critical"} == met(arrived, "open_outdoor", part=part)


def test_opening_before_the_proof_is_allowed_once_locked(arrived) -> None:
    """The terminals must be reached to be measured."""
    locked = replace(arrived, supply=Supply(pulled=True, locked=True, tagged=True))

    assert {} == met(locked, "open_outdoor", part="terminal_cover")


def test_the_filter_may_be_looked_at_before_isolation(arrived) -> None:
    """A customer takes the filter out as well; the unit must only stand."""
    assert {} == met(arrived, "open_indoor", part="front_panel")


def test_lifting_the_panel_of_a_running_unit_is_a_near_miss(run_in) -> None:
    """Stop it at the remote first."""
    assert {"open_while_running": "near_miss"} == met(run_in, "open_indoor", part="front_panel")


def test_a_probe_in_the_turning_wheel_is_critical(run_in) -> None:
    """Too deep strikes the wheel."""
    found = met(run_in, "read", instrument="air_probe", at="supply_deep")

    assert {"probe_in_wheel": "critical"} == found


def test_the_same_place_at_a_standing_wheel_is_none(arrived) -> None:
    """It is the turning that hurts: the state decides, not the word."""
    assert {} == met(arrived, "read", instrument="air_probe", at="supply_deep")


def test_testing_bare_handed_is_a_near_miss(safe) -> None:
    """Until proved dead it counts as live."""
    fresh = replace(safe, worn=frozenset(), supply=replace(safe.supply, proofs=()))

    found = met(fresh, "read", instrument="multimeter", at="line_1_line_2")

    assert {"bare_electrical_test": "near_miss"} == found


@pytest.mark.parametrize(
    ("without", "code", "level"),
    [
        ("goggles", "no_eye_protection", "critical"),
        ("mask", "no_mask", "near_miss"),
        ("cut_gloves", "no_cut_gloves", "near_miss"),
    ],
)
def test_what_is_not_worn_is_met_where_it_matters(safe, without, code, level) -> None:
    """Eyes, lungs and hands, each with its weight."""
    bare = replace(safe, worn=DRESSED - {without})

    assert {code: level} == met(bare, "wash_indoor_coil", method="along_fins")


def test_acid_indoors_is_critical(safe) -> None:
    """Never, whatever is worn."""
    assert {"acid_indoors": "critical"} == met(safe, "wash_indoor_coil", method="acid")


def test_restoring_power_with_a_cover_off_is_critical(safe) -> None:
    """Somebody could be reaching in."""
    unlocked = replace(safe, supply=replace(safe.supply, locked=False, tagged=False))

    assert {"restored_open": "critical"} == met(unlocked, "restore_power")


def test_a_remote_left_on_starts_the_unit_by_itself(safe) -> None:
    """Set it off again after the trial start."""
    closed = replace(
        safe,
        off=frozenset(),
        protected=frozenset(),
        supply=replace(safe.supply, locked=False, tagged=False),
        command=replace(safe.command, mode="cooling"),
    )

    assert {"starts_by_itself": "near_miss"} == met(closed, "restore_power")


def test_gauges_alone_are_critical_for_an_apprentice(arrived) -> None:
    """The circuit is for a certified person, or with one standing by."""
    assert {"gauges_unqualified": "critical"} == met(arrived, "attach_gauges")


def test_gauges_under_supervision_are_not(arrived) -> None:
    """With a certified colleague by and with care it is lawful, justified or not."""
    watched, _ = transition(arrived, "call_supervisor", {})
    care = frozenset({"ignition_clear", "detector_on", "aired"})
    watched = replace(watched, worn=DRESSED, work=replace(watched.work, care=care))

    assert {} == met(watched, "attach_gauges")


def test_spray_on_an_uncovered_board_ruins_it(safe) -> None:
    """The near miss has its later consequence: dead when power comes back."""
    bare = replace(safe, protected=frozenset({"drop_cloth", "wash_bag"}))
    wet, outcome = transition(bare, "wash_outdoor_coil", {"method": "outwards"})
    closed = replace(wet, off=frozenset(), supply=replace(wet.supply, locked=False, tagged=False))
    live, _ = transition(closed, "restore_power", {})

    assert ["electrics_sprayed"] == [h.code for h in outcome.hazards]
    assert "dead" == live.condition.inverter_state
