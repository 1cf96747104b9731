"""The widget of one task; what was given and what was said are kept for the next time."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace
from types import SimpleNamespace
from typing import Any, ClassVar

import anywidget
import traitlets

from kit.errors import KitError
from kit.language import ENGLISH, LANGUAGES, translator
from kit.screens import offers, source, words
from kit.screens.task import Reply, Task, plot_dicts
from kit.screens.traits import synced
from kit.screens.voice import UNITS, Voice
from kit.visit.outcome import Measure

_HEADS = {True: "right", False: "wrong", None: "plain"}
_SAYS = {"right": "Right.", "wrong": "Not yet.", "plain": "Here it is."}
_ONCE_SAYS = {"right": "As you said.", "wrong": "Not as you said.", "plain": "Here it is."}


class TaskScreen(anywidget.AnyWidget):
    """One task on a lesson's page.

    Args:
        task: what is asked.
        given: what was given earlier, as typed; empty when nothing was.
        keep: called with what was typed and the tone of the reply, to keep it on the disk; what it
            returns is shown below the reply, once.
        units: unit system to begin with.
        language: tag of the language to begin with.
        spoken: called with the tag of a language that the learner has chosen.
    """

    _esm: ClassVar[str] = source.script("task_screen.js", "common.js", "forms.js", "plot.js")
    _css: ClassVar[str] = source.style("parts/paper.css", "parts/plot.css", "task_screen.css")

    words = synced(traitlets.Dict())
    task = synced(traitlets.Dict())
    reply = synced(traitlets.Dict(allow_none=True, default_value=None))
    problem = synced(traitlets.Dict(allow_none=True, default_value=None))
    answered = synced(traitlets.Int(0))
    nth = synced(traitlets.Int(1))  # tells screens of one name on a page apart

    def __init__(
        self,
        task: Task,
        given: Mapping[str, Any] | None = None,
        keep: Callable[[Mapping[str, Any], str], str | None] | None = None,
        units: str = "us",
        language: str = ENGLISH,
        spoken: Callable[[str], None] | None = None,
    ) -> None:
        super().__init__()
        self._task, self._keep, self._spoken = task, keep, spoken
        self._given: dict[str, Any] = {}
        self._voice = Voice(units, translator(language), language)
        self._said: Reply | None = None
        if given:
            self._again(given)
        self._draw()
        self.on_msg(lambda _widget, content, _buffers: self.receive(content))

    def receive(self, request: Mapping[str, Any]) -> None:
        """Do what the view asks, and tell it that it was done.

        Args:
            request: `do` is "answer", "units" or "language"; `sent` numbers the request.
        """
        try:
            self.problem = None
            if request.get("do") == "answer":
                self.answer(**dict(request.get("args") or {}))
            elif request.get("do") == "units" and request.get("to") in dict(UNITS):
                self._voice = replace(self._voice, units=str(request["to"]))
                self._given = {}
                self._draw()
            elif request.get("do") == "language" and request.get("to") in LANGUAGES:
                self.speak(str(request["to"]))
                if self._spoken is not None:
                    self._spoken(str(request["to"]))
        except offers.FormError as problem:
            text = problem.said(self._voice.translate)
            self.problem = {"field": problem.field_name, "text": text}
        except KitError as error:
            self.problem = {"field": "", "text": error.said(self._voice.translate)}
        finally:
            self.answered = max(self.answered + 1, int(request.get("sent") or 0))

    def speak(self, language: str) -> None:
        """Say everything in another language from now on.

        Args:
            language: tag of a language of the kit.
        """
        self._voice = replace(self._voice, translate=translator(language), language=language)
        self._draw()

    def answer(self, **given: Any) -> str:
        """Give an answer as a person types it, and return what is said to it.

        Args:
            given: field name to what is typed or chosen; numbers in the chosen units.

        Raises:
            FormError: something is missing or cannot be read.
        """
        if self._task.once and self._said is not None:
            raise KitError("The first answer stands; it is a prediction.")
        self._said = self._checked(given)
        self._given = dict(given)
        self._draw()
        if self._keep is not None:
            told = self._keep({**given, "units": self._voice.units}, _HEADS[self._said.right])
            if told and self.reply is not None:
                self.reply = {**self.reply, "lines": [*self.reply["lines"], told]}
        lines = self._voice.lines(self._said.lines)
        return " ".join([self._head(self._said), *lines])

    def _checked(self, given: Mapping[str, Any]) -> Reply:
        info: Any = SimpleNamespace(name=self._task.name)
        form = offers.Offer(self._task.name, info, "", self._task.title, self._task.fields)
        return self._task.check(offers.arguments(form, given, self._voice.units))

    def _again(self, given: Mapping[str, Any]) -> None:
        """Take up what was given the last time, in the units it was given in."""
        units = given.get("units")
        if units in dict(UNITS):
            self._voice = replace(self._voice, units=str(units))
        kept = {name: value for name, value in given.items() if name != "units"}
        try:
            self._said = self._checked(kept)
        except KitError:
            return  # the task has changed since; it is asked afresh
        self._given = kept

    def _draw(self) -> None:
        task, voice = self._task, self._voice
        table, plots = task.table(), task.plots()
        figures = any(f.kind == "number" for f in task.fields) or bool(table or plots)
        figures = figures or bool(self._said and (self._said.table or self._said.plots))
        self.words = words.visit_words(voice)
        self.task = {
            "name": task.name,
            "title": voice.words(task.title),
            "ask": voice.lines(task.ask),
            "table": _shown(table, voice),
            "plots": plot_dicts(plots, voice),
            "fields": [offers.field_dict(one, voice) for one in task.fields],
            "button": voice.words(task.button),
            "given": self._given,
            "closed": task.once and self._said is not None,
            "units": voice.unit_choices() if figures else [],
            "languages": voice.language_choices(),
            "review": voice.review,
        }
        self.reply = None if self._said is None else self._reply(self._said)

    def _reply(self, said: Reply) -> dict[str, Any]:
        return {
            "tone": _HEADS[said.right],
            "head": self._head(said),
            "lines": self._voice.lines(said.lines),
            "table": _shown(said.table, self._voice),
            "plots": plot_dicts(said.plots, self._voice),
        }

    def _head(self, said: Reply) -> str:
        says = _ONCE_SAYS if self._task.once else _SAYS
        return self._voice.words(says[_HEADS[said.right]])


def _shown(table: Iterable[Iterable[Any]], voice: Voice) -> list[list[str]]:
    return [
        [
            voice.show(cell.kind, cell.value) if isinstance(cell, Measure) else voice.words(cell)
            for cell in row
        ]
        for row in table
    ]
