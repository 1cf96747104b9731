"""What can be done here and now, as forms; and what was typed into them, read strictly."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from kit.errors import KitError
from kit.quantities import unit_system

if TYPE_CHECKING:
    from kit.screens.voice import Voice
    from kit.visit.outcome import ActionInfo, ArgumentInfo, Choice

# Actions whose choices are done at different spots, and the choices that lie elsewhere than said.
_SPREAD = ("inspect", "refit")
_CHOICE_SPOTS = {
    "pipework": "line_set",
    "terminal_cover": "outdoor",
    "outdoor_panels": "outdoor",
}
# What is done with the bag or the telephone, wherever one stands.
_SPOT_OF = {"wear": "room", "take_off": "room", "call_supervisor": "room"}
_CORNERS = ("wait",)  # actions that have a place of their own on the screen
_PLAIN = re.compile(r"[+-]?[0-9]{1,9}(?:\.[0-9]{1,9})?")


class FormError(KitError):
    """What was typed or left out cannot be taken; names the field."""

    def __init__(self, field_name: str, text: str) -> None:
        """Keep the field and the reason.

        Args:
            field_name: name of the argument; "" when it is none in particular.
            text: why, in words.
        """
        self.field_name = field_name
        super().__init__(text)


@dataclass(frozen=True, slots=True)
class Offer:
    """One action as the screen offers it at one spot.

    Args:
        key: name of this offer, unique on the screen.
        info: the action.
        spot: spot of the picture where it is offered.
        title: words on its button.
        arguments: what still has to be said.
        preset: what is said already by choosing this offer.
        measures: kind of quantity of a number by the choice of another argument:
            argument name to (name of the other, {its value: kind}).
        titles: labels of arguments that differ from the action's own.
    """

    key: str
    info: ActionInfo
    spot: str
    title: str
    arguments: tuple[ArgumentInfo, ...]
    preset: Mapping[str, Any] = field(default_factory=dict)
    measures: Mapping[str, tuple[str, Mapping[str, str]]] = field(default_factory=dict)


def offers(actions: Iterable[ActionInfo]) -> tuple[Offer, ...]:
    """Return the offers of a screen for the actions of a visit, in their order."""
    found: list[Offer] = []
    for info in actions:
        if info.name in _SPREAD:
            found.extend(_spread(info))
        elif info.name == "record":
            found.extend(_records(info))
        elif info.name == "enter":
            found.append(_entry(info))
        else:
            spot = _SPOT_OF.get(info.name, info.part)
            found.append(Offer(info.name, info, spot, info.title, info.arguments))
    return tuple(found)


def _spread(info: ActionInfo) -> Iterable[Offer]:
    """Offer each choice of an action's one argument at the spot where it is done."""
    from dataclasses import replace

    argument = info.arguments[0]
    by_spot: dict[str, list[Choice]] = {}
    for choice in argument.choices:
        by_spot.setdefault(_choice_spot(info, choice.value), []).append(choice)
    for spot, choices in by_spot.items():
        some = replace(argument, choices=tuple(choices))
        yield Offer(f"{info.name}@{spot}", info, spot, info.title, (some,))


def _choice_spot(info: ActionInfo, value: str) -> str:
    from kit.visit.looks import LOOKS

    if value in _CHOICE_SPOTS:
        return _CHOICE_SPOTS[value]
    return LOOKS[value].part if info.name == "inspect" else info.part


def _records(info: ActionInfo) -> Iterable[Offer]:
    """Offer the job sheet's lines of words and of figures apart; readings are copied elsewhere."""
    from dataclasses import replace

    from kit.visit.sheet import ITEMS

    by_name = {argument.name: argument for argument in info.arguments}
    item, when, words, value = (by_name[name] for name in ("item", "when", "words", "value"))
    lines = [c for c in item.choices if ITEMS[c.value].words]
    figures = [c for c in item.choices if not ITEMS[c.value].words]
    yield Offer(
        "record@words", info, info.part, "Write down what was found or done",
        (replace(item, choices=tuple(lines)), replace(words, required=True), when),
    )  # fmt: skip
    kinds = {c.value: ITEMS[c.value].kind for c in figures}
    yield Offer(
        "record@figure", info, info.part, "Write down a figure by hand",
        (replace(item, choices=tuple(figures)), replace(value, required=True), when),
        measures={"value": ("item", kinds)},
    )  # fmt: skip


def _entry(info: ActionInfo) -> Offer:
    from kit.visit.sheet import ITEMS

    kinds = {c.value: ITEMS[c.value].kind for c in info.arguments[0].choices}
    measures = {"value": (info.arguments[0].name, kinds)}
    return Offer(info.name, info, info.part, info.title, info.arguments, measures=measures)


