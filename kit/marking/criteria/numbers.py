"""Numbers that a learner works out, against what follows from that learner's own readings."""

from __future__ import annotations

import math

from kit.marking.criterion import Score, criterion, together
from kit.marking.evidence import Case
from kit.marking.numbers import NUMBERS, Figure, expected
from kit.visit.outcome import Line, Measure, line
from kit.visit.sheet import ITEMS, WHEN

# Lines that are judged by rows of their own.
OWN_ROWS = ("split", "target_split")
# What must be worked out once something was done: (action, line of the job sheet).
NEEDED = (
    ("recover", "recovered"),
    ("pressurise", "nitrogen_expected"),
    ("weigh_in", "charge_to_weigh"),
)


@criterion
def number_entered(case: Case, item: str, when: str) -> Score:
    """Judge one number that the learner worked out against the learner's own readings.

    Args:
        case: the visit.
        item: line of the job sheet.
        when: "as_found" or "as_left".
    """
    figure, entry = expected(case, item, when), case.entry(item, when)
    title, kind = ITEMS[item].title, ITEMS[item].kind
    if entry is None:
        return Score(0.0, (line("No figure: {item}.", item=title), *_missing(figure)))
    given = Measure(entry.value, kind)
    if math.isnan(figure.value):
        said = line("{item}: {given}, but what it rests on is missing.", item=title, given=given)
        return Score(0.0, (said, *_missing(figure)))
    said = line(
        "{item}: {given}; your own readings give {wanted}, give or take {tolerance}.",
        item=title,
        given=given,
        wanted=Measure(figure.value, kind),
        tolerance=Measure(figure.tolerance, _step(kind)),
    )
    off = abs(entry.value - figure.value)
    share = 1.0 if off <= figure.tolerance else 0.4 if off <= 2 * figure.tolerance else 0.0
    return Score(share, (said, *figure.beside))


@criterion
def numbers_follow(case: Case) -> Score:
    """Judge every number beyond split and target: those written down, and those the work needs.

    Args:
        case: the visit.
    """
    written = [
        (item, when)
        for item in NUMBERS
        for when in WHEN
        if item not in OWN_ROWS and case.entry(item, when) is not None
    ]
    needed = [item for action, item in NEEDED if case.did(action)]
    if read_running(case):
        needed.append("subcooling" if _heating(case) else "superheat")
    lacking = [item for item in needed if not any(item == one for one, _ in written)]
    scores = [number_entered(case, item, when) for item, when in written]
    scores += [
        Score(0.0, (line("Not worked out: {item}.", item=ITEMS[item].title),)) for item in lacking
    ]
    if not scores:
        return Score(1.0, (line("No further number was called for."),))
    return together(scores)


def read_running(case: Case) -> bool:
    """Return whether gauges were read while the unit ran.

    Args:
        case: the visit.
    """
    return any(
        r.quantity == "port_pressure" and step.after.truth.running
        for step in case.steps
        for r in step.outcome.readings
    )


def _heating(case: Case) -> bool:
    return all(
        step.after.asked.mode == "heating"
        for step in case.steps
        for r in step.outcome.readings
        if r.quantity == "port_pressure" and step.after.truth.running
    )


def _missing(figure: Figure) -> tuple[Line, ...]:
    return () if figure.missing is None else (figure.missing,)


def _step(kind: str) -> str:
    """Return the kind in which a tolerance is shown: a step of temperature has no zero."""
    return "temperature_difference" if kind == "temperature" else kind
