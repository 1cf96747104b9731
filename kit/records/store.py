"""One SQLite file of the kit's records: opened for a moment, of a known form, never half written.

It keeps a rollback journal and no write-ahead log: a learner's folder may lie on a school's server,
where the log's shared memory does not work. Between two calls no file is held open, so another
kernel can write to it, and the folder can be moved or copied.
"""

from __future__ import annotations

import os
import sqlite3
import time
from collections.abc import Iterator
from contextlib import closing, contextmanager, suppress
from functools import cache
from pathlib import Path

from kit.errors import KitError
from kit.journal import lock
from kit.journal.file import free_name

MIGRATIONS = Path(__file__).resolve().parent / "migrations"
APPLICATION = 0x62636C70  # stands in the file's head: it is ours
OLDEST_SQLITE = (3, 37, 0)  # strict tables
BUSY_S = 5.0  # how long another program is waited for
BESIDE = ("", "-journal", "-wal", "-shm")  # what SQLite may have left beside a file
ASIDE = "{stem}{suffix}.aside-{number}"
_DAMAGED = {sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB}


class StoreError(KitError):
    """Records cannot be read or written just now; the message says why."""


class NewerFormError(StoreError):
    """The records were written by a newer kit; they are left as they are."""


class PutAsideError(StoreError):
    """Not raised but told: a file that cannot be used was put aside, and a new one begun."""


class _UnfitError(Exception):
    """The file is damaged, or is another program's."""


class Store:
    """The records in one file.

    Args:
        path: the file; it is made at the first call, its folder must be there.
    """

    def __init__(self, path: Path) -> None:
        self.path = path
        self.notices: list[PutAsideError] = []
        self._looked_through = False

    @contextmanager
    def writing(self) -> Iterator[sqlite3.Connection]:
        """Give a connection inside one transaction: all of it is on the disk in the end, or none.

        Raises:
            StoreError: the records cannot be written, or another program is busy with them.
        """
        with self._opened() as db:
            db.execute("BEGIN IMMEDIATE")
            try:
                yield db
            except BaseException:
                if db.in_transaction:  # a full disk has ended it already
                    db.execute("ROLLBACK")
                raise
            db.execute("COMMIT")

    @contextmanager
    def reading(self) -> Iterator[sqlite3.Connection]:
        """Give a connection that sees the records as they are at one moment.

        Raises:
            StoreError: the records cannot be read.
        """
        with self._opened() as db:
            db.execute("BEGIN")
            yield db
            db.execute("COMMIT")

    def shrink(self) -> None:
        """Give the room of what was deleted back to the disk.

        Raises:
            StoreError: another program is busy with the records.
        """
        with self._opened() as db:
            db.execute("VACUUM")

    def aside(self) -> list[Path]:
        """Return the files that were put aside."""
        return sorted(self.path.parent.glob(f"{self.path.name}*.aside-*"))

    @contextmanager
    def _opened(self) -> Iterator[sqlite3.Connection]:
        if sqlite3.sqlite_version_info < OLDEST_SQLITE:
            raise StoreError(
                "Progress is not kept: this Python brings SQLite {found}, and {needed} is needed. "
                "A newer Python has it.",
                found=sqlite3.sqlite_version,
                needed=".".join(str(part) for part in OLDEST_SQLITE),
            )
        try:
            with closing(self._connected()) as db:
                yield db
        except (sqlite3.Error, OSError) as error:
            self._looked_through = False  # the next call looks whether the file is sound
            raise self.trouble(error) from error

    def _connected(self) -> sqlite3.Connection:
        try:
            return self._checked()
        except _UnfitError:
            self._mend()
        try:
            return self._checked()
        except _UnfitError as error:
            raise self.trouble(error) from error

    def _checked(self) -> sqlite3.Connection:
        """Return a connection to a file of today's form.

        Raises:
            _UnfitError: the file is damaged, or is another program's.
        """
        db = sqlite3.connect(self.path, timeout=BUSY_S, isolation_level=None)
        try:
            _own(db)
            for setting in ("foreign_keys = ON", "secure_delete = ON", "trusted_schema = OFF",
                            "synchronous = FULL", "journal_mode = DELETE"):  # fmt: skip
                db.execute(f"PRAGMA {setting}").fetchall()
            _migrated(db)
            if not self._looked_through:
                _look_through(db)
                self._looked_through = True
        except BaseException as error:
            db.close()
            if isinstance(error, sqlite3.Error) and _code(error) in _DAMAGED:
                raise _UnfitError(str(error)) from error
            raise
        return db

    def _mend(self) -> None:
        """Put an unfit file aside, unless another program has just done so."""
        with self._alone():
            try:
                self._checked().close()
            except _UnfitError as error:
                aside = free_name(self.path, ASIDE)
                for end in reversed(BESIDE):  # the file itself goes last
                    with suppress(FileNotFoundError):
                        self.path.with_name(self.path.name + end).rename(
                            aside.with_name(aside.name.replace(".aside", f"{end}.aside"))
                        )
                self.notices.append(
                    PutAsideError(
                        "The file of your progress could not be used ({reason}). It was put aside "
                        "as {name}, and a new one begun. Your visits and answers are not touched.",
                        reason=str(error),
                        name=aside.name,
                    )
                )
                self._checked().close()

    @contextmanager
    def _alone(self) -> Iterator[None]:
        """Keep other programs from mending at the same time."""
        beside = self.path.with_name(f"{self.path.name}.lock")
        descriptor = os.open(beside, os.O_RDWR | os.O_CREAT, 0o666)
        try:
            end = time.monotonic() + BUSY_S
            while True:
                try:
                    lock.take(descriptor, beside.name)
                    break
                except lock.NotWritableError:
                    if time.monotonic() > end:
                        raise
                    time.sleep(0.02)
            yield
        finally:
            lock.give_back(descriptor)
            os.close(descriptor)

    def trouble(self, error: Exception) -> StoreError:
        """Return what is said of an error met while records were kept.

        Args:
            error: of SQLite or of the system.
        """
        if isinstance(error, sqlite3.Error) and _code(error) in {
            sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED,
        }:  # fmt: skip
            return StoreError(
                "Another page was busy with your progress for {seconds} seconds. Nothing is lost: "
                "try again.",
                seconds=f"{BUSY_S:g}",
            )
        reason = getattr(error, "strerror", None) or str(error)
        return StoreError(
            "Your progress cannot be kept just now ({reason}). Your visits and answers are kept "
            "all the same. See that the folder {folder} can be written to and that its disk has "
            "room.",
            reason=reason,
            folder=self.path.parent,
        )


