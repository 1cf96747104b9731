"""One line of a journal: canonical, chained, and read without trust."""

from __future__ import annotations

import dataclasses
import hashlib
import time

import pytest
import rfc8785
from hypothesis import given
from hypothesis import strategies as st

from kit.errors import KitError
from kit.journal.entry import DEEPEST, LONGEST_LINE, TAG, JournalError, parsed, sealed
from kit.visit import outcome

ZERO = "0" * 64
SHOWN = "lines readings traces cautions hazards pictures elapsed_s clock_s reason stopped"
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
    "value", [float("nan"), float("inf"), 2**53, "\ud800", {1: 2}, b"bytes", {"\udfff": 1}]
)
def test_what_has_no_canonical_form_is_refused(value) -> None:
    """An action that could not be read back is not written."""
    with pytest.raises(KitError, match="cannot be written"):
        sealed({"i": 0, "value": value}, ZERO)


@pytest.mark.parametrize(
    ("raw", "said"),
    [
        (b"", "no line of a journal"),
        (b"\xff\xfe", "no line of a journal"),
        (b"[]", "not an object"),
        (b"7", "not an object"),
        (b'{"i":0,"i":0}', "'i' appears twice"),
        (b'{"a":{"x":1,"y":2,"x":3}}', "'x' appears twice"),
        (b'{"i":NaN}', "NaN is no number"),
        (b'{"i":-Infinity}', "-Infinity is no number"),
        (b'{"i":1e999}', "1e999 is too large"),
        (b'{"i":1E5000000}', "too large"),
        (b'{"i":0.' + b"1" * 100_000 + b"}", "too long"),
        (b'{"i":99999999999999999999999999}', "too large"),
        (b'{"i":-' + b"9" * 400_000 + b"}", "too large"),
        (b'{"i":9007199254740992}', "9007199254740992 is too large"),
        (b'{"i": 0}', "canonical"),
        (b'{"i":1.0}', "canonical"),
        (b'{"i":-0}', "canonical"),
        (b'{"kind":"note","i":0}', "canonical"),
        (b'{"i":"\\u0041"}', "canonical"),
        (b'{"i":"\\ud800"}', "non-UTF-8"),
        (b'{"\\udfff":1}', "no line of a journal"),
        (b"\xef\xbb\xbf{}", "byte order mark"),
        (b'{"i":0}\r', "CR LF"),
        (b"[" * 400_000, "deeper than 16"),
        (b'{"a":' * 100_000, "deeper than 16"),
        (b'{"a":' * (DEEPEST + 1) + b"1" + b"}" * (DEEPEST + 1), "deeper than 16"),
        (b'{"i":1,"kind":"note"}', "its number is 1, expected 0"),
        (b'{"i":"' + b"x" * 1000 + b'"}', "its number is"),
        (b'{"i":0,"kind":"note","previous":"x"}', "does not follow"),
        (b'{"i":0,"kind":"note"}', "does not follow"),
        (b'{"i":0,"kind":"note","previous":"' + b"0" * 64 + b'"}', "hash does not fit"),
        (b"9" * (LONGEST_LINE + 1), f"longer than {LONGEST_LINE} bytes"),
    ],
    ids=range(32),
)
def test_a_malformed_line_gives_one_clear_error_soon(raw, said) -> None:
    """Whatever is in it, the error names the line, quickly and in few words."""
    start = time.process_time()

    with pytest.raises(JournalError, match=said) as caught:
        parsed(raw, 1, ZERO)

    assert 1 == caught.value.line
    assert len(str(caught.value)) < 250
    assert time.process_time() - start < 1.0


def test_the_deepest_line_allowed_is_read() -> None:
    """The limit is what it says, no less."""
    args = 0
    for _ in range(DEEPEST - 1):
        args = {"a": args}
    raw, _ = sealed({"i": 0, "args": args}, ZERO)

    assert args == parsed(raw, 1, ZERO)["args"]


@pytest.mark.parametrize(
    ("kind", "written", "left_out"),
    [
        (outcome.Outcome, SHOWN, "number action args units translate"),
        (outcome.Reading, "number instrument quantity kind place value at_s steady", ""),
        (outcome.Trace, "instrument quantity kind place at_s values", ""),
        (outcome.Hazard, "code level line", ""),
        (outcome.Picture, "subject grade alt", ""),
        (outcome.Caution, "code", "line"),
        (outcome.Line, "template values", ""),
        (outcome.Measure, "value kind", ""),
    ],
)  # fmt: skip
def test_all_that_is_shown_is_written(kind, written, left_out) -> None:
    """A field added to an outcome goes into the journal too: write it in `kit.journal.entry`."""
    found = {field.name for field in dataclasses.fields(kind)}

    assert set(written.split()) <= found
    assert set() == found - {*written.split(), *left_out.split()}
