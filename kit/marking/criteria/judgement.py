"""Decisions, their reasons, findings and recommendations, against what was measured by then."""

from __future__ import annotations

import math
from collections.abc import Callable

from kit.journal.replay import Step
from kit.machine.condition import Condition
from kit.marking.air import LITTLE_K, air
from kit.marking.criterion import Score, criterion
from kit.marking.evidence import Case, asked_gap_k
from kit.marking.key import truth_key
from kit.marking.signs import shown
from kit.visit.outcome import Line, Measure, line
from kit.visit.steps.decide import DECISIONS, NO_FAULTS, REASONS, RECOMMENDATIONS
from kit.visit.target import BAND_K
from kit.visit.topics import answer

DIRTY_GRADE = 2  # from this look on, dirt counts as seen
RUNNING_SHARE = 0.25  # of the breaker's rating: less is a fan and a board. Common practice
BLINKS = "A lamp blinks"  # how a display with a code is told
LAZY_FAN = 0.8  # of its speed: below it the eye sees it
LEAST_DEMAND_K = 5 / 1.8  # 5 °F: common practice, no source
LEAST_RUN_S = 540.0  # ten minutes, give or take one


@criterion
def decided(case: Case, choice: str, until: str = "") -> Score:
    """Judge a decision.

    Args:
        case: the visit.
        choice: decision that is right here.
        until: name of the event it must come before; "" when any time will do.
    """
    from kit.marking.events import EVENTS

    latest = (EVENTS[until](case) if until else None) or case.after_all
    made = [s for s in case.did("decide") if s.line < latest]
    if not made:
        return Score(0.0, (line("No decision was put into words in time."),))
    said = line("You decided: {what}.", what=DECISIONS[made[-1].args["choice"]])
    return Score(1.0 if made[-1].args["choice"] == choice else 0.0, (said,))


@criterion
def decided_last(case: Case, choices: list[str]) -> Score:
    """Judge the last decision of the visit, after the recheck.

    Args:
        case: the visit.
        choices: decisions that are right here.
    """
    from kit.marking.events import EVENTS

    recheck = EVENTS["recheck"](case)
    made = [s for s in case.did("decide") if recheck is not None and s.line > recheck]
    if not made:
        return Score(0.0, (line("No decision after the recheck."),))
    said = line("You decided: {what}.", what=DECISIONS[made[-1].args["choice"]])
    return Score(1.0 if made[-1].args["choice"] in choices else 0.0, (said,))


@criterion
def justified(case: Case, until: str, least: int = 2) -> Score:
    """Judge whether the reasons of a decision follow from what was measured and seen by then.

    Args:
        case: the visit.
        until: name of the event before which the decision fell.
        least: least number of reasons that hold.
    """
    from kit.marking.events import EVENTS

    latest = EVENTS[until](case) or case.after_all
    made = [s for s in case.did("decide") if s.line < latest]
    if not made:
        return Score(0.0, (line("No decision, so no reasons."),))
    return reasons(case, made[-1], least)


@criterion
def found(case: Case, alike: list[list[str]] | None = None) -> Score:
    """Judge the findings against what was wrong with the machine.

    Args:
        case: the visit.
        alike: groups of findings of which one stands for all (a trainer would accept it).
    """
    true = [hidden.name for hidden in case.replay.order.faults] or ["nothing-wrong"]
    done = case.did("conclude")
    if not done:
        return Score(0.0, (line("No findings were written down."),))
    given = set(done[-1].args["findings"])
    groups = [set(group) for group in alike or []]
    hit = [t for t in true if t in given or any(t in g and g & given for g in groups)]
    wrong = [
        g for g in given if g not in true and not any(g in s and s & set(true) for s in groups)
    ]
    if set(true) & set(NO_FAULTS) and not wrong:
        return Score(float(bool(hit)), (line("The machine was sound, and you said so."),))
    said = [line("{right} of {all} causes found.", right=len(hit), all=len(true))]
    if wrong:
        said.append(line("{number} named that were not there.", number=len(wrong)))
    return Score(max(0.0, len(hit) / len(true) - 0.5 * len(wrong)), tuple(said))


