"""What each kind of line must hold: names, types and limits, before any of it is used."""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Mapping
from datetime import datetime
from typing import Any

from kit.errors import KitError
from kit.journal.entry import FIRST_KEY, FORMAT, JournalError, short
from kit.quantities import UNIT_SYSTEMS

LONGEST_VISIT_S = 48 * 3600.0  # simulated; keeps a replay bounded
OPAQUE = re.compile(r"[A-Za-z0-9._-]{0,64}")
LANGUAGE = re.compile(r"[a-z]{2,3}(-[A-Za-z0-9]{2,8}){0,3}")  # the common shape of BCP 47 tags
_HEX64 = re.compile(r"[0-9a-f]{64}")
_HEX16 = re.compile(r"[0-9a-f]{16}")

Fits = Callable[[Any], bool]


def _like(pattern: re.Pattern[str]) -> Fits:
    return lambda value: isinstance(value, str) and pattern.fullmatch(value) is not None


def _words(longest: int) -> Fits:
    return lambda value: isinstance(value, str) and 0 < len(value) <= longest


def _whole(value: object) -> bool:
    return isinstance(value, int) and not isinstance(value, bool) and value >= 0


def _or_null(fits: Fits) -> Fits:
    return lambda value: value is None or fits(value)


def _clock(value: object) -> bool:
    number = isinstance(value, int | float) and not isinstance(value, bool)
    return number and math.isfinite(value) and 0 <= value <= LONGEST_VISIT_S  # type: ignore[arg-type,operator]


def _wall(value: object) -> bool:
    if not isinstance(value, str) or len(value) > 40:
        return False
    try:
        return datetime.fromisoformat(value).tzinfo is not None
    except ValueError:
        return False


def _object(value: object) -> bool:
    return isinstance(value, dict)


_CHAIN: dict[str, Fits] = {"i": _whole, "previous": _like(_HEX64), "hash": _like(_HEX64)}
_SHOWN: dict[str, Fits] = {
    "units": lambda value: isinstance(value, str) and value in UNIT_SYSTEMS,
    "language": _like(LANGUAGE),
}
_TIMES: dict[str, Fits] = {"clock_s": _clock, "wall": _wall}

# Kind of line -> its keys, and what fits each. Nothing may lack, nothing may be added.
FORMS: dict[str, dict[str, Fits]] = {
    "header": {
        FIRST_KEY: lambda value: value == FORMAT,
        "kit": _words(40),
        "physics": _whole,
        "engine": _like(_HEX16),
        "order": _words(200),
        "order_digest": _like(_HEX64),
        "commitment": _like(_HEX64),
        "seed": _or_null(_whole),
        "nonce": _or_null(_like(_HEX64)),
        "learner": _like(OPAQUE),
        "wall": _wall,
        **_SHOWN,
    },
    "action": {"action": _words(80), "args": _object, "outcome": _object, **_TIMES},
    "view": {**_SHOWN, **_TIMES},
    "note": {
        "what": lambda value: value == "torn_line",
        "bytes": _whole,
        "sha256": _like(_HEX64),
        "kept": _words(40),
        "wall": _wall,
    },
}


def checked(entry: Mapping[str, Any], number: int) -> None:
    """Check that a line holds what its kind must hold, and that a header comes first and once.

    Args:
        entry: the line, its chain already checked.
        number: its number in the file, from 1.

    Raises:
        JournalError: a key lacks, is too many, or holds what does not fit.
    """
    kind = entry.get("kind")
    form = FORMS.get(kind) if isinstance(kind, str) else None
    if form is None:
        raise JournalError(number, f"its kind is {short(kind)}; known: {', '.join(FORMS)}.")
    if (kind == "header") != (number == 1):
        raise JournalError(number, "a header stands in the first line and nowhere else.")
    whole = {**form, **_CHAIN, "kind": _words(10)}
    for key in whole:
        if key not in entry:
            raise JournalError(number, f"it lacks `{key}`. No journal of this format does.")
    for key, value in entry.items():
        if key not in whole:
            raise JournalError(number, f"it holds {short(key)}, which no {kind} of a journal has.")
        if not whole[key](value):
            raise JournalError(number, f"its `{key}` is {short(value)}, which does not fit.")


def checked_language(tag: str) -> str:
    """Return a language tag, which must look like one.

    Args:
        tag: such as "en" or "es-MX".

    Raises:
        KitError: it does not.
    """
    if not isinstance(tag, str) or not LANGUAGE.fullmatch(tag):
        raise KitError(f'language is {tag!r}; it must be a language tag such as "en" or "es".')
    return tag
