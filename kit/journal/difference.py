"""Where two plain values first differ, in words."""

from __future__ import annotations

from typing import Any

from kit.journal.entry import short

_ABSENT = object()


def first_difference(written: Any, found: Any, place: str) -> str | None:
    """Return where two values first differ and what each holds, or None when they are equal.

    Args:
        written: what stands in the journal, as JSON reads it.
        found: what comes out now, as JSON reads it.
        place: name of the value, for the message.
    """
    if isinstance(written, dict) and isinstance(found, dict):
        keys = dict.fromkeys((*found, *written))
        start = f"{place}." if place else ""
        pairs = [(written.get(k, _ABSENT), found.get(k, _ABSENT), f"{start}{k}") for k in keys]
    elif isinstance(written, list) and isinstance(found, list):
        both = zip(written, found, strict=False)
        pairs = [(one, other, f"{place}[{i}]") for i, (one, other) in enumerate(both)]
    else:
        return None if _same(written, found) else _in_words(written, found, place)
    for pair in pairs:
        said = first_difference(*pair)
        if said is not None:
            return said
    if len(written) != len(found):
        return f"`{place}` has {len(written)} items, but {len(found)} follow from the actions"
    return None


def _in_words(written: Any, found: Any, place: str) -> str:
    if found is _ABSENT:
        return f"`{place}` is written, but nothing like it follows from the actions"
    if written is _ABSENT:
        return f"`{place}` is missing, but {short(found)} follows from the actions"
    return f"`{place}` says {short(written)}, but {short(found)} follows from the actions"


def _same(written: Any, found: Any) -> bool:
    if isinstance(written, bool) or isinstance(found, bool):
        return written is found
    return bool(written == found)