@criterion
def recommended(case: Case, wanted: list[str], wrong: list[str] | None = None) -> Score:
    """Judge the recommendations.

    Args:
        case: the visit.
        wanted: recommendations that belong here.
        wrong: recommendations that do harm here.
    """
    done = case.did("conclude")
    if not done:
        return Score(0.0, (line("No recommendations were written down."),))
    given = done[-1].args["recommendations"]
    missing = [w for w in wanted if w not in given]
    harmful = [w for w in wrong or [] if w in given]
    said = [line("Missing: {what}.", what=RECOMMENDATIONS[m]) for m in missing]
    said += [line("Out of place: {what}.", what=RECOMMENDATIONS[h]) for h in harmful]
    share = 0.0 if harmful else 1 - len(missing) / len(wanted)
    return Score(share, tuple(said) or (line("Well recommended."),))


def reasons(case: Case, step: Step, least: int) -> Score:
    """Return how far the reasons of a decision follow from what was measured and seen by then.

    Args:
        case: the visit.
        step: the decision.
        least: least number of reasons that hold.
    """
    given = step.args["reasons"]
    holds = [r for r in given if _HOLDS[r](case, step)]
    said: list[Line] = [line("Holds: {what}.", what=REASONS[r]) for r in holds]
    said += [line("Not shown by then: {what}.", what=REASONS[r]) for r in given if r not in holds]
    said += figures(case, step)
    if not any(r.startswith("split_") for r in holds):
        said.append(line("No reason rests on a split that was measured and compared."))
        return Score(0.25 if len(holds) >= least else 0.0, tuple(said))
    share = min(len(holds) / least, 1.0) - 0.34 * (len(given) - len(holds))
    return Score(max(0.0, share), tuple(said))


def column(case: Case, step: Step) -> str:
    """Return which column of the job sheet a decision rests on.

    Args:
        case: the visit.
        step: the decision.
    """
    after = case.entry("supply_dry_bulb", "as_left", step.line)
    return "as_left" if after is not None else "as_found"


def figures(case: Case, step: Step) -> list[Line]:
    """Return the learner's own split and target by then, in words.

    Args:
        case: the visit.
        step: the decision.
    """
    own = air(case, column(case, step), step.line)
    if math.isnan(own.split_k):
        return []
    if math.isnan(own.target_k):
        said = "Your readings by then: split {split}, no target for want of humidity."
        return [line(said, split=Measure(own.split_k, "temperature_difference"))]
    return [
        line(
            "Your readings by then: split {split}, target {target}.",
            split=Measure(own.split_k, "temperature_difference"),
            target=Measure(own.target_k, "temperature_difference"),
        )
    ]


def _off_target(case: Case, step: Step) -> float:
    own = air(case, column(case, step), step.line)
    return own.split_k - own.target_k


def _near_zero(case: Case, step: Step) -> bool:
    return abs(air(case, column(case, step), step.line).split_k) < LITTLE_K


def _humidity(case: Case, step: Step) -> bool:
    when = column(case, step)
    known = not math.isnan(air(case, when, step.line).target_k)
    return known and case.entry("target_split", when, step.line) is not None


def enough_demand(case: Case, step: Step) -> bool:
    """Return whether demand and run were large enough for the readings a decision rests on.

    Args:
        case: the visit.
        step: the decision.
    """
    own = air(case, column(case, step), step.line)
    if own.leaving is None or own.leaving.taken is None:
        return False
    gap_k = asked_gap_k(case, own.leaving.taken)
    return gap_k >= LEAST_DEMAND_K - 0.05 and case.ran_s(own.leaving.taken) >= LEAST_RUN_S


def _seen(*parts: str) -> Callable[[Case, Step], bool]:
    def holds(case: Case, step: Step) -> bool:
        return any(
            picture.grade >= DIRTY_GRADE
            for part in parts
            for look in case.did("inspect", part=part)
            if look.line < step.line
            for picture in look.outcome.pictures
        )

    return holds


