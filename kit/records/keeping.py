"""A learner's own hand on what is kept: one file to take along, and erasing visits and answers."""

from __future__ import annotations

import json
import os
import tempfile
from collections.abc import Iterable, Mapping
from dataclasses import asdict
from pathlib import Path
from typing import Any

from kit.journal import lock
from kit.records.progress import (
    Answer,
    CriticalNote,
    Progress,
    RowNote,
    VisitNote,
    _confirmed,
    _unlink,
)
from kit.records.store import StoreError

FORMAT = "benchcall progress"
VERSION = 1
_NOTES = ("*.jsonl*", "*.json")  # journals, what was cut off or changed in them, answers


def exported(progress: Progress, learner: str, kit: str, at: str) -> dict[str, Any]:
    """Return all that is noted in one object, in the form that DEVELOPERS.md describes.

    Args:
        progress: what is noted.
        learner: opaque id.
        kit: version of the kit.
        at: time of the day, ISO 8601 in UTC.
    """
    return {
        "format": FORMAT,
        "version": VERSION,
        "written": at,
        "kit": kit,
        "learner": learner,
        "answers": [asdict(one) for one in progress.answers],
        "visits": [asdict(one) for one in progress.visits],
    }


def imported(found: Mapping[str, Any]) -> Progress:
    """Return what an export holds.

    Args:
        found: the object, as read from the file.

    Raises:
        StoreError: it is no export, or one of another version.
    """
    if (found.get("format"), found.get("version")) != (FORMAT, VERSION):
        raise StoreError(
            "This file holds no progress in version {version}. Choose another file.",
            version=VERSION,
        )
    try:
        visits = (
            VisitNote(**{
                **one,
                "rows": tuple(RowNote(**row) for row in one["rows"]),
                "critical": tuple(CriticalNote(**error) for error in one["critical"]),
            })
            for one in found["visits"]
        )  # fmt: skip
        return Progress(tuple(Answer(**one) for one in found["answers"]), tuple(visits))
    except (KeyError, TypeError) as error:
        raise StoreError(
            "This file of progress was changed by hand ({reason}). Use one as it was written.",
            reason=str(error),
        ) from error


def write_export(folder: Path, data: Mapping[str, Any]) -> Path:
    """Write an export into a folder under a name of its own, whole or not at all; return its path.

    Args:
        folder: where to.
        data: what `exported` returned.

    Raises:
        StoreError: it cannot be written.
    """
    day = str(data["written"])[:10]
    text = json.dumps(data, ensure_ascii=False, indent=1, sort_keys=True) + "\n"
    try:
        handle, made = tempfile.mkstemp(dir=folder, prefix=".progress")
        with os.fdopen(handle, "w", encoding="utf-8") as file:
            file.write(text)
            file.flush()
            os.fsync(file.fileno())
        number, path = 1, folder / f"progress-{day}.json"
        while path.exists():
            number += 1
            path = folder / f"progress-{day}-{number}.json"
        Path(made).replace(path)
    except OSError as error:
        raise StoreError(
            "The export cannot be written into {folder}: {reason}. Make room there, then try "
            "again.",
            folder=folder,
            reason=error.strerror,
        ) from error
    return path


def erase_work(folder: Path, lessons: Iterable[str], *, sure: bool) -> list[str]:
    """Erase a learner's visits and answers; return the journals left because they are in use.

    Args:
        folder: the learner's folder, which has one folder a lesson.
        lessons: names of the lessons.
        sure: that the learner has confirmed it.

    Raises:
        ValueError: nobody has confirmed it.
        StoreError: a file cannot be erased.
    """
    _confirmed(sure)
    left: list[str] = []
    for name in lessons:
        files = {p for pattern in _NOTES for p in (folder / name).rglob(pattern) if p.is_file()}
        busy = {path for path in files if path.suffix == ".jsonl" and _in_use(path)}
        left += sorted(path.relative_to(folder).as_posix() for path in busy)
        try:
            _unlink(sorted(files - busy))
            for inside in sorted(
                (p for p in (folder / name).rglob("*") if p.is_dir()), reverse=True
            ):
                if not any(inside.iterdir()):
                    inside.rmdir()
        except OSError as error:
            raise StoreError(
                "{name} cannot be erased: {reason}. Erase it yourself in {folder}.",
                name=str(error.filename),
                reason=error.strerror,
                folder=folder,
            ) from error
    return left


def _in_use(path: Path) -> bool:
    """Tell whether another page is writing to a journal."""
    try:
        with path.open("rb") as file:
            lock.take(file.fileno(), path.name)
            lock.give_back(file.fileno())
    except (lock.NotWritableError, OSError):
        return True
    return False
