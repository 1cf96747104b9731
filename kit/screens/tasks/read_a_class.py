"""Tasks of the lesson on reading a class: where it lost, what to teach next, what a mark says."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

from kit import library
from kit.screens.instructor.texts import plain
from kit.screens.task import Reply, Task
from kit.screens.tasks._asked import choice, number
from kit.screens.tasks.start_here import air_values
from kit.visit.outcome import ArgumentInfo, Choice, Measure, line

if TYPE_CHECKING:
    from kit.marking.mark import Mark
    from kit.screens.instructor.class_table import Lost

ORDER = "heating-check-01"
LEARNERS = ("model", "careful", "weak")
ASKED_ROWS = 6  # rows offered as what to teach next
BLOCKS = ("baseline", "safe", "indoor", "report")
TWO_JOBS = ("failed-compressor-01", "heating-check-01")  # both done by the careful learner
SHEET_ORDER = "failed-compressor-01"


@cache
def mark_of(learner: str, order: str = ORDER) -> Mark:
    """Return the mark of one invented learner at one job, worked out from the journal.

    Args:
        learner: one of `LEARNERS`.
        order: name of the work order.
    """
    import kit

    return kit.mark(library.answer_keys("practice", order, f"{learner}.jsonl"))


def marks() -> dict[str, Mark]:
    """Return the marks of the three invented learners at one job."""
    return {name: mark_of(name) for name in LEARNERS}


def lost_by_block() -> dict[str, tuple[str, float, float]]:
    """Return, for each block asked about, its title, points lost and points possible."""
    sums: dict[str, tuple[str, float, float]] = {}
    for mark in marks().values():
        for block in mark.blocks:
            if block.name in BLOCKS:
                _, lost, most = sums.get(block.name, ("", 0.0, 0.0))
                lost, most = lost + block.out_of - block.points, most + block.out_of
                sums[block.name] = (block.title, lost, most)
    return sums


def _where_lost(given: Mapping[str, Any]) -> Reply:
    sums = lost_by_block()
    most = max(sums, key=lambda name: sums[name][1] / sums[name][2])
    rows: list[tuple[Any, ...]] = [
        ("Part of the visit", "Points lost", "Points possible", "Share lost"),
        *((title, f"{lost:.1f}", f"{out_of:g}", Measure(lost / out_of, "fraction"))
          for title, lost, out_of in sums.values()),
    ]  # fmt: skip
    said = (
        line("The three journals were replayed and marked just now."),
        line("Compare shares, not points: a part with many points loses many even when it is "
             "done well."),
    )  # fmt: skip
    return Reply(given["block"] == most, said, tuple(rows))


@cache
def class_rows() -> tuple[Lost, ...]:
    """Return the rows that the three learners lost most on, as the desk works them out."""
    from kit.screens.instructor.class_table import lost_rows
    from kit.screens.instructor.marking import Row

    rows = []
    for name, mark in marks().items():
        titles = {block.name: block.title for block in mark.blocks}
        found = {
            "learner": name, "order": ORDER,
            "rows": [[r.name, r.title, titles[r.block], r.points, r.out_of] for r in mark.rows],
        }  # fmt: skip
        rows.append(Row(f"{name}.jsonl", Path(name), found))
    return tuple(lost_rows(rows))


def asked_rows() -> tuple[Lost, ...]:
    """Return the rows that are offered as what to teach next, by the alphabet."""
    return tuple(sorted(class_rows()[:ASKED_ROWS], key=lambda one: one.title))


def teach_next() -> set[str]:
    """Return the names of the rows that most learners lost on and that cost most of these."""
    some = asked_rows()
    most = max(one.learners for one in some)
    dearest = max(one.points for one in some if one.learners == most)
    return {one.name for one in some if one.learners == most and one.points >= dearest - 0.05}


def _teach(given: Mapping[str, Any]) -> Reply:
    some = asked_rows()
    chosen = some[int(given["row"]) - 1]
    most = max(one.learners for one in some)
    if chosen.learners < most:
        return Reply(False, (line(
            "{n} learner lost there. Take that one aside; what the class needs is what most of "
            "them missed.", n=chosen.learners),))  # fmt: skip
    if chosen.name not in teach_next():
        return Reply(False, (line(
            "As many lost on another row, and it cost them more. Look at the points again."),))
    return Reply(True, (line(
        "Most of them lost there, and nothing else that most lost on cost more. Show it once on "
        "the unit, then let them do that part again."),))  # fmt: skip


def _teach_table() -> tuple[tuple[Any, ...], ...]:
    head = (
        plain("Row"), "What is looked at", "Points lost", "Points possible", "Learners who lost",
    )  # fmt: skip
    return (
        head,
        *((f"{n}", one.title, f"{one.points:g}", f"{one.out_of:g}", f"{one.learners}")
          for n, one in enumerate(asked_rows(), 1)),
    )  # fmt: skip


@cache
def shares() -> tuple[float, float]:
    """Return the shares of points of one learner at two jobs [0..1]."""
    first, second = (mark_of("careful", order).share for order in TWO_JOBS)
    return first, second


def _compared(given: Mapping[str, Any]) -> Reply:
    first, second = shares()
    better = "first" if first > second else "second"
    mark = mark_of("careful", TWO_JOBS[0])
    if abs(given["share"] - mark.points / 100.0) <= 0.0006:
        return Reply(False, (line("Those are the points. A share is points by points possible."),))
    if abs(given["share"] - (1.0 - first)) <= 0.0006:
        return Reply(False, (line("That is the share that was lost. Give the share reached."),))
    if abs(given["share"] - first) > 0.0006:  # a tenth of a per cent, with its rounding
        return Reply(False, (line("Divide the points by what was possible in that job."),))
    if given["better"] != better:
        return Reply(False, (line("The share is right. Work the other one out as well."),))
    return Reply(True, (line(
        "{first} and {second}. Jobs differ in what can be had, since rows apply only where they "
        "are met; only shares compare.", first=Measure(first, "fraction"),
        second=Measure(second, "fraction")),))  # fmt: skip


def _compared_table() -> tuple[tuple[Any, ...], ...]:
    some = (mark_of("careful", order) for order in TWO_JOBS)
    return (
        (plain("Job"), "Points", "Points possible"),
        *((name, f"{mark.points:g}", f"{mark.out_of:g}")
          for name, mark in zip(("First job", "Second job"), some, strict=True)),
    )  # fmt: skip


@cache
def psychrometer() -> tuple[float, float]:
    """Return dry and wet bulb that the model learner read at the return grille [K]."""
    from kit.journal import read_journal

    journal = read_journal(library.answer_keys("practice", SHEET_ORDER, "model.jsonl"))
    for entry in journal.entries:
        if entry["kind"] == "action" and entry["args"].get("instrument") == "psychrometer":
            found = {r["quantity"]: float(r["si"]) for r in entry["outcome"].get("readings", ())}
            if {"dry_bulb", "wet_bulb"} <= found.keys():
                return found["dry_bulb"], found["wet_bulb"]
    raise LookupError(SHEET_ORDER)


def hidden_humidity() -> float:
    """Return the humidity of the room that the work order hides [0..1]."""
    from kit.visit.work_order import load_work_order

    return load_work_order(SHEET_ORDER).surroundings.room_rh


def _sheet(given: Mapping[str, Any]) -> Reply:
    db_k, wb_k = psychrometer()
    rh = air_values(db_k, wb_k)[0]
    typed = given["rh"]
    ratio = ((wb_k * 1.8) - 459.67) / ((db_k * 1.8) - 459.67)
    if abs(typed - ratio) <= 0.011:
        return Reply(False, (line(
            "That is one temperature by the other. Humidity is not a ratio of temperatures: use "
            "the air sheet of the first lesson, or a chart."),))  # fmt: skip
    if abs(typed - rh) > 0.016:  # the last digit of both temperatures, and reading a chart
        return Reply(False, (line(
            "Find this dry and this wet bulb on a psychrometric chart, or on the air sheet of the "
            "first lesson, and read the humidity there."),))  # fmt: skip
    return Reply(True, (line(
        "The sheet agrees with the key: this learner did read a psychrometer at that grille."),), (
        ("Humidity of the entering air", plain("Value")),
        ("worked out by psychrolib", Measure(rh, "relative_humidity")),
        ("in the key of the work order", Measure(hidden_humidity(), "relative_humidity")),
    ))  # fmt: skip


def _sheet_table() -> tuple[tuple[Any, ...], ...]:
    db_k, wb_k = psychrometer()
    return (
        ("From the journal, at the return grille", plain("Read")),
        ("Entering air, dry bulb", Measure(db_k, "temperature")),
        ("Entering air, wet bulb", Measure(wb_k, "temperature")),
    )


def _row_choices() -> tuple[Choice, ...]:
    """Return the rows of the table by their numbers: what they are is known once it is marked."""
    return tuple(Choice(f"{n}", f"row {n}") for n in range(1, ASKED_ROWS + 1))


def _reason(given: Mapping[str, Any]) -> Reply:
    hints = {
        "likes": line("A mark that goes up with the person says nothing of the work."),
        "round": line("Then everybody who is near would have to get it. Change the rubric for all, "
                      "or leave it."),
        "talk": line("What was said afterwards is no evidence of what was done before."),
    }  # fmt: skip
    if given["reason"] in hints:
        return Reply(False, (hints[given["reason"]],))
    return Reply(True, (line(
        "It names what was done, who saw it and when, and why the journal cannot show it. The "
        "kit's points stay beside yours for whoever asks later."),))  # fmt: skip


TASKS = (
    Task(
        "where-lost",
        "Say it first: where does this class lose most?",
        (
            line(
                "Three invented learners did the same autumn heating check: one as a trainer "
                "would, one with care, one in a hurry."
            ),
            line("In which of these parts did they lose the largest share of its points?"),
        ),
        (
            choice(
                "block", "Most is lost in", baseline="the baseline before cleaning",
                safe="making safe", indoor="the indoor unit and its drain",
                report="record and hand-over",
            ),
        ),
        "Say it and mark the three journals",
        _where_lost,
        once=True,
    ),
    Task(
        "teach-next",
        "What do you teach next?",
        (
            line("This is what the three of them lost most on."),
            line("One lesson is left before the next visits. Which row do you practise with all?"),
        ),
        (ArgumentInfo("row", "Practise with all", "choice", choices=_row_choices()),),
        "Check it",
        _teach,
        table=_teach_table,
    ),
    Task(
        "compare",
        "Two jobs, one learner",
        (line("The careful learner did two jobs. Which one went better?"),),
        (
            number("share", "Share of the points, first job", "fraction", 0.0, 1.0),
            choice("better", "The better one was", first="the first job", second="the second job"),
        ),
        "Check it",
        _compared,
        table=_compared_table,
    ),
    Task(
        "sheet",
        "Can this sheet be true?",
        (
            line("You open a journal and doubt that the psychrometer was ever in the air."),
            line("What humidity do its two temperatures stand for?"),
        ),
        (number("rh", "Relative humidity", "relative_humidity", 0.0, 1.0),),
        "Compare with the key",
        _sheet,
        table=_sheet_table,
    ),
    Task(
        "reason",
        "A reason that holds",
        (line("You give a learner two points more on a row. Which reason do you write down?"),),
        (
            choice(
                "reason", "The reason", likes="works hard and is always on time",
                seen="emptied the pan under my eyes on 12 May; the power failed before it could "
                "be entered",
                round="only two points below the pass mark",
                talk="explained it well in the break",
            ),
        ),
        "Check it",
        _reason,
    ),
)  # fmt: skip
