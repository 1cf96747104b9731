"""Journals rewritten with every hash made to fit again, as somebody who knows the format could."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Any

import rfc8785

from kit.journal.entry import digest
from kit.journal.file import START


def entries_of(raw: bytes) -> list[dict[str, Any]]:
    """Return the lines of a journal without their chain."""
    entries = [json.loads(row) for row in raw.splitlines()]
    return [{k: v for k, v in e.items() if k not in ("previous", "hash")} for e in entries]


def chained(entries: Iterable[dict[str, Any]]) -> bytes:
    """Return a journal of these lines, each chained to the one before; nothing is checked."""
    head, out = START, []
    for entry in entries:
        linked = {**entry, "previous": head}
        head = digest(linked)
        out.append(rfc8785.dumps({**linked, "hash": head}) + b"\n")
    return b"".join(out)


def forged(path: Path, number: int, change: Callable[[dict[str, Any]], object]) -> None:
    """Rewrite a journal with one line changed and every hash made to fit again."""
    entries = entries_of(path.read_bytes())
    change(entries[number - 1])
    path.write_bytes(chained(entries))
