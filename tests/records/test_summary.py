"""How far a learner has come, and what to practise next, follow from what was noted."""

from __future__ import annotations

from dataclasses import replace

import pytest

from kit.records.progress import Answer, CriticalNote, Progress, RowNote
from kit.records.summary import (
    BEGUN,
    DONE,
    NOT_BEGUN,
    LessonState,
    Plan,
    practise_next,
    summary,
)
from tests.records.notes import LESSONS, ORDERS, rows, visit

NAME = LESSONS[0]
PLAN = Plan(NAME, ("guess", "split", "air"), (ORDERS[0],), blocks=("baseline",))
SAFE = Plan(LESSONS[1], ("split",), blocks=("safe", "decision"))
CRITICAL = {"live_work": "safe", "false_record": "decision"}


def said(*tones: str, lesson: str = NAME) -> tuple[Answer, ...]:
    """Return answers from "task tone", one a day; the first answer to "guess" stands."""
    return tuple(
        Answer(f"2026-01-{day:02d}", lesson, *one.split(), "p-1", one.startswith("guess"))
        for day, one in enumerate(tones, 1)
    )


ALL = said("guess wrong", "split right", "air plain")


def test_nothing_noted_is_not_begun():
    """A lesson that was never touched has no marks and no tries."""
    assert LessonState(NAME, NOT_BEGUN, 0, 3, 0, False, None, "") == summary(PLAN, Progress())


def test_any_answer_or_visit_begins_a_lesson():
    """Also a visit that is under way and has no mark yet."""
    assert BEGUN == summary(PLAN, Progress(said("split wrong"))).state
    assert BEGUN == summary(PLAN, Progress(visits=(visit(),))).state
    assert BEGUN == summary(PLAN, Progress(), under_way=True).state
    assert NOT_BEGUN == summary(PLAN, Progress(said("split right", lesson=LESSONS[1]))).state


@pytest.mark.parametrize("lacking", range(3))
def test_done_wants_every_task(lacking):
    """A prediction counts once given, a calculation once shown, a checked answer once right."""
    some = tuple(one for number, one in enumerate(ALL) if number != lacking)
    assert DONE == summary(PLAN, Progress(ALL, (visit(),))).state
    assert BEGUN == summary(PLAN, Progress(some, (visit(),))).state


def test_a_wrong_answer_leaves_a_checked_task_open_until_it_is_right():
    """Once right it stays done, whatever is tried later."""
    wrong = said("guess wrong", "split wrong", "air plain")
    assert (BEGUN, 2, 3) == _three(summary(PLAN, Progress(wrong, (visit(),))))
    later = (*said("split right"), *wrong)
    assert (DONE, 3, 4) == _three(summary(PLAN, Progress(later, (visit(),))))


def _three(state: LessonState) -> tuple[str, int, int]:
    return state.state, state.tasks_done, state.tries


def test_done_wants_the_visit_handed_over():
    """Only the lesson's own visit, on its own page, counts."""
    for other in (
        visit(work_order=ORDERS[1]),
        visit(lesson=LESSONS[1]),
    ):
        assert BEGUN == summary(PLAN, Progress(ALL, (other,))).state
    assert DONE == summary(PLAN, Progress(ALL, (visit(passed=False),))).state


def test_a_part_of_a_visit_counts_when_the_trainer_has_nothing_to_say():
    """Where a lesson asks for a part, handing over is left to the learner."""
    parts = replace(PLAN, parts={ORDERS[0]: ("so far safe", "so far indoor")})
    one = (Answer("2026-01-05", NAME, "so far safe", "right", "p-1"),)
    both = (*one, replace(one[0], task="so far indoor"))
    wrong = (*one, replace(one[0], task="so far indoor", tone="wrong"))
    assert BEGUN == summary(parts, Progress((*ALL, *one))).state
    assert BEGUN == summary(parts, Progress((*ALL, *wrong))).state
    assert DONE == summary(parts, Progress((*ALL, *both))).state
    assert DONE == summary(parts, Progress(ALL, (visit(),))).state
    two = replace(parts, orders=ORDERS)
    assert BEGUN == summary(two, Progress((*ALL, *both))).state, "the other visit is to be done too"
    other = visit(work_order=ORDERS[1])
    assert DONE == summary(two, Progress((*ALL, *both), (other,))).state


def test_a_page_of_visits_alone_is_done_after_the_first_hand_over():
    """It has no tasks, and any work order counts."""
    page = Plan("15-mixed-practice", (), ("",))
    assert NOT_BEGUN == summary(page, Progress()).state
    one = visit(lesson="15-mixed-practice", work_order=ORDERS[1])
    assert DONE == summary(page, Progress(visits=(one,))).state


def test_the_best_mark_is_a_passed_one_before_more_points():
    """A failed visit with more points is not the better one."""
    failed = visit("2026-01-03", 1, passed=False, points=5.9)
    passed = visit("2026-01-01", 2, points=5.0)
    better = visit("2026-01-02", 3, points=5.5)
    state = summary(PLAN, Progress(visits=(failed, passed, better)))
    assert (better, "2026-01-03") == (state.best, state.last_at)


