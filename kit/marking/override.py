"""A row's points changed by a named assessor with a reason; what the kit gave stays beside it.

The changes lie in a file of their own next to the journal (`attempt.jsonl` has
`attempt.overrides.jsonl`). Its lines are chained, and the chain begins with the hash of the
journal's last line: they belong to that journal and to no other.
"""

from __future__ import annotations

import math
import os
from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from kit.errors import KitError, OutOfRangeError, UnknownNameError
from kit.journal.entry import JournalError, parsed, sealed
from kit.journal.file import now

if TYPE_CHECKING:
    from kit.marking.mark import Mark

FORMAT = 1
FIRST_KEY = "benchcall_overrides"
SHORTEST_REASON, LONGEST_TEXT = 10, 2000  # characters
LARGEST_FILE = 1 << 20  # bytes
_KEYS = {"row", "points", "was", "assessor", "reason", "wall", "i", "previous", "hash"}


@dataclass(frozen=True, slots=True)
class Override:
    """One change.

    Args:
        row: name of the row.
        points: points the assessor gives.
        was: points it had before: the kit's, or an earlier change's.
        assessor: name of the assessor.
        reason: why.
        wall: time of the day when it was made, ISO 8601.
    """

    row: str
    points: float
    was: float
    assessor: str
    reason: str
    wall: str


def override(
    mark: Mark, row: str, points: float, assessor: str, reason: str, wall: str | None = None
) -> Mark:
    """Return a mark with one row changed by an assessor; the kit's own points stay in it.

    Args:
        mark: the mark.
        row: name of the row.
        points: points to give, 0 to what the row is worth.
        assessor: name of the assessor.
        reason: why, in a sentence.
        wall: time of the day, ISO 8601; now when left out.

    Raises:
        UnknownNameError: no such row in this mark; the nearest is named.
        OutOfRangeError: points below 0 or above what the row is worth.
        KitError: no name, no reason, or nothing changed.
    """
    worth = {one.name: one.out_of for one in mark.rows}
    if row not in worth:
        raise UnknownNameError("row in this mark", row, list(worth))
    number = isinstance(points, int | float) and not isinstance(points, bool)
    if not number or not math.isfinite(points) or not 0.0 <= points <= worth[row]:
        raise OutOfRangeError(
            f"points for {row!r}", points, 0.0, worth[row], "Give points in this range."
        )
    who, why = _text("assessor", assessor, 2), _text("reason", reason, SHORTEST_REASON)
    was = next(one.points for one in mark.final.rows if one.name == row)
    given = round(float(points), 1)
    if given == was:
        raise KitError(f"The row {row!r} has {was:g} points already. Give others, or leave it.")
    change = Override(row, given, was, who, why, now() if wall is None else wall)
    return replace(mark, overrides=(*mark.overrides, change))


def overrides_path(journal: str | Path) -> Path:
    """Return where the changes to a journal's mark lie.

    Args:
        journal: the journal's file.
    """
    return Path(journal).with_suffix(".overrides.jsonl")


def write_overrides(mark: Mark, journal: str | Path) -> Path:
    """Add a mark's changes to the file beside its journal; what stands there stays.

    Args:
        mark: the mark with its changes.
        journal: the journal's file.

    Returns:
        The file written.

    Raises:
        KitError: the file belongs to another journal, holds other changes, or cannot be written.
    """
    path = overrides_path(journal)
    raw, previous = b"", mark.head
    there: tuple[Override, ...] = ()
    if path.exists():
        raw = _raw(path)
        there, previous = _read(raw, path.name, mark)
        if mark.overrides[: len(there)] != there:
            raise KitError(
                f"{path.name} holds changes that this mark has not. Mark the journal again with "
                "them, and change that."
            )
    lines, number = [], raw.count(b"\n")
    if not raw:
        head = {
            FIRST_KEY: FORMAT,
            "head": mark.head,
            "rubric": mark.rubric,
            "rubric_digest": mark.rubric_digest,
            "work_order": mark.work_order,
            "i": 0,
        }
        line, previous = sealed(head, previous)
        lines, number = [line], 1
    for change in mark.overrides[len(there) :]:
        line, previous = sealed({**_plain(change), "i": number}, previous)
        lines.append(line)
        number += 1
    with path.open("ab") as file:
        file.write(b"".join(line + b"\n" for line in lines))
        file.flush()
        os.fsync(file.fileno())
    return path


