"""Honesty of what was written down."""

from __future__ import annotations

from kit.marking.audit import doubt
from kit.marking.criterion import Score, criterion
from kit.marking.evidence import Case
from kit.visit.outcome import line


@criterion
def honest_record(case: Case) -> Score:
    """Judge whether every line of the job sheet follows from a reading or a deed.

    Args:
        case: the visit.
    """
    doubts = [d for entry in case.entries if (d := doubt(case, entry)) is not None]
    if not case.entries:
        return Score(0.0, (line("Nothing was written down."),))
    return Score(0.0 if doubts else 1.0, tuple(doubts) or (line("Every line has its ground."),))
