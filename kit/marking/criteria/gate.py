"""Decisions held against what the learner had measured and seen by then, whatever is hidden."""

from __future__ import annotations

import math

from kit.journal.replay import Step
from kit.marking.air import LITTLE_K, Air, air
from kit.marking.criteria.judgement import (
    column,
    enough_demand,
    figures,
    reasons,
    told_of_codes,
)
from kit.marking.criterion import Score, criterion
from kit.marking.evidence import Case, placed_well
from kit.marking.key import CIRCUIT_CURES, CLEANING_CURES, DIRTY, DRAIN_CURES, truth_key
from kit.marking.signs import shown
from kit.visit.outcome import Line, line
from kit.visit.steps.decide import DECISIONS
from kit.visit.target import BAND_K

AIR_SIDE = ("filter", "indoor_coil", "wheel", "outdoor_coil")
GAUGES = ("gauges_first", "gauges_now")
PASSED_ON = ("leak_search", "certified_repair")


@criterion
def gate_decision(case: Case) -> Score:
    """Judge the first decision by the learner's own readings, before anything was changed.

    Args:
        case: the visit.
    """
    step = gate_step(case)
    if step is None:
        said = line("No decision was put into words before cleaning or gauges.")
        return Score(0.0, (said,))
    return _decision(case, step)


@criterion
def gate_reasons(case: Case, least: int = 2) -> Score:
    """Judge whether the reasons of the first decision follow from what was measured by then.

    Args:
        case: the visit.
        least: least number of reasons that hold.
    """
    step = gate_step(case)
    if step is None:
        return Score(0.0, (line("No decision, so no reasons."),))
    return reasons(case, step, least)


@criterion
def last_decision(case: Case) -> Score:
    """Judge the last decision by the learner's own readings as left.

    Args:
        case: the visit.
    """
    from kit.marking.events import EVENTS

    recheck = EVENTS["recheck"](case)
    made = [s for s in case.did("decide") if recheck is not None and s.line > recheck]
    if not made:
        return Score(0.0, (line("No decision after the recheck."),))
    return _decision(case, made[-1])


@criterion
def gauges_as_needed(case: Case) -> Score:
    """Judge whether gauges came out for a reason that had been measured, or stayed in the bag.

    Args:
        case: the visit.
    """
    used, key = case.did("attach_gauges"), truth_key(case.replay)
    if not used:
        if "gauges_tell" not in key.facts:
            return Score(1.0, (line("Left in the bag; nothing asked for gauges."),))
        if handed_on(case):
            share = 0.5 if case.replay.order.certified else 1.0
            return Score(share, (line("No gauges, but handed on to a certified person."),))
        return Score(0.0, (line("The circuit needed a look with gauges, and nobody was told."),))
    first = used[0]
    choices, said = defensible(case, first)
    if not set(GAUGES) & choices:
        said.append(line("By then nothing you had measured asked for gauges."))
        return Score(0.0, tuple(said))
    spoken = any(s.line < first.line and s.args["choice"] in GAUGES for s in case.did("decide"))
    said.append(
        line("Your readings asked for gauges.")
        if spoken
        else line("Your readings asked for gauges, but you did not say so first.")
    )
    return Score(1.0 if spoken else 0.6, tuple(said))


def gate_step(case: Case) -> Step | None:
    """Return the decision at the gate: the last before cleaning, gauges or the recheck.

    Args:
        case: the visit.
    """
    from kit.marking.events import EVENTS

    ends = [EVENTS[name](case) for name in ("cleaning", "gauges", "recheck")]
    latest = min((end for end in ends if end is not None), default=case.after_all)
    made = [s for s in case.did("decide") if s.line < latest]
    return made[-1] if made else None


def passed_on(case: Case, wanted: tuple[str, ...]) -> bool:
    """Return whether one of these recommendations was written down.

    Args:
        case: the visit.
        wanted: names of recommendations.
    """
    done = case.did("conclude")
    return bool(done) and bool(set(wanted) & set(done[-1].args["recommendations"]))


