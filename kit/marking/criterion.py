"""The registry of criteria: named pure functions of a visit, with arguments from the rubric."""

from __future__ import annotations

import importlib
import inspect
import pkgutil
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from kit.marking.evidence import Case
    from kit.visit.outcome import Line


@dataclass(frozen=True, slots=True)
class Score:
    """What a criterion says of a visit.

    Args:
        share: share of the row's points earned [0..1].
        said: what was seen, with the learner's own readings.
    """

    share: float
    said: tuple[Line, ...] = ()


Judge = Callable[..., Score]
_CRITERIA: dict[str, Judge] = {}


def criterion(judge: Judge) -> Judge:
    """Register a function (case, **arguments) -> Score as a criterion of its own name."""
    _CRITERIA[judge.__name__] = judge
    return judge


@cache
def criteria() -> Mapping[str, Judge]:
    """Return every criterion by name; a file added to `kit.marking.criteria` is found."""
    from kit.marking import criteria as folder

    for info in sorted(pkgutil.iter_modules(folder.__path__), key=lambda one: one.name):
        importlib.import_module(f"{folder.__name__}.{info.name}")
    return dict(_CRITERIA)


def judged(name: str, case: Case, args: Mapping[str, Any]) -> Score:
    """Return what a criterion says of a visit."""
    return criteria()[name](case, **args)


@cache
def parameters(name: str) -> Mapping[str, tuple[str, bool]]:
    """Return what a criterion takes: name to (annotation, whether it must be given).

    Args:
        name: name of the criterion.
    """
    found = list(inspect.signature(criteria()[name]).parameters.values())[1:]
    return {p.name: (str(p.annotation), p.default is inspect.Parameter.empty) for p in found}


def together(scores: list[Score]) -> Score:
    """Return the mean of several scores, with all that was said."""
    share = sum(score.share for score in scores) / len(scores)
    return Score(share, tuple(said for score in scores for said in score.said))
