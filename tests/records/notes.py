"""Answers and visits to test with, made up by hypothesis or by hand."""

from __future__ import annotations

from hypothesis import strategies as st

from kit.records.progress import Answer, CriticalNote, RowNote, VisitNote

LESSONS = ("00-start-here", "04-making-safe")
TASKS = ("guess", "split", "target")
ORDERS = ("spring-check-01", "low-charge-01")
ROWS = (("demand", "baseline"), ("dc-bus", "safe"), ("findings", "decision"))
TIMES = st.integers(0, 99).map(lambda number: f"2026-01-{number // 24 + 1:02d}T{number % 24:02d}")


def visit(at: str = "2026-01-01", head: int = 1, **changes) -> VisitNote:
    """Return a visit with all of its rows in full, with changes."""
    rows = tuple(RowNote(name, block, f"Title of {name}", 2.0, 2.0) for name, block in ROWS)
    values = {
        "learner": "p-1", "lesson": LESSONS[0], "work_order": ORDERS[0], "rubric": "visit",
        "points": 6.0, "out_of": 6.0, "passed": True, "rows": rows,
    }  # fmt: skip
    return VisitNote(at, f"{head:064d}", **{**values, **changes})


def rows(**points: float) -> tuple[RowNote, ...]:
    """Return the rows of a visit with these points, by the name with underscores."""
    given = {name.replace("_", "-"): value for name, value in points.items()}
    return tuple(
        RowNote(name, block, f"Title of {name}", given.get(name, 2.0), 2.0) for name, block in ROWS
    )


answers = st.builds(
    Answer, TIMES, st.sampled_from(LESSONS), st.sampled_from(TASKS),
    st.sampled_from(("right", "wrong", "plain")), st.just("p-1"), st.booleans(),
)  # fmt: skip


@st.composite
def visits(draw: st.DrawFn) -> VisitNote:
    """Make up a visit; its head follows from the rest, as a hash does."""
    points = [draw(st.sampled_from((0.0, 0.5, 2.0))) for _ in ROWS]
    marked = tuple(
        RowNote(name, block, name, got, 2.0)
        for (name, block), got in zip(ROWS, points, strict=True)
    )
    critical = (CriticalNote("live_work", "Live"),) if draw(st.booleans()) else ()
    number = draw(st.integers(1, 5))
    return VisitNote(
        draw(TIMES), f"{number:064d}", "p-1", draw(st.sampled_from(LESSONS)),
        draw(st.sampled_from(ORDERS)), "visit", sum(points), 6.0, not critical and sum(points) > 4,
        marked, critical,
    )  # fmt: skip


# Each journal has one mark: of several visits with one head the first stays.
many_visits = st.lists(visits(), max_size=6, unique_by=lambda one: one.head)
