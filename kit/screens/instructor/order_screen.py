"""The desk where an instructor writes a work order: a form, and what the unit will read."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any, ClassVar, NoReturn

import anywidget
import traitlets

from kit.errors import KitError
from kit.language import ENGLISH, LANGUAGES, translator
from kit.screens import offers, source
from kit.screens.instructor import draft, fields, findings, own_orders, texts, toml_text
from kit.screens.instructor.preview import preview
from kit.screens.instructor.refusals import refusals
from kit.screens.traits import synced
from kit.screens.voice import UNITS, Voice
from kit.visit.outcome import ArgumentInfo, Line, line
from kit.visit.work_order import load_work_order, work_order_names

_NUMBERED = {
    "brief": line("Line {n} of the paper"),
    "fault": line("Fault {n}"),
    "hazard": line("Hazard {n} that a walk round finds"),
}
PARTS = ("common.js", "forms.js", "../instructor/desk.js")
OWN, KITS = "own:", "kit:"


class OrderScreen(anywidget.AnyWidget):
    """The form of a work order with what the unit will read.

    Args:
        tried: called with the id of a work order that is to be opened as a visit; returns why it
            cannot be, or "".
        changed: called with the id of a work order whose file is about to change.
        language: tag of the language to begin with.
        spoken: called with the tag of a language that the instructor has chosen.
    """

    _esm: ClassVar[str] = source.script("instructor/order_screen.js", *PARTS)
    _css: ClassVar[str] = source.style(
        "parts/paper.css", "task_screen.css", "instructor/desk.css"
    )

    words = synced(traitlets.Dict())
    form = synced(traitlets.Dict())
    facts = synced(traitlets.Dict())
    shelf = synced(traitlets.Dict())
    reads = synced(traitlets.Dict(allow_none=True, default_value=None))
    warnings = synced(traitlets.List())
    problem = synced(traitlets.Dict(allow_none=True, default_value=None))
    notice = synced(traitlets.Dict(allow_none=True, default_value=None))
    answered = synced(traitlets.Int(0))

    def __init__(
        self,
        tried: Callable[[str], str] | None = None,
        changed: Callable[[str], None] | None = None,
        language: str = ENGLISH,
        spoken: Callable[[str], None] | None = None,
    ) -> None:
        super().__init__()
        self._tried, self._changed, self._spoken = tried, changed, spoken
        self._voice = Voice("us", translator(language), language)
        self._values: dict[str, Any] = {}
        self._kept: dict[str, Any] = {}
        self._seen: Any = None
        self._said: tuple[str, Line] | None = None
        self._taken = ""
        self._fresh, self._generation = True, 0
        self._begin({}, {})
        self._draw()
        self.on_msg(lambda _widget, content, _buffers: self.receive(content))

    def receive(self, request: Mapping[str, Any]) -> None:
        """Do what the view asks, and tell it that it was done.

        Args:
            request: `do` names what is asked, `args` what the form holds; `sent` numbers it.
        """
        typed = dict(request.get("args") or {})
        todo: dict[str, Callable[[], object]] = {
            "look": lambda: self.look(**typed),
            "save": lambda: self.save(over=bool(request.get("over")), **typed),
            "try": lambda: self.try_it(**typed),
            "load": lambda: self.load(str(request.get("which") or "")),
            "units": lambda: self._units(str(request.get("to")), typed),
            "language": lambda: self._language(str(request.get("to")), typed),
        }
        handler = todo.get(str(request.get("do")))
        try:
            if handler is not None:
                self.problem, self._taken = None, ""
                if request.get("do") != "look":
                    self._said = None
                handler()
        except offers.FormError as problem:
            self._refuse(problem.field_name, problem.said(self._voice.translate))
        except KitError as error:
            self._refuse("", error.said(self._voice.translate))
        finally:
            self._draw_notice()
            self.answered = max(self.answered + 1, int(request.get("sent") or 0))

    def shown(self, **changes: Any) -> dict[str, Any]:
        """Return what the form holds when nobody has typed anything, with changes.

        Args:
            changes: field name to what is typed or chosen instead.
        """
        some = (one for section in self.form["sections"] for one in section["fields"])
        holds = {one["name"]: one["default"] for one in some if one["default"] is not None}
        return {**holds, **changes}

    def look(self, **typed: Any) -> bool:
        """Work out what the unit will read; return whether every fault can be found.

        Args:
            typed: field name to what was typed or chosen.

        Raises:
            FormError: machine, air or faults cannot be so.
            KitError: the engine finds no steady state.
        """
        self._seen = None
        self._draw_reads(typed)
        only = (*fields.unit(), *fields.faults(), *fields.site())
        self._seen = self._worked_out(fields.given(typed, self._voice.units, only))
        self._draw_reads(typed)
        return bool(self._seen.fair)

    def save(self, over: bool = False, **typed: Any) -> Path:
        """Write the work order into the instructor's folder and return its file.

        Args:
            over: whether one of that name may be replaced; the old one is kept in `older`.
            typed: field name to what was typed or chosen.

        Raises:
            FormError: something is missing, cannot be so, or the name is taken.
            KitError: the engine finds no steady state, or the disk does not take it.
        """
        values = fields.given(typed, self._voice.units)
        self._seen = self._worked_out(values)
        name = values["name"]
        self._check_name(name, over)
        text = toml_text.dumps(draft.to_data(values, self._kept))
        if self._changed is not None:
            self._changed(name)
        path = own_orders.save(text, name, over)
        self._begin(values, self._kept)
        self._said = ("good", line(
            "Saved as {file}. It stands among the jobs of the page “Mixed practice” now.",
            file=path.name))  # fmt: skip
        self._draw(typed)
        return path

    def try_it(self, **typed: Any) -> None:
        """Open the saved work order as a visit.

        Args:
            typed: field name to what was typed or chosen.

        Raises:
            KitError: what the form holds was not saved yet, or the visit cannot be opened.
        """
        values = fields.given(typed, self._voice.units)
        path = own_orders.own_folder() / f"{values['name']}.toml"
        text = toml_text.dumps(draft.to_data(values, self._kept))
        if not path.is_file() or path.read_text(encoding="utf-8") != text:
            self._stop("", line("Save this work order first; what is tried is what is saved."))
        why = self._tried(values["name"]) if self._tried is not None else ""
        if why:
            raise KitError(why)
        self._said = ("good", line("The visit stands below this desk."))

    def load(self, which: str) -> None:
        """Fill the form from a work order, or empty it.

        Args:
            which: "own:" or "kit:" and an id; "" for an empty form.

        Raises:
            KitError: it cannot be read.
        """
        names: dict[str, str | Path] = {f"{KITS}{name}": name for name in work_order_names()}
        names |= {f"{OWN}{one.path.stem}": one.path for one in own_orders.own_orders()}
        if which not in names:
            self._begin({}, {})
            self._draw()
            return
        values, kept, lost = draft.load(names[which])
        if which.startswith(KITS):
            values["name"] = ""  # a copy needs a name of its own, one that tells nothing
        self._begin(values, kept, fresh=False)
        if lost:
            self._said = ("warn", line(
                "The form has no room for all of it. Left out when you save: {what}.",
                what=", ".join(lost)))  # fmt: skip
        self._seen = self._worked_out(values)
        self._draw()

    def speak(self, language: str) -> None:
        """Say everything in another language from now on.

        Args:
            language: tag of a language of the kit.
        """
        self._voice = replace(self._voice, translate=translator(language), language=language)
        self._draw()

    def _worked_out(self, values: Mapping[str, Any]) -> Any:
        for refusal in refusals(values):
            self._stop(refusal.field, refusal.said)
        seen = preview(values, self._kept.get("condition"))
        if not seen.sound.running:
            self._stop("outdoor_c", line(
                "In this weather even a sound unit stands still, so nothing can be measured."))
        return seen

    def _stop(self, field: str, said: Line) -> NoReturn:
        raise offers.FormError(field, "{reason}", reason=self._voice.line(said))

    def _check_name(self, name: str, over: bool) -> None:
        if not own_orders.NAME.fullmatch(name):
            self._stop("name", line(
                "Use 2 to 40 small letters, digits and dashes, such as job-0812."))
        if name in work_order_names():
            self._stop("name", line("One of the kit's work orders bears this name."))
        if (own_orders.own_folder() / f"{name}.toml").exists() and not over:
            self._taken = name
            self._stop("name", line(
                "There is a work order of this name already. Take another name, or save it in "
                "place of the old one with the button below."))  # fmt: skip

    def _begin(
        self, values: Mapping[str, Any], kept: Mapping[str, Any], fresh: bool | None = None
    ) -> None:
        """Take values up as what the form shows; what was typed before is forgotten."""
        self._values, self._kept = dict(values), dict(kept)
        self._fresh = not values if fresh is None else fresh
        self._generation += 1
        if not values:
            self._seen = None

    def _units(self, to: str, typed: Mapping[str, Any]) -> None:
        if to in dict(UNITS):
            self._hold(typed)
            self._voice = replace(self._voice, units=to)
            self._draw(typed)

    def _language(self, to: str, typed: Mapping[str, Any]) -> None:
        if to in LANGUAGES:
            self._hold(typed)
            self.speak(to)
            if self._spoken is not None:
                self._spoken(to)

    def _hold(self, typed: Mapping[str, Any]) -> None:
        """Take what was typed up as values, field by field, so that it can be shown otherwise."""
        values: dict[str, Any] = {}
        for field in fields.every_field():
            if typed.get(field.name) in (None, "", []):
                continue
            one = replace(field, required=False)
            values |= fields.given(typed, self._voice.units, (one,))
        self._begin(values, self._kept, fresh=False)

    def _refuse(self, field: str, text: str) -> None:
        self.problem = {"field": field, "text": text, "taken": bool(self._taken)}

    def _draw(self, typed: Mapping[str, Any] | None = None) -> None:
        voice = self._voice
        with self.hold_sync():
            self.words = texts.said(texts.ORDER_WORDS, voice)
            self.facts = findings.fault_facts(voice)
            self.shelf = self._shelf()
            self.form = {
                "generation": self._generation,
                "units": voice.unit_choices(),
                "languages": voice.language_choices(),
                "review": voice.review,
                "sections": [
                    {"name": name, "fields": [self._field(one) for one in some]}
                    for name, some in fields.sections().items()
                ],
            }
            self._draw_reads(self._values if typed is None else typed)
            self._draw_notice()

    def _draw_reads(self, typed: Mapping[str, Any]) -> None:
        seen = self._seen
        self.reads = None if seen is None else findings.preview_dict(seen, self._voice)
        self.warnings = findings.gives_away(typed, self._voice)

    def _draw_notice(self) -> None:
        if self._said is None:
            self.notice = None
            return
        tone, said = self._said
        self.notice = {"tone": tone, "text": self._voice.line(said)}

    def _field(self, argument: ArgumentInfo) -> dict[str, Any]:
        value = self._values.get(argument.name)
        usual = argument.default if self._fresh or argument.kind == "choice" else None
        one = replace(argument, default=usual if value is None else value)
        found = offers.field_dict(one, self._voice)
        stem, _, number = argument.name.rpartition("_")
        if stem in _NUMBERED:
            found["title"] = self._voice.line(line(_NUMBERED[stem].template, n=int(number)))
        if stem in (*_NUMBERED, "severity", "level") or argument.name.startswith("says_"):
            found["required"] = True  # the view then says nothing of leaving it out
        if argument.depends_on:
            found["depends_default"] = self._values.get(argument.depends_on)
        return found

    def _shelf(self) -> dict[str, Any]:
        voice = self._voice
        mine, broken = [], []
        for one in own_orders.own_orders():
            if one.order is None:
                broken.append(f"{one.path.name}: {one.why}")
            else:
                label = f"{one.path.name}: {one.order.title}"
                mine.append({"value": f"{OWN}{one.path.stem}", "label": label})
        kits = [
            {"value": f"{KITS}{name}",
             "label": f"{voice.words('copy of')} {name}: {_titled(name, voice)}"}
            for name in work_order_names()
        ]  # fmt: skip
        folder = str(own_orders.own_folder())
        return {"choices": [*mine, *kits], "folder": folder, "broken": broken}


def _titled(name: str, voice: Voice) -> str:
    order = load_work_order(name)
    return order.words(voice.language)(order.title)