def handed_on(case: Case) -> bool:
    """Return whether the circuit was left to a certified person on some ground.

    Who writes it down without having looked for a single sign of such a fault has guessed.

    Args:
        case: the visit.
    """
    if not passed_on(case, PASSED_ON):
        return False
    line_of = case.did("conclude")[-1].line
    circuit = [one for one in truth_key(case.replay).faults if one.cure.action in CIRCUIT_CURES]
    return any(shown(case, sign.reading, line_of) for one in circuit for sign in one.signs)


def defensible(case: Case, step: Step) -> tuple[set[str], list[Line]]:
    """Return the decisions that a trainer would accept on the readings made before a step.

    Args:
        case: the visit.
        step: the decision, or the act to be justified.
    """
    own = air(case, column(case, step), step.line)
    said = figures(case, step)
    if math.isnan(own.split_k):
        said.append(line("No split had been measured by then."))
        return set(), said
    if not enough_demand(case, step):
        said.append(line("The demand was too small or the run too short to judge by."))
        return {"other_cause"}, said
    choices = _by_split(case, step, own)
    if _other_sign(case, step):
        choices = choices | {"other_cause"}
    return choices, said


def _by_split(case: Case, step: Step, own: Air) -> set[str]:
    """Return the decisions that a split allows; common practice, no source."""
    cleaned = case.first_cleaning < step.line
    if abs(own.split_k) < LITTLE_K:
        told = told_of_codes(case, step)
        return {"other_cause", "gauges_now" if cleaned else "gauges_first"} if told else {
            "other_cause"}  # fmt: skip
    off = own.split_k - own.target_k
    if math.isnan(off):  # no humidity: only the common rule of a clean-first visit is left
        return set() if cleaned else {"clean_first"}
    if off < -BAND_K:
        if cleaned or seen_clean(case, step.line):
            return {"gauges_now", "gauges_first", "other_cause"}
        return {"clean_first"}
    if off > BAND_K:
        return {"other_cause"} if cleaned else {"clean_first", "other_cause"}
    return {"no_further"} if cleaned else {"no_further", "clean_first"}


def seen_clean(case: Case, before: int) -> bool:
    """Return whether filter, coils and wheel were all looked at and found clean.

    Args:
        case: the visit.
        before: only looks before this line.
    """
    grades = {
        part: max((p.grade for p in look.outcome.pictures), default=0)
        for part in AIR_SIDE
        for look in case.did("inspect", part=part)
        if look.line < before
    }
    return len(grades) == len(AIR_SIDE) and all(grade <= DIRTY for grade in grades.values())


def _other_sign(case: Case, step: Step) -> bool:
    """Return whether a sign of a fault outside dirt and refrigerant had been seen by then."""
    dirt = (*CLEANING_CURES, *DRAIN_CURES)
    # A compressor with a bad winding is a matter of the meter, not of gauges.
    metered = ("open-winding", "earthed-winding", "locked-rotor")
    return any(
        shown(case, sign.reading, step.line)
        for one in truth_key(case.replay).faults
        if one.name in metered or one.cure.action not in (*dirt, *CIRCUIT_CURES)
        for sign in one.signs
        if sign.reading != "split"
    )


def _decision(case: Case, step: Step) -> Score:
    choices, said = defensible(case, step)
    made = step.args["choice"]
    said.insert(0, line("You decided: {what}.", what=DECISIONS[made]))
    if made not in choices:
        said.append(line("Your readings by then do not lead there."))
        return Score(0.0, tuple(said))
    own = air(case, column(case, step), step.line)
    if not all(placed_well(entry) for entry in (own.entering, own.leaving)):
        said.append(line("It follows from your readings, but these were not taken well."))
        return Score(0.5, tuple(said))
    said.append(line("It follows from your readings."))
    return Score(1.0, tuple(said))
