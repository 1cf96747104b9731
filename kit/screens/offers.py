"""What can be done here and now, as forms; and what was typed into them, read strictly."""

from __future__ import annotations

import re
from collections.abc import Container, Iterable, Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from kit.errors import KitError
from kit.quantities import unit_system
from kit.screens import spots

if TYPE_CHECKING:
    from kit.screens.voice import Voice
    from kit.visit.outcome import ActionInfo, ArgumentInfo, Choice

# Caution: the word on its sign.
CAUTION_NAMES = {
    "mains": "Mains",
    "stored_charge": "Stored charge",
    "rotation": "Turning parts",
    "chemicals": "Chemicals",
    "mould": "Dust and mould",
    "sharp_fins": "Sharp fins",
    "water": "Water",
    "height": "Height",
    "pressure": "Pressure",
    "refrigerant": "Refrigerant",
    "flammable": "Flammable",
    "hot": "Hot",
}
_CORNERS = ("wait",)  # actions that have a place of their own on the screen
_PLAIN = re.compile(r"[+-]?[0-9]{1,9}(?:\.[0-9]{1,9})?")


class FormError(KitError):
    """What was typed or left out cannot be taken; names the field."""

    def __init__(self, field_name: str, template: str, /, **values: object) -> None:
        """Keep the field and the reason.

        Args:
            field_name: name of the argument; "" when it is none in particular.
            template: why, in words.
            values: what fills the template.
        """
        self.field_name = field_name
        super().__init__(template, **values)


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
        which: label of the choice that is said already; "" when the spot says it.
    """

    key: str
    info: ActionInfo
    spot: str
    title: str
    arguments: tuple[ArgumentInfo, ...]
    preset: Mapping[str, Any] = field(default_factory=dict)
    measures: Mapping[str, tuple[str, Mapping[str, str]]] = field(default_factory=dict)
    which: str = ""


def offers(actions: Iterable[ActionInfo]) -> tuple[Offer, ...]:
    """Return the offers of a screen for the actions of a visit, in their order."""
    found: list[Offer] = []
    for info in actions:
        if info.name in spots.SPREAD:
            found.extend(_spread(info))
        elif info.name == "record":
            found.extend(_records(info))
        elif info.name == "enter":
            found.append(_entry(info))
        else:
            found.extend(_at_spots(info))
    return tuple(found)


def _at_spots(info: ActionInfo) -> Iterable[Offer]:
    first, *more = spots.spots(info.name, info.phase, info.part)
    yield Offer(info.name, info, first, info.title, info.arguments)
    for spot in more:
        yield Offer(f"{info.name}@{spot}", info, spot, info.title, info.arguments)


def _spread(info: ActionInfo) -> Iterable[Offer]:
    """Offer each choice of an action's first argument at the spot where it is done."""
    from dataclasses import replace

    argument, *others = info.arguments
    by_spot: dict[str, list[Choice]] = {}
    for choice in argument.choices:
        by_spot.setdefault(spots.choice_spot(info.name, choice.value), []).append(choice)
    for spot, choices in by_spot.items():
        key = f"{info.name}@{spot}"
        if len(choices) == 1:
            said = "" if choices[0].value == spot else choices[0].label
            preset = {argument.name: choices[0].value}
            yield Offer(key, info, spot, info.title, tuple(others), preset, which=said)
        else:
            some = replace(argument, choices=tuple(choices))
            yield Offer(key, info, spot, info.title, (some, *others))


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


def offer_dicts(
    all_offers: Iterable[Offer], voice: Voice, told: Container[str] = ()
) -> list[dict[str, Any]]:
    """Return all offers as the view draws them: by kind of work, then by the alphabet.

    Args:
        all_offers: the offers.
        voice: units and language.
        told: codes of the cautions that were told in full already.
    """
    found = [offer_dict(offer, voice, told) for offer in all_offers]
    rank = {name: number for number, name in enumerate(spots.GROUPS)}
    found.sort(key=lambda one: (rank[one["group"]], one["title"].casefold(), one["name"]))
    return found


def offer_dict(offer: Offer, voice: Voice, told: Container[str] = ()) -> dict[str, Any]:
    """Return an offer as the view draws it.

    Args:
        offer: what can be done.
        voice: units and language.
        told: codes of the cautions that were told in full already.
    """
    info = offer.info
    fields = [field_dict(a, voice, offer.measures.get(a.name)) for a in offer.arguments]
    only = offer.arguments[0] if len(offer.arguments) == 1 else None
    pick = only is not None and only.kind == "choice" and only.required and not only.depends_on
    group = spots.group(info.name, info.phase)
    title = voice.words(offer.title)
    return {
        "name": offer.key,
        "title": f"{title}: {voice.words(offer.which)}" if offer.which else title,
        "part": offer.spot,
        "group": group,
        "heading": voice.words(spots.GROUPS[group]),
        "corner": info.name in _CORNERS,
        "available": info.available,
        "why": voice.line(info.reason) if info.reason else voice.words(info.why),
        "takes": takes(info.takes_s, voice),
        "cautions": [
            {
                "code": c.code,
                "name": voice.words(CAUTION_NAMES.get(c.code, c.code)),
                "text": voice.line(c.line),
                "told": c.code in told,
            }
            for c in info.cautions
        ],
        "pick": pick,
        "fields": fields,
    }


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
    return [{"value": c.value, "label": _capital(voice.words(c.label))} for c in choices]


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]


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
                raise FormError(argument.name, "{field}: nothing was given.", field=argument.title)
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
        raise FormError(argument.name, error.template, **error.values) from error


def _plain(text: str, low: float | None, high: float | None) -> float:
    """Return a number without a unit, or say why it is none that can be used."""
    typed = text.strip()
    if not _PLAIN.fullmatch(typed):
        raise KitError("{typed} is not a number. Type digits, such as 2.5.", typed=repr(typed[:40]))
    value = float(typed)
    if (low is not None and value < low) or (high is not None and value > high):
        if low is None or high is None:
            raise KitError("{typed} is out of range. Type another number.", typed=typed[:40])
        raise KitError(
            "{typed} is out of range. Type a number from {low} to {high}.",
            typed=typed[:40], low=f"{low:g}", high=f"{high:g}",
        )  # fmt: skip
    return value
