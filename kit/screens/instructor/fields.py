"""The form of a work order: what an instructor fills in, in sections, and what is read from it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import cache
from types import SimpleNamespace
from typing import Any

from kit.screens import offers
from kit.screens.instructor.texts import plain
from kit.visit.outcome import ArgumentInfo, Choice

FORM = "order"
SLOTS = 6  # faults; the fullest work order of the kit has five
BRIEF, HAZARDS = 6, 5  # lines of the paper, things that a hazard walk finds
EXACT = "exact"
LEAST_MIN, MOST_MIN = 10.0, 600.0
_AIR = {
    "room_c": (10.0, 40.0), "outdoor_c": (-25.0, 52.0), "setpoint_c": (16.0, 32.0),
}  # fmt: skip


def _text(name: str, title: str, required: bool = False) -> ArgumentInfo:
    return ArgumentInfo(name, title, "text", required=required)


def _number(
    name: str, title: str, kind: str, low: float, high: float, required: bool = False,
    default: float | None = None,
) -> ArgumentInfo:  # fmt: skip
    return ArgumentInfo(name, title, "number", required, default, measure=kind, low=low, high=high)


def _celsius(name: str, title: str, required: bool, default: float | None = None) -> ArgumentInfo:
    low, high = (value + 273.15 for value in _AIR[name])
    start = None if default is None else default + 273.15
    return _number(name, title, "temperature", low, high, required, start)


def _choice(name: str, title: str, choices: Iterable[Choice], default: str = "") -> ArgumentInfo:
    return ArgumentInfo(name, title, "choice", True, default or None, tuple(choices))


def _flag(name: str, title: str) -> ArgumentInfo:
    return ArgumentInfo(name, title, "flag", required=False, default=False)


@cache
def paper() -> tuple[ArgumentInfo, ...]:
    """Return the fields of the paper that a learner reads."""
    lines = (  # the screen sets words before the number
        _text(f"brief_{n}", plain("Line 1 of the paper") if n == 1 else f"{n}", n == 1)
        for n in range(1, BRIEF + 1)
    )
    return (
        _text("name", "Short name of the file", required=True),
        _text("title", "One line that says what the job is", required=True),
        _text("customer", "Name of the customer", required=True),
        *lines,
        _number("allowed_min", "Time allowed [minutes]", "", LEAST_MIN, MOST_MIN, True, 330.0),
        _choice("rubric", "Marked by the rubric", _rubrics(), "visit"),
    )


@cache
def unit() -> tuple[ArgumentInfo, ...]:
    """Return the fields of the machine, its mode and the air at both units."""
    modes = (Choice("cooling", plain("Cooling")), Choice("heating", plain("Heating")))
    return (
        _choice("machine", plain("Machine"), _machines(), "wall-12k-r32"),
        _choice("mode", "The job is about", modes, "cooling"),
        _celsius("room_c", "Room", True, 26.0),
        _number("room_rh", "Humidity of the room", "relative_humidity", 0.1, 0.95, True, 0.5),
        _celsius("outdoor_c", "Outdoors, in the shade", True, 30.0),
        _number("outdoor_rh", "Humidity outdoors", "relative_humidity", 0.1, 1.0, True, 0.45),
        _number("drift", "Warming outdoors in an hour", "temperature_difference", -4.0, 4.0),
        _number("sun", "A probe in the sun reads more by", "temperature_difference", 0.0, 15.0),
        _number("altitude", "Height above the sea", "length", 0.0, 3000.0),
    )


@cache
def faults() -> tuple[ArgumentInfo, ...]:
    """Return the fields of the hidden faults: which one, how bad, or an exact level."""
    from kit.faults import registry

    every = registry()
    names = tuple(Choice(n, f.title) for n, f in sorted(every.items(), key=lambda p: p[1].title))
    how = {name: severities(name) for name in every}
    found: list[ArgumentInfo] = []
    for n in range(1, SLOTS + 1):
        found += [
            ArgumentInfo(f"fault_{n}", f"{n}", "choice", required=False, choices=names),
            ArgumentInfo(
                f"severity_{n}", plain("How bad"), "choice", required=False,
                depends_on=f"fault_{n}", choices_by=how,
            ),
            _number(f"level_{n}", "Exact level, from 0 (sound) to 1 (worst)", "", 0.0, 1.0),
        ]  # fmt: skip
    return tuple(found)


def severities(name: str) -> tuple[Choice, ...]:
    """Return the degrees of a fault to choose from; the last one asks for an exact level.

    Args:
        name: name of a fault.
    """
    from kit.faults import fault

    named = tuple(Choice(s.name, s.name) for s in fault(name).severities)
    return (*named, Choice(EXACT, plain("an exact level, given beside")))


@cache
def customer() -> tuple[ArgumentInfo, ...]:
    """Return what the customer answers to each question; an empty one is answered by the kit."""
    from kit.visit.topics import TOPICS

    return tuple(_text(f"says_{name}", topic.title) for name, topic in TOPICS.items())


@cache
def site() -> tuple[ArgumentInfo, ...]:
    """Return what is so at this site and of this unit besides the usual."""
    from kit.machine.surroundings import FAN_SETTINGS
    from kit.visit.circuit_tools import LEAK_PLACES

    strips = (("none", plain("none")), ("carbon", plain("carbon")), ("electret", "charged fibre"))
    drains = (
        ("gravity", "by its fall"), ("float_switch", "by its fall, with a float switch"),
        ("pump", "by a pump"),
    )  # fmt: skip
    leaks = tuple(Choice(name, place.title) for name, place in LEAK_PLACES.items())
    fans = (Choice(name, name) for name in FAN_SETTINGS)
    return (
        *(_text(f"hazard_{n}", f"{n}") for n in range(1, HAZARDS + 1)),
        _text("other_lock", "Somebody else's lock hangs on the disconnect: whose"),
        _text("person_at_unit", "Somebody is at the unit when power comes back: who"),
        _flag("certified", "The learner may work on the refrigerant circuit alone"),
        _flag("own_circuit", "The indoor unit has a supply of its own"),
        _flag("ladder", "The outdoor unit can only be reached from a ladder"),
        _choice("strip", "Strip behind the filter", (Choice(*s) for s in strips), "none"),
        _choice("drain", "Water leaves", (Choice(*d) for d in drains), "gravity"),
        _flag("float_stuck", "The float hangs, or the pump is dead"),
        _celsius("setpoint_c", "Remote as found: set to", False),
        ArgumentInfo("fan", "Remote as found: fan", "choice", required=False, choices=tuple(fans)),
        ArgumentInfo("leak_at", "The leak is at", "choice", required=False, choices=leaks),
        _number("leak_um", "Width of the leak [thousandths of a millimetre]", "", 0.0, 60.0),
        _number("moisture_g", "Water in the circuit [g]", "", 0.0, 50.0),
    )


def sections() -> dict[str, tuple[ArgumentInfo, ...]]:
    """Return every field by its section, in order."""
    return {
        "paper": paper(), "unit": unit(), "faults": faults(), "customer": customer(),
        "site": site(),
    }  # fmt: skip


def every_field() -> tuple[ArgumentInfo, ...]:
    """Return all fields of the form."""
    return tuple(field for some in sections().values() for field in some)


def given(
    typed: Mapping[str, Any], units: str, only: Iterable[ArgumentInfo] | None = None
) -> dict[str, Any]:
    """Return what was typed as values in SI; a number out of range is refused, never moved.

    Args:
        typed: field name to what was typed or chosen.
        units: unit system in which numbers were typed.
        only: the fields that are looked at; all when left out.

    Raises:
        FormError: something is missing or cannot be read.
    """
    info: Any = SimpleNamespace(name=FORM)
    some = tuple(every_field() if only is None else only)
    form = offers.Offer(FORM, info, "", "", some)
    values = offers.arguments(form, typed, units)
    for field in some:
        if field.kind == "text" and isinstance(values.get(field.name), str):
            values[field.name] = values[field.name].strip()
            if not values[field.name]:
                del values[field.name]
                if field.required:
                    raise offers.FormError(
                        field.name, "{field}: nothing was given.", field=field.title
                    )
    return values


def _machines() -> tuple[Choice, ...]:
    from kit.machine import load_spec, spec_names

    return tuple(Choice(name, load_spec(name).title) for name in spec_names())


def _rubrics() -> tuple[Choice, ...]:
    from kit import library
    from kit.marking.rubric import load_rubric

    names = sorted((p.stem for p in library.datasets("rubrics").glob("*.toml")), reverse=True)
    return tuple(Choice(name, load_rubric(name).title) for name in names)
