"""What cannot be in a work order, each with its reason; nothing is mended in silence."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from kit.errors import KitError
from kit.faults import fault
from kit.machine import Condition
from kit.screens.instructor.draft import hidden
from kit.screens.instructor.fields import EXACT, SLOTS
from kit.screens.instructor.preview import SETPOINTS_K
from kit.visit.outcome import Filling, Line, line

LEAST_DEMAND_K = 3.0  # what the rubric wants before a split is read: 5 °F, common practice
# Both turn one knob in opposite ways, or one hides the other altogether.
_NOT_BOTH = (
    ("low-charge", "overcharge"), ("low-charge", "no-charge"), ("overcharge", "no-charge"),
    ("valve-stuck-closed", "valve-stuck-open"), ("blocked-drain", "partly-blocked-drain"),
    ("failed-outdoor-fan", "weak-outdoor-fan"),
)  # fmt: skip
_ICE = {"iced-indoor-coil": "cooling", "iced-outdoor-coil": "heating"}
_LEAKS = ("low-charge", "no-charge", "air-in-circuit")


@dataclass(frozen=True, slots=True)
class Refusal:
    """Why a work order cannot be so.

    Args:
        field: name of the field to look at; "" when it is none in particular.
        said: the reason.
    """

    field: str
    said: Line


def refusals(values: Mapping[str, Any]) -> tuple[Refusal, ...]:
    """Return what cannot be, in the order of the form.

    Args:
        values: what the form holds, in SI; only those of machine, air and faults are needed.
    """
    return (*_no_demand(values), *_how_bad(values), *_faults(values), *_fitted(values))


def _refusal(field: str, template: str, **values: Filling) -> Refusal:
    return Refusal(field, line(template, **values))


def _no_demand(values: Mapping[str, Any]) -> Iterator[Refusal]:
    """Refuse a room in which the remote cannot ask for anything."""
    low, high = SETPOINTS_K
    room, cooling = values["room_c"], values["mode"] == "cooling"
    if cooling and room - low < LEAST_DEMAND_K:
        yield Refusal("room_c", line(
            "The remote cannot be set low enough below this room for the unit to cool. Make the "
            "room warmer, or the job about heating."))  # fmt: skip
    if not cooling and high - room < LEAST_DEMAND_K:
        yield Refusal("room_c", line(
            "The remote cannot be set high enough above this room for the unit to heat. Make the "
            "room cooler, or the job about cooling."))  # fmt: skip


def _how_bad(values: Mapping[str, Any]) -> Iterator[Refusal]:
    empty = ""
    for n in range(1, SLOTS + 1):
        name, how = values.get(f"fault_{n}"), values.get(f"severity_{n}")
        if not name:
            empty = empty or f"fault_{n}"
            continue
        known = {one.name for one in fault(name).severities}
        if how == EXACT:
            level = values.get(f"level_{n}")
            if not level:
                yield Refusal(f"level_{n}", line("Give the exact level: more than 0, at most 1."))
        elif how not in known:
            yield Refusal(f"severity_{n}", line("Choose how bad this fault is."))
        elif f"level_{n}" in values:
            yield Refusal(f"level_{n}", line(
                "A level counts only with an exact level chosen beside it. Choose that, or "
                "empty this field."))  # fmt: skip


def _faults(values: Mapping[str, Any]) -> Iterator[Refusal]:
    places: dict[str, int] = {}
    condition = Condition()
    for n in range(1, SLOTS + 1):
        name = values.get(f"fault_{n}")
        if not name:
            continue
        here = f"fault_{n}"
        if name in places:
            yield Refusal(here, line("This fault is in the list already. Make it worse there."))
            continue
        for one, other in _NOT_BOTH:
            if name in (one, other) and ({one, other} - {name}) & places.keys():
                yield Refusal(here, line(
                    "{one} and {other} cannot both be: one hides the other or takes it back.",
                    one=line(fault(one).title), other=line(fault(other).title)))  # fmt: skip
        if _ICE.get(name, values["mode"]) != values["mode"]:
            yield Refusal(here, line(
                "Ice cannot stay there: in this mode that coil is the warm one."))
        places[name] = n
        try:
            condition = fault(name).apply(condition, _level(values, n))
        except KitError:  # the condition's own words name a knob, which says nothing here
            yield Refusal(here, line(
                "{fault} cannot be beside the faults above: that part is broken otherwise "
                "already.", fault=line(fault(name).title)))  # fmt: skip


def _level(values: Mapping[str, Any], n: int) -> float | str:
    wanted = dict(hidden({k: v for k, v in values.items() if k.endswith(f"_{n}")}))
    severity = wanted[values[f"fault_{n}"]]
    known = {one.name for one in fault(values[f"fault_{n}"]).severities}
    return severity if not isinstance(severity, str) or severity in known else 0.0


def _fitted(values: Mapping[str, Any]) -> Iterator[Refusal]:
    names = {values.get(f"fault_{n}") for n in range(1, SLOTS + 1)}
    drain = values.get("drain", "gravity")
    if values.get("float_stuck") and drain == "gravity":
        yield Refusal("float_stuck", line(
            "There is no float and no pump: the water leaves by its fall."))  # fmt: skip
    if drain == "pump" and "uphill-drain" in names:
        yield Refusal("drain", line(
            "A pump lifts the water, so a hose that rises is no fault. Take one of the two."))
    leaks = bool(names & set(_LEAKS))
    if values.get("leak_at") and not leaks:
        yield Refusal("leak_at", line(
            "Nothing has leaked out: choose a fault of the charge, or leave the place empty."))
    if values.get("leak_um") and not leaks:
        yield Refusal("leak_um", line(
            "Nothing has leaked out: choose a fault of the charge, or leave the width empty."))
    if values.get("fan") and "setpoint_c" not in values:
        yield Refusal("setpoint_c", line(
            "Give what the remote is set to as well, or leave its fan empty."))  # fmt: skip
