"""One writer at a time, on each system, and no lock that outlives its program."""

from __future__ import annotations

import errno
import os
import subprocess
import sys
import types
from pathlib import Path

import pytest

from kit.journal import NotWritableError, lock, open_visit
from kit.journal.file import Writer

TOP = Path(__file__).parents[2]
OTHER = "import sys; from kit.journal.file import Writer; Writer(sys.argv[1])"


def other_program(path: Path) -> str:
    """Return what another program says that wants to write to the same journal."""
    done = subprocess.run(
        [sys.executable, "-c", OTHER, str(path)], capture_output=True, text=True, check=False,
        cwd=TOP,
    )  # fmt: skip
    return done.stderr


def test_another_program_is_refused_and_let_in_afterwards(path) -> None:
    """Two hands on one journal would tear its chain."""
    writer = Writer(path)
    while_open = other_program(path)
    writer.close()

    assert "NotWritableError: Another program is writing to the journal" in while_open
    assert "" == other_program(path)


@pytest.mark.skipif(os.name != "posix", reason="links need a right on Windows")
def test_another_name_of_the_file_meets_the_same_lock(path, tmp_path) -> None:
    """The lock lies on the file, not on its name."""
    hard, soft = tmp_path / "hard.jsonl", tmp_path / "soft.jsonl"
    hard.hardlink_to(path)
    soft.symlink_to(path)
    writer = Writer(path)

    for name in (hard, soft):
        with pytest.raises(NotWritableError):
            Writer(name)
    writer.close()


def test_a_killed_program_leaves_no_lock_behind(path) -> None:
    """The lesson opens again after the kernel died."""
    code = (
        "import sys; from kit.journal.file import Writer; w = Writer(sys.argv[1]);"
        "print('open', flush=True); sys.stdin.read()"
    )
    child = subprocess.Popen(
        [sys.executable, "-c", code, str(path)], cwd=TOP, stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
    )  # fmt: skip
    with child:
        assert child.stdout.readline().startswith(b"open")
        with pytest.raises(NotWritableError):
            Writer(path)
        child.kill()
        child.wait()

    Writer(path).close()


def test_nothing_is_left_beside_the_journal(path) -> None:
    """No lock file to be cleared away by hand."""
    Writer(path).close()

    assert [path.name] == [other.name for other in path.parent.iterdir()]


def test_a_forgotten_visit_frees_its_journal(path) -> None:
    """A variable of a notebook that is overwritten must not lock its learner out."""
    import gc

    visit = open_visit("spring-check-01", seed=7, learner="a-17", journal=path)
    del visit
    gc.collect()

    Writer(path).close()


def test_a_file_system_without_locks_is_named(path, monkeypatch) -> None:
    """That is no other program, and waiting for it would not help."""

    def none(descriptor) -> None:
        raise OSError(errno.ENOLCK, os.strerror(errno.ENOLCK))

    monkeypatch.setattr(lock, "_take", none)

    with pytest.raises(NotWritableError, match="own disk"):
        Writer(path)


def test_on_windows_one_byte_far_behind_the_journal_is_locked(path, monkeypatch) -> None:
    """Locks of Windows forbid reading what they cover; marking must be able to read meanwhile."""
    calls = []
    double = types.SimpleNamespace(LK_NBLCK=2, LK_UNLCK=0)

    def locking(descriptor, mode, size) -> None:
        calls.append((mode, size, os.lseek(descriptor, 0, os.SEEK_CUR)))

    double.locking = locking
    monkeypatch.setitem(sys.modules, "msvcrt", double)
    monkeypatch.setattr(lock.sys, "platform", "win32")

    writer = Writer(path)
    writer.close()

    assert [(2, 1, 1 << 30), (0, 1, 1 << 30)] == calls