def with_overrides(mark: Mark, path: str | Path) -> Mark:
    """Return a mark with the changes that a file beside its journal holds.

    Args:
        mark: the mark as the kit gives it.
        path: the file.

    Raises:
        KitError: the file was changed, or belongs to another journal or rubric.
    """
    path = Path(path)
    changes, _ = _read(_raw(path), path.name, mark)
    for change in changes:
        mark = override(
            mark, change.row, change.points, change.assessor, change.reason, change.wall
        )
        if mark.overrides[-1] != change:
            raise KitError(
                f"{path.name}: the row {change.row!r} had {change.was:g} points when it was "
                "changed, and has others now. Its rubric or the kit has changed since."
            )
    return mark


def _raw(path: Path) -> bytes:
    try:
        if path.stat().st_size > LARGEST_FILE:
            raise KitError(
                f"{path.name} is larger than {LARGEST_FILE} bytes. No assessor wrote it."
            )
        return path.read_bytes()
    except OSError as error:
        raise KitError(f"{path.name} cannot be read: {error.strerror}. Check it.") from error


def _read(raw: bytes, name: str, mark: Mark) -> tuple[tuple[Override, ...], str]:
    """Return the changes of a file and the hash of its last line."""
    lines = raw.split(b"\n")
    if lines.pop() != b"" or not lines:
        raise KitError(f"{name}: its last line is torn. Take that line out, or use a copy.")
    previous, changes = mark.head, []
    for number, line in enumerate(lines, 1):
        try:
            entry = parsed(line, number, previous)
        except JournalError as error:
            if number == 1 and _other_head(line, mark):
                raise KitError(f"{name} belongs to another journal. Use the one it was made for."
                               ) from None  # fmt: skip
            raise KitError(f"{name} was changed by hand. {error}") from None
        if number == 1:
            _checked_head(entry, name, mark)
        else:
            changes.append(_change(entry, name, number))
        previous = str(entry["hash"])
    return tuple(changes), previous


def _other_head(line: bytes, mark: Mark) -> bool:
    return b'"head":"' in line and mark.head.encode() not in line


def _checked_head(entry: Mapping[str, Any], name: str, mark: Mark) -> None:
    if entry.get(FIRST_KEY) != FORMAT:
        raise KitError(f"{name} is no file of changes in format {FORMAT}.")
    made = (entry.get("rubric"), entry.get("rubric_digest"))
    if made != (mark.rubric, mark.rubric_digest):
        raise KitError(
            f"{name} was made with the rubric {made[0]!r} as it was then. Mark with that one, or "
            "with overrides=False to see the mark without changes."
        )


def _change(entry: Mapping[str, Any], name: str, number: int) -> Override:
    texts = ("row", "assessor", "reason", "wall")
    fits = (
        set(entry) == _KEYS
        and all(isinstance(entry[key], str) for key in texts)
        and all(
            isinstance(entry[key], int | float) and not isinstance(entry[key], bool)
            for key in ("points", "was")
        )
    )
    if not fits:
        raise KitError(f"{name}, line {number}: it is no change of a row.")
    return Override(
        entry["row"], float(entry["points"]), float(entry["was"]), entry["assessor"],
        entry["reason"], entry["wall"],
    )  # fmt: skip


def _plain(change: Override) -> dict[str, Any]:
    return {
        "row": change.row,
        "points": change.points,
        "was": change.was,
        "assessor": change.assessor,
        "reason": change.reason,
        "wall": change.wall,
    }


def _text(what: str, value: str, least: int) -> str:
    if not isinstance(value, str) or len(value.strip()) < least or len(value) > LONGEST_TEXT:
        raise KitError(
            f"The {what} is {value!r}; it must have {least} to {LONGEST_TEXT} characters. A change "
            "of a mark carries a name and a reason."
        )
    if not all(letter.isprintable() or letter in "\n\t" for letter in value):
        raise KitError(f"The {what} holds characters that cannot be shown. Type it again.")
    return value.strip()
