"""A journal as a file: nothing lost, nothing changed unseen."""

from __future__ import annotations

import errno
import json
import os
from pathlib import Path

import pytest

from kit.errors import KitError
from kit.journal import JournalError, NotWritableError, file, read_journal
from kit.journal.file import START, Writer


def lines(path: Path) -> list[bytes]:
    """Return the lines of a file."""
    return path.read_bytes().splitlines(keepends=True)


def view(units: str = "si") -> dict[str, object]:
    """Return a line to write."""
    return {"kind": "view", "units": units, "language": "en", "clock_s": 0, "wall": file.now()}


def test_a_whole_journal_is_read(path) -> None:
    """Header and one line an action."""
    journal = read_journal(path)

    assert "spring-check-01" == journal.header["order"]
    assert 7 == len(journal.entries)
    assert 0 == journal.torn


def test_the_header_says_what_it_was_made_with(path) -> None:
    """Format, kit, physics, work order and its digest, commitment, learner, units."""
    header = read_journal(path).header

    assert header.items() >= {"benchcall_journal": 1, "learner": "a-17", "units": "us"}.items()
    assert {"kit", "physics", "engine", "order_digest", "commitment", "wall"} <= set(header)


def test_each_line_is_an_action_with_both_clocks(path) -> None:
    """What an instructor may want to look up stands in the line."""
    for entry in read_journal(path).entries:
        assert {"action", "args", "clock_s", "wall", "outcome"} <= set(entry)


def test_the_chain_is_that_of_the_lines(path) -> None:
    """Each line holds the hash of the one before, the first 64 zeros."""
    entries = [json.loads(row) for row in lines(path)]

    assert [START, *(e["hash"] for e in entries[:-1])] == [e["previous"] for e in entries]
    assert entries[-1]["hash"] == read_journal(path).head


def test_nothing_hidden_is_in_the_file(path) -> None:
    """No fault's name, no knob: a journal can be handed round."""
    from kit.faults import fault_names
    from kit.machine.condition import KNOB_NAMES

    text = path.read_text("utf-8")

    assert [] == [name for name in (*fault_names(), *KNOB_NAMES) if f'"{name}"' in text]


@pytest.mark.parametrize("number", [1, 3, 6, 8])
def test_a_changed_line_is_named(path, number) -> None:
    """Change one digit anywhere, and the first bad line is named."""
    all_lines = lines(path)
    changed = all_lines[number - 1].replace(b'"clock_s":', b'"clock_s":1', 1)
    changed = changed.replace(b'"seed":7', b'"seed":8')
    all_lines[number - 1] = changed
    path.write_bytes(b"".join(all_lines))

    with pytest.raises(JournalError) as caught:
        read_journal(path)

    assert number == caught.value.line


@pytest.mark.parametrize("cut", [1, 30, 200])
def test_a_torn_last_line_is_left_out_and_counted(path, cut) -> None:
    """A crash in the middle of a write loses that action and no other."""
    path.write_bytes(path.read_bytes()[:-cut])

    journal = read_journal(path)

    assert 6 == len(journal.entries)
    assert len(path.read_bytes()) - journal.torn == sum(map(len, lines(path)[:-1]))


@pytest.mark.parametrize("keep", [1, 50, 400])
def test_a_torn_line_is_kept_aside_and_noted_in_the_next_line(path, keep) -> None:
    """Shorter or longer than the note: not a byte is lost, and whoever marks it is told."""
    whole = lines(path)
    cut = (whole[-1] * 2)[:keep].replace(b"\n", b" ")
    path.write_bytes(b"".join(whole[:-1]) + cut)

    writer = Writer(path)
    assert path.read_bytes().endswith(cut)
    writer.append(view())
    writer.close()

    note, after = (json.loads(row) for row in lines(path)[-2:])
    assert ("note", "torn_line", keep, ".torn-1") == tuple(
        note[key] for key in ("kind", "what", "bytes", "kept")
    )
    assert "view" == after["kind"]
    assert cut == path.with_name("attempt.jsonl.torn-1").read_bytes()
    assert (0, 8) == (read_journal(path).torn, len(read_journal(path).entries))


def test_opening_alone_changes_nothing(path) -> None:
    """What a journal holds is checked, and whose it is, before a byte is moved."""
    path.write_bytes(path.read_bytes()[:-10])
    before = path.read_bytes()

    Writer(path).close()

    assert before == path.read_bytes()
    assert [path.name] == [other.name for other in path.parent.iterdir()]


def test_a_torn_header_is_kept_aside_and_written_anew(path, written) -> None:
    """Nothing had been done yet; the note follows the new header."""
    path.write_bytes(written[:40])
    with pytest.raises(JournalError, match=r"line 1.*only the beginning"):
        read_journal(path)
    header = {k: v for k, v in json.loads(written.splitlines()[0]).items() if k != "hash"}

    writer = Writer(path)
    writer.append(header)
    writer.close()

    journal = read_journal(path)
    assert ["note"] == [e["kind"] for e in journal.entries]
    assert written[:40] == path.with_name("attempt.jsonl.torn-1").read_bytes()


