"""The registry of actions: each is stated once, with all a screen and the transition need."""

from __future__ import annotations

import importlib
import math
import pkgutil
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import cache
from typing import TYPE_CHECKING, Any

from kit.errors import KitError, OutOfRangeError, UnknownNameError
from kit.visit.outcome import PHASES, ArgumentInfo, Choice, Hazard, Line, Picture, Reading, Trace

if TYPE_CHECKING:
    from kit.visit.state import State


@dataclass(frozen=True, slots=True)
class Argument:
    """One argument of an action.

    Args:
        name: keyword.
        title: label.
        kind: "choice", "choices", "number", "text" or "flag".
        choices: value to label; for a choice or choices.
        depends_on: name of the argument the choices depend on.
        choices_by: value of that argument to choices.
        measure: kind of quantity of a number.
        measure_by: the same for each value of `depends_on`.
        low: lowest number [SI].
        high: highest number [SI].
        required: whether it must be given.
        default: value when left out.
    """

    name: str
    title: str
    kind: str
    choices: Mapping[str, str] = field(default_factory=dict)
    depends_on: str = ""
    choices_by: Mapping[str, Mapping[str, str]] = field(default_factory=dict)
    measure: str = ""
    measure_by: Mapping[str, str] = field(default_factory=dict)
    low: float = -math.inf
    high: float = math.inf
    required: bool = True
    default: Any = None

    def info(self) -> ArgumentInfo:
        """Return it as a screen wants it."""
        return ArgumentInfo(
            self.name,
            self.title,
            self.kind,
            self.required,
            self.default,
            _as_choices(self.choices),
            self.depends_on,
            {key: _as_choices(some) for key, some in self.choices_by.items()},
            self.measure,
            None if math.isinf(self.low) else self.low,
            None if math.isinf(self.high) else self.high,
            dict(self.measure_by),
        )


@dataclass(frozen=True, slots=True)
class Effect:
    """What doing an action comes to.

    Args:
        state: the visit afterwards.
        lines: what is seen, heard or read.
        readings: what instruments showed.
        traces: what instruments left in place showed.
        pictures: what is to be drawn.
        hazards: what went wrong in the doing.
        reason: why it turned out impossible after all, else None.
    """

    state: State
    lines: tuple[Line, ...] = ()
    readings: tuple[Reading, ...] = ()
    traces: tuple[Trace, ...] = ()
    pictures: tuple[Picture, ...] = ()
    hazards: tuple[Hazard, ...] = ()
    reason: Line | None = None


Doer = Callable[..., Effect]
Need = Callable[["State", Mapping[str, Any]], "Line | None"]
Rule = Callable[["State", Mapping[str, Any]], "Hazard | None"]


@dataclass(frozen=True, slots=True)
class Action:
    """One thing a learner can do.

    Args:
        name: its name.
        title: words for a button.
        phase: one of `PHASES`.
        part: part of the site.
        takes_s: time it takes [s].
        arguments: what must be said.
        needs: what must be so for it to be possible at all.
        rules: hazards to judge before it is done.
        cautions: codes of usual cautions.
        do: what it does.
    """

    name: str
    title: str
    phase: str
    part: str
    takes_s: float
    arguments: tuple[Argument, ...]
    needs: tuple[Need, ...]
    rules: tuple[Rule, ...]
    cautions: tuple[str, ...]
    do: Doer

    def parsed(self, given: Mapping[str, Any]) -> dict[str, Any]:
        """Return the arguments checked, with defaults filled in.

        Raises:
            UnknownNameError: an argument or a choice does not exist; the nearest is named.
            OutOfRangeError: a number is outside its range.
            KitError: an argument is missing or of the wrong kind.
        """
        names = [argument.name for argument in self.arguments]
        for key in given:
            if key not in names:
                raise UnknownNameError(f"argument of {self.name!r}", key, names)
        parsed: dict[str, Any] = {}
        for argument in self.arguments:
            value = given.get(argument.name)
            if value is None:
                if argument.required:
                    raise KitError(
                        f"{self.name!r} needs `{argument.name}` ({argument.title}). Give it."
                    )
                value = argument.default
            parsed[argument.name] = (
                None if value is None else _checked(self.name, argument, value, parsed)
            )
        return parsed


