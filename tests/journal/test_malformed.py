"""Whatever somebody hands in as a journal: one clear error with its line, in bounded time."""

from __future__ import annotations

import json
import os
import time
import tracemalloc
from collections.abc import Callable, Iterator

import pytest

from kit.errors import KitError
from kit.journal import JournalError, file, open_visit, read_journal, replay
from kit.journal.entry import LONGEST_LINE
from kit.journal.file import LARGEST_FILE, MOST_LINES
from tests.journal.forging import chained, entries_of

Rows = list[bytes]


def changed(change: Callable[[Rows], Rows]) -> Callable[[bytes], bytes]:
    """Return a damage that works on lines."""
    return lambda raw: b"".join(change(raw.splitlines(keepends=True)))


DAMAGE: dict[str, tuple[Callable[[bytes], bytes], int, str]] = {
    "empty": (lambda _: b"", 1, "the file is empty"),
    "zeros": (lambda _: b"\0" * 5000, 1, "no journal"),
    "a letter": (lambda _: b"Dear reader,\nthis is no journal.\n", 1, "no journal"),
    "a picture": (lambda _: b"\x89PNG\r\n\x1a\n" + bytes(range(256)), 1, "no journal"),
    "another JSON file": (lambda _: b'{"cells": []}\n', 1, "no journal"),
    "not UTF-8": (changed(lambda r: [r[0], r[1].replace(b"what", b"wh\xe4t"), *r[2:]]), 2, "utf-8"),
    "UTF-16": (lambda raw: raw.decode().encode("utf-16"), 1, "no journal"),
    "a byte order mark": (lambda raw: b"\xef\xbb\xbf" + raw, 1, "byte order mark"),
    "CR LF": (lambda raw: raw.replace(b"\n", b"\r\n"), 1, "CR LF"),
    "header missing": (changed(lambda r: r[1:]), 1, "no journal"),
    "header twice": (changed(lambda r: [r[0], *r]), 2, "its number is 0, expected 1"),
    "unknown format": (lambda raw: raw.replace(b'journal":1', b'journal":2', 1), 1, "format 2"),
    "another header": (lambda _: b'{"benchcall_journal":1,"kind":"x"}\n', 1, "number is null"),
    "a line lost": (changed(lambda r: r[:3] + r[4:]), 4, "its number is 4, expected 3"),
    "lines swapped": (changed(lambda r: [*r[:3], r[4], r[3], *r[5:]]), 4, "number is 4"),
    "a line doubled": (changed(lambda r: [*r[:3], r[2], *r[3:]]), 4, "number is 2"),
    "an empty line": (changed(lambda r: [*r[:3], b"\n", *r[3:]]), 4, "no line of a journal"),
    "a space": (changed(lambda r: [*r[:3], b" " + r[3], *r[4:]]), 4, "canonical"),
    "a key twice": (
        changed(lambda r: [*r[:3], r[3].replace(b'"args"', b'"action":"ask","args"'), *r[4:]]),
        4,
        "'action' appears twice",
    ),
    "NaN": (changed(lambda r: [*r[:3], re_clock(r[3], b"NaN"), *r[4:]]), 4, "NaN is no number"),
    "Infinity": (changed(lambda r: [*r[:3], re_clock(r[3], b"Infinity"), *r[4:]]), 4, "Infinity"),
    "a huge number": (changed(lambda r: [*r[:3], re_clock(r[3], b"9" * 30), *r[4:]]), 4, "large"),
    "a huge power": (changed(lambda r: [*r[:3], re_clock(r[3], b"1e400"), *r[4:]]), 4, "large"),
    "deep nesting": (
        changed(lambda r: [*r[:3], re_clock(r[3], b"[" * 9000 + b"]" * 9000), *r[4:]]),
        4,
        "deeper than 16",
    ),
    "a line of 1 MB": (changed(lambda r: [*r[:3], b"7" * (1 << 20), *r[3:]]), 4, "longer than"),
    "torn in its header": (lambda raw: raw[:100], 1, "only the beginning"),
}


def re_clock(row: bytes, value: bytes) -> bytes:
    """Return a line with another clock."""
    before, _, after = row.partition(b'"clock_s":')
    return before + b'"clock_s":' + value + b"," + after.partition(b",")[2]


@pytest.mark.parametrize("name", DAMAGE)
def test_each_damage_has_one_clear_error_with_its_line(path, written, name) -> None:
    """The line, what is wrong with it, in one sentence or two; the file stays as it is."""
    damage, line, said = DAMAGE[name]
    path.write_bytes(damage(written))
    before = path.read_bytes()

    for go in (read_journal, replay):
        with pytest.raises(JournalError, match=said) as caught:
            go(path)
        assert line == caught.value.line
        assert str(caught.value).startswith(f"Journal, line {line}: ")
        assert len(str(caught.value)) < 250
    assert before == path.read_bytes()


@pytest.mark.parametrize("name", sorted(set(DAMAGE) - {"empty", "torn in its header"}))
def test_a_visit_is_not_continued_on_a_damaged_journal(path, written, name) -> None:
    """Nothing is cut off, overwritten or appended."""
    path.write_bytes(DAMAGE[name][0](written))
    before = path.read_bytes()

    with pytest.raises(JournalError):
        open_visit("spring-check-01", seed=7, learner="a-17", journal=path)

    assert before == path.read_bytes()
    assert [path.name] == [other.name for other in path.parent.iterdir()]


