"""A journal done again gives every reading bit for bit, or the first line that does not."""

from __future__ import annotations

from dataclasses import replace

import pytest

from kit.journal import (
    PHYSICS_VERSION,
    JournalError,
    OtherJournalError,
    PhysicsVersionError,
    ReadingsDifferError,
    read_journal,
    replay,
)
from tests.journal.forging import forged


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
    """Who rewrites the whole chain is found by the equations: line, value, and what should be."""
    real = replay(path).steps[4].outcome.readings[0].value

    def warmer(entry) -> None:
        entry["outcome"]["readings"][0]["si"] += 0.5

    forged(path, 6, warmer)
    read_journal(path)

    with pytest.raises(ReadingsDifferError, match="journal was changed") as caught:
        replay(path)

    assert 6 == caught.value.line
    said = f"`outcome.readings[0].si` says {real + 0.5!r}, but {real!r} follows"
    assert said in str(caught.value)


def test_the_first_of_several_lines_is_named(path) -> None:
    """Later lines may differ only because an earlier one was changed."""
    for number in (7, 6, 5):
        forged(path, number, lambda e: e["outcome"].update(elapsed_s=1))

    with pytest.raises(ReadingsDifferError) as caught:
        replay(path)

    assert 5 == caught.value.line


def test_a_forged_wait_is_named_at_the_first_reading_it_changes(path) -> None:
    """A longer wait than was done shows in its own outcome."""
    forged(path, 5, lambda e: e["args"].update(minutes=12))

    with pytest.raises(ReadingsDifferError, match="clock_s") as caught:
        replay(path)

    assert 5 == caught.value.line


def test_an_action_slipped_in_is_found(path) -> None:
    """What was asked for is compared too, with defaults filled in, not only what was seen."""
    forged(path, 6, lambda e: e["args"].pop("hold_s"))

    with pytest.raises(ReadingsDifferError, match="hold_s` is missing") as caught:
        replay(path)

    assert 6 == caught.value.line


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (lambda e: e.update(action="fly"), "fly"),
        (lambda e: e.update(args={"x": 1}), "x"),
        (lambda e: e.update(args={"topic": ["what"]}), "topic"),
        (lambda e: e.update(outcome={}), "outcome.clock_s` is missing"),
        (lambda e: e["outcome"]["lines"].pop(), r"lines` has \d items, but \d follow"),
        (lambda e: e["outcome"].update(stopped=True), "stopped` is written, but nothing"),
        (lambda e: e["outcome"].update(elapsed_s=True), "elapsed_s` says true"),
    ],
)
def test_a_line_without_sense_gives_one_clear_error(path, change, said) -> None:
    """Hashes and form fit, sense does not: still one error with the line."""
    forged(path, 2, change)

    with pytest.raises(JournalError, match=said) as caught:
        replay(path)

    assert 2 == caught.value.line


def older(entry) -> None:
    """Make a header that of the physics version before."""
    entry["physics"] = PHYSICS_VERSION - 1


def warmer(entry) -> None:
    """Change a reading."""
    entry["outcome"]["readings"][0]["si"] += 0.5


@pytest.mark.parametrize("change", [warmer, lambda e: e.update(action="read_gadget")])
def test_another_physics_version_is_told_apart_from_tampering(path, change) -> None:
    """An honest journal of last year is not called a forgery; its kit is named."""
    forged(path, 1, older)
    forged(path, 6, change)

    with pytest.raises(PhysicsVersionError, match="no sign of tampering: replay it with") as caught:
        replay(path)

    assert 6 == caught.value.line
    assert not isinstance(caught.value, ReadingsDifferError)


def test_another_version_with_equal_readings_is_accepted(path) -> None:
    """A version that changes other machines only does not make this journal worthless."""
    forged(path, 1, older)

    assert 7 == len(replay(path).steps)


def test_an_edited_engine_is_named_before_a_learner_is_blamed(path) -> None:
    """Two kits that call themselves the same, one of them edited: the message says so."""
    forged(path, 1, lambda e: e.update(engine="0123456789abcdef"))
    assert 7 == len(replay(path).steps)
    forged(path, 6, warmer)

    with pytest.raises(ReadingsDifferError, match="edited on one side"):
        replay(path)


def test_a_changed_work_order_is_refused(path) -> None:
    """A journal belongs to the work order of its day."""
    done = replay(path)

    with pytest.raises(JournalError, match="not the one this journal was made with") as caught:
        replay(path, order=replace(done.order, digest="0" * 64))

    assert 1 == caught.value.line


@pytest.mark.parametrize("name", ["../spring-check-01", "/etc/order.toml", "nowhere"])
def test_a_journal_cannot_make_the_kit_read_a_file(path, name) -> None:
    """The work order is looked up by its name among those of the kit, never by a path."""
    forged(path, 1, lambda e: e.update(order=name))

    with pytest.raises(JournalError, match="no work order") as caught:
        replay(path)

    assert 1 == caught.value.line


def test_the_journal_of_another_learner_or_work_order_is_refused(path) -> None:
    """Who marks one learner's journal as another's is told."""
    done = replay(path, learner="a-17")

    with pytest.raises(OtherJournalError, match=r"line 1.*'a-17', not 'b-4'"):
        replay(path, learner="b-4")
    with pytest.raises(OtherJournalError, match="work order"):
        replay(path, order=replace(done.order, name="autumn-check-02"))


def test_views_change_no_value(path) -> None:
    """Units and language are remembered; state and outcomes are the same without them."""
    from tests.journal.forging import chained, entries_of

    plain = replay(path)
    entries = entries_of(path.read_bytes())
    view = {
        "kind": "view",
        "units": "si",
        "language": "es",
        "clock_s": 60,
        "wall": "2026-01-01T00:00:00+00:00",
    }
    entries.insert(2, view)
    path.write_bytes(chained([{**e, "i": i} for i, e in enumerate(entries)]))

    done = replay(path)

    assert ("si", "es") == (done.units, done.language)
    assert plain.end == done.end
    assert [s.outcome for s in plain.steps] == [s.outcome for s in done.steps]
    assert ["us", *["si"] * 6] == [s.outcome.units for s in done.steps]
