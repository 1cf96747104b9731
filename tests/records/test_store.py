"""The records' file: never half written, never in a lesson's way."""

from __future__ import annotations

import ast
import sqlite3
import subprocess
import sys
import threading
from contextlib import closing
from pathlib import Path

import pytest

import kit
from kit.records import store as store_module
from kit.records.progress import Answer, Progress, note_answer, progress_store, read_progress
from kit.records.store import APPLICATION, NewerFormError, Store, StoreError, migrations

LESSON = "00-start-here"


def answer(number: int) -> Answer:
    """Return an answer that differs from others by its time."""
    return Answer(f"2026-01-01T00:00:{number:06.3f}+00:00", LESSON, "split", "right", "p-1")


@pytest.fixture
def store(tmp_path) -> Store:
    """Return an empty store."""
    return progress_store(tmp_path)


def run(script: str, folder: Path, *more: str) -> subprocess.CompletedProcess:
    """Run a script in a program of its own, with the kit on its path."""
    command = [sys.executable, "-c", script, str(folder), *more]
    return subprocess.run(
        command, cwd=Path(kit.__file__).parents[1], capture_output=True, text=True, check=False
    )


def test_only_this_room_speaks_sql():
    """SQL in one room can be read and changed in one place."""
    others = []
    for path in Path(kit.__file__).parent.rglob("*.py"):
        if "records" in path.parts or "_data" in path.parts:
            continue
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            names = [alias.name for alias in node.names] if isinstance(node, ast.Import) else []
            if "sqlite3" in names or getattr(node, "module", None) == "sqlite3":
                others.append(path.name)
    assert [] == others


def test_the_file_is_strict_and_of_a_safe_kind(store):
    """A wrong type is refused, and so is a tone that does not exist."""
    with store.reading() as db:
        assert "delete" == db.execute("PRAGMA journal_mode").fetchone()[0]
        assert 1 == db.execute("PRAGMA foreign_keys").fetchone()[0]
        assert APPLICATION == db.execute("PRAGMA application_id").fetchone()[0]
        assert len(migrations()) == db.execute("PRAGMA user_version").fetchone()[0]
        kept = db.execute("PRAGMA table_list").fetchall()
    assert all(strict for _, name, *_, strict in kept if not name.startswith("sqlite_"))
    with pytest.raises(StoreError):
        note_answer(store, Answer("2026-01-01", LESSON, "split", "perhaps", "p-1"))
    with pytest.raises(StoreError), store.writing() as db:
        db.execute("INSERT INTO visit_row VALUES ('x', 0, 'a', 'b', 'c', 1.0, 2.0)")
    assert Progress() == read_progress(store)


def test_migrations_are_numbered_without_a_gap():
    """Each form of the records is one file; its number is the form."""
    numbers = [int(path.name[:4]) for path in sorted(store_module.MIGRATIONS.glob("*.sql"))]
    assert list(range(1, len(numbers) + 1)) == numbers


def test_an_older_file_is_brought_up_to_today(tmp_path, monkeypatch):
    """What was noted under the older form is still there under the newer one."""
    older = migrations()
    first = progress_store(tmp_path)
    note_answer(first, answer(1))
    more = "CREATE TABLE later (number INTEGER PRIMARY KEY) STRICT;\n"
    more += "CREATE TABLE much_later (number INTEGER PRIMARY KEY) STRICT;\n"
    monkeypatch.setattr(store_module, "migrations", lambda: (*older, more))
    store_module._todays_tables.cache_clear()
    try:
        second = progress_store(tmp_path)
        assert (answer(1),) == read_progress(second).answers
        with second.reading() as db:
            assert len(older) + 1 == db.execute("PRAGMA user_version").fetchone()[0]
            assert [] == db.execute("SELECT * FROM much_later").fetchall()
        assert [] == second.notices
    finally:
        store_module._todays_tables.cache_clear()


def test_a_migration_that_fails_changes_nothing(tmp_path, monkeypatch):
    """Either the whole step to a newer form is made, or none of it."""
    note_answer(progress_store(tmp_path), answer(1))
    older = migrations()
    broken = "CREATE TABLE later (number INTEGER) STRICT;\nCREATE TABLE later (a INTEGER);\n"
    with monkeypatch.context() as patched:
        patched.setattr(store_module, "migrations", lambda: (*older, broken))
        with pytest.raises(StoreError):
            read_progress(progress_store(tmp_path))
    again = progress_store(tmp_path)
    assert (answer(1),) == read_progress(again).answers
    assert [] == again.notices


def test_a_newer_form_is_refused_in_a_plain_sentence_and_left_alone(store):
    """A newer kit's records are never changed by an older kit."""
    note_answer(store, answer(1))
    with closing(sqlite3.connect(store.path)) as db:
        db.execute(f"PRAGMA user_version = {len(migrations()) + 1}")
    before = store.path.read_bytes()
    for call in (lambda: read_progress(store), lambda: note_answer(store, answer(2))):
        with pytest.raises(NewerFormError, match="newer kit"):
            call()
    assert before == store.path.read_bytes()
    assert [] == store.aside()


def _no_database(path: Path) -> None:
    path.write_bytes(b"This is a letter and no database. " * 100)


def _other_program(path: Path) -> None:
    with closing(sqlite3.connect(path)) as db:
        db.execute("CREATE TABLE recipe (name TEXT)")
        db.execute("INSERT INTO recipe VALUES ('soup')")
        db.commit()


def _other_mark(path: Path) -> None:
    with closing(sqlite3.connect(path)) as db:
        db.execute("PRAGMA application_id = 7")


def _damaged(path: Path) -> None:
    note_answer(Store(path), answer(1))
    raw = bytearray(path.read_bytes())
    raw[4096 : 4096 * 3] = b"\xff" * (4096 * 2)
    path.write_bytes(bytes(raw))


