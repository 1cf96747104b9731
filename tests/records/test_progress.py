"""What was noted is there again, once, in whatever order it came; and it can be taken away."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import kit
from kit import library
from kit.records.keeping import erase_work, exported, imported, write_export
from kit.records.progress import (
    Progress,
    erase_progress,
    known_heads,
    note_answer,
    note_visit,
    progress_store,
    read_progress,
    visit_note,
)
from kit.records.store import Store, StoreError
from kit.records.summary import Plan, practise_next, summary
from tests.records.notes import LESSONS, TASKS, answers, many_visits, rows, visit

JOURNAL = library.answer_keys("practice", "spring-check-01", "weak.jsonl")
PLANS = [Plan(name, TASKS, ("spring-check-01",)) for name in LESSONS]


@pytest.fixture
def store(tmp_path) -> Store:
    """Return an empty store."""
    return progress_store(tmp_path)


def noted(store: Store, notes: list) -> Progress:
    """Note answers and visits one after the other and return what is kept."""
    for note in notes:
        (note_visit if hasattr(note, "head") else note_answer)(store, note)
    return read_progress(store)


def told(progress: Progress) -> list:
    """Return all that a learner is told of it."""
    states = [summary(plan, progress) for plan in PLANS]
    pairs = list(zip(PLANS, states, strict=True))
    return [*states, practise_next(progress, pairs, LESSONS, {"live_work": "safe"})]


@settings(max_examples=15)
@given(st.lists(answers, max_size=12), many_visits, st.randoms())
def test_noting_in_any_order_gives_the_same_summary(tmp_path_factory, given_answers, seen, chance):
    """Two kernels may note in any order, and a visit may be taken in late."""
    notes = [*given_answers, *seen]
    shuffled = list(notes)
    chance.shuffle(shuffled)
    first, second = (progress_store(tmp_path_factory.mktemp("order")) for _ in range(2))
    one, other = noted(first, notes), noted(second, shuffled)
    assert one == other
    assert told(one) == told(other)
    assert len(notes) == len(one.answers) + len(one.visits)


def test_the_same_journal_is_noted_once(store):
    """A finished visit that is opened again to be looked at does not count twice."""
    again = visit("2026-02-02", points=5.0)
    for one in (visit("2026-02-01"), again, again):
        note_visit(store, one)
    (kept,) = read_progress(store).visits
    assert ("2026-02-01", 5.0, 3) == (kept.at, kept.points, len(kept.rows))
    assert {again.head} == known_heads(store)


def test_a_real_mark_is_noted_as_it_stands(store):
    """Points, rows by block and critical errors are those of the mark."""
    mark = kit.mark(JOURNAL)
    note_visit(store, visit_note(mark, LESSONS[0], "2026-02-01"))
    (kept,) = read_progress(store).visits
    assert (mark.points, mark.out_of, mark.passed) == (kept.points, kept.out_of, kept.passed)
    assert [(r.name, r.block, r.points) for r in mark.rows] == [
        (r.name, r.block, r.points) for r in kept.rows
    ]
    assert [error.code for error in mark.critical] == [error.code for error in kept.critical]
    assert kept.critical
    assert mark.learner == kept.learner


def test_what_an_assessor_changed_counts(store):
    """The final mark is the learner's mark."""
    from kit.marking.override import override

    mark = kit.mark(JOURNAL)
    row = next(row for row in mark.rows if row.points < row.out_of)
    changed = override(mark, row.name, row.out_of, "Assessor A", "Seen at the bench, done well.")
    kept = visit_note(changed, LESSONS[0], "2026-02-01")
    assert changed.final.points == kept.points != mark.points


def test_nothing_but_an_opaque_id_says_who_it_is(store):
    """No column holds a name or what was typed."""
    noted(store, [visit()])
    with store.reading() as db:
        columns = {
            column
            for (table,) in db.execute("SELECT name FROM sqlite_master WHERE type = 'table'")
            for (column,) in db.execute("SELECT name FROM pragma_table_info(?)", (table,))
        }
    assert {
        "number", "learner", "lesson", "task", "tone", "at", "head", "work_order", "rubric",
        "points", "out_of", "passed", "place", "name", "block", "title", "code", "stands",
    } == columns  # fmt: skip