@pytest.mark.parametrize("number", range(1, 9))
def test_cut_off_anywhere_it_is_whole_up_to_there(path, written, number) -> None:
    """At a line's end it is a shorter visit; inside a line, that line counts as torn."""
    rows = written.splitlines(keepends=True)
    whole = b"".join(rows[:number])
    path.write_bytes(whole)
    assert (number - 1, 0) == (len(read_journal(path).entries), read_journal(path).torn)

    for cut in (1, len(rows[number - 1]) // 2, len(rows[number - 1]) - 1):
        path.write_bytes(whole[:-cut])
        if number == 1:
            with pytest.raises(JournalError, match="line 1: only the beginning"):
                read_journal(path)
        else:
            assert number - 2 == len(read_journal(path).entries)
            assert len(rows[number - 1]) - cut == read_journal(path).torn


def test_what_is_no_file_is_named(tmp_path) -> None:
    """A folder, a missing file, a name no system takes."""
    for place, said in (
        (tmp_path, "is a folder"),
        (tmp_path / "nowhere.jsonl", "There is no journal 'nowhere.jsonl'"),
        (tmp_path / "no" / "where.jsonl", "There is no journal"),
        (f"{tmp_path}/a\0b", "There is no journal|cannot be read"),
        (tmp_path / ("x" * 300), "There is no journal|cannot be read"),
    ):
        with pytest.raises(KitError, match=said):
            read_journal(place)


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no named pipes on Windows")
def test_a_pipe_is_no_file(tmp_path) -> None:
    """Reading from it would wait for ever."""
    os.mkfifo(tmp_path / "pipe")

    with pytest.raises(KitError, match="There is no journal"):
        read_journal(tmp_path / "pipe")
    with pytest.raises(KitError, match="Give a file's name"):
        open_visit("spring-check-01", journal=tmp_path / "pipe")


def test_a_disk_that_fails_while_it_is_read_is_named(path, monkeypatch) -> None:
    """An error of the system comes out as one of the kit's."""

    def broken(_: object) -> None:
        raise OSError(5, "Input/output error")

    monkeypatch.setattr(file, "_read", broken)

    with pytest.raises(KitError, match="cannot be read: Input/output error"):
        read_journal(path)
    with pytest.raises(KitError, match="cannot be read: Input/output error"):
        open_visit("spring-check-01", seed=7, learner="a-17", journal=path)


def hundred_megabytes(written: bytes) -> Iterator[bytes]:
    """Give good lines, and then far too many bytes."""
    yield written
    yield from (b"x" * (1 << 20) for _ in range(100))


def one_line_of_fifty(written: bytes) -> Iterator[bytes]:
    """Give a header and a line of fifty megabytes."""
    yield written.splitlines(keepends=True)[0]
    yield from (b"[" * (1 << 20) for _ in range(50))
    yield b"\n"


def short_lines(_: bytes) -> Iterator[bytes]:
    """Give a hundred megabytes of empty lines."""
    yield from (b"\n" * (1 << 20) for _ in range(100))


def longest_line(written: bytes) -> Iterator[bytes]:
    """Give a line just short enough, full of small things that take much memory."""
    yield written.splitlines(keepends=True)[0]
    yield b'{"a":[' + b"{},".join([b""] * (LONGEST_LINE // 3 - 10)) + b"0]}\n"


def many_keys(written: bytes) -> Iterator[bytes]:
    """Give a line with as many keys as go into it."""
    yield written.splitlines(keepends=True)[0]
    keys = b",".join(b'"%x":0' % number for number in range(LONGEST_LINE // 11))
    yield b"{" + keys + b"}\n"


@pytest.mark.parametrize(
    ("pieces", "line"),
    [
        (hundred_megabytes, 9),
        (one_line_of_fifty, 2),
        (short_lines, 1),
        (longest_line, 2),
        (many_keys, 2),
    ],
)
def test_the_largest_journals_are_refused_in_bounded_time_and_memory(
    tmp_path, written, pieces, line
) -> None:
    """No journal needs more than 5 s of this computer or 100 MB of its memory."""
    path = tmp_path / "large.jsonl"
    with path.open("wb") as out:
        out.writelines(pieces(written))
    start = time.process_time()

    with pytest.raises(JournalError) as caught:
        read_journal(path)

    assert line == caught.value.line
    assert time.process_time() - start < 5.0
    tracemalloc.start()
    with pytest.raises(JournalError):
        read_journal(path)
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert peak < 100 << 20


def test_a_journal_of_a_megabyte_is_read_in_bounded_time(tmp_path, written, monkeypatch) -> None:
    """Crafted to take long, with every hash right; what exceeds the limit is named by its line."""
    monkeypatch.setattr(file, "LARGEST_FILE", 2 * LONGEST_LINE)
    entries = entries_of(written)
    header, action = entries[0], entries[1]
    room = (LONGEST_LINE // 2 - len(json.dumps(action)) - 400) // 8
    filler = {**action, "outcome": {"x": [{"a": 1}] * room}}
    path = tmp_path / "full.jsonl"
    path.write_bytes(chained([header, *({**filler, "i": i} for i in range(1, 4))]))
    start = time.process_time()

    assert 3 == len(read_journal(path).entries)

    # The limit is four times that: 3.7 s of processor time were measured for a full journal.
    assert LARGEST_FILE == 8 * LONGEST_LINE
    assert time.process_time() - start < 5.0
    path.write_bytes(chained([header, *({**filler, "i": i} for i in range(1, 6))]))
    with pytest.raises(JournalError, match=f"longer than {2 * LONGEST_LINE} bytes") as caught:
        read_journal(path)
    assert 6 == caught.value.line


def test_too_many_lines_are_refused_with_the_first_too_many(path, monkeypatch) -> None:
    """The number of lines is bounded too."""
    assert MOST_LINES == 20_000
    monkeypatch.setattr(file, "MOST_LINES", 5)

    with pytest.raises(JournalError, match="more than 5 lines") as caught:
        read_journal(path)

    assert 6 == caught.value.line
