"""What each kind of line holds: nothing lacks, nothing is added, everything fits."""

from __future__ import annotations

import pytest

from kit.errors import KitError
from kit.journal import JournalError, read_journal
from kit.journal.form import FORMS, LONGEST_VISIT_S, checked_language
from tests.journal.forging import chained, entries_of, forged


def keys(path, number: int) -> list[str]:
    """Return the keys of a line that its kind decides."""
    return list(FORMS[entries_of(path.read_bytes())[number - 1]["kind"]])


@pytest.mark.parametrize("number", [1, 2])
def test_a_line_that_lacks_something_is_named(path, number) -> None:
    """Each key of a header and of an action is needed."""
    whole = path.read_bytes()
    for key in keys(path, number):
        path.write_bytes(whole)
        forged(path, number, lambda e, key=key: e.pop(key))

        with pytest.raises(JournalError) as caught:
            read_journal(path)

        assert number == caught.value.line


@pytest.mark.parametrize("value", [None, [], {}, "", "\x00", -1, 0.5, True, "x" * 300])
@pytest.mark.parametrize("number", [1, 2])
def test_a_value_that_does_not_fit_is_named(path, number, value) -> None:
    """No key takes everything: of these values none fits more than a few keys."""
    whole, fitting, named = path.read_bytes(), [], []
    for key in keys(path, number):
        path.write_bytes(whole)
        forged(path, number, lambda e, key=key: e.update({key: value}))
        try:
            read_journal(path)
            fitting.append(key)
        except JournalError as error:
            named.append((error.line, "no journal" in str(error) or key in str(error)))

    assert {(number, True)} == set(named)
    may = {"learner"} if value == "" else {"seed", "nonce"} if value is None else set()
    may |= {"args", "outcome"} if value == {} else set()
    may |= {"kit", "order", "action"} if value == "\x00" else set()
    may |= {"clock_s"} if value == 0.5 else set()
    assert set() == set(fitting) - may


def test_what_no_journal_has_is_named(path) -> None:
    """Nothing rides along unread."""
    forged(path, 3, lambda e: e.update(extra=1))

    with pytest.raises(JournalError, match='line 3: it holds "extra"'):
        read_journal(path)


def test_a_second_header_is_refused(path) -> None:
    """One visit, one header, in the first line."""
    entries = entries_of(path.read_bytes())
    path.write_bytes(chained([*entries[:3], {**entries[0], "i": 3}]))

    with pytest.raises(JournalError, match="line 4: a header stands in the first line"):
        read_journal(path)


@pytest.mark.parametrize("kind", ["gossip", None, ["action"], 7])
def test_an_unknown_kind_is_named(path, kind) -> None:
    """The kinds that exist are listed."""
    forged(path, 2, lambda e: e.update(kind=kind))

    with pytest.raises(JournalError, match=r"line 2: its kind is .*known: header, action"):
        read_journal(path)


def test_a_visit_of_more_than_two_days_is_refused_unplayed(path) -> None:
    """Doing it again would take as long as somebody wants it to."""
    forged(path, 2, lambda e: e.update(clock_s=LONGEST_VISIT_S + 1))

    with pytest.raises(JournalError, match="clock_s"):
        read_journal(path)


@pytest.mark.parametrize("tag", ["en", "es", "es-MX", "zh-Hant-TW"])
def test_language_tags_are_taken(tag) -> None:
    """The usual shapes of BCP 47."""
    assert tag == checked_language(tag)


@pytest.mark.parametrize("tag", ["", "EN", "english please", "es_MX", "../es", 7])
def test_what_is_no_language_tag_is_refused(tag) -> None:
    """A path or a word of a language is none."""
    with pytest.raises(KitError, match="language"):
        checked_language(tag)