@settings(max_examples=15)
@given(st.lists(answers, max_size=8), many_visits)
def test_an_export_holds_all_and_can_be_read_again(tmp_path_factory, given_answers, seen):
    """What is written, read and noted elsewhere is the same progress."""
    folder = tmp_path_factory.mktemp("export")
    progress = noted(progress_store(folder), [*given_answers, *seen])
    data = exported(progress, "p-1", kit.__version__, "2026-03-04T05:06:07.000+00:00")
    path = write_export(folder, data)
    assert "progress-2026-03-04.json" == path.name
    read = imported(json.loads(path.read_text("utf-8")))
    assert progress == read
    elsewhere = noted(progress_store(
        tmp_path_factory.mktemp("elsewhere")), [*read.answers, *read.visits])  # fmt: skip
    assert progress == elsewhere


def test_an_export_never_takes_another_files_place(tmp_path):
    """Two exports on one day are two files, each whole, and nothing else is left behind."""
    data = exported(Progress(), "p-1", "0", "2026-03-04T05:06:07.000+00:00")
    names = [write_export(tmp_path, data).name for _ in range(3)]
    assert sorted(names) == sorted(path.name for path in tmp_path.iterdir())
    assert 3 == len(set(names))
    with pytest.raises(StoreError, match="cannot be written"):
        write_export(tmp_path / "nowhere", data)


@pytest.mark.parametrize(
    "found",
    [{}, {"format": "benchcall progress", "version": 2}, {"format": "other", "version": 1}],
)
def test_what_is_no_export_is_told(found):
    """Another version is not guessed at."""
    with pytest.raises(StoreError, match="no progress in version 1"):
        imported(found)


def test_an_export_changed_by_hand_is_told():
    """A field too many or too few is an error of the kit."""
    data = exported(Progress(visits=(visit(),)), "p-1", "0", "2026-03-04")
    del data["visits"][0]["rows"][0]["block"]
    with pytest.raises(StoreError, match="changed by hand"):
        imported(data)


def test_erasing_really_removes(store):
    """Not a word of it is left in the file, nor in one that was put aside."""
    store.path.write_bytes(b"broken " * 1000)
    noted(store, [visit(head=number, rows=rows(dc_bus=0.0)) for number in range(1, 40)])
    assert b"Title of dc-bus" in store.path.read_bytes()
    assert 1 == len(store.aside())
    erase_progress(store, sure=True)
    assert Progress() == read_progress(store)
    raw = store.path.read_bytes()
    for word in (b"Title of", b"00-start-here", b"p-1", b"spring-check"):
        assert word not in raw
    assert [] == store.aside()
    assert Progress() == read_progress(progress_store(store.path.parent))


def test_erasing_wants_a_confirmation(store, tmp_path):
    """One slip of the hand erases nothing."""
    noted(store, [visit()])
    with pytest.raises(ValueError, match="cannot be undone"):
        erase_progress(store, sure=False)
    with pytest.raises(ValueError, match="cannot be undone"):
        erase_work(tmp_path, LESSONS, sure=False)
    assert 1 == len(read_progress(store).visits)


def work(folder: Path) -> dict[str, Path]:
    """Put files of a learner into a folder."""
    made = {}
    for name in (
        f"{LESSONS[0]}/spring-check-01.jsonl", f"{LESSONS[0]}/spring-check-01.1.jsonl",
        f"{LESSONS[0]}/spring-check-01.jsonl.torn-1", f"{LESSONS[0]}/answers.json",
        f"{LESSONS[1]}/attempt-1/visit.jsonl", f"{LESSONS[1]}/own.txt", "learner.json",
        "progress-2026-03-04.json",
    ):  # fmt: skip
        made[name] = folder / name
        made[name].parent.mkdir(parents=True, exist_ok=True)
        made[name].write_text("{}")
    return made


def test_journals_and_answers_can_be_erased_too(tmp_path):
    """All the kit wrote into the lessons' folders goes; what it did not write stays."""
    work(tmp_path)
    assert [] == erase_work(tmp_path, LESSONS, sure=True)
    left = sorted(p.relative_to(tmp_path).as_posix() for p in tmp_path.rglob("*") if p.is_file())
    assert [f"{LESSONS[1]}/own.txt", "learner.json", "progress-2026-03-04.json"] == left
    assert not (tmp_path / LESSONS[1] / "attempt-1").exists()


def test_a_visit_that_is_open_elsewhere_is_left_and_named(tmp_path):
    """A journal is not pulled away from under a visit."""
    name = f"{LESSONS[0]}/spring-check-01.jsonl"
    (tmp_path / LESSONS[0]).mkdir()
    open_visit = kit.open_visit("spring-check-01", journal=tmp_path / name, learner="p-1")
    try:
        assert [name] == erase_work(tmp_path, LESSONS, sure=True)
    finally:
        open_visit.close()
    assert (tmp_path / name).exists()
    assert [] == erase_work(tmp_path, LESSONS, sure=True)
    assert not (tmp_path / name).exists()
