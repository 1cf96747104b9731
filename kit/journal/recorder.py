"""A visit that is written down as it goes, and goes on where it was when opened again."""

from __future__ import annotations

import re
import secrets
import weakref
from datetime import UTC, datetime
from pathlib import Path

from kit.errors import KitError
from kit.journal.entry import FIRST_KEY, FORMAT, as_plain
from kit.journal.file import Journal, Writer
from kit.journal.replay import committed, replay
from kit.journal.versions import kit_version, physics_version, visit_version
from kit.visit.outcome import Outcome
from kit.visit.state import State
from kit.visit.visit import Visit
from kit.visit.work_order import WorkOrder, load_work_order

_OPAQUE = re.compile(r"[A-Za-z0-9._-]{0,64}")
# Visits of this very program, so that running a notebook's cell again takes its journal over.
_OURS: weakref.WeakValueDictionary[Path, RecordedVisit] = weakref.WeakValueDictionary()


class RecordedVisit(Visit):
    """A visit with a journal; each step is on the disk before its outcome is returned."""

    def __init__(self, order: WorkOrder, seed: int, units: str, writer: Writer) -> None:
        """Arrive at the site, or go on where the journal ends; `open_visit` is the way in.

        Args:
            order: the work order.
            seed: what the instruments' streams are drawn from.
            units: name of a unit system, for text.
            writer: the open journal, its header written.
        """
        super().__init__(order, seed, units)
        self._writer = writer
        if writer.journal is not None:
            for step in replay(writer.journal, order, seed).steps:
                super()._keep(step.after, step.outcome)

    @property
    def journal(self) -> Path:
        """The journal's file."""
        return self._writer.path

    @property
    def head(self) -> str:
        """Hash of the last line written; what comes before it cannot be changed unseen."""
        return self._writer.head

    def close(self) -> None:
        """Give the journal free; the visit can be opened again and goes on."""
        self._writer.close()

    def _keep(self, state: State, outcome: Outcome) -> None:
        self._writer.append(
            {
                "kind": "action",
                "action": outcome.action,
                "args": dict(outcome.args),
                "clock_s": outcome.clock_s,
                "wall": _now(),
                "outcome": as_plain(outcome),
            }
        )
        super()._keep(state, outcome)


def open_visit(
    work_order: str | Path,
    *,
    seed: int | None = None,
    learner: str = "",
    journal: str | Path | None = None,
    units: str = "us",
    fresh: bool = False,
) -> Visit:
    """Arrive at the site of a work order, or go on where the journal ends.

    Args:
        work_order: name of a work order, or the path of an instructor's own file.
        seed: decides what the instruments' errors are, 0 to 2**53 - 1; drawn when left out.
        learner: opaque id of the learner; letters, digits, dot, dash, underscore. No names.
        journal: file to write to; a file with a visit in it is continued. None writes nothing.
        units: "us" or "si", for text; can be changed at any moment.
        fresh: put an older journal of that name aside and begin anew.

    Raises:
        KitError: the journal belongs to another work order, learner or seed, or is in use.
        JournalError: the journal was changed, or was made with another physics version.
    """
    order = load_work_order(work_order)
    if not _OPAQUE.fullmatch(learner):
        raise KitError(
            f"learner is {learner!r}; use an id of letters, digits, dots and dashes, not a name."
        )
    if seed is not None and not (type(seed) is int and 0 <= seed < 1 << 53):
        raise KitError(f"seed is {seed!r}; it must be a whole number from 0 to {(1 << 53) - 1}.")
    if journal is None:
        return Visit(order, secrets.randbits(48) if seed is None else seed, units)
    return _recorded(order, seed, learner, Path(journal), units, fresh)


def _recorded(
    order: WorkOrder, seed: int | None, learner: str, path: Path, units: str, fresh: bool
) -> RecordedVisit:
    ours = _OURS.pop(path.resolve(), None)
    if ours is not None:
        ours.close()
    if fresh and path.exists():
        path.rename(_aside(path))
    writer = Writer(path)
    try:
        if writer.journal is None:
            seed = secrets.randbits(48) if seed is None else seed
            writer.append(_header(order, seed, learner, units))
        else:
            seed = _same(writer.journal, order, seed, learner)
        visit = RecordedVisit(order, seed, units, writer)
    except BaseException:
        writer.close()
        raise
    _OURS[path.resolve()] = visit
    return visit


def _header(order: WorkOrder, seed: int, learner: str, units: str) -> dict[str, object]:
    nonce = secrets.token_hex(32)
    return {
        FIRST_KEY: FORMAT,
        "kind": "header",
        "kit": kit_version(),
        "physics": physics_version(),
        "visit": visit_version(),
        "order": order.name,
        "order_digest": order.digest,
        "commitment": committed(seed, nonce, order.digest),
        "nonce": nonce,
        "seed": seed,  # practice: told; an examination keeps it until marking
        "learner": learner,
        "units": units,
        "wall": _now(),
    }


def _same(journal: Journal, order: WorkOrder, seed: int | None, learner: str) -> int:
    header = journal.header
    old = int(header["seed"])
    for what, wanted, found in (
        ("work order", order.name, header["order"]),
        ("learner", learner, header["learner"]),
        ("seed", old if seed is None else seed, old),
    ):
        if wanted != found:
            raise KitError(
                f"This journal belongs to {what} {found!r}, not {wanted!r}. Choose another file, "
                "or open the visit with fresh=True to put the old journal aside."
            )
    return old


def _aside(path: Path) -> Path:
    for number in range(1, 10_000):
        other = path.with_name(f"{path.stem}.{number}{path.suffix}")
        if not other.exists():
            return other
    raise KitError(f"There are too many old journals beside {path.name!r}. Clear some away.")


def _now() -> str:
    return datetime.now(UTC).isoformat(timespec="milliseconds")
