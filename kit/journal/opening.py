"""Opening a visit: a new one, one that goes on, or a finished one to be looked at."""

from __future__ import annotations

import secrets
import weakref
from pathlib import Path

from kit.errors import KitError
from kit.journal import lock
from kit.journal.entry import FIRST_KEY, FORMAT
from kit.journal.file import Journal, Writer, free_name, now, read_journal
from kit.journal.form import OPAQUE, checked_language
from kit.journal.recorder import RecordedVisit
from kit.journal.replay import replay
from kit.journal.seed import SealedSeed, checked_seed, committed
from kit.journal.versions import PHYSICS_VERSION, engine_digest, kit_version
from kit.quantities import unit_system
from kit.visit.visit import Visit
from kit.visit.work_order import WorkOrder, load_work_order

# Visits of this very program, so that running a notebook's cell again takes its journal over.
_OURS: weakref.WeakValueDictionary[Path, RecordedVisit] = weakref.WeakValueDictionary()


def open_visit(
    work_order: str | Path,
    *,
    seed: int | SealedSeed | None = None,
    learner: str = "",
    journal: str | Path | None = None,
    units: str | None = None,
    language: str | None = None,
    fresh: bool = False,
) -> Visit:
    """Arrive at the site of a work order, or go on where the journal ends.

    A visit that was handed over is opened to be looked at: nothing more is written.

    Args:
        work_order: name of a work order, or the path of an instructor's own file.
        seed: decides what the instruments' errors are, 0 to 2**53 - 1; drawn when left out. A
            `SealedSeed` stays out of the journal, which then holds a commitment to it only; it
            must be given again to go on, to replay and to mark.
        learner: opaque id of the learner; letters, digits, dot, dash, underscore. No names.
        journal: file to write to; a file with a visit in it is continued. None writes nothing.
        units: "us" or "si", for text; can be changed at any moment. When left out: as it was.
        language: tag of the language of texts ("en", "es"). When left out: as it was.
        fresh: put an older journal of that name aside and begin anew.

    Raises:
        OtherJournalError: the journal belongs to another work order, learner or seed.
        NotWritableError: it is in use by another program, or its place allows no writing.
        JournalError: the journal was changed, or was made with another physics version.
        KitError: an argument does not fit.
    """
    order = load_work_order(work_order)
    if not OPAQUE.fullmatch(learner):
        raise KitError(
            f"learner is {learner!r}; use an id of letters, digits, dots and dashes, not a name."
        )
    if seed is not None and not isinstance(seed, SealedSeed):
        checked_seed(seed)
    units = None if units is None else unit_system(units).name
    language = None if language is None else checked_language(language)
    if journal is None:
        plain = seed.value if isinstance(seed, SealedSeed) else seed
        visit = Visit(order, secrets.randbits(48) if plain is None else plain, units or "us")
        visit.language = language or visit.language
        return visit
    path = Path(journal)
    _take_over(path)
    if fresh:
        put_aside(path)
    recorded = _opened(order, seed, learner, path, (units, language))
    recorded.show_in(units, language)
    _OURS[path.resolve()] = recorded
    return recorded


def put_aside(path: Path) -> None:
    """Rename a journal so that a new one can take its name; nothing is deleted.

    Args:
        path: the journal's file; there need be none.

    Raises:
        NotWritableError: another program writes to it, or it cannot be renamed.
    """
    try:
        with path.open("rb") as file:
            lock.take(file.fileno(), path.name)
            lock.give_back(file.fileno())
        path.rename(free_name(path, "{stem}.{number}{suffix}"))
    except FileNotFoundError:
        return
    except OSError as error:
        raise lock.NotWritableError(
            "The journal {name} cannot be put aside: {reason}. Move it yourself.",
            name=repr(path.name),
            reason=error.strerror,
        ) from error


def _take_over(path: Path) -> None:
    if "\0" in str(path):
        raise KitError(f"{path.name!r} is no name of a file. Give the journal another name.")
    ours = _OURS.pop(path.resolve(), None)
    if ours is not None:
        ours.close()


def _opened(
    order: WorkOrder,
    seed: int | SealedSeed | None,
    learner: str,
    path: Path,
    shown: tuple[str | None, str | None],
) -> RecordedVisit:
    try:
        writer = Writer(path)
    except lock.NotWritableError as error:
        visit = _only_seen(order, seed, learner, path)
        if visit is None:
            raise error from None
        return visit
    try:
        if writer.journal is None:
            return _begun(order, seed, learner, writer, shown)
        visit = _continued(writer.journal, order, seed, learner, path, writer)
        if visit.finished:
            writer.close()
        else:
            writer.recover()
    except BaseException:
        writer.close()
        raise
    return visit


def _begun(
    order: WorkOrder,
    seed: int | SealedSeed | None,
    learner: str,
    writer: Writer,
    shown: tuple[str | None, str | None],
) -> RecordedVisit:
    told = not isinstance(seed, SealedSeed)
    kept = seed if isinstance(seed, SealedSeed) else SealedSeed.draw(seed)
    units, language = shown[0] or "us", shown[1] or "en"
    writer.append(
        {
            FIRST_KEY: FORMAT,
            "kind": "header",
            "kit": kit_version(),
            "physics": PHYSICS_VERSION,
            "engine": engine_digest(),
            "order": order.name,
            "order_digest": order.digest,
            "commitment": committed(kept.value, kept.nonce, order.digest),
            "seed": kept.value if told else None,
            "nonce": kept.nonce if told else None,
            "learner": learner,
            "units": units,
            "language": language,
            "wall": now(),
        }
    )
    return RecordedVisit(order, kept.value, writer.path, writer.head, (units, language), writer)


def _continued(
    journal: Journal,
    order: WorkOrder,
    seed: int | SealedSeed | None,
    learner: str,
    path: Path,
    writer: Writer | None,
) -> RecordedVisit:
    done = replay(journal, order, seed, learner)
    shown = (done.units, done.language)
    return RecordedVisit(order, done.start.seed, path, journal.head, shown, writer, done)


def _only_seen(
    order: WorkOrder, seed: int | SealedSeed | None, learner: str, path: Path
) -> RecordedVisit | None:
    """Return a finished visit that cannot be written to; None when it is not finished."""
    try:
        journal = read_journal(path)
    except KitError:  # what kept it from being written says more
        return None
    visit = _continued(journal, order, seed, learner, path, None)
    return visit if visit.finished else None
