"""A journal as a file: appended line by line, flushed to the disk, with one writer at a time."""

from __future__ import annotations

import contextlib
import hashlib
import io
import os
import re
import sys
import weakref
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Any, BinaryIO

from kit.errors import KitError
from kit.journal import lock
from kit.journal.entry import FIRST_KEY, FORMAT, LONGEST_LINE, JournalError, parsed, sealed
from kit.journal.form import checked

START = "0" * 64
LARGEST_FILE = 4 << 20  # bytes
MOST_LINES = 20_000
_BEGINNING = b'{"' + FIRST_KEY.encode() + b'":'
_HEADER = re.compile(re.escape(_BEGINNING) + rb"([0-9]{1,9}),")


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
        """Return the number of an entry's line in the file.

        Args:
            entry: one of `entries`, or the header.
        """
        return int(entry["i"]) + 1


def read_journal(path: str | Path) -> Journal:
    """Read and check a journal; a last line cut off by a crash is left out and counted.

    Args:
        path: the file.

    Raises:
        KitError: there is no such file, or it cannot be read.
        JournalError: the file is no journal, or was changed; the first bad line is named.
    """
    path = Path(path)
    try:
        if path.is_dir():
            raise KitError(f"{path.name!r} is a folder. Give the journal's file inside it.")
        if not path.is_file():
            raise KitError(f"There is no journal {path.name!r} at that place. Check its path.")
        with path.open("rb") as file:
            journal, torn = _read(file)
    except (OSError, ValueError) as error:  # ValueError: a path with a zero byte in it
        raise KitError(f"The journal {path.name!r} cannot be read: {_why(error)}.") from error
    if journal is None:
        what = "only the beginning of its first line was written" if torn else "the file is empty"
        raise JournalError(1, f"{what}: nothing has been done in this visit. Open it to begin.")
    return journal


class Writer:
    """The one writer of a journal; every line is on the disk before `append` returns."""

    def __init__(self, path: str | Path) -> None:
        """Open a file for appending, lock it and check what it holds; nothing is changed yet.

        Args:
            path: the file; made when it does not exist.

        Raises:
            NotWritableError: another program writes to it, or its place allows no writing.
            KitError: its folder does not exist.
            JournalError: what it holds is no journal, or was changed.
        """
        self.path = Path(path)
        self._file = _opened(self.path)
        weakref.finalize(self, _closed, self._file)  # a forgotten visit frees its journal
        try:
            lock.take(self._file.fileno(), self.path.name)
            self.journal, self.torn = self._found()
        except BaseException:
            self.close()
            raise
        self.head = self.journal.head if self.journal else START
        entries = self.journal.entries if self.journal else ()
        self.count = len(entries) + 1 if self.journal else 0
        self.actions = sum(entry["kind"] == "action" for entry in entries)
        self._end = self._file.seek(0, os.SEEK_END) - self.torn
        self._owed: dict[str, Any] | None = None
        self._stuck = False

    def append(self, entry: Mapping[str, Any]) -> None:
        """Write one entry and wait until it is on the disk.

        Args:
            entry: what to write; its number and the chain are added here.

        Raises:
            KitError: the writer was closed, or the entry cannot be written; nothing of it counts.
        """
        self.recover()
        self._write(entry)
        if self._owed is not None:
            note, self._owed = self._owed, None
            self._write(note)

    def recover(self) -> None:
        """Put a last line that a crash cut off aside, and say so in the line that follows.

        Raises:
            KitError: the disk took neither; the journal is as it was then.
        """
        if self._file.closed:
            raise KitError("This visit was closed or opened elsewhere. Use the newer one.")
        if not self.torn:
            return
        self._file.seek(self._end)
        cut = self._file.read(self.torn)
        try:
            kept = _put_aside(self.path, cut)
        except OSError as error:
            raise self._unwritable(error) from error
        note = {
            "kind": "note",
            "what": "torn_line",
            "bytes": len(cut),
            "sha256": hashlib.sha256(cut).hexdigest(),
            "kept": kept,
            "wall": now(),
        }
        if self.journal is None:  # the header itself was cut off: it is written anew first
            self._owed = note
        else:
            self._write(note)
        self.torn = 0

    def close(self) -> None:
        """Give the file free for another writer."""
        _closed(self._file)

    def _found(self) -> tuple[Journal | None, int]:
        reader = io.BufferedReader(self._file)
        try:
            return _read(reader)
        except OSError as error:
            said = f"The journal {self.path.name!r} cannot be read: {_why(error)}."
            raise KitError(said) from error
        finally:
            reader.detach()

    def _write(self, entry: Mapping[str, Any]) -> None:
        if self._stuck:
            raise KitError(
                "The last step was interrupted while it was written down. Open the visit again: "
                "it goes on where its journal ends."
            )
        raw, head = sealed({**entry, "i": self.count}, self.head)
        checked(parsed(raw, self.count + 1, self.head), self.count + 1)
        raw += b"\n"
        if self.count >= MOST_LINES or self._end + len(raw) > LARGEST_FILE:
            raise KitError(
                "This journal is full: a visit has at most {lines} lines and {bytes} bytes. "
                "Begin anew with fresh=True.",
                lines=MOST_LINES,
                bytes=LARGEST_FILE,
            )
        # From here on an error or an interrupt leaves open what is on the disk.
        self._stuck = True
        try:
            put(self._file, raw, self._end)
            if self.torn:  # what was cut off may be longer than the line written over it
                self._file.truncate(self._end + len(raw))
            os.fsync(self._file.fileno())
        except OSError as error:
            raise self._unwritable(error) from error
        if self.count == 0:
            _sync_folder(self.path.parent)
        self.head, self.count, self._end = head, self.count + 1, self._end + len(raw)
        self.actions += entry["kind"] == "action"
        self._stuck = False

    def _unwritable(self, error: OSError) -> KitError:
        return KitError(
            "The journal {name} cannot be written: {reason}. This step was not done. Make room "
            "for it, then open the visit again.",
            name=repr(self.path.name),
            reason=_why(error),
        )