def offer_dict(offer: Offer, voice: Voice) -> dict[str, Any]:
    """Return an offer as the view draws it."""
    from kit.visit.outcome import PHASES

    info = offer.info
    fields = [field_dict(a, voice, offer.measures.get(a.name)) for a in offer.arguments]
    only = offer.arguments[0] if len(offer.arguments) == 1 else None
    pick = only is not None and only.kind == "choice" and only.required and not only.depends_on
    return {
        "name": offer.key,
        "title": voice.words(offer.title),
        "part": offer.spot,
        "phase": voice.words(dict(PHASES).get(info.phase, info.phase)),
        "corner": info.name in _CORNERS,
        "available": info.available,
        "why": voice.words(info.why) if info.why else "",
        "takes": takes(info.takes_s, voice),
        "cautions": [_caution(c.code, voice.line(c.line)) for c in info.cautions],
        "pick": pick,
        "fields": fields,
    }


def _caution(code: str, text: str) -> dict[str, str]:
    """Split a caution into its first words, which always show, and the rest."""
    breaks = [text.find(mark) for mark in (": ", ". ") if mark in text]
    end = min(breaks) + 1 if breaks else len(text)
    return {"code": code, "head": text[:end], "rest": text[end:].strip(), "text": text}


def takes(seconds: float, voice: Voice) -> str:
    """Return how long something takes, in few words; "" when it depends."""
    if seconds <= 0:
        return ""
    if seconds < 90:
        return f"{seconds:.0f} {voice.words('s')}"
    return f"{seconds / 60:.0f} {voice.words('min')}"


def field_dict(
    argument: ArgumentInfo, voice: Voice, measured: tuple[str, Mapping[str, str]] | None = None
) -> dict[str, Any]:
    """Return a field as the view draws it.

    Args:
        argument: what is to be given.
        voice: units and language.
        measured: for a number whose kind hangs on another field: its name, and value to kind.
    """
    unit_of, kinds = measured or ("", {})
    unit_by = {value: voice.unit(kind) for value, kind in kinds.items()}
    default = argument.default
    if argument.kind == "number" and default is not None:
        default = f"{voice.number(argument.measure, default) if argument.measure else default:g}"
    return {
        "name": argument.name,
        "title": voice.words(argument.title),
        "kind": argument.kind,
        "required": argument.required,
        "default": default,
        "choices": _choices(argument.choices, voice),
        "depends_on": argument.depends_on,
        "choices_by": {key: _choices(c, voice) for key, c in argument.choices_by.items()},
        "unit": voice.unit(argument.measure),
        "unit_of": unit_of,
        "unit_by": unit_by,
        "hint": "" if unit_of else _range(argument, voice),
    }


def _choices(choices: Iterable[Choice], voice: Voice) -> list[dict[str, str]]:
    return [{"value": c.value, "label": voice.words(c.label)} for c in choices]


def _range(argument: ArgumentInfo, voice: Voice) -> str:
    if argument.kind != "number" or argument.low is None or argument.high is None:
        return ""
    low, high = (voice.show(argument.measure, v) for v in (argument.low, argument.high))
    return f"{low} – {high}"


def arguments(offer: Offer, typed: Mapping[str, Any], units: str) -> dict[str, Any]:
    """Return what was typed as arguments for the visit's `step`, numbers in SI.

    A number outside its range is refused with the reason; it is never moved inside.

    Args:
        offer: the form that was filled in.
        typed: field name to what was typed or chosen.
        units: unit system in which numbers were typed.

    Raises:
        FormError: something is missing or cannot be read.
    """
    ready: dict[str, Any] = dict(offer.preset)
    for argument in offer.arguments:
        value = typed.get(argument.name)
        if value is None or value in ("", []):
            if argument.required:
                raise FormError(argument.name, f"{argument.title}: nothing was given.")
            continue
        if argument.kind == "number":
            value = _number(offer, argument, str(value), typed, units)
        ready[argument.name] = value
    return ready


def _number(
    offer: Offer, argument: ArgumentInfo, text: str, typed: Mapping[str, Any], units: str
) -> float:
    measure = argument.measure
    low, high = argument.low, argument.high
    if argument.name in offer.measures:
        other, kinds = offer.measures[argument.name]
        measure, low, high = kinds.get(str(typed.get(other)), ""), None, None
    try:
        if measure:
            return unit_system(units).parse(measure, text, low, high)
        return _plain(text, low, high)
    except KitError as error:
        raise FormError(argument.name, str(error)) from error


def _plain(text: str, low: float | None, high: float | None) -> float:
    """Return a number without a unit, or say why it is none that can be used."""
    typed = text.strip()
    if not _PLAIN.fullmatch(typed):
        raise KitError(f"{typed[:40]!r} is not a number. Type digits, such as 2.5.")
    value = float(typed)
    if (low is not None and value < low) or (high is not None and value > high):
        limits = f"from {low:g} to {high:g}" if low is not None and high is not None else "in range"
        raise KitError(f"{typed[:40]} is out of range. Type a number {limits}.")
    return value