def _drip(case: Case, step: Step) -> bool:
    told = any(s.line < step.line for s in case.did("ask", topic="drip"))
    looked = any(s.line < step.line for s in case.did("inspect", part="wall"))
    return (told or looked) and step.before.condition.drain_blockage > 0.25


def told_of_codes(case: Case, step: Step) -> bool:
    """Return whether codes had been asked for or looked for by then.

    Args:
        case: the visit.
        step: the decision.
    """
    told = any(s.line < step.line for s in case.did("ask", topic="codes"))
    looked = any(s.line < step.line for s in case.did("inspect", part="display"))
    return told or looked


def _has_codes(case: Case, step: Step) -> bool:
    """Return whether a code had been told of or seen by then."""
    if any(s.line < step.line for s in case.did("ask", topic="codes")):
        condition = case.replay.start.condition
        if answer("codes", condition) != answer("codes", Condition()):
            return True
    return any(
        said.template.startswith(BLINKS)
        for s in case.did("inspect", part="display")
        if s.line < step.line
        for said in s.outcome.lines
    )


def _compressor(case: Case, step: Step) -> bool:
    least = RUNNING_SHARE * 0.5 * float(step.before.spec.breaker_a)
    return any(
        r.quantity == "current" and r.value > least and case.ran_s(s) > LEAST_RUN_S / 3
        for s in case.steps
        if s.line < step.line
        for r in s.outcome.readings
    )


def _seen_clean(case: Case, step: Step) -> bool:
    from kit.marking.criteria.gate import seen_clean

    return seen_clean(case, step.line)


def _no_current(case: Case, step: Step) -> bool:
    least = RUNNING_SHARE * 0.5 * float(step.before.spec.breaker_a)
    return any(
        r.quantity == "current" and r.place == "one_conductor" and r.value <= least
        and case.ran_s(s) > LEAST_RUN_S / 3
        for s in case.steps
        if s.line < step.line
        for r in s.outcome.readings
    )  # fmt: skip


def _fan_stands(case: Case, step: Step) -> bool:
    looked = [s for s in case.did("inspect", part="outdoor_fan") if s.line < step.line]
    return any(s.after.condition.outdoor_fan_factor < LAZY_FAN for s in looked if s.after.asked.mode
               not in ("off", "fan"))  # fmt: skip


def _sign_seen(*readings: str) -> Callable[[Case, Step], bool]:
    """Return whether a fault that these readings tell is there and one of them was taken."""

    def holds(case: Case, step: Step) -> bool:
        faults = truth_key(case.replay).faults
        told = {s.reading for one in faults for s in one.signs} & set(readings)
        return any(shown(case, reading, step.line) for reading in told)

    return holds


_HOLDS: dict[str, Callable[[Case, Step], bool]] = {
    "split_on_target": lambda c, s: abs(_off_target(c, s)) <= BAND_K,
    "split_below_target": lambda c, s: _off_target(c, s) < -BAND_K,
    "split_above_target": lambda c, s: _off_target(c, s) > BAND_K,
    "split_near_zero": _near_zero,
    "humidity_counted": _humidity,
    "demand_full": enough_demand,
    "dirt_seen": _seen("filter", "indoor_coil", "wheel"),
    "outdoor_dirt_seen": _seen("outdoor_coil"),
    "drip": _drip,
    "no_codes": lambda c, s: told_of_codes(c, s) and not _has_codes(c, s),
    "codes": lambda c, s: told_of_codes(c, s) and _has_codes(c, s),
    "compressor_runs": _compressor,
    "split_restored": lambda c, s: column(c, s) == "as_left" and _off_target(c, s) >= -BAND_K,
    "air_side_clean": _seen_clean,
    "demand_small": lambda c, s: not enough_demand(c, s),
    "no_current": _no_current,
    "fan_stands": _fan_stands,
    "wire_or_board_seen": _sign_seen("wire_look", "board_look"),
    "sensor_seen": _sign_seen("room_sensor_error", "coil_sensor_ratio"),
    "last_gauges": lambda *_: True,
}
