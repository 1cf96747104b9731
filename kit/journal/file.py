"""A journal as a file: appended line by line, flushed to the disk, with one writer at a time."""

from __future__ import annotations

import contextlib
import os
import sys
import weakref
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import IO, Any

from kit.errors import KitError
from kit.journal.entry import FIRST_KEY, LONGEST_LINE, JournalError, parsed, sealed

START = "0" * 64
LARGEST_FILE = 64 << 20
MOST_LINES = 20_000


@dataclass(frozen=True, slots=True)
class Journal:
    """A journal as read: checked line by line, its chain unbroken.

    Args:
        header: its first entry.
        entries: all entries after it, in order.
        head: hash of its last line.
        torn: bytes of a last line that a crash cut off; 0 when it is whole.
    """

    header: Mapping[str, Any]
    entries: tuple[Mapping[str, Any], ...]
    head: str
    torn: int

    def line_of(self, entry: Mapping[str, Any]) -> int:
        """Return the number of an entry's line in the file."""
        return int(entry["i"]) + 1


def read_journal(path: str | Path) -> Journal:
    """Read and check a journal; a last line cut off by a crash is left out and counted.

    Args:
        path: the file.

    Raises:
        KitError: there is no such file.
        JournalError: the file is no journal, or was changed; the first bad line is named.
    """
    path = Path(path)
    if not path.is_file():
        raise KitError(f"There is no journal {path.name!r} at that place. Check its path.")
    size = path.stat().st_size
    if size > LARGEST_FILE:
        raise JournalError(0, f"{size} bytes; no visit fills more than {LARGEST_FILE}.")
    entries, head, torn = [], START, 0
    with path.open("rb") as file:
        for number, raw in enumerate(_lines(file), start=1):
            if not raw.endswith(b"\n"):
                torn = len(raw)
                if number == 1 and not _is_torn_header(raw):
                    raise JournalError(1, "this file is no journal of a visit.")
                break
            if number > MOST_LINES:
                raise JournalError(number, f"more than {MOST_LINES} lines. No visit has so many.")
            entry = parsed(raw[:-1], number, head)
            head = entry["hash"]
            entries.append(entry)
    if not entries or entries[0]["kind"] != "header" or entries[0].get(FIRST_KEY) != 1:
        raise JournalError(1, "this file is no journal of a visit, or of another format.")
    return Journal(entries[0], tuple(entries[1:]), head, torn)


class Writer:
    """The one writer of a journal; every line is on the disk before `append` returns."""

    def __init__(self, path: str | Path) -> None:
        """Open a file for appending and lock it; a torn last line is cut off.

        Args:
            path: the file; made when it does not exist.

        Raises:
            KitError: another program writes to it, or its folder does not exist.
            JournalError: what it holds is no journal, or was changed.
        """
        self.path = Path(path)
        if not self.path.parent.is_dir():
            raise KitError(f"The folder for the journal {self.path.name!r} is missing. Make it.")
        self._file: IO[bytes] = self.path.open("a+b")
        weakref.finalize(self, self._file.close)  # a forgotten visit frees its journal
        try:
            _lock(self._file, self.path.name)
            self.journal = self._checked()
        except BaseException:
            self._file.close()
            raise
        self.head = self.journal.head if self.journal else START
        self.count = len(self.journal.entries) + 1 if self.journal else 0
        if self.journal and self.journal.torn:
            self.append({"kind": "note", "what": "torn_line", "bytes": self.journal.torn})

    def _checked(self) -> Journal | None:
        size = self.path.stat().st_size
        if size == 0:
            return None
        if size <= LONGEST_LINE:
            raw = self.path.read_bytes()
            if b"\n" not in raw and _is_torn_header(raw):
                self._file.truncate(0)
                return None
        journal = read_journal(self.path)
        if journal.torn:
            self._file.truncate(size - journal.torn)
        return journal

    def append(self, entry: Mapping[str, Any]) -> None:
        """Write one entry and wait until it is on the disk.

        Args:
            entry: what to write; its number and the chain are added here.

        Raises:
            KitError: the writer was closed.
        """
        if self._file.closed:
            raise KitError("This visit was closed or opened elsewhere. Use the newer one.")
        raw, head = sealed({**entry, "i": self.count}, self.head)
        self._file.write(raw + b"\n")
        self._file.flush()
        os.fsync(self._file.fileno())
        self.head = head
        self.count += 1

    def close(self) -> None:
        """Give the file free for another writer."""
        self._file.close()


def _lines(file: IO[bytes]) -> Iterator[bytes]:
    while raw := file.readline(LONGEST_LINE + 2):
        yield raw


def _is_torn_header(raw: bytes) -> bool:
    start = b'{"' + FIRST_KEY.encode() + b'":1,'
    return raw.startswith(start) or start.startswith(raw)


def _lock(file: IO[bytes], name: str) -> None:
    busy = KitError(
        f"Another program is writing to the journal {name!r}. Close the visit there first."
    )
    if sys.platform == "win32":
        import msvcrt

        file.seek(1 << 30)  # far behind the end, so that reading stays possible
        try:
            msvcrt.locking(file.fileno(), msvcrt.LK_NBLCK, 1)
        except OSError:
            raise busy from None
        finally:
            with contextlib.suppress(OSError):
                file.seek(0, os.SEEK_END)
        return
    import fcntl

    try:
        fcntl.flock(file.fileno(), fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError:
        raise busy from None
