"""The learner's own folder on their own disk: visits, answers, an opaque id. Nothing leaves it."""

from __future__ import annotations

import json
import os
import secrets
import tempfile
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from kit.errors import KitError
from kit.language import LANGUAGES


def learner_folder() -> Path:
    """Return the learner's folder, made when it is missing.

    The environment variable BENCHCALL_DATA names another place.

    Raises:
        KitError: the folder cannot be made or written to.
    """
    named = os.environ.get("BENCHCALL_DATA")
    if named:
        folder = Path(named)
    else:
        from platformdirs import user_data_path

        folder = user_data_path("benchcall", appauthor=False)
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise KitError(
            "The folder for your work, {folder}, cannot be made: {reason}. "
            "Free some space, or name another in BENCHCALL_DATA.",
            folder=folder,
            reason=error.strerror,
        ) from error
    return folder


def learner_id(folder: Path) -> str:
    """Return the learner's opaque id, drawn once; it says nothing about who it is.

    Args:
        folder: the learner's folder.
    """
    kept = read_notes(folder / "learner.json")
    found = kept.get("id")
    if isinstance(found, str) and found:
        return found
    drawn = f"p-{secrets.token_hex(4)}"
    write_notes(folder / "learner.json", {**kept, "id": drawn})
    return drawn


def chosen_language(folder: Path) -> str | None:
    """Return the tag of the language the learner chose last; None when none was chosen.

    Args:
        folder: the learner's folder.
    """
    found = read_notes(folder / "learner.json").get("language")
    return found if found in LANGUAGES else None


def keep_language(folder: Path, language: str) -> None:
    """Keep the language the learner chose, for every page and the next time.

    Args:
        folder: the learner's folder.
        language: tag of a language of the kit.
    """
    notes = read_notes(folder / "learner.json")
    write_notes(folder / "learner.json", {**notes, "language": language})


def read_notes(path: Path) -> dict[str, Any]:
    """Return what a notes file holds; an absent or broken one holds nothing."""
    try:
        found = json.loads(path.read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return {}
    return found if isinstance(found, dict) else {}


def write_notes(path: Path, notes: Mapping[str, Any]) -> None:
    """Write a notes file in one go: a crash leaves the old one or the new one, never half."""
    text = json.dumps(notes, ensure_ascii=False, sort_keys=True, indent=1)
    handle, name = tempfile.mkstemp(dir=path.parent, prefix=path.name)
    with os.fdopen(handle, "w", encoding="utf-8") as file:
        file.write(text)
    Path(name).replace(path)
