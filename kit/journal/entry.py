"""Lines of a journal: canonical JSON, a hash chain, and strict reading of what others wrote."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from typing import Any

import rfc8785

from kit.errors import KitError
from kit.visit.outcome import Filling, Line, Measure, Outcome, Reading, Trace

FORMAT = 1
FIRST_KEY = "benchcall_journal"  # sorts before every other key of a header
TAG = b"benchcall-journal/1\n"  # keeps these hashes apart from hashes of anything else
LONGEST_LINE = 1 << 20
DEEPEST = 16
KINDS = ("header", "action", "note")


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


def sealed(entry: Mapping[str, Any], previous: str) -> tuple[bytes, str]:
    """Return one line of the file: the entry, chained to the line before, in canonical form.

    Args:
        entry: what to write, without `previous` and `hash`.
        previous: hash of the line before, 64 zeros for the first.

    Returns:
        RFC 8785 bytes, without the end of line, and the line's hash.

    Source: canonical form of RFC 8785 (JSON Canonicalization Scheme).
    """
    chained = {**entry, "previous": previous}
    own = digest(chained)
    return rfc8785.dumps({**chained, "hash": own}), own


def digest(chained: Mapping[str, Any]) -> str:
    """Return the hash of an entry with its `previous`, without its own `hash`."""
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
    if entry.get("i") != number - 1:
        raise JournalError(number, f"its number is {entry.get('i')!r}, expected {number - 1}.")
    if entry.get("kind") not in KINDS:
        raise JournalError(number, f"its kind is {entry.get('kind')!r}; known: {', '.join(KINDS)}.")
    if entry.get("previous") != previous:
        raise JournalError(number, "it does not follow the line before. A line was moved or lost.")
    if entry.get("hash") != digest({key: entry[key] for key in entry if key != "hash"}):
        raise JournalError(number, "its hash does not fit. The line was changed after writing.")
    return entry


def _plain(raw: bytes, number: int) -> dict[str, Any]:
    try:
        entry = json.loads(
            raw.decode("utf-8"),
            object_pairs_hook=_once,
            parse_constant=_no_constant,
            parse_int=_small_int,
            parse_float=_finite,
        )
    except (ValueError, RecursionError) as error:
        why = "nested too deep" if isinstance(error, RecursionError) else str(error)
        raise JournalError(number, f"it is no line of a journal ({why[:120]}).") from None
    if not isinstance(entry, dict) or _depth(entry) > DEEPEST:
        raise JournalError(number, "it is no line of a journal.")
    if rfc8785.dumps(entry) != raw:
        raise JournalError(number, "it is not in canonical form. It was edited by hand.")
    return entry


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found = dict(pairs)
    if len(found) != len(pairs):
        raise ValueError("a key appears twice")
    return found


def _no_constant(name: str) -> None:
    raise ValueError(f"{name} is no number")


def _small_int(text: str) -> int:
    if len(text.lstrip("-")) > 16 or abs(int(text)) >= 1 << 53:
        raise ValueError("a number is too large")
    return int(text)


def _finite(text: str) -> float:
    value = float(text)
    if len(text) > 40 or abs(value) > 1e300:
        raise ValueError("a number is too large")
    return value


def _depth(value: Any, level: int = 0) -> int:
    if level > DEEPEST or not isinstance(value, dict | list):
        return level
    inside = value.values() if isinstance(value, dict) else value
    return max((_depth(one, level + 1) for one in inside), default=level + 1)


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
        plain["pictures"] = [{"subject": p.subject, "grade": p.grade} for p in outcome.pictures]
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
        return {"kind": value.kind, "si": value.value}
    return as_plain_line(value) if isinstance(value, Line) else value


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