def _cut_off(path: Path) -> None:
    note_answer(Store(path), answer(1))
    path.write_bytes(path.read_bytes()[:5000])


def _without_a_table(path: Path) -> None:
    note_answer(Store(path), answer(1))
    with closing(sqlite3.connect(path)) as db:
        db.execute("DROP TABLE answer")
        db.commit()


UNFIT = (_no_database, _other_program, _other_mark, _damaged, _cut_off, _without_a_table)


@pytest.mark.parametrize("spoil", UNFIT, ids=lambda spoil: spoil.__name__.strip("_"))
def test_a_file_that_cannot_be_used_is_put_aside_with_a_notice(store, spoil):
    """The learner goes on at once, and what was found is kept."""
    spoil(store.path)
    found = store.path.read_bytes()
    note_answer(store, answer(2))
    assert (answer(2),) == read_progress(store).answers
    assert [found] == [path.read_bytes() for path in store.aside()]
    assert 1 == len(store.notices)
    assert store.aside()[0].name in str(store.notices[0])


def test_a_file_spoilt_while_in_use_is_put_aside_at_the_next_call(store):
    """Damage that comes later is met as well."""
    for number in range(60):
        note_answer(store, answer(number))
    raw = bytearray(store.path.read_bytes())
    raw[100:] = b"\x07" * (len(raw) - 100)
    store.path.write_bytes(bytes(raw))
    for _ in range(2):
        try:
            note_answer(store, answer(1))
        except StoreError:
            continue
    assert 1 == len(store.aside())
    assert read_progress(store).answers


def test_a_place_that_takes_nothing_is_told_in_a_sentence(tmp_path):
    """No folder, or a folder in the file's place: an error of the kit, not of Python."""
    (tmp_path / "progress.sqlite3").mkdir()
    for folder in (tmp_path, tmp_path / "nowhere"):
        with pytest.raises(StoreError, match="cannot be kept just now"):
            read_progress(progress_store(folder))


def test_another_program_that_is_busy_is_waited_for_and_then_told(store, monkeypatch):
    """A page never hangs for ever."""
    note_answer(store, answer(1))
    monkeypatch.setattr(store_module, "BUSY_S", 0.05)
    with store.writing(), pytest.raises(StoreError, match="busy"):
        note_answer(progress_store(store.path.parent), answer(2))
    note_answer(store, answer(3))
    assert (answer(1), answer(3)) == read_progress(store).answers


def test_an_old_sqlite_is_told(store, monkeypatch):
    """A Python with an SQLite that knows no strict tables keeps no progress, and says so."""
    monkeypatch.setattr(sqlite3, "sqlite_version_info", (3, 34, 1))
    with pytest.raises(StoreError, match=r"3\.37\.0"):
        read_progress(store)


PRELUDE = """
import os, sys
from pathlib import Path
from kit.records.progress import Answer, note_answer, progress_store
store = progress_store(Path(sys.argv[1]))
def answer(number):
    at = f"2026-01-01T00:00:{number:06.3f}+00:00"
    return Answer(at, sys.argv[2], "split", "right", "p-1")
"""
CRASH = f"""{PRELUDE}
for number in range(20):
    note_answer(store, answer(number))
with store.writing() as db:
    db.execute("PRAGMA cache_size = 1")
    for number in range(5000):  # more than the cache holds: pages reach the file before the commit
        one = (str(number) * 20, "half", "split", "right", "p-1", 0)
        names = "at, lesson, task, tone, learner, stands"
        db.execute("INSERT INTO answer (" + names + ") VALUES (?, ?, ?, ?, ?, ?)", one)
    os._exit(9)
"""  # noqa: S608 - nothing of it comes from outside


def test_a_crash_between_two_writes_loses_nothing_noted_before(store):
    """A program that dies in the middle of a write leaves all that was noted, and no half of it."""
    done = run(CRASH, store.path.parent, LESSON)
    assert (9, "") == (done.returncode, done.stderr)
    assert store.path.with_name(f"{store.path.name}-journal").exists()
    assert tuple(answer(number) for number in range(20)) == read_progress(store).answers
    assert [] == store.notices
    note_answer(store, answer(30))
    assert 21 == len(read_progress(store).answers)


WRITER = f"""{PRELUDE}
for number in range(40):
    note_answer(store, answer(number))
print(len(store.notices))
"""


def started(folder: Path, *names: str) -> list[subprocess.Popen]:
    """Start writers at the same time."""
    return [
        subprocess.Popen(
            [sys.executable, "-c", WRITER, str(folder), name],
            cwd=Path(kit.__file__).parents[1], stdout=subprocess.PIPE, text=True,
        )
        for name in names
    ]  # fmt: skip


def test_two_programs_may_write_at_once(store):
    """Two kernels begin with no file at all, and each finds all it noted."""
    said = [(one.communicate()[0].strip(), one.returncode) for one in started(
        store.path.parent, "one", "two"
    )]  # fmt: skip
    assert [("0", 0), ("0", 0)] == said
    found = [one.lesson for one in read_progress(store).answers]
    assert (40, 40) == (found.count("one"), found.count("two"))


def test_two_programs_that_meet_a_broken_file_put_it_aside_once(store):
    """The second one does not throw away what the first has noted since."""
    _no_database(store.path)
    threads = []
    for name in ("one", "two", "three", "four"):

        def write(name: str = name) -> None:
            mine = progress_store(store.path.parent)
            for number in range(10):
                note_answer(mine, Answer(f"2026-{number}", name, "split", "right", "p-1"))

        threads.append(threading.Thread(target=write))
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert 1 == len(store.aside())
    assert 40 == len(read_progress(store).answers)
