"""Doing a journal's actions again: every reading must come out bit for bit."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import rfc8785

from kit.errors import KitError
from kit.journal.difference import first_difference
from kit.journal.entry import (
    JournalError,
    OtherJournalError,
    PhysicsVersionError,
    ReadingsDifferError,
    as_plain,
)
from kit.journal.file import Journal, read_journal
from kit.journal.seed import SealedSeed, opened_seed
from kit.journal.versions import PHYSICS_VERSION, engine_digest
from kit.visit.outcome import Outcome
from kit.visit.state import State
from kit.visit.transition import first_state, transition
from kit.visit.work_order import WorkOrder, load_work_order, work_order_names


@dataclass(frozen=True, slots=True)
class Step:
    """One action done again.

    Args:
        line: number of its line in the file.
        action: its name.
        args: its arguments.
        before: the visit before it.
        after: the visit after it.
        outcome: what was seen, in the units the learner had chosen by then.
        wall: time of the day when it was done, as written.
    """

    line: int
    action: str
    args: Mapping[str, Any]
    before: State
    after: State
    outcome: Outcome
    wall: str


@dataclass(frozen=True, slots=True)
class Replay:
    """A journal done again from its first line to its last.

    Args:
        journal: what was read.
        order: its work order.
        start: the visit as the learner arrived.
        steps: its actions.
        units: unit system the learner had chosen last.
        language: language the learner had chosen last.
    """

    journal: Journal
    order: WorkOrder
    start: State
    steps: tuple[Step, ...]
    units: str
    language: str

    @property
    def end(self) -> State:
        """The visit after the last action."""
        return self.steps[-1].after if self.steps else self.start


def replay(
    journal: str | Path | Journal,
    order: WorkOrder | None = None,
    seed: int | SealedSeed | None = None,
    learner: str | None = None,
) -> Replay:
    """Do a journal's actions again and hold each outcome against what was written.

    Args:
        journal: the file, or a journal already read.
        order: the work order; looked up by the name in the header when left out.
        seed: the seed; taken from the header when left out. An examination keeps it apart; it is
            then given as the `SealedSeed` of that day.
        learner: whose journal it must be; anybody's when left out.

    Raises:
        ReadingsDifferError: a reading does not follow from the actions; the first such line is
            named, and what differs in it.
        PhysicsVersionError: the same, but the journal was made with another physics version.
        OtherJournalError: it is that of another learner, work order or seed.
        JournalError: the journal is malformed, or its seed is not the one committed to.
        KitError: there is no such journal, or its seed must be given.
    """
    read = journal if isinstance(journal, Journal) else read_journal(journal)
    order = _order(read, order)
    if learner is not None and learner != read.header["learner"]:
        raise OtherJournalError("learner", learner, read.header["learner"])
    start = first_state(order, opened_seed(read.header, seed))
    return _done_again(read, order, start)


def _order(read: Journal, order: WorkOrder | None) -> WorkOrder:
    name = str(read.header["order"])
    if order is None:
        if name not in work_order_names():  # never a path: journals come from anybody
            raise JournalError(
                1, f"no work order {name!r} comes with this kit. Give the file it was made with."
            )
        order = load_work_order(name)
    if order.name != name:
        raise OtherJournalError("work order", order.name, name)
    if order.digest != read.header["order_digest"]:
        raise JournalError(
            1,
            f"the work order {order.name!r} is not the one this journal was made with. "
            "Use the file of that day.",
        )
    return order


def _done_again(read: Journal, order: WorkOrder, start: State) -> Replay:
    state, steps = start, []
    units, language = read.header["units"], read.header["language"]
    for entry in read.entries:
        if entry["kind"] == "view":
            units, language = entry["units"], entry["language"]
        if entry["kind"] != "action":
            continue
        before = state
        state, outcome = _again(read, entry, before)
        steps.append(
            Step(
                read.line_of(entry),
                entry["action"],
                outcome.args,
                before,
                state,
                in_words(outcome, units, order.words(language)),
                entry["wall"],
            )
        )
    return Replay(read, order, start, tuple(steps), units, language)


def in_words(outcome: Outcome, units: str, translate: Callable[[str], str]) -> Outcome:
    """Return an outcome whose text speaks in other units and another language.

    Args:
        outcome: what was seen.
        units: name of a unit system.
        translate: maps English texts to the language.
    """
    return replace(outcome, units=units, translate=translate)


def as_written(outcome: Outcome) -> dict[str, Any]:
    """Return what a journal's line holds of an action, without its time of the day.

    Args:
        outcome: what the action came to.
    """
    return {
        "kind": "action",
        "action": outcome.action,
        "args": dict(outcome.args),
        "clock_s": outcome.clock_s,
        "outcome": as_plain(outcome),
    }


def _again(journal: Journal, entry: Mapping[str, Any], before: State) -> tuple[State, Outcome]:
    try:
        state, outcome = transition(before, entry["action"], entry["args"])
    except KitError as error:
        said = f"its action cannot be done again: {error}"
        raise _refused(journal, entry, said) from error
    found = as_written(outcome)
    written = {key: entry[key] for key in found}
    canonical = rfc8785.dumps(found)
    if canonical != rfc8785.dumps(written):
        said = first_difference(written, json.loads(canonical), "") or "it is written otherwise"
        raise _refused(journal, entry, f"{said}.")
    return state, outcome


def _refused(journal: Journal, entry: Mapping[str, Any], what: str) -> JournalError:
    header, line = journal.header, journal.line_of(entry)
    made, kit = header["physics"], header["kit"]
    if made != PHYSICS_VERSION:
        return PhysicsVersionError(
            line,
            f"{what} The journal was made with physics version {made} (kit {kit}); this kit has "
            f"version {PHYSICS_VERSION}. That it comes out differently is no sign of tampering: "
            f"replay it with kit {kit}.",
        )
    if header["engine"] != engine_digest():
        return ReadingsDifferError(
            line,
            f"{what} Both are physics version {made}, but files of the engine have been edited on "
            f"one side: replay it with an unedited kit {kit} before calling it changed.",
        )
    return ReadingsDifferError(line, f"{what} The journal was changed after the visit.")
