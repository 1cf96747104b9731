"""An assessor changes a row with a name and a reason; the kit's own points stay beside it."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest

from kit import library
from kit.errors import KitError, OutOfRangeError, UnknownNameError
from kit.marking import Mark, mark, override, write_overrides
from kit.marking.override import overrides_path

WHO, WHY = "R. Quenby", "She asked about codes aloud while I stood beside her."
ORIGINAL = library.answer_keys("practice", "spring-check-01", "careful.jsonl")


@pytest.fixture(scope="module")
def original() -> Mark:
    """Return a mark with points to give."""
    return mark(ORIGINAL)


@pytest.fixture
def attempt(tmp_path) -> Path:
    """Return a journal of one's own."""
    path = tmp_path / "attempt.jsonl"
    shutil.copyfile(ORIGINAL, path)
    return path


def changed(original: Mark, points: float = 1.0) -> Mark:
    """Return the mark with its scope row changed."""
    return override(original, "scope", points, WHO, WHY, wall="2026-03-02T09:00:00+00:00")


def test_the_original_stays_beside_the_change(original) -> None:
    """Both can be read for as long as the mark is kept."""
    found = changed(original)
    kept = next(row for row in found.rows if row.name == "scope")
    now = next(row for row in found.final.rows if row.name == "scope")

    assert (0.0, 1.0) == (kept.points, now.points)
    assert original.points == found.points
    assert pytest.approx(original.points + 1) == found.final.points
    assert (WHO, WHY, 0.0) == (
        found.overrides[0].assessor,
        found.overrides[0].reason,
        found.overrides[0].was,
    )


def test_blocks_and_passing_follow_the_change(original) -> None:
    """A change can lift a visit over the line, or take it below."""
    found = original
    for row in original.rows:
        if row.points:
            found = override(found, row.name, 0, WHO, WHY)

    assert original.passed
    assert original.passed == found.passed
    assert not found.final.passed
    assert 0.0 == found.final.points
    assert all(block.points == 0.0 for block in found.final.blocks)


def test_both_stand_in_text_and_in_the_canonical_form(original) -> None:
    """Whoever reads the mark sees who changed what and why."""
    found = changed(original)
    said, plain = found.text, json.loads(found.to_json())

    assert "With changes by R. Quenby:" in said
    assert "As the kit marked it:" in said
    assert f"Changed from 0 to 1 by {WHO}: {WHY}" in said
    assert original.points == plain["points"]
    assert plain["final"]["points"] == found.final.points
    assert [WHY] == [one["reason"] for one in plain["overrides"]]


def test_a_second_change_of_a_row_keeps_the_first(original) -> None:
    """Nothing is ever taken out; the last word counts."""
    found = override(changed(original), "scope", 0.5, "T. Ashlar", "Half: she forgot the price.")

    assert [1.0, 0.5] == [one.points for one in found.overrides]
    assert [0.0, 1.0] == [one.was for one in found.overrides]
    assert pytest.approx(original.points + 0.5) == found.final.points


@pytest.mark.parametrize(
    ("row", "points", "who", "why", "kind", "said"),
    [
        ("scop", 1, WHO, WHY, UnknownNameError, "scope"),
        ("scope", 1.5, WHO, WHY, OutOfRangeError, "points for 'scope'"),
        ("scope", -0.1, WHO, WHY, OutOfRangeError, "points for 'scope'"),
        ("scope", float("nan"), WHO, WHY, OutOfRangeError, "points for 'scope'"),
        ("scope", True, WHO, WHY, OutOfRangeError, "points for 'scope'"),
        ("scope", "1", WHO, WHY, OutOfRangeError, "points for 'scope'"),
        ("scope", 0, WHO, WHY, KitError, "0 points already"),
        ("scope", 1, "", WHY, KitError, "assessor is ''"),
        ("scope", 1, "   ", WHY, KitError, "assessor"),
        ("scope", 1, WHO, "because", KitError, "reason is 'because'"),
        ("scope", 1, WHO, "x" * 2001, KitError, "reason"),
        ("scope", 1, "Q\x00by", WHY, KitError, "cannot be shown"),
    ],
)
def test_a_change_without_name_reason_or_sense_is_refused(
    original, row, points, who, why, kind, said
) -> None:
    """A change of a mark is an act of somebody, and says why."""
    with pytest.raises(kind, match=said):
        override(original, row, points, who, why)