def test_a_strangers_file_is_never_touched(tmp_path) -> None:
    """A file that is no journal is refused and left as it is."""
    path = tmp_path / "letter.txt"
    path.write_text("Dear reader")

    with pytest.raises(JournalError, match="no journal"):
        Writer(path)

    assert "Dear reader" == path.read_text()


def test_each_line_is_on_the_disk_before_append_returns(tmp_path, path, monkeypatch) -> None:
    """The file is synchronised after each write, and its folder once, after the first line."""
    header = {k: v for k, v in json.loads(lines(path)[0]).items() if k != "hash"}
    calls: list[str] = []
    put, fsync = file.put, os.fsync

    def noted_put(*args) -> None:
        calls.append("write")
        put(*args)

    def noted_fsync(descriptor) -> None:
        calls.append("folder" if Path(f"/proc/self/fd/{descriptor}").is_dir() else "fsync")
        fsync(descriptor)

    monkeypatch.setattr(file, "put", noted_put)
    monkeypatch.setattr(os, "fsync", noted_fsync)
    writer = Writer(tmp_path / "new.jsonl")
    writer.append(header)
    writer.append(view())
    writer.close()

    expected = ["write", "fsync", "folder", "write", "fsync"]
    assert (expected if Path("/proc/self/fd").is_dir() else len(expected)) in (calls, len(calls))


@pytest.mark.parametrize("after", [0, 1, 100])
def test_a_full_disk_loses_that_line_only(path, monkeypatch, after) -> None:
    """The error says so; opened again the journal goes on, with a note when bytes were left."""
    writer, put = Writer(path), file.put

    def full(out, raw, at) -> None:
        put(out, raw[:after], at)
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr(file, "put", full)
    with pytest.raises(KitError, match=r"cannot be written: No space left.*was not done"):
        writer.append(view())
    monkeypatch.undo()
    with pytest.raises(KitError, match="Open the visit again"):
        writer.append(view())
    writer.close()

    writer = Writer(path)
    writer.append(view())
    writer.close()
    kinds = [e["kind"] for e in read_journal(path).entries]
    assert [*["action"] * 7, *["note"] * (after > 0), "view"] == kinds


@pytest.mark.parametrize("when", ["before", "after"])
def test_an_interrupt_while_writing_leaves_no_gap(path, monkeypatch, when) -> None:
    """Whether the line is on the disk or not is found out by opening again, never guessed."""
    writer, put = Writer(path), file.put

    def interrupted(out, raw, at) -> None:
        if when == "after":
            put(out, raw, at)
        raise KeyboardInterrupt

    monkeypatch.setattr(file, "put", interrupted)
    with pytest.raises(KeyboardInterrupt):
        writer.append(view())
    monkeypatch.undo()
    with pytest.raises(KitError, match=r"interrupted.*Open the visit again"):
        writer.append(view())
    writer.close()

    writer = Writer(path)
    writer.append(view("us"))
    writer.close()
    assert (8 if when == "before" else 9) == len(read_journal(path).entries)


def test_a_writer_writes_nothing_that_could_not_be_read(path, monkeypatch) -> None:
    """Every limit of reading holds for writing."""
    writer = Writer(path)
    for entry in (
        {"kind": "gossip"},
        {**view(), "clock_s": 1e12},
        {**view(), "extra": 1},
        {"kind": "action", "action": "a", "args": {"x": 1e17}, "outcome": {}, **view()},
        {**view(), "language": "e" * (1 << 20)},
    ):
        with pytest.raises(KitError):
            writer.append(entry)
    monkeypatch.setattr(file, "MOST_LINES", 8)
    with pytest.raises(KitError, match="full"):
        writer.append(view())
    monkeypatch.setattr(file, "MOST_LINES", 9)
    writer.append(view())
    writer.close()

    assert 8 == len(read_journal(path).entries)


def test_a_closed_writer_writes_no_more(path) -> None:
    """An older visit of the same notebook cannot go on behind the newer one."""
    writer = Writer(path)
    writer.close()

    with pytest.raises(KitError, match="closed"):
        writer.append(view())


def test_a_place_that_cannot_be_written_is_named(tmp_path) -> None:
    """A folder that is missing, a folder for a file, a name no system takes."""
    (tmp_path / "folder.jsonl").mkdir()

    with pytest.raises(KitError, match=r"folder .* is missing"):
        Writer(tmp_path / "nowhere" / "a.jsonl")
    with pytest.raises(KitError, match="is a folder"):
        Writer(tmp_path / "folder.jsonl")
    with pytest.raises(NotWritableError, match="cannot be written"):
        Writer(tmp_path / ("x" * 300))
    with pytest.raises(NotWritableError, match="cannot be written"):
        Writer(f"{tmp_path}/a\0b")
