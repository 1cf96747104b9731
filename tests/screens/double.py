"""A stand-in for a visit: the real list of actions, and outcomes and a view set by the test."""

from __future__ import annotations

import math
from dataclasses import replace
from types import SimpleNamespace
from typing import Any

from kit.language import Translator, translator
from kit.visit.actions import registry
from kit.visit.cautions import caution
from kit.visit.outcome import (
    ActionInfo,
    Measure,
    Outcome,
    Picture,
    Reading,
    SheetEntry,
    Trace,
    View,
    line,
)


def view(**changes: Any) -> View:
    """Return the site as one finds it, with changes."""
    base = View(
        clock_s=0.0,
        work_order="Spring check",
        mode="off",
        setpoint_k=297.15,
        fan="auto",
        disconnect_pulled=False,
        locked=False,
        tagged=False,
        running=False,
        open_parts=(),
        protected=(),
        worn=(),
        placed={},
        water=False,
        ice=False,
        sheet=(),
        readings=(),
        closed=False,
    )
    known = {name: value for name, value in changes.items() if hasattr(base, name)}
    return replace(base, **known)


def reading(number: int, place: str, value: float, at_s: float, **changes: Any) -> Reading:
    """Return an air reading."""
    base = Reading(number, "air_probe", "dry_bulb", "temperature", place, value, at_s, True)
    return replace(base, **changes)


def outcome(action: str, number: int = 1, **changes: Any) -> Outcome:
    """Return an outcome of one sentence."""
    said = (line("The outlet shows {value}.", value=Measure(287.15, "temperature")),)
    return replace(Outcome(number, action, {}, said, elapsed_s=10.0, clock_s=60.0), **changes)


def settling(start_s: float, minutes: int, split_k: float) -> tuple[Trace, ...]:
    """Return what probes at both grilles show while a unit comes to its split."""
    at_s = tuple(start_s + 30.0 * i for i in range(2 * minutes + 1))
    entering = tuple(299.8 for _ in at_s)
    leaving = tuple(299.8 - split_k * (1 - math.exp(-(t - start_s) / 150.0)) for t in at_s)
    return (
        Trace("air_probe", "dry_bulb", "temperature", "return_grille", at_s, entering),
        Trace("air_probe_b", "dry_bulb", "temperature", "supply", at_s, leaving),
    )


def entry(item: str, value: float | str, when: str = "as_found", **changes: Any) -> SheetEntry:
    """Return one line of the job sheet."""
    from kit.visit.sheet import ITEMS

    base = SheetEntry(item, ITEMS[item].title, when, ITEMS[item].kind, value, None, 0.0)
    return replace(base, **changes)


def action_infos(unavailable: tuple[str, ...] = ()) -> tuple[ActionInfo, ...]:
    """Return every real action; some of them not possible now."""
    return tuple(
        ActionInfo(
            act.name,
            act.title,
            act.phase,
            act.part,
            tuple(argument.info() for argument in act.arguments),
            act.takes_s,
            act.name not in unavailable,
            "The power is on." if act.name in unavailable else "",
            tuple(caution(code) for code in act.cautions),
        )
        for act in registry().values()
    )


class Double:
    """A visit whose answers a test sets; it notes what it was asked to do."""

    def __init__(self, seen: View | None = None, outcomes: tuple[Outcome, ...] = ()) -> None:
        self.seen = seen or view()
        self.outcomes = list(outcomes)
        self.asked: list[tuple[str, dict[str, Any]]] = []
        self.answer = outcome("read")
        self.order = SimpleNamespace(
            name="spring-check-01",
            customer="Ms Ada Quill, 4 Larch Lane",
            brief=("Spring check in cooling.", "Not looked after for three years."),
            allowed_min=150.0,
            title="Spring check",
        )

    @property
    def visit(self) -> Double:
        """Stand in for a desk as well."""
        return self

    notice = None
    marked: Any = None
    language = "en"

    @property
    def translate(self) -> Translator:
        """Map English texts to the language."""
        return translator(self.language)

    def mark(self) -> Any:
        """Return the mark the test set."""
        return self.marked

    def renew(self) -> None:
        """Begin anew."""
        self.outcomes, self.seen = [], view()

    def actions(self, everything: bool = False) -> tuple[ActionInfo, ...]:
        """Return the real actions."""
        return tuple(a for a in action_infos() if everything or a.available)

    def view(self) -> View:
        """Return what the test set."""
        return self.seen

    def step(self, action: str, /, **arguments: Any) -> Outcome:
        """Note what was asked and give the answer the test set."""
        self.asked.append((action, arguments))
        number = len(self.outcomes) + 1
        clock_s = self.seen.clock_s + self.answer.elapsed_s
        self.outcomes.append(replace(self.answer, action=action, number=number, clock_s=clock_s))
        self.seen = replace(self.seen, clock_s=clock_s)
        return self.outcomes[-1]


def picture(subject: str, grade: int) -> Picture:
    """Return a look."""
    return Picture(subject, grade, line("A grey mat over nearly all of it."))
