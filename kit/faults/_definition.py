"""What a fault is: how it turns the knobs, what tells it, what cures it, what looks like it."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, fields, replace
from typing import Any

from kit.errors import KitError, OutOfRangeError, UnknownNameError
from kit.machine.condition import KNOB_NAMES, Condition

DIRECTIONS = ("up", "down")
SIGN_MODES = ("cooling", "heating", "off")
HAZARDS = (
    "chemicals",
    "cold burn",
    "electric shock",
    "flammable refrigerant",
    "height",
    "hot surface",
    "mould",
    "pressure",
    "rotating parts",
    "sharp fins",
    "stored charge",
    "water near electricity",
)
HEALTHY: dict[str, Any] = {f.name: f.default for f in fields(Condition)}


@dataclass(frozen=True, slots=True)
class Severity:
    """One named degree of a fault.

    Args:
        name: trade word, such as "mild" or "failed".
        level: how bad [0..1], 0 excluded.
        found: True when a careful visit with the usual tools is meant to find it.
    """

    name: str
    level: float
    found: bool = True

    def __post_init__(self) -> None:
        """Refuse a level outside 0 to 1."""
        if not (math.isfinite(self.level) and 0.0 < self.level <= 1.0):
            raise OutOfRangeError("Severity.level", self.level, 0.0, 1.0, "Give 0 < level <= 1.")


@dataclass(frozen=True, slots=True)
class Sign:
    """A reading that tells the fault.

    Args:
        reading: name of a reading in `kit.machine.readings`.
        direction: "up" or "down" against the healthy machine.
        mode: "cooling" or "heating" with the machine run, "off" with it standing.
        when: when the sign shows, in the words of the trade.
    """

    reading: str
    direction: str
    mode: str = "cooling"
    when: str = "at full demand, after ten minutes"

    def __post_init__(self) -> None:
        """Refuse unknown words."""
        _word("Sign.direction", self.direction, DIRECTIONS)
        _word("Sign.mode", self.mode, SIGN_MODES)


@dataclass(frozen=True, slots=True)
class Cure:
    """What makes it good.

    Args:
        action: name of the repair.
        restores: knobs that the repair sets back to healthy.
    """

    action: str
    restores: tuple[str, ...]

    def __post_init__(self) -> None:
        """Refuse unknown knobs."""
        for knob in self.restores:
            if knob not in KNOB_NAMES:
                raise UnknownNameError("knob", knob, list(KNOB_NAMES))

    def done(self, condition: Condition) -> Condition:
        """Return the condition with this cure's knobs healthy and all others as they were."""
        return replace(condition, **{knob: HEALTHY[knob] for knob in self.restores})


@dataclass(frozen=True, slots=True)
class LookAlike:
    """Another fault that reads alike, and the reading that tells them apart.

    Args:
        fault: name of the other fault.
        reading: name of the reading that separates the two.
        mode: "cooling", "heating" or "off": when that reading is taken.
    """

    fault: str
    reading: str
    mode: str = "cooling"

    def __post_init__(self) -> None:
        """Refuse unknown words."""
        _word("LookAlike.mode", self.mode, SIGN_MODES)


@dataclass(frozen=True, slots=True)
class Fault:
    """One fault of the machine; a file in this folder holds one.

    Args:
        name: kebab-case trade words; also the file's name with underscores.
        title: how a work order or a report would call it.
        severities: named degrees, mildest first.
        turn: pure function (condition, level) -> condition; it adds to what is already wrong.
        signs: readings that tell it.
        cure: what makes it good.
        look_alikes: faults that read alike without gauges, with the reading that separates.
        hazards: words of `HAZARDS` met while finding or curing it.
        clue: the first thing seen, heard or smelt.
        complaint: what a customer would say.
        source: where the fault's signs come from, or "common practice, no source".
    """

    name: str
    title: str
    severities: tuple[Severity, ...]
    turn: Callable[[Condition, float], Condition]
    signs: tuple[Sign, ...]
    cure: Cure
    look_alikes: tuple[LookAlike, ...]
    hazards: tuple[str, ...]
    clue: str
    complaint: str
    source: str

    def __post_init__(self) -> None:
        """Refuse a fault without severities, signs or source, or with unknown words."""
        for what in ("severities", "signs", "title", "clue", "complaint", "source"):
            if not getattr(self, what):
                raise KitError(f"The fault {self.name!r} has no {what}; give at least one.")
        levels = [s.level for s in self.severities]
        if levels != sorted(set(levels)):
            raise KitError(f"The fault {self.name!r} lists severities {levels}; mildest first.")
        for hazard in self.hazards:
            _word(f"A hazard of {self.name!r}", hazard, HAZARDS)

    def apply(self, condition: Condition, severity: float | str) -> Condition:
        """Return the condition with this fault added.

        Args:
            condition: what is already wrong.
            severity: name of one of `severities`, or a level [0..1]; 0 changes nothing.

        Raises:
            UnknownNameError: no severity of that name.
            OutOfRangeError: a level outside 0 to 1.
            KitError: the part already has another fault that excludes this one.
        """
        level = self.level(severity)
        return condition if level == 0.0 else self.turn(condition, level)

    def level(self, severity: float | str) -> float:
        """Return the level [0..1] of a named severity, or the level given."""
        if isinstance(severity, str):
            for known in self.severities:
                if known.name == severity:
                    return known.level
            known_names = [s.name for s in self.severities]
            raise UnknownNameError(f"severity of {self.name}", severity, known_names)
        if not (math.isfinite(severity) and 0.0 <= severity <= 1.0):
            advice = "Give a level in this range or the name of a severity."
            raise OutOfRangeError(f"severity of {self.name}", severity, 0.0, 1.0, advice)
        return float(severity)


def degrees(mild: float, moderate: float, severe: float, hidden: int = 0) -> tuple[Severity, ...]:
    """Return the three usual degrees.

    Args:
        mild: level [0..1].
        moderate: level [0..1], above mild.
        severe: level [0..1], above moderate.
        hidden: how many of the mildest a visit is not meant to find.
    """
    named = zip(("mild", "moderate", "severe"), (mild, moderate, severe), strict=True)
    return tuple(
        Severity(name, level, found=rank >= hidden) for rank, (name, level) in enumerate(named)
    )


def failed() -> tuple[Severity, ...]:
    """Return the one degree of a part that works or does not."""
    return (Severity("failed", 1.0),)


def more(old: float, share: float) -> float:
    """Return a fraction after a further share of what was still sound is lost [0..1]."""
    return 1.0 - (1.0 - old) * (1.0 - share)


def set_state(condition: Condition, knob: str, state: Any) -> Condition:
    """Return the condition with a state set, refusing to overwrite another fault's state."""
    old = getattr(condition, knob)
    if old not in (HEALTHY[knob], state):
        raise KitError(
            f"Condition.{knob} is already {old!r} and cannot become {state!r} as well; "
            "choose one of the two faults."
        )
    return replace(condition, **{knob: state})


def _word(name: str, word: str, words: tuple[str, ...]) -> None:
    """Refuse a word that is not among the known ones."""
    if word not in words:
        raise KitError(f"{name} is {word!r}; choose one of {', '.join(words)}.")
