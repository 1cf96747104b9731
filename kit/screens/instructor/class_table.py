"""A class at a glance: learners by work orders, and the rows of the rubric that cost it most."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from kit.screens.instructor.texts import plain

if TYPE_CHECKING:
    from kit.screens.instructor.marking import Row
    from kit.screens.voice import Voice

MOST_LOST = 10  # rows shown


@dataclass(frozen=True, slots=True)
class Lost:
    """What a class lost on one row of the rubric.

    Args:
        name: name of the row.
        title: what is looked at.
        block: title of its block.
        points: points lost by all together.
        out_of: points that all together could have had.
        learners: how many learners lost some.
        visits: in how many visits it was looked at.
    """

    name: str
    title: str
    block: str
    points: float
    out_of: float
    learners: int
    visits: int


def counted(rows: Iterable[Row]) -> list[Row]:
    """Return the visits that count, by learner, then by work order."""
    return sorted((r for r in rows if r.counts), key=lambda r: (r.learner, _order(r)))


def lost_rows(rows: Iterable[Row]) -> list[Lost]:
    """Return the rows of the rubric by what the class lost on them, dearest first.

    Args:
        rows: the files of the class.
    """
    sums: dict[tuple[str, str], list[Any]] = {}
    for row in counted(rows):
        for name, title, block, points, out_of in row.found["rows"]:
            one = sums.setdefault((name, title), [block, 0.0, 0.0, set(), 0])
            one[1] += out_of - points
            one[2] += out_of
            one[4] += 1
            if points < out_of:
                one[3].add(row.learner)
    found = [
        Lost(name, title, block, round(points, 1), round(out_of, 1), len(who), visits)
        for (name, title), (block, points, out_of, who, visits) in sums.items()
        if points > 0
    ]
    return sorted(found, key=lambda one: (-one.points, one.title))


def lost_table(rows: Iterable[Row], voice: Voice) -> list[list[str]]:
    """Return the dearest rows as the view shows them.

    Args:
        rows: the files of the class.
        voice: language.
    """
    heads = (
        "What is looked at", plain("Block"), "Points lost", "Points possible",
        "Learners who lost",
    )  # fmt: skip
    return [
        [voice.words(head) for head in heads],
        *(
            [voice.words(one.title), voice.words(one.block), f"{one.points:g}",
             f"{one.out_of:g}", f"{one.learners}"]
            for one in lost_rows(rows)[:MOST_LOST]
        ),
    ]  # fmt: skip


def class_table(rows: Sequence[Row], voice: Voice) -> list[list[Any]]:
    """Return learners by work orders: points, whether passed, critical errors, time.

    Args:
        rows: the files of the class.
        voice: language.
    """
    some = counted(rows)
    if not some:
        return []
    orders = {_order(row): title(row.found, voice) for row in some}
    names = sorted(orders, key=lambda name: (orders[name], name))
    by_place = {(row.learner, _order(row)): row for row in some}
    learners = sorted({row.learner for row in some})
    head = [voice.words("Learner"), *(orders[name] for name in names)]
    return [
        head,
        *(
            [_who(learner, some), *(_cell(by_place.get((learner, n)), voice) for n in names)]
            for learner in learners
        ),
    ]


def told_table(rows: Iterable[Row], voice: Voice) -> list[list[str]]:
    """Return the files of which something is to be said.

    Args:
        rows: the files of the class.
        voice: language.
    """
    return [
        [row.file, voice.words("counts") if row.counts else voice.words("does not count"),
         " ".join(voice.lines(row.told))]
        for row in rows if row.told
    ]  # fmt: skip


def visit_choices(rows: Iterable[Row], voice: Voice) -> list[dict[str, str]]:
    """Return the marked visits to choose one from, by their file.

    Args:
        rows: the files of the class.
        voice: language.
    """
    some = [row for row in rows if "points" in row.found]
    some.sort(key=lambda row: (row.learner, _order(row), row.file))
    return [
        {"value": row.file, "label": f"{row.learner}: {title(row.found, voice)} ({row.file})"}
        for row in some
    ]


def title(found: Mapping[str, Any], voice: Voice) -> str:
    """Return the title of a work order in the instructor's language.

    Args:
        found: what the marker said of a journal.
        voice: language.
    """
    titles = found["titles"]
    return str(titles.get(voice.language) or titles["en"])


def key_text(found: Mapping[str, Any], voice: Voice) -> str:
    """Return what was hidden in the unit of a journal.

    Args:
        found: what the marker said of a journal.
        voice: language.
    """
    faults = [
        f"{voice.words(name)} ({voice.words(how) if isinstance(how, str) else f'{how:g}'})"
        for name, how in found["key"]
    ]
    return "; ".join(faults) or voice.words("Nothing was wrong with it.")


def _cell(row: Row | None, voice: Voice) -> dict[str, str]:
    if row is None:
        return {"tone": "soft", "sign": "·", "text": voice.words("not handed in")}
    found = row.found
    verdict = voice.words("Passed" if found["passed"] else "Not passed")
    lines = [f"{verdict}: {found['points']:g} / {found['out_of']:g}"]
    if found["critical"]:
        lines.append(f"{voice.words('critical errors')}: {len(found['critical'])}")
    if not found["finished"]:
        lines.append(voice.words("not handed over"))
    if found["changes"]:
        lines.append(voice.words("changed by an assessor"))
    lines.append(f"{found['minutes']:.0f} / {found['allowed']:g} {voice.words('min')}")
    good = found["passed"]
    return {"tone": "good" if good else "bad", "sign": "✓" if good else "✕",
            "text": " · ".join(lines)}  # fmt: skip


def _who(learner: str, rows: Iterable[Row]) -> str:
    """Return a learner's id with the folder that all of their journals lie in, if there is one."""
    folders = {row.file.rpartition("/")[0] for row in rows if row.learner == learner}
    folder = folders.pop() if len(folders) == 1 else ""
    return f"{learner} ({folder})" if folder and folder != learner else learner


def _order(row: Row) -> str:
    return str(row.found["order"])
