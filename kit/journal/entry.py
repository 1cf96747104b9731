"""Lines of a journal: canonical JSON, a hash chain, and strict reading of what others wrote."""

from __future__ import annotations

import hashlib
import json
from collections import Counter
from collections.abc import Mapping
from typing import Any

import rfc8785

from kit.errors import KitError
from kit.visit.outcome import Filling, Line, Measure, Outcome, Reading, Trace

FORMAT = 1
FIRST_KEY = "benchcall_journal"  # sorts before every other key of a header
TAG = b"benchcall-journal/1\n"  # keeps these hashes apart from hashes of anything else
LONGEST_LINE = 1 << 19  # bytes; see tests/journal/test_limits.py for what visits write
DEEPEST = 16
LONGEST_NUMBER = 40  # characters
FIGURES = 7  # significant digits of a figure in a sentence


class JournalError(KitError):
    """A journal cannot be used; the message names the file's line and what is wrong there."""

    def __init__(self, line: int, what: str) -> None:
        """Build the message.

        Args:
            line: number of the line in the file, from 1; 0 for the file as a whole.
            what: what is wrong and what to do.
        """
        self.line = line
        super().__init__(f"Journal, line {line}: {what}" if line else f"Journal: {what}")


class PhysicsVersionError(JournalError):
    """A journal was made with another physics version, and comes out differently with this one."""


class ReadingsDifferError(JournalError):
    """What a journal says was shown does not follow from what it says was done."""


class OtherJournalError(KitError):
    """A journal is sound, but it is that of another learner, work order or seed."""

    def __init__(self, what: str, wanted: object, found: object) -> None:
        """Build the message.

        Args:
            what: "learner", "work order" or "seed".
            wanted: what was asked for.
            found: what stands in the journal's first line.
        """
        self.line = 1
        super().__init__(
            f"Journal, line 1: it belongs to {what} {found!r}, not {wanted!r}. Choose another "
            "file, or open the visit with fresh=True to put this journal aside."
        )


def sealed(entry: Mapping[str, Any], previous: str) -> tuple[bytes, str]:
    """Return one line of the file: the entry, chained to the line before, in canonical form.

    Args:
        entry: what to write, without `previous` and `hash`.
        previous: hash of the line before, 64 zeros for the first.

    Returns:
        RFC 8785 bytes, without the end of line, and the line's hash.

    Raises:
        KitError: a value has no canonical form.

    Source: canonical form of RFC 8785 (JSON Canonicalization Scheme).
    """
    chained = {**entry, "previous": previous}
    try:
        own = digest(chained)
        return _canonical({**chained, "hash": own})[0], own
    except (ValueError, RecursionError) as error:
        raise KitError(
            f"This step cannot be written to a journal: {error}. Give other values."
        ) from error


def digest(chained: Mapping[str, Any]) -> str:
    """Return the hash of an entry with its `previous`, without its own `hash`.

    Args:
        chained: the entry.
    """
    return hashlib.sha256(TAG + rfc8785.dumps(dict(chained))).hexdigest()


def parsed(raw: bytes, number: int, previous: str) -> dict[str, Any]:
    """Return the entry of one line after checking form, chain and hash.

    Args:
        raw: the line without its end.
        number: number of the line, from 1.
        previous: hash of the line before, 64 zeros for the first.

    Raises:
        JournalError: anything is not as a journal writes it.
    """
    if len(raw) > LONGEST_LINE:
        raise JournalError(number, f"longer than {LONGEST_LINE} bytes. No visit writes that.")
    entry = _plain(raw, number)
    try:
        canonical, bare = _canonical(entry)
    except ValueError as error:  # half a surrogate pair, written as an escape
        raise JournalError(number, f"it is no line of a journal ({error}).") from None
    if canonical != raw:
        raise JournalError(number, "it is not in canonical form. It was edited by hand.")
    if entry.get("i") != number - 1:
        said = short(entry.get("i"))
        raise JournalError(number, f"its number is {said}, expected {number - 1}.")
    if entry.get("previous") != previous:
        raise JournalError(number, "it does not follow the line before. A line was moved or lost.")
    if entry.get("hash") != hashlib.sha256(TAG + bare).hexdigest():
        raise JournalError(number, "its hash does not fit. The line was changed after writing.")
    return entry


def _canonical(entry: Mapping[str, Any]) -> tuple[bytes, bytes]:
    """Return the canonical form with and without `hash`, each value put into it only once."""
    keys = sorted(entry, key=lambda key: key.encode("utf-16be"))  # RFC 8785, section 3.2.3
    parts = {key: rfc8785.dumps({key: entry[key]})[1:-1] for key in keys}
    whole = b"{" + b",".join(parts.values()) + b"}"
    parts.pop("hash", None)
    return whole, b"{" + b",".join(parts.values()) + b"}"