def advice(*visits, path=LESSONS, most=4, answers=()):
    """Return what is advised after these visits."""
    progress = Progress(tuple(answers), tuple(visits))
    plans = (PLAN, SAFE)
    pairs = [(plan, summary(plan, progress)) for plan in plans]
    return practise_next(progress, pairs, path, CRITICAL, most)


def test_a_new_learner_is_sent_to_the_first_lesson_of_the_path():
    """Without marks there is nothing to mend."""
    assert [("next", (LESSONS[0],))] == [(one.kind, one.lessons) for one in advice()]
    assert (LESSONS[1],) == advice(path=LESSONS[::-1])[0].lessons


def test_critical_errors_stand_first_then_the_dearest_blocks():
    """Safety before points."""
    twice = (CriticalNote("live_work", "Live"), CriticalNote("live_work", "Live"))
    bad = visit(rows=rows(demand=1.0, dc_bus=0.0), critical=twice)
    found = advice(bad)
    assert [
        ("critical", "Live", "safe", (LESSONS[1],), 0.0),
        ("block", "", "safe", (LESSONS[1],), 2.0),
        ("block", "", "baseline", (LESSONS[0],), 1.0),
        ("go-on", "", "", (LESSONS[0],), 0.0),
    ] == [(one.kind, one.title, one.block, one.lessons, one.lost) for one in found]
    assert ((bad,), ("dc-bus",)) == (found[1].visits, tuple(row.name for row in found[1].rows))


def test_rows_of_one_block_are_advised_together_dearest_first():
    """Also when they come from several visits, the latest in front."""
    other = RowNote("lock-and-tag", "safe", "Locked", 0.5, 3.0)
    old, new = visit("2026-01-01", 1, rows=(other,)), visit("2026-01-02", 2, rows=rows(dc_bus=1.5))
    (one, _) = advice(old, new)
    assert ("safe", 3.0, (new, old)) == (one.block, one.lost, one.visits)
    assert ["lock-and-tag", "dc-bus"] == [row.name for row in one.rows]


def test_what_was_mended_is_no_longer_advised():
    """The last time a row was looked at decides."""
    bad, good = visit("2026-01-01", 1, rows=rows(dc_bus=0.0)), visit("2026-01-02", 2)
    assert "block" not in {one.kind for one in advice(bad, good)}
    assert "block" in {one.kind for one in advice(replace(bad, at="2026-01-03"), good)}
    other = replace(good, rows=(RowNote("demand", "baseline", "Demand", 2.0, 2.0),))
    assert "block" in {one.kind for one in advice(bad, other)}, "not looked at since"


def test_a_critical_error_counts_for_the_last_three_visits():
    """Three visits without it in a row, and it is no longer held up."""
    bad = visit("2026-01-01", 1, critical=(CriticalNote("live_work", "Live"),))
    later = [visit(f"2026-02-{number:02d}", number) for number in range(2, 5)]
    assert "critical" in {one.kind for one in advice(bad, *later[:2])}
    assert "critical" not in {one.kind for one in advice(bad, *later)}


def test_an_instructors_trial_does_not_count():
    """A visit on a page that asks for none tries a work order out, with mistakes on purpose."""
    bad = visit(lesson=SAFE.name, rows=rows(dc_bus=0.0))
    assert () == SAFE.orders
    assert "block" not in {one.kind for one in advice(bad)}


def test_an_unknown_critical_error_is_still_told():
    """Without a lesson that teaches it, the learner sees what it was all the same."""
    found = advice(visit(critical=(CriticalNote("something_new", "New"),)))
    assert ("critical", "New", ()) == (found[0].kind, found[0].title, found[0].lessons)


def test_lessons_that_are_not_done_yet_are_advised_first():
    """Of several lessons that teach the same, the open one has more to give."""
    twice = [replace(PLAN, blocks=("safe",)), SAFE]
    progress = Progress(ALL, (visit(rows=rows(dc_bus=0.0)),))
    pairs = [(plan, summary(plan, progress)) for plan in twice]
    assert [DONE, NOT_BEGUN] == [state.state for _, state in pairs]
    assert LESSONS[::-1] == practise_next(progress, pairs, LESSONS, {})[0].lessons


def test_there_is_never_more_advice_than_can_be_followed():
    """The list ends with the lesson to go on with, however much was lost."""
    worst = visit(
        rows=rows(demand=0.0, dc_bus=0.0, findings=0.0),
        critical=(CriticalNote("live_work", "Live"), CriticalNote("false_record", "F")),
    )
    found = advice(worst)
    assert ["critical", "critical", "block", "go-on"] == [one.kind for one in found]
    assert 2 == len(advice(worst, most=2))


def test_all_done_and_nothing_lost_leaves_nothing_to_advise():
    """Then the page says so itself."""
    done = (*ALL, *said("split right", lesson=LESSONS[1]))
    assert () == advice(visit(), answers=done)
