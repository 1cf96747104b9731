"""A journal done again gives every reading bit for bit, or the first line that does not."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import pytest

from kit.errors import KitError
from kit.journal import read_journal, replay
from kit.journal.entry import JournalError, sealed
from kit.journal.file import START
from kit.journal.replay import committed


def forged(path: Path, number: int, change) -> None:
    """Rewrite a journal with one entry changed and every hash made to fit again."""
    head, out = START, []
    for i, row in enumerate(path.read_bytes().splitlines(), start=1):
        entry = json.loads(row)
        entry.pop("hash")
        entry.pop("previous")
        if i == number:
            change(entry)
        raw, head = sealed(entry, head)
        out.append(raw + b"\n")
    path.write_bytes(b"".join(out))


def test_every_outcome_comes_out_again(path) -> None:
    """Readings, words, clock: all equal to what was written."""
    done = replay(path)

    assert 7 == len(done.steps)
    assert 1 == len(done.end.readings)
    assert done.steps[-1].outcome.refused


def test_a_second_replay_is_equal(path) -> None:
    """Bit for bit, truth included."""
    assert replay(path).end == replay(path).end


def test_a_forged_reading_is_named_though_its_hashes_fit(path) -> None:
    """Who rewrites the whole chain is found by the equations."""

    def warmer(entry) -> None:
        entry["outcome"]["readings"][0]["si"] += 0.1

    forged(path, 6, warmer)
    read_journal(path)

    with pytest.raises(JournalError, match="journal was changed") as caught:
        replay(path)

    assert 6 == caught.value.line


def test_a_forged_wait_is_named_at_the_first_reading_it_changes(path) -> None:
    """A longer wait than was done shows in its own outcome."""

    def longer(entry) -> None:
        entry["args"]["minutes"] = 12

    forged(path, 5, longer)

    with pytest.raises(JournalError) as caught:
        replay(path)

    assert 5 == caught.value.line


@pytest.mark.parametrize(
    ("number", "change", "said"),
    [
        (4, lambda e: e.pop("args"), "arguments"),
        (4, lambda e: e.update(action="fly"), "fly"),
        (4, lambda e: e.update(args=[1]), "arguments"),
        (4, lambda e: e.update(args={"x": 1}), "x"),
        (4, lambda e: e.pop("outcome"), "outcome"),
        (4, lambda e: e.update(action=3), "action"),
    ],
)
def test_a_malformed_action_gives_one_clear_error(path, number, change, said) -> None:
    """Hashes fit, sense does not: still one error with the line."""
    forged(path, number, change)

    with pytest.raises(JournalError, match=said) as caught:
        replay(path)

    assert number == caught.value.line


def test_another_physics_version_is_told_apart_from_tampering(path) -> None:
    """An honest journal of last year is not called a forgery."""

    def older(entry) -> None:
        entry["physics"] = "0123456789abcdef"

    def warmer(entry) -> None:
        entry["outcome"]["readings"][0]["si"] += 0.1

    forged(path, 1, older)
    forged(path, 6, warmer)

    with pytest.raises(JournalError, match="another version"):
        replay(path)


def test_another_version_with_equal_readings_is_accepted(path) -> None:
    """A changed comment does not make old journals worthless."""

    def older(entry) -> None:
        entry["physics"] = "0123456789abcdef"

    forged(path, 1, older)

    assert 7 == len(replay(path).steps)


def test_a_changed_seed_breaks_the_commitment(path) -> None:
    """The instruments' errors cannot be chosen afterwards."""

    def luckier(entry) -> None:
        entry["seed"] = 8

    forged(path, 1, luckier)

    with pytest.raises(JournalError, match="committed"):
        replay(path)


def test_a_seed_kept_apart_must_be_given(path) -> None:
    """In an examination the header holds only the commitment."""

    def without(entry) -> None:
        entry["seed"] = None

    forged(path, 1, without)

    with pytest.raises(KitError, match="Give the seed"):
        replay(path)
    assert 7 == len(replay(path, seed=7).steps)


def test_a_commitment_hides_the_seed() -> None:
    """Without the nonce the same seed commits differently."""
    assert committed(7, "a" * 64, "d") != committed(7, "b" * 64, "d")


def test_a_changed_work_order_is_refused(path) -> None:
    """A journal belongs to the work order of its day."""
    done = replay(path)

    with pytest.raises(KitError, match="not the one this journal was made with"):
        replay(path, order=replace(done.order, digest="0" * 64))