def _own(db: sqlite3.Connection) -> None:
    """Turn away what is not ours or is newer, before anything of it is changed.

    Raises:
        _UnfitError: another program's file.
        NewerFormError: the records have a form that this kit does not know.
    """
    (mark,) = db.execute("PRAGMA application_id").fetchone()
    (things,) = db.execute("SELECT count(*) FROM sqlite_master").fetchone()
    if mark != APPLICATION and (mark or things):
        raise _UnfitError("it belongs to another program")
    if _form(db) > len(migrations()):
        raise NewerFormError(
            "Your progress was written by a newer kit (form {found}; this one knows {known}). "
            "It is left as it is. Use the newer kit to go on with it.",
            found=_form(db),
            known=len(migrations()),
        )


@cache
def migrations() -> tuple[str, ...]:
    """Return the scripts that bring the records from one form to the next, in order."""
    return tuple(path.read_text(encoding="utf-8") for path in sorted(MIGRATIONS.glob("*.sql")))


def _migrated(db: sqlite3.Connection) -> None:
    """Bring records up to today's form in one transaction."""
    if _form(db) == len(migrations()):
        return
    db.execute("BEGIN IMMEDIATE")  # another kernel may be doing the same, or have done it
    form = _form(db)
    for number, script in enumerate(migrations()[form:], start=form + 1):
        for statement in _statements(script):
            db.execute(statement)
        db.execute(f"PRAGMA user_version = {number}")
    db.execute(f"PRAGMA application_id = {APPLICATION}")
    db.execute("COMMIT")


def _form(db: sqlite3.Connection) -> int:
    return int(db.execute("PRAGMA user_version").fetchone()[0])


def _statements(script: str) -> Iterator[str]:
    """Give the statements of a script one by one, so that all run inside one transaction."""
    statement = ""
    for line in script.splitlines(keepends=True):
        statement += line
        if sqlite3.complete_statement(statement):
            yield statement
            statement = ""


def _look_through(db: sqlite3.Connection) -> None:
    """Look through the whole file once: its pages, and that its tables are today's."""
    (found,) = db.execute("PRAGMA quick_check(1)").fetchone()
    if found != "ok":
        raise _UnfitError(str(found))
    if _tables(db) != _todays_tables():
        raise _UnfitError("its tables are not those of this kit")


def _tables(db: sqlite3.Connection) -> tuple[tuple[str, str], ...]:
    query = "SELECT name, sql FROM sqlite_master WHERE sql IS NOT NULL ORDER BY name"
    return tuple((str(name), str(sql)) for name, sql in db.execute(query))


@cache
def _todays_tables() -> tuple[tuple[str, str], ...]:
    with closing(sqlite3.connect(":memory:", isolation_level=None)) as db:
        _migrated(db)
        return _tables(db)


def _code(error: sqlite3.Error) -> int:
    return int(getattr(error, "sqlite_errorcode", 0) or 0) & 0xFF
