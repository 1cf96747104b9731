"""How far a learner has come, and what to practise next: pure functions of what is noted."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace

from kit.records.progress import Answer, Progress, RowNote, VisitNote

NOT_BEGUN, BEGUN, DONE = "not begun", "begun", "done"
LATELY = 3  # visits in which a critical error still counts
_FEWEST_LOST = 0.05  # points; less is rounding


@dataclass(frozen=True, slots=True)
class Plan:
    """What a lesson asks for.

    Args:
        name: name of the lesson.
        tasks: names of its tasks.
        orders: work orders whose visits are to be handed over; "" stands for any.
        parts: work order to looks of the trainer at parts of its visit; all of them without a fault
            count as much as a hand-over.
        blocks: names of the blocks of the rubric that it teaches.
    """

    name: str
    tasks: tuple[str, ...]
    orders: tuple[str, ...] = ()
    parts: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    blocks: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class LessonState:
    """How far a learner has come in one lesson.

    Args:
        name: name of the lesson.
        state: "not begun", "begun" or "done".
        tasks_done: tasks answered right, or answered where there is nothing to check.
        tasks: tasks in all.
        tries: answers given to them.
        visit_done: whether its visit, or the part it asks for, is done; None when it has none.
        best: the best mark of a visit on its page.
        last_at: when something was noted last, ISO 8601; "" when nothing was.
    """

    name: str
    state: str
    tasks_done: int
    tasks: int
    tries: int
    visit_done: bool | None
    best: VisitNote | None
    last_at: str


def summary(plan: Plan, progress: Progress, *, under_way: bool = False) -> LessonState:
    """Return how far a learner has come in one lesson; the order of noting does not matter.

    Args:
        plan: what the lesson asks for.
        progress: what is noted.
        under_way: whether a visit on its page has been begun.
    """
    answers = [one for one in progress.answers if one.lesson == plan.name]
    visits = [one for one in progress.visits if one.lesson == plan.name]
    asked = [one for one in answers if one.task in plan.tasks]
    done = {one.task for one in asked if one.tone != "wrong" or one.stands}
    visit_done = _visit_done(plan, answers, visits)
    if len(done) == len(plan.tasks) and visit_done is not False and (plan.tasks or visits):
        state = DONE
    else:
        state = BEGUN if answers or visits or under_way else NOT_BEGUN
    times = [*(one.at for one in answers), *(one.at for one in visits)]
    return LessonState(
        plan.name, state, len(done), len(plan.tasks), len(asked), visit_done,
        max(visits, key=lambda one: (one.passed, one.share, one.at, one.head), default=None),
        max(times, default=""),
    )  # fmt: skip


def _visit_done(plan: Plan, answers: Iterable[Answer], visits: Iterable[VisitNote]) -> bool | None:
    if not plan.orders:
        return None
    handed_over = {one.work_order for one in visits}
    right = {one.task for one in answers if one.tone == "right"}
    for order in plan.orders:
        parts = plan.parts.get(order, ())
        seen = bool(parts) and right.issuperset(parts)
        if not (seen or order in handed_over or (not order and handed_over)):
            return False
    return True


@dataclass(frozen=True, slots=True)
class Advice:
    """One thing to practise, and why.

    Args:
        kind: "critical" for a critical error, "block" for points lost in a block, "go-on" for a
            lesson that is begun, "next" for one that is not.
        lessons: lessons that teach it, the one to take first in front.
        title: the critical error, in English.
        block: name of the block of the rubric; "" for a lesson to take.
        rows: rows of the block that lost points, dearest first.
        visits: the visits it comes from, latest first; none for a lesson to take.
    """

    kind: str
    lessons: tuple[str, ...]
    title: str = ""
    block: str = ""
    rows: tuple[RowNote, ...] = ()
    visits: tuple[VisitNote, ...] = ()

    @property
    def lost(self) -> float:
        """Points lost in its rows, to a tenth."""
        return round(sum(row.lost for row in self.rows), 1)


def practise_next(
    progress: Progress,
    lessons: Sequence[tuple[Plan, LessonState]],
    path: Sequence[str],
    critical_blocks: Mapping[str, str],
    most: int = 4,
) -> tuple[Advice, ...]:
    """Return what to practise next, most urgent first; it ends with the lesson to go on with.

    Critical errors of the last visits stand first, the latest in front; then blocks with rows that
    lost points the last time they were looked at, dearest first; then a lesson. A visit on a page
    that asks for none is an instructor's trial and does not count.

    Args:
        progress: what is noted.
        lessons: all lessons in order, with how far the learner has come in each.
        path: names of the lessons on the learner's path, in order.
        critical_blocks: code of a critical error to the block that teaches to avoid it.
        most: how many pieces of advice at most.
    """
    tried = {plan.name for plan, _ in lessons if not plan.orders}
    visits = sorted(
        (one for one in progress.visits if one.lesson not in tried),
        key=lambda one: (one.at, one.head),
        reverse=True,
    )
    found = [*_critical(visits[:LATELY], critical_blocks), *_blocks(visits)]
    advice = [_taught(one, lessons) for one in found]
    come = {state.name: state.state for _, state in lessons}
    going_on = [Advice("go-on", (name,)) for name in path if come.get(name) == BEGUN][:1]
    if not going_on:
        going_on = [Advice("next", (name,)) for name in path if come.get(name) == NOT_BEGUN][:1]
    return (*advice[: most - len(going_on)], *going_on)


def _critical(visits: Iterable[VisitNote], blocks: Mapping[str, str]) -> list[Advice]:
    found: dict[str, Advice] = {}
    for visit in visits:
        for error in visit.critical:  # codes of one kind have one title: said once
            block = blocks.get(error.code, "")
            advice = Advice("critical", (), error.title, block, visits=(visit,))
            found.setdefault(error.title, advice)
    return list(found.values())


def _blocks(visits: Iterable[VisitNote]) -> list[Advice]:
    """Return the blocks with rows that lost points the last time they applied."""
    seen: set[tuple[str, str]] = set()
    rows: dict[tuple[str, str], list[tuple[RowNote, VisitNote]]] = {}
    for visit in visits:
        for row in visit.rows:
            if (visit.rubric, row.name) not in seen and row.lost > _FEWEST_LOST:
                rows.setdefault((visit.rubric, row.block), []).append((row, visit))
            seen.add((visit.rubric, row.name))
    found = []
    for (_, block), pairs in rows.items():
        dearest = sorted((row for row, _ in pairs), key=lambda row: (-row.lost, row.name))
        where = tuple(dict.fromkeys(visit for _, visit in pairs))
        found.append(Advice("block", (), "", block, tuple(dearest), where))
    return sorted(found, key=lambda one: -one.lost)  # of equal ones, the latest visit's first


def _taught(advice: Advice, lessons: Sequence[tuple[Plan, LessonState]]) -> Advice:
    """Return advice with the lessons that teach its block, those not done yet in front."""
    teaching = [(plan, state) for plan, state in lessons if advice.block in plan.blocks]
    teaching.sort(key=lambda pair: pair[1].state == DONE)
    return replace(advice, lessons=tuple(plan.name for plan, _ in teaching))
