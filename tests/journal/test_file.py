"""A journal as a file: nothing lost, nothing changed unseen, one writer at a time."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

from kit.errors import KitError
from kit.journal.entry import JournalError
from kit.journal.file import LARGEST_FILE, Writer, read_journal


def lines(path: Path) -> list[bytes]:
    """Return the lines of a file."""
    return path.read_bytes().splitlines(keepends=True)


def test_a_whole_journal_is_read(path) -> None:
    """Header and one line an action."""
    journal = read_journal(path)

    assert "spring-check-01" == journal.header["order"]
    assert 7 == len(journal.entries)
    assert 0 == journal.torn


def test_each_line_is_a_header_or_an_action_with_its_clock(path) -> None:
    """What an instructor may want to look up stands in the line."""
    for entry in read_journal(path).entries:
        assert {"action", "args", "clock_s", "wall", "outcome"} <= set(entry)


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


@pytest.mark.parametrize(
    ("damage", "line"),
    [
        (lambda rows: rows[:3] + rows[4:], 4),
        (lambda rows: [*rows[:3], rows[4], rows[3], *rows[5:]], 4),
        (lambda rows: [*rows[:3], rows[2], *rows[3:]], 4),
        (lambda rows: rows[1:], 1),
    ],
    ids=["lost", "swapped", "doubled", "headless"],
)
def test_a_lost_moved_or_doubled_line_is_named(path, damage, line) -> None:
    """The chain holds the lines in their order."""
    path.write_bytes(b"".join(damage(lines(path))))

    with pytest.raises(JournalError) as caught:
        read_journal(path)

    assert line == caught.value.line


@pytest.mark.parametrize("cut", [1, 30, 200])
def test_a_torn_last_line_is_left_out_and_counted(path, cut) -> None:
    """A crash in the middle of a write loses that action and no other."""
    path.write_bytes(path.read_bytes()[:-cut])

    journal = read_journal(path)

    assert 6 == len(journal.entries)
    assert journal.torn > 0


def test_a_writer_recovers_a_torn_line_and_notes_it(path) -> None:
    """The note stays in the journal for whoever marks it."""
    path.write_bytes(path.read_bytes()[:-10])

    Writer(path).close()

    last = json.loads(lines(path)[-1])
    assert ("note", "torn_line") == (last["kind"], last["what"])
    assert 0 == read_journal(path).torn


def test_a_torn_header_is_written_anew(path) -> None:
    """Nothing had been done yet."""
    path.write_bytes(path.read_bytes()[:40])

    writer = Writer(path)
    writer.close()

    assert writer.journal is None


def test_a_strangers_file_is_never_cut(tmp_path) -> None:
    """A file that is no journal is refused and left as it is."""
    path = tmp_path / "letter.txt"
    path.write_text("Dear reader")

    with pytest.raises(JournalError, match="no journal"):
        Writer(path)

    assert "Dear reader" == path.read_text()


def test_a_huge_file_is_refused_at_once(tmp_path) -> None:
    """A hundred megabytes are not read to find out that they are no journal."""
    path = tmp_path / "huge.jsonl"
    with path.open("wb") as file:
        file.truncate(LARGEST_FILE + 1)

    with pytest.raises(JournalError, match="bytes"):
        read_journal(path)


def test_one_endless_line_is_refused_with_little_memory(tmp_path) -> None:
    """A line is never read beyond its longest length."""
    path = tmp_path / "endless.jsonl"
    path.write_bytes(b"{" * (LARGEST_FILE // 4))

    with pytest.raises(JournalError):
        read_journal(path)


def test_a_missing_file_is_named(tmp_path) -> None:
    """A wrong path gives one clear sentence."""
    with pytest.raises(KitError, match="nowhere"):
        read_journal(tmp_path / "nowhere.jsonl")


def test_a_second_writer_of_another_program_is_refused(path) -> None:
    """Two hands on one journal would tear its chain."""
    writer = Writer(path)
    code = "import sys; from kit.journal.file import Writer; Writer(sys.argv[1])"

    other = subprocess.run(
        [sys.executable, "-c", code, str(path)],
        capture_output=True, text=True, check=False, cwd=Path(__file__).parents[2],
    )  # fmt: skip
    writer.close()

    assert other.returncode != 0
    assert "Another program" in other.stderr


def test_a_closed_writer_writes_no_more(path) -> None:
    """An older visit of the same notebook cannot go on behind the newer one."""
    writer = Writer(path)
    writer.close()

    with pytest.raises(KitError, match="closed"):
        writer.append({"kind": "note"})
