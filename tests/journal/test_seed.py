"""The seed of a visit cannot be chosen afterwards, and in an examination not be guessed."""

from __future__ import annotations

import hashlib

import pytest

from kit.errors import KitError
from kit.journal import JournalError, OtherJournalError, SealedSeed, open_visit, replay
from kit.journal.seed import committed
from tests.journal.forging import forged

SEALED = SealedSeed(7, "ab" * 32)


@pytest.fixture
def examined(tmp_path) -> object:
    """Return the journal of an examination."""
    path = tmp_path / "examined.jsonl"
    visit = open_visit("spring-check-01", seed=SEALED, learner="a-17", journal=path)
    visit.step("set_demand", mode="cooling")
    visit.step("read", instrument="air_probe", at="supply")
    visit.close()
    return path


def test_a_commitment_is_a_hash_of_seed_and_nonce() -> None:
    """SHA-256 over a tag and the canonical form, so that anybody can check it."""
    plain = b'benchcall-seed/1\n{"nonce":"' + b"ab" * 32 + b'","order_digest":"d","seed":7}'

    assert hashlib.sha256(plain).hexdigest() == committed(7, "ab" * 32, "d")


def test_a_commitment_hides_the_seed() -> None:
    """Without the nonce the same seed commits differently."""
    assert committed(7, "a" * 64, "d") != committed(7, "b" * 64, "d")


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (lambda e: e.update(seed=8), "committed"),
        (lambda e: e.update(nonce="0" * 64), "committed"),
        (lambda e: e.update(nonce=None), "both told or both kept apart"),
        (lambda e: e.update(seed=None), "both told or both kept apart"),
    ],
)
def test_a_changed_seed_breaks_the_commitment(path, change, said) -> None:
    """The instruments' errors cannot be chosen afterwards."""
    forged(path, 1, change)

    with pytest.raises(JournalError, match=said) as caught:
        replay(path)

    assert 1 == caught.value.line


def test_practice_tells_its_seed_and_holds_it_to_what_is_expected(path) -> None:
    """Replay needs no more than the file; a wrong expectation is named."""
    assert 7 == replay(path).start.seed
    assert 7 == replay(path, seed=7).start.seed
    with pytest.raises(OtherJournalError, match="seed 7, not 8"):
        replay(path, seed=8)


def test_an_examination_holds_neither_seed_nor_nonce(examined) -> None:
    """Seeds could be tried one by one if the nonce stood beside the commitment."""
    text = examined.read_text("utf-8")

    assert '"seed":null' in text
    assert SEALED.nonce not in text


def test_an_examination_replays_with_its_sealed_seed_only(examined) -> None:
    """Given from outside, it is checked against the commitment."""
    assert 2 == len(replay(examined, seed=SEALED).steps)
    for given in (None, 7):
        with pytest.raises(KitError, match="keeps its seed apart"):
            replay(examined, seed=given)
    for wrong in (SealedSeed(8, SEALED.nonce), SealedSeed(7, "cd" * 32)):
        with pytest.raises(JournalError, match="not the one committed to"):
            replay(examined, seed=wrong)


def test_an_examination_goes_on_with_its_sealed_seed(examined) -> None:
    """A crash in an examination is no end of it."""
    again = open_visit("spring-check-01", seed=SEALED, learner="a-17", journal=examined)
    again.step("read", instrument="air_probe", at="supply")
    again.close()

    assert 3 == len(replay(examined, seed=SEALED).steps)


def test_an_examination_is_marked_with_its_sealed_seed(examined) -> None:
    """Marking takes the replay."""
    import kit

    assert not kit.mark(replay(examined, seed=SEALED)).passed


def test_a_sealed_seed_can_be_kept_as_text() -> None:
    """One line, and back."""
    sealed = SealedSeed.draw()

    assert sealed == SealedSeed.from_text(f"{sealed}\n")
    assert sealed != SealedSeed.draw(sealed.value)


@pytest.mark.parametrize("text", ["", "7", "7.ab", "x." + "ab" * 32, f"{2**53}." + "ab" * 32])
def test_what_is_no_sealed_seed_is_refused(text) -> None:
    """A clear sentence, whatever was pasted."""
    with pytest.raises(KitError, match="seed"):
        SealedSeed.from_text(text)


@pytest.mark.parametrize("seed", [-1, 2**53, 1.5, True, "7"])
def test_a_seed_must_be_a_whole_number_json_can_carry(seed) -> None:
    """RFC 8785 carries whole numbers below 2**53."""
    with pytest.raises(KitError, match="seed"):
        open_visit("spring-check-01", seed=seed)
