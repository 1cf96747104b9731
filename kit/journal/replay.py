"""Doing a journal's actions again: every reading must come out bit for bit."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import rfc8785

from kit.errors import KitError
from kit.journal.entry import JournalError, as_plain
from kit.journal.file import Journal, read_journal
from kit.journal.versions import physics_version, visit_version
from kit.visit.outcome import Outcome
from kit.visit.state import State
from kit.visit.transition import first_state, transition
from kit.visit.work_order import WorkOrder, load_work_order


@dataclass(frozen=True, slots=True)
class Step:
    """One action done again.

    Args:
        line: number of its line in the file.
        action: its name.
        args: its arguments.
        before: the visit before it.
        after: the visit after it.
        outcome: what was seen.
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
    """

    journal: Journal
    order: WorkOrder
    start: State
    steps: tuple[Step, ...]

    @property
    def end(self) -> State:
        """The visit after the last action."""
        return self.steps[-1].after if self.steps else self.start


def replay(
    journal: str | Path | Journal, order: WorkOrder | None = None, seed: int | None = None
) -> Replay:
    """Do a journal's actions again and hold each outcome against what was written.

    Args:
        journal: the file, or a journal already read.
        order: the work order; looked up by the name in the header when left out.
        seed: the seed; taken from the header when left out (an examination keeps it apart).

    Raises:
        JournalError: a reading does not follow from the actions; the first such line is named.
        KitError: the work order has changed since, or the seed is not the one committed to.
    """
    read = journal if isinstance(journal, Journal) else read_journal(journal)
    order = order if order is not None else load_work_order(str(read.header["order"]))
    if order.digest != read.header["order_digest"]:
        raise KitError(
            f"The work order {order.name!r} is not the one this journal was made with. "
            "Use the file of that day."
        )
    state = start = first_state(order, _seed(read, seed))
    steps = []
    for entry in read.entries:
        if entry["kind"] != "action":
            continue
        before = state
        state, outcome = _again(read, entry, before)
        steps.append(
            Step(
                read.line_of(entry), entry["action"], outcome.args, before, state, outcome,
                entry["wall"],
            )
        )  # fmt: skip
    return Replay(read, order, start, tuple(steps))


def committed(seed: int, nonce: str, order_digest: str) -> str:
    """Return what a header holds of a seed so that it cannot be changed afterwards.

    Args:
        seed: the seed.
        nonce: 256 random bits, in hexadecimal, without which the seed could be guessed.
        order_digest: digest of the work order.
    """
    import hashlib

    plain: dict[str, str | int] = {"nonce": nonce, "order_digest": order_digest, "seed": seed}
    return hashlib.sha256(b"benchcall-seed/1\n" + rfc8785.dumps(plain)).hexdigest()


def _seed(journal: Journal, given: int | None) -> int:
    header = journal.header
    seed = header.get("seed") if given is None else given
    if not isinstance(seed, int):
        raise KitError("This journal keeps its seed apart. Give the seed that was committed to.")
    if committed(seed, str(header["nonce"]), str(header["order_digest"])) != header["commitment"]:
        raise JournalError(1, "the seed is not the one committed to when the visit began.")
    return seed


def _again(journal: Journal, entry: Mapping[str, Any], before: State) -> tuple[State, Outcome]:
    line = journal.line_of(entry)
    action, args = entry.get("action"), entry.get("args")
    if not isinstance(action, str) or not isinstance(args, dict):
        raise JournalError(line, "it lacks an action, or its arguments.")
    try:
        state, outcome = transition(before, action, args)
        same = rfc8785.dumps(as_plain(outcome)) == rfc8785.dumps(entry["outcome"])
    except (KeyError, TypeError) as error:
        raise JournalError(line, f"it lacks or misuses {error}.") from None
    except KitError as error:
        raise JournalError(line, f"its action cannot be done again: {error}") from error
    if not same:
        raise JournalError(line, _why(journal))
    return state, outcome


def _why(journal: Journal) -> str:
    header = journal.header
    if (header["physics"], header["visit"]) != (physics_version(), visit_version()):
        return (
            "it does not follow from the actions here, but the journal was made with another "
            f"version (physics {header['physics']}, here {physics_version()}). "
            "Replay it with that version."
        )
    return "what was written does not follow from the actions. The journal was changed."