def put(file: io.FileIO, raw: bytes, at: int) -> None:
    """Write bytes at a place of an open file, all of them.

    Args:
        file: the file, without a buffer of its own.
        raw: the bytes.
        at: where the first goes.

    Raises:
        OSError: the disk did not take them all.
    """
    file.seek(at)
    left = memoryview(raw)
    while left:
        left = left[file.write(left) :]


def now() -> str:
    """Return the time of the day, to the millisecond, as journals write it."""
    return datetime.now(UTC).isoformat(timespec="milliseconds")


def free_name(path: Path, make: str) -> Path:
    """Return a path beside another that is not taken yet.

    Args:
        path: the other.
        make: name with `{stem}`, `{suffix}` and `{number}` to be filled in.

    Raises:
        KitError: ten thousand are taken.
    """
    for number in range(1, 10_000):
        other = path.with_name(make.format(stem=path.stem, suffix=path.suffix, number=number))
        if not other.exists():
            return other
    raise KitError(f"There are too many old files beside {path.name!r}. Clear some away.")


def _read(file: BinaryIO) -> tuple[Journal | None, int]:
    """Read a journal; None when no line is whole, with the bytes of the line cut off."""
    entries: list[dict[str, Any]] = []
    head, torn, total = START, 0, 0
    for number, raw in enumerate(iter(lambda: file.readline(LONGEST_LINE + 2), b""), start=1):
        if number == 1:
            _known_format(raw)
        total += len(raw)
        if len(raw) > LONGEST_LINE + 1:
            raise JournalError(number, f"longer than {LONGEST_LINE} bytes. No visit writes that.")
        if total > LARGEST_FILE:
            said = f"the file is longer than {LARGEST_FILE} bytes. No visit fills so many."
            raise JournalError(number, said)
        if not raw.endswith(b"\n"):
            torn = len(raw)
            break
        if number > MOST_LINES:
            raise JournalError(number, f"more than {MOST_LINES} lines. No visit has so many.")
        entry = parsed(raw[:-1], number, head)
        checked(entry, number)
        head = entry["hash"]
        entries.append(entry)
    if not entries:
        return None, torn
    return Journal(entries[0], tuple(entries[1:]), head, torn), torn


def _known_format(raw: bytes) -> None:
    """Turn away what is no journal, before anything of it is believed or cut off."""
    if raw.startswith(b"\xef\xbb\xbf"):
        return  # said better where the line is read
    found = _HEADER.match(raw)
    if found is None and not _BEGINNING.startswith(raw):
        raise JournalError(1, "this file is no journal of a visit. Choose another file.")
    if found is not None and int(found[1]) != FORMAT:
        raise JournalError(
            1,
            f"it is a journal of format {int(found[1])}; this kit reads format {FORMAT}. "
            "Use the kit it was made with.",
        )


def _opened(path: Path) -> io.FileIO:
    flags = os.O_RDWR | os.O_CREAT | getattr(os, "O_BINARY", 0)
    try:
        if not path.parent.is_dir():
            raise KitError(f"The folder for the journal {path.name!r} is missing. Make it.")
        if path.exists() and not path.is_file():
            raise KitError(f"{path.name!r} is a folder or a device. Give a file's name.")
        return io.FileIO(os.open(path, flags, 0o666), "r+b")
    except (OSError, ValueError) as error:
        raise lock.NotWritableError(
            f"The journal {path.name!r} cannot be written: {_why(error)}. Choose another folder."
        ) from error


def _closed(file: io.FileIO) -> None:
    if not file.closed:
        lock.give_back(file.fileno())
        file.close()


def _put_aside(path: Path, cut: bytes) -> str:
    """Keep bytes in a new file beside a journal; return the end of its name."""
    other = free_name(path, "{stem}{suffix}.torn-{number}")
    with other.open("xb") as file:
        file.write(cut)
        file.flush()
        os.fsync(file.fileno())
    _sync_folder(path.parent)
    return other.name.removeprefix(path.name)


def _sync_folder(folder: Path) -> None:
    """Let a new file's name reach the disk; some file systems, and Windows, do it by themselves."""
    if sys.platform == "win32":
        return
    with contextlib.suppress(OSError):
        descriptor = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(descriptor)
        finally:
            os.close(descriptor)


def _why(error: Exception) -> str:
    return getattr(error, "strerror", None) or str(error)
