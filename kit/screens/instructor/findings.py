"""Whether the faults of a work order can be found, in words an instructor can act on."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Any

from kit.faults import fault
from kit.machine.readings import reading
from kit.screens.instructor.draft import hidden
from kit.screens.instructor.fields import BRIEF
from kit.screens.instructor.shown import readings_table, shown, span
from kit.screens.instructor.texts import plain
from kit.visit.outcome import line

if TYPE_CHECKING:
    from kit.screens.instructor.preview import Judged, Preview, Seen, Twin
    from kit.screens.voice import Voice

STATES = {
    "seen": ("good", "✓", plain("can be seen")),
    "small": ("warn", "–", plain("too small for the tool")),
    "other_way": ("warn", "–", plain("moves the other way here")),
    "other_mode": ("soft", "·", plain("not in this mode")),
    "apart": ("good", "✓", plain("told apart")),
    "by_others": ("warn", "–", plain("by other readings only")),
    "alike": ("bad", "✕", plain("reads the same")),
}
_SIGN_HEADS = (
    plain("Telling sign"), plain("Without it"), plain("As found"), plain("May be wrong by"),
    plain("Here"),
)  # fmt: skip
_TWIN_HEADS = (
    plain("Looks like"), plain("Told apart by"), plain("This"), plain("The other"), plain("Here"),
)
_SIGNS = {"good": "✓", "warn": "!", "bad": "✕"}
_MELTS_K = 273.15
MOST_NAMED = 4  # so many readings are named in a sentence


def preview_dict(seen: Preview, voice: Voice) -> dict[str, Any]:
    """Return what the unit reads and how its faults can be found, as the view shows it.

    Args:
        seen: what the engine found.
        voice: units and language.
    """
    return {
        "readings": readings_table(seen, voice),
        "whole": _whole(seen, voice),
        "faults": [_fault(one, seen, voice) for one in seen.faults],
    }


def fault_facts(voice: Voice) -> dict[str, dict[str, Any]]:
    """Return what an instructor should know of each fault before choosing it.

    Args:
        voice: units and language.
    """
    from kit.faults import registry

    facts: dict[str, dict[str, Any]] = {}
    for name, one in registry().items():
        signs = [f"{_title(s.reading, voice)} {'▲' if s.direction == 'up' else '▼'}"
                 f" ({_direction(s.direction, voice)})" for s in one.signs]  # fmt: skip
        alike = [voice.words(fault(other.fault).title) for other in one.look_alikes]
        facts[name] = {
            "lines": [
                [voice.words("Customer would say"), voice.words(one.complaint)],
                [voice.words("Telling signs"), "; ".join(dict.fromkeys(signs))],
                [voice.words("Looks like"), "; ".join(alike) or voice.words("nothing else")],
            ]
        }
    return facts


def gives_away(typed: Mapping[str, Any], voice: Voice) -> list[str]:
    """Return a warning for each text of the paper that bears a word of a hidden fault.

    Args:
        typed: what the form holds.
        voice: language.
    """
    names = {"name": plain("The file's name"), "title": plain("The title")}
    names |= {f"brief_{n}": plain("A line of the paper") for n in range(1, BRIEF + 1)}
    found = []
    for name, _ in hidden({k: v for k, v in typed.items() if k.startswith("fault_")}):
        title = fault(name).title
        tells = (name, name.replace("-", " "), title.casefold())
        for field, what in names.items():
            text = str(typed.get(field, "")).casefold()
            if any(tell in text for tell in tells):
                found.append(voice.line(line(
                    "{what} says “{fault}”: learners read it, and need not look.",
                    what=line(what), fault=line(title))))  # fmt: skip
    return found


def _title(name: str, voice: Voice) -> str:
    return voice.words(reading(name).title)


def _direction(direction: str, voice: Voice) -> str:
    return voice.words("higher" if direction == "up" else "lower")


def _whole(seen: Preview, voice: Voice) -> dict[str, str]:
    if not seen.faults:
        said = line(
            "Nothing is wrong with this unit. That is a fair job: leaving it alone is right."
        )
        tone = "good"
    elif seen.fair:
        said = line("A fair job: each fault can be found, and told from what looks like it.")
        tone = "good"
    else:
        said = line("Not a fair job yet: see the faults marked with a cross below.")
        tone = "bad"
    return {"tone": tone, "sign": _SIGNS[tone], "text": voice.line(said)}


def _fault(one: Judged, seen: Preview, voice: Voice) -> dict[str, Any]:
    severity = one.severity if isinstance(one.severity, str) else f"{one.severity:g}"
    return {
        "title": f"{voice.words(one.fault.title)} ({voice.words(severity)})",
        "said": [
            {"tone": tone, "sign": _SIGNS[tone], "text": text}
            for tone, text in _said(one, seen, voice)
        ],
        "signs": [
            [voice.words(t) for t in _SIGN_HEADS],
            *(_sign(sign, seen, voice) for sign in one.signs),
        ],
        "twins": [
            [voice.words(t) for t in _TWIN_HEADS],
            *(_twin(twin, seen, voice) for twin in one.twins),
        ] if one.twins else [],
    }  # fmt: skip


def _sign(one: Seen, seen: Preview, voice: Voice) -> list[Any]:
    tool = reading(one.sign.reading)
    title = f"{_title(tool.name, voice)} ({_direction(one.sign.direction, voice)})"
    if one.state == "other_mode":
        title += f", {voice.words(one.sign.mode)}"
    return [
        title,
        shown(tool, one.sound, voice, seen.around),
        shown(tool, one.found, voice, seen.around),
        span(tool, one.off_by, voice),
        _state(one.state, voice),
    ]


def _twin(one: Twin, seen: Preview, voice: Voice) -> list[Any]:
    tool = reading(one.reading)
    title = voice.words(fault(one.fault).title)
    return [
        f"{title} ({voice.words(one.severity)})" if one.severity else title,
        _title(tool.name, voice),
        shown(tool, one.this, voice, seen.around),
        shown(tool, one.other, voice, seen.around),
        _state(one.state, voice),
    ]


def _state(name: str, voice: Voice) -> dict[str, str]:
    tone, sign, text = STATES[name]
    return {"tone": tone, "sign": sign, "text": voice.words(text)}


def _said(one: Judged, seen: Preview, voice: Voice) -> Iterator[tuple[str, str]]:
    yield _found(one, voice)
    small = [s for s in one.signs if s.state in ("small", "other_way")]
    if small and one.seen:
        names = "; ".join(_title(s.sign.reading, voice) for s in small)
        yield "warn", voice.line(line(
            "Ask for none of these here; the change is smaller than the tool can be wrong: "
            "{names}.", names=names))  # fmt: skip
    for twin in one.twins:
        yield from _told_apart(twin, voice)
    melts = {
        "iced-indoor-coil": seen.found.indoor_coil_surface_k,
        "iced-outdoor-coil": seen.found.outdoor_coil_surface_k,
    }.get(one.fault.name, 0.0)
    if melts > _MELTS_K:
        yield "warn", voice.line(line(
            "That coil settles above freezing in this air: the ice melts while the learner waits."))


def _found(one: Judged, voice: Voice) -> tuple[str, str]:
    if not one.by:
        return "bad", voice.line(line(
            "Cannot be found in this job: with and without it, every reading lies within what the "
            "tools can be wrong. Make it worse, take another weather or mode, or leave it out."
        ))  # fmt: skip
    if all(reading(name).gauges for name in one.by):
        return "warn", voice.line(line(
            "Shows on the gauges only. Nothing else gives a learner a reason to connect them."))
    if not one.seen:
        by = "; ".join(_title(name, voice) for name in one.by[:MOST_NAMED])
        return "warn", voice.line(line(
            "None of its usual signs can be read in this job. These readings show it: {by}.",
            by=by))  # fmt: skip
    return "good", voice.line(line(
        "Can be found: {n} of {all} telling signs are larger than the tools can be wrong.",
        n=len(one.seen), all=len(one.signs)))  # fmt: skip


def _told_apart(twin: Twin, voice: Voice) -> Iterator[tuple[str, str]]:
    other = f"{voice.words(fault(twin.fault).title)} ({voice.words(twin.severity)})"
    if twin.state == "alike":
        yield "bad", voice.line(line(
            "Cannot be told from {other}: every reading lies within what the tools can be wrong.",
            other=other))  # fmt: skip
    if twin.state == "by_others":
        by = "; ".join(_title(name, voice) for name in twin.by[:MOST_NAMED])
        yield "warn", voice.line(line(
            "{reading} does not tell it from {other} here. These do: {by}.",
            reading=line(reading(twin.reading).title), other=other, by=by))  # fmt: skip