def test_a_critical_error_is_not_outvoted(original) -> None:
    """Points do not make a critical error good; a supervisor decides about that in person."""
    weak = mark(library.answer_keys("practice", "spring-check-01", "weak.jsonl"))
    for row in weak.rows:
        if row.points < row.out_of:
            weak = override(weak, row.name, row.out_of, WHO, WHY)

    assert weak.final.points == weak.out_of
    assert not weak.final.passed


def test_written_beside_the_journal_it_is_marked_with_it(original, attempt) -> None:
    """`kit.mark` shows both; without the file, or told so, the kit's own."""
    path = write_overrides(changed(original), attempt)
    again = mark(attempt)

    assert overrides_path(attempt) == path
    assert changed(original) == again
    assert changed(original).to_json() == again.to_json()
    assert original == mark(attempt, overrides=False)


def test_a_later_change_is_added_and_nothing_rewritten(original, attempt) -> None:
    """The file only grows."""
    before = write_overrides(changed(original), attempt).read_bytes()
    more = override(mark(attempt), "outdoor-air", 0.5, WHO, "Shade was not to be had that day.")
    after = write_overrides(more, attempt).read_bytes()

    assert after.startswith(before)
    assert more == mark(attempt)
    assert after == write_overrides(more, attempt).read_bytes()


def test_changes_made_apart_are_not_mixed(original, attempt) -> None:
    """Two assessors who did not see each other's changes cannot both win."""
    write_overrides(changed(original), attempt)
    other = override(original, "outdoor-air", 0.5, WHO, "Shade was not to be had that day.")

    with pytest.raises(KitError, match="holds changes that this mark has not"):
        write_overrides(other, attempt)


def test_a_file_of_another_journal_is_refused(original, attempt, tmp_path) -> None:
    """The first line carries the hash of the journal it was made for."""
    path = write_overrides(changed(original), attempt)
    model = tmp_path / "model.jsonl"
    shutil.copyfile(ORIGINAL.with_name("model.jsonl"), model)
    shutil.copyfile(path, overrides_path(model))

    with pytest.raises(KitError, match="belongs to another journal"):
        mark(model)


@pytest.mark.parametrize(
    ("spoil", "said"),
    [
        (lambda raw: raw.replace(b"R. Quenby", b"R. Quendy"), "line 2.* hash does not fit"),
        (lambda raw: raw.replace(b'"points":1', b'"points":0.9'), "line 2.* hash does not fit"),
        (lambda raw: raw[:-10], "torn"),
        (lambda raw: b"", "torn"),
        (lambda raw: raw.split(b"\n")[1] + b"\n", "line 1"),
        (lambda raw: b"{}\n", "line 1"),
        (lambda raw: b"\xff\xfe\n", "line 1"),
        (lambda raw: b"[" * 3000 + b"\n", "line 1"),
        (lambda raw: raw + raw.split(b"\n")[1] + b"\n", "line 3"),
        (lambda raw: b" " * (1 << 20) + b"\n", "larger than"),
    ],
)
def test_a_file_changed_by_hand_is_refused(original, attempt, spoil, said) -> None:
    """Whatever was done to it, one clear error."""
    path = write_overrides(changed(original), attempt)
    path.write_bytes(spoil(path.read_bytes()))

    with pytest.raises(KitError, match=said):
        mark(attempt)


def test_another_rubric_than_it_was_made_with_is_told(original, attempt) -> None:
    """A row of the same name in another rubric is another row."""
    write_overrides(changed(original), attempt)

    with pytest.raises(KitError, match="made with the rubric 'spring-check'"):
        mark(attempt, rubric="visit")
    assert "visit" == mark(attempt, rubric="visit", overrides=False).rubric