def _plain(raw: bytes, number: int) -> dict[str, Any]:
    if raw.startswith(b"\xef\xbb\xbf"):
        raise JournalError(
            number, "it begins with a byte order mark: an editor saved it. Use the original."
        )
    if raw.endswith(b"\r"):
        raise JournalError(
            number, "it ends with CR LF: the file was converted on its way. Copy the original."
        )
    try:
        entry = json.loads(
            raw.decode("utf-8"),
            object_pairs_hook=_once,
            parse_constant=_no_constant,
            parse_int=_small_int,
            parse_float=_finite,
        )
    except RecursionError:
        raise JournalError(number, _TOO_DEEP) from None
    except ValueError as error:
        raise JournalError(number, f"it is no line of a journal ({str(error)[:120]}).") from None
    if not isinstance(entry, dict):
        raise JournalError(number, "it is no line of a journal (not an object).")
    if _depth(entry) > DEEPEST:
        raise JournalError(number, _TOO_DEEP)
    return entry


_TOO_DEEP = f"it is no line of a journal (nested deeper than {DEEPEST} levels)."


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found = dict(pairs)
    if len(found) != len(pairs):
        counted = Counter(name for name, _ in pairs)
        raise ValueError(f"the key {counted.most_common(1)[0][0][:40]!r} appears twice")
    return found


def _no_constant(name: str) -> None:
    raise ValueError(f"{name} is no number")


def _small_int(text: str) -> int:
    if len(text.lstrip("-")) > 16 or abs(int(text)) >= 1 << 53:
        raise ValueError(f"the number {text[:LONGEST_NUMBER]} is too large")
    return int(text)


def _finite(text: str) -> float:
    value = float(text) if len(text) <= LONGEST_NUMBER else 1e999
    if abs(value) > 1e300:
        raise ValueError(f"the number {text[:LONGEST_NUMBER]} is too large or too long")
    return value


def _depth(value: Any, level: int = 0) -> int:
    if level > DEEPEST or not isinstance(value, dict | list):
        return level
    inside = value.values() if isinstance(value, dict) else value
    return max((_depth(one, level + 1) for one in inside), default=level + 1)


def short(value: object) -> str:
    """Return a plain value as a message may show it, cut when it is long.

    Args:
        value: what JSON can hold.
    """
    text = json.dumps(value, ensure_ascii=True)
    return text if len(text) <= 80 else f"{text[:77]}..."


def as_plain(outcome: Outcome) -> dict[str, Any]:
    """Return an outcome as plain JSON values: what was shown, in SI, and nothing else.

    Args:
        outcome: what a step came to.
    """
    plain: dict[str, Any] = {
        "clock_s": outcome.clock_s,
        "elapsed_s": outcome.elapsed_s,
        "lines": [as_plain_line(one) for one in outcome.lines],
    }
    if outcome.readings:
        plain["readings"] = [_reading(one) for one in outcome.readings]
    if outcome.traces:
        plain["traces"] = [_trace(one) for one in outcome.traces]
    if outcome.hazards:
        plain["hazards"] = [
            {"code": h.code, "level": h.level, "line": as_plain_line(h.line)}
            for h in outcome.hazards
        ]
    if outcome.pictures:
        plain["pictures"] = [
            {"subject": p.subject, "grade": p.grade, "alt": as_plain_line(p.alt)}
            for p in outcome.pictures
        ]
    if outcome.cautions:
        plain["cautions"] = [caution.code for caution in outcome.cautions]
    if outcome.reason is not None:
        plain["refused"] = as_plain_line(outcome.reason)
    if outcome.stopped:
        plain["stopped"] = True
    return plain


def as_plain_line(said: Line) -> dict[str, Any]:
    """Return a sentence as plain JSON values.

    Args:
        said: the sentence.
    """
    if not said.values:
        return {"say": said.template}
    return {"say": said.template, "with": {name: _filling(value) for name, value in said.values}}


def _filling(value: Filling) -> Any:
    if isinstance(value, Measure):
        return {"kind": value.kind, "si": _kept(value.value)}
    return as_plain_line(value) if isinstance(value, Line) else _kept(value)


def _kept(value: Any) -> Any:
    """Return a figure of a sentence to the digits that any processor agrees on.

    Exponentials and logarithms differ in their last bit from one kind of processor to the next; a
    reading is rounded by its display, a figure that is worked out for a sentence is rounded here.
    """
    return float(f"{value:.{FIGURES}g}") if isinstance(value, float) else value


def _reading(reading: Reading) -> dict[str, Any]:
    return {
        "number": reading.number,
        "instrument": reading.instrument,
        "quantity": reading.quantity,
        "kind": reading.kind,
        "place": reading.place,
        "si": reading.value,
        "at_s": reading.at_s,
        "steady": reading.steady,
    }


def _trace(trace: Trace) -> dict[str, Any]:
    return {
        "instrument": trace.instrument,
        "quantity": trace.quantity,
        "kind": trace.kind,
        "place": trace.place,
        "at_s": list(trace.at_s),
        "si": list(trace.values),
    }
