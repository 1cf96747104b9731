"""Marking: a pure function of journal, rubric and truth key."""

from kit.marking.mark import BlockMark, CriticalError, Mark, RowMark, mark, marked
from kit.marking.override import Override, override, write_overrides
from kit.marking.rubric import Rubric, load_rubric

__all__ = [
    "BlockMark",
    "CriticalError",
    "Mark",
    "Override",
    "RowMark",
    "Rubric",
    "load_rubric",
    "mark",
    "marked",
    "override",
    "write_overrides",
]