REGISTRY: dict[str, Action] = {}


def action(
    title: str,
    phase: str,
    part: str,
    takes_s: float,
    *,
    arguments: tuple[Argument, ...] = (),
    needs: tuple[Need, ...] = (),
    rules: tuple[Rule, ...] = (),
    cautions: tuple[str, ...] = (),
) -> Callable[[Doer], Doer]:
    """Register a function as an action of its own name.

    Args:
        title: words for a button.
        phase: one of `PHASES`.
        part: part of the site.
        takes_s: time it takes [s].
        arguments: what must be said.
        needs: what must be so for it to be possible.
        rules: hazards to judge first.
        cautions: codes of usual cautions.
    """

    def keep(do: Doer) -> Doer:
        name = do.__name__
        REGISTRY[name] = Action(
            name, title, phase, part, takes_s, arguments, needs, rules, cautions, do
        )
        return do

    return keep


def registry() -> dict[str, Action]:
    """Return every action, in the order of the work; a file added to `steps` is found."""
    return _complete()


def find_action(name: str) -> Action:
    """Return one action.

    Raises:
        UnknownNameError: there is none of that name; the nearest is named.
    """
    known = registry()
    if name not in known:
        raise UnknownNameError("action", name, list(known))
    return known[name]


@cache
def _complete() -> dict[str, Action]:
    from kit.visit import steps

    for info in sorted(pkgutil.iter_modules(steps.__path__), key=lambda one: one.name):
        importlib.import_module(f"{steps.__name__}.{info.name}")
    order = [name for name, _ in PHASES]

    def place(act: Action) -> tuple[int, str, int]:
        # Not as they were imported: that hangs on who asked first.
        return order.index(act.phase), act.do.__module__, act.do.__code__.co_firstlineno

    return {act.name: act for act in sorted(REGISTRY.values(), key=place)}


def _as_choices(some: Mapping[str, str]) -> tuple[Choice, ...]:
    return tuple(Choice(value, label) for value, label in some.items())


def _checked(owner: str, argument: Argument, value: Any, so_far: Mapping[str, Any]) -> Any:
    where = f"{owner}.{argument.name}"
    if argument.kind == "number":
        return _number(where, argument, value)
    if argument.kind == "flag":
        if not isinstance(value, bool):
            raise KitError(f"{where} is {value!r}; it must be true or false.")
        return value
    if argument.kind == "text":
        if not isinstance(value, str) or len(value) > 2000:
            raise KitError(f"{where} must be words, at most 2000 letters.")
        return value
    known = dict(argument.choices)
    if argument.choices_by:
        known = dict(argument.choices_by.get(str(so_far[argument.depends_on]), {}))
    if argument.kind == "choice":
        return _one(where, value, known)
    if isinstance(value, str) or not isinstance(value, list | tuple):
        raise KitError(f"{where} must be a list, for example {list(known)[:2]}.")
    return sorted({_one(where, one, known) for one in value}, key=list(known).index)


def _one(where: str, value: Any, known: Mapping[str, str]) -> str:
    if not isinstance(value, str):
        raise KitError(f"{where} is {value!r}; it must be one of {', '.join(known)}.")
    if value not in known:
        raise UnknownNameError(f"choice of {where}", value, list(known))
    return value


def _number(where: str, argument: Argument, value: Any) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise KitError(f"{where} is {value!r}; it must be a number.")
    if not math.isfinite(value) or not argument.low <= value <= argument.high:
        raise OutOfRangeError(
            where, value, argument.low, argument.high, "Give a number in this range."
        )
    return float(value)
