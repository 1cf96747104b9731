"""Any change to a good journal gives the same replay or one error of the kit, and nothing else."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from kit.errors import KitError
from kit.journal import Replay, open_visit, replay
from kit.visit.actions import registry
from tests.journal.forging import chained, entries_of

JSON = st.recursive(
    st.none() | st.booleans() | st.integers(-(2**53) + 1, 2**53 - 1) | st.text(max_size=12)
    | st.floats(allow_nan=False, allow_infinity=False)
    | st.sampled_from(["ask", "read", "what", "air_probe", "supply", "cooling", "si", 0, 1, -1]),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=6), inner,
                                                                 max_size=3),
    max_leaves=5,
)  # fmt: skip
FEW = settings(max_examples=150, suppress_health_check=list(HealthCheck))


@pytest.fixture(scope="module")
def good(tmp_path_factory) -> tuple[Path, bytes, Replay]:
    """Return a place to write to, a good journal with a line of each kind, and its replay."""
    path = tmp_path_factory.mktemp("fuzz") / "attempt.jsonl"
    visit = open_visit("spring-check-01", seed=7, learner="a-17", journal=path)
    visit.step("ask", topic="what")
    visit.step("place", instrument="air_probe", at="supply")
    visit.units = "si"
    visit.step("wait", minutes=0.5)
    visit.step("read", instrument="air_probe", at="supply")
    visit.step("record", item="supply_dry_bulb", when="as_found", reading=1)
    visit.close()
    path.write_bytes(path.read_bytes() + b'{"action":"torn')
    visit = open_visit("spring-check-01", seed=7, learner="a-17", journal=path)
    visit.step("lock")
    visit.close()
    return path, path.read_bytes(), replay(path)


def outcome_of(path: Path, raw: bytes) -> Replay | KitError:
    """Return what replaying these bytes comes to; any other exception fails the test."""
    path.write_bytes(raw)
    try:
        return replay(path)
    except KitError as error:
        return error


def same_beginning(good: Replay, found: Replay) -> bool:
    """Tell whether a replay is that of the good journal, perhaps without its last lines."""
    mine = [(s.action, s.args, s.outcome) for s in good.steps[: len(found.steps)]]
    return mine == [(s.action, s.args, s.outcome) for s in found.steps]


@FEW
@given(data=st.data())
def test_changed_bytes_give_the_same_replay_or_one_error(good, data) -> None:
    """Put in, left out or overwritten, at one to four places."""
    path, raw, before = good
    changed = bytearray(raw)
    for _ in range(data.draw(st.integers(1, 4))):
        start = data.draw(st.integers(0, len(changed)))
        end = min(start + data.draw(st.integers(0, 3)), len(changed))
        changed[start:end] = data.draw(
            st.binary(max_size=4) | st.sampled_from([b"\n", b'"', b"\\"])
        )

    found = outcome_of(path, bytes(changed))

    if isinstance(found, Replay):
        assert same_beginning(before, found)


@FEW
@given(data=st.data())
def test_lines_moved_about_give_the_same_replay_or_one_error(good, data) -> None:
    """Lost, doubled, swapped: the chain holds them in their order, up to where it ends."""
    path, raw, before = good
    rows = raw.splitlines(keepends=True)
    order = data.draw(st.lists(st.integers(0, len(rows) - 1), max_size=12))

    found = outcome_of(path, b"".join(rows[i] for i in order))

    assert isinstance(found, Replay) == (order == list(range(len(order))) and bool(order))
    if isinstance(found, Replay):
        assert same_beginning(before, found)


def places(value: Any) -> Iterator[tuple[Any, Any]]:
    """Give each container inside a value with each of its keys."""
    if isinstance(value, dict | list):
        for key in value if isinstance(value, dict) else range(len(value)):
            yield value, key
            yield from places(value[key])


@FEW
@given(data=st.data())
@example(data=None)
def test_forged_values_give_an_equal_replay_or_one_error(good, data) -> None:
    """Any value anywhere replaced by any other, or left out, with every hash made to fit."""
    path, raw, before = good
    entries = entries_of(raw)
    if data is not None:
        inside, key = data.draw(st.sampled_from(list(places(entries))))
        if isinstance(inside, dict) and data.draw(st.booleans()):
            inside.pop(key)
        else:
            inside[key] = data.draw(JSON)
    try:
        forged = chained(entries)
    except (TypeError, ValueError, AttributeError):
        return  # what has no canonical form cannot be chained; the tests above cover it

    found = outcome_of(path, forged)

    if isinstance(found, Replay):
        assert same_beginning(before, found)
        assert len(before.steps) == len(found.steps)


@st.composite
def calls(draw: st.DrawFn) -> tuple[str, dict[str, Any]]:
    """Give an action of the visit with arguments that may fit, or not, or are none of its own."""
    act = draw(st.sampled_from(list(registry().values())))
    args: dict[str, Any] = draw(st.dictionaries(st.text(max_size=4), JSON, max_size=1))
    for one in act.arguments:
        fitting = sorted({*one.choices, *(c for some in one.choices_by.values() for c in some)})
        likely = st.sampled_from(fitting) if fitting else st.floats(0.0, 400.0) | st.booleans()
        value = st.lists(likely, max_size=3) if one.kind == "choices" else likely
        if draw(st.integers(0, 9)):
            args[one.name] = draw(value if draw(st.integers(0, 4)) else JSON)
    return (act.name if draw(st.integers(0, 9)) else draw(st.text(max_size=8))), args


@FEW
@given(call=calls())
def test_a_forged_action_gives_one_error(good, call) -> None:
    """Whatever is asked for, the visit refuses it with an error of the kit, or does it."""
    path, raw, _ = good
    entries = entries_of(raw)
    entries[5] = {**entries[5], "action": call[0], "args": call[1], "outcome": {}}

    assert isinstance(outcome_of(path, chained(entries)), KitError)
