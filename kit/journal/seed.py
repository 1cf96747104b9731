"""The seed of a visit: told in the journal for practice, only committed to in an examination."""

from __future__ import annotations

import hashlib
import re
import secrets
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import rfc8785

from kit.errors import KitError
from kit.journal.entry import JournalError, OtherJournalError

_TEXT = re.compile(r"([0-9]{1,16})\.([0-9a-f]{64})")
LARGEST = (1 << 53) - 1  # RFC 8785 carries whole numbers up to here


@dataclass(frozen=True, slots=True)
class SealedSeed:
    """A seed with its nonce, kept apart from the journal until it is marked.

    Args:
        value: the seed, 0 to 2**53 - 1.
        nonce: 256 random bits in hexadecimal; without them the seed could be guessed from the
            commitment by trying every seed.
    """

    value: int
    nonce: str

    def __post_init__(self) -> None:
        """Check both parts."""
        whole = checked_seed(self.value)
        if _TEXT.fullmatch(f"{whole}.{self.nonce}") is None:
            raise KitError("The nonce of a sealed seed must be 64 hexadecimal digits.")

    @classmethod
    def draw(cls, value: int | None = None) -> SealedSeed:
        """Return a fresh sealed seed.

        Args:
            value: the seed; drawn when left out.
        """
        return cls(secrets.randbits(53) if value is None else value, secrets.token_hex(32))

    @classmethod
    def from_text(cls, text: str) -> SealedSeed:
        """Return the sealed seed that `text` stands for.

        Args:
            text: what `str` gave of a sealed seed.

        Raises:
            KitError: it is not of that form.
        """
        found = _TEXT.fullmatch(text.strip())
        if found is None:
            raise KitError(
                "This is no sealed seed. It is a whole number, a point and 64 hexadecimal digits."
            )
        return cls(int(found[1]), found[2])

    def __str__(self) -> str:
        """Return it as one line, to be kept until marking."""
        return f"{self.value}.{self.nonce}"


def checked_seed(seed: object) -> int:
    """Return a seed, which must be a whole number that JSON can carry.

    Args:
        seed: what was given.

    Raises:
        KitError: it is none.
    """
    if type(seed) is not int or not 0 <= seed <= LARGEST:
        raise KitError(f"seed is {seed!r}; it must be a whole number from 0 to {LARGEST}.")
    return seed


def committed(seed: int, nonce: str, order_digest: str) -> str:
    """Return what a header holds of a seed so that it cannot be changed afterwards.

    Args:
        seed: the seed.
        nonce: 256 random bits, in hexadecimal.
        order_digest: digest of the work order.

    Returns:
        SHA-256 over the canonical form of the three, in hexadecimal.
    """
    plain: dict[str, str | int] = {"nonce": nonce, "order_digest": order_digest, "seed": seed}
    return hashlib.sha256(b"benchcall-seed/1\n" + rfc8785.dumps(plain)).hexdigest()


def opened_seed(header: Mapping[str, Any], given: int | SealedSeed | None) -> int:
    """Return the seed of a journal, held against what its header committed to.

    Args:
        header: first line of the journal.
        given: the seed, when the journal keeps it apart or the caller expects a certain one.

    Raises:
        KitError: the seed is kept apart and was not given with its nonce.
        OtherJournalError: another seed was expected than the one told.
        JournalError: the seed is not the one committed to.
    """
    told, nonce = header["seed"], header["nonce"]
    if (told is None) != (nonce is None):
        raise JournalError(1, "seed and nonce are either both told or both kept apart.")
    if told is None:
        if not isinstance(given, SealedSeed):
            raise KitError(
                "Journal, line 1: this journal keeps its seed apart. Give the sealed seed "
                "(`SealedSeed`, seed and nonce) that was kept when the visit began."
            )
        told, nonce = given.value, given.nonce
    elif given is not None:
        wanted = given.value if isinstance(given, SealedSeed) else checked_seed(given)
        if wanted != told:
            raise OtherJournalError("seed", wanted, told)
    if committed(told, nonce, header["order_digest"]) != header["commitment"]:
        raise JournalError(1, "the seed is not the one committed to when the visit began.")
    return int(told)
