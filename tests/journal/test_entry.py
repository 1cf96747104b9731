"""One line of a journal: canonical, chained, and read without trust."""

from __future__ import annotations

import hashlib
import time

import pytest
import rfc8785
from hypothesis import given
from hypothesis import strategies as st

from kit.journal.entry import LONGEST_LINE, TAG, JournalError, parsed, sealed

ZERO = "0" * 64
PLAIN = st.recursive(
    st.none() | st.booleans() | st.integers(-(2**52), 2**52) | st.text(max_size=20)
    | st.floats(-1e12, 1e12),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=8), inner,
                                                                 max_size=3),
    max_leaves=8,
)  # fmt: skip


@given(args=st.dictionaries(st.text(max_size=10), PLAIN, max_size=4))
def test_what_is_sealed_can_be_read(args) -> None:
    """Any plain values survive the round trip."""
    raw, _ = sealed({"i": 0, "kind": "action", "args": args}, ZERO)

    assert args == parsed(raw, 1, ZERO)["args"]


def test_the_hash_is_that_of_the_canonical_form() -> None:
    """SHA-256 over tag and RFC 8785 bytes, so that anybody can check a chain."""
    raw, own = sealed({"i": 0, "kind": "note"}, ZERO)

    expected = hashlib.sha256(TAG + b'{"i":0,"kind":"note","previous":"' + b"0" * 64 + b'"}')
    assert expected.hexdigest() == own
    assert own.encode() in raw


@pytest.mark.parametrize(
    ("value", "canonical"),
    [
        (333333333.33333329, b"333333333.3333333"),
        (1e30, b"1e+30"),
        (4.50, b"4.5"),
        (2e-3, b"0.002"),
        (0.000000000000000000000000001, b"1e-27"),
    ],
)
def test_numbers_are_written_as_rfc_8785_says(value, canonical) -> None:
    """Sample numbers of RFC 8785, section 3.2.2."""
    assert canonical == rfc8785.dumps(value)


@pytest.mark.parametrize(
    ("raw", "said"),
    [
        (b"", "no line of a journal"),
        (b"\xff\xfe", "no line of a journal"),
        (b"[]", "no line of a journal"),
        (b'{"i":0,"i":0}', "twice"),
        (b'{"i":NaN}', "NaN"),
        (b'{"i":Infinity}', "Infinity"),
        (b'{"i":1e999}', "too large"),
        (b'{"i":99999999999999999999999999}', "too large"),
        (b'{"i": 0}', "canonical"),
        (b'{"kind":"note","i":0}', "canonical"),
        (b"[" * 200000, "nested too deep"),
        (b'{"a":' * 30 + b"1" + b"}" * 30, "no line of a journal"),
        (b'{"i":1,"kind":"note"}', "its number is 1"),
        (b'{"i":0,"kind":"gossip"}', "its kind"),
        (b'{"i":0,"kind":"note","previous":"x"}', "does not follow"),
        (b'{"i":0,"kind":"note"}', "does not follow"),
        (b'{"i":0,"kind":"note","previous":"' + b"0" * 64 + b'"}', "hash does not fit"),
        (b"9" * (LONGEST_LINE + 1), "longer than"),
    ],
)
def test_a_malformed_line_gives_one_clear_error_soon(raw, said) -> None:
    """Whatever is in it, the error names the line, quickly and with little memory."""
    start = time.perf_counter()

    with pytest.raises(JournalError, match=said) as caught:
        parsed(raw, 1, ZERO)

    assert 1 == caught.value.line
    assert time.perf_counter() - start < 1.0
