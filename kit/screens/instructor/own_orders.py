"""Work orders of an instructor's own: a folder of files beside what the learner keeps.

A file that is written over is kept in the folder `older` beside it: journals that were made with
it can then still be marked.
"""

from __future__ import annotations

import os
import re
import tempfile
from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

from kit.errors import KitError
from kit.screens.folder import learner_folder
from kit.visit.work_order import WorkOrder, load_work_order, work_order_names

FOLDER, OLDER = "work_orders", "older"
NAME = re.compile(r"[a-z0-9][a-z0-9-]{1,39}")
LARGEST = 256 << 10  # bytes; the longest work order of the kit has a fiftieth of it
MOST = 500  # files looked at in one folder


@dataclass(frozen=True, slots=True)
class OwnOrder:
    """A work order in the instructor's folder.

    Args:
        path: its file.
        order: what it holds; None when it cannot be read.
        why: why it cannot be read, in words; "" when it can.
    """

    path: Path
    order: WorkOrder | None
    why: str = ""


def own_folder() -> Path:
    """Return the folder of the instructor's own work orders, made when it is missing.

    Raises:
        KitError: it cannot be made.
    """
    folder = learner_folder() / FOLDER
    try:
        folder.mkdir(exist_ok=True)
    except OSError as error:
        raise KitError(f"The folder {folder} cannot be made: {error.strerror}.") from error
    return folder


def own_orders(folder: Path | None = None) -> tuple[OwnOrder, ...]:
    """Return the work orders of a folder, those that cannot be read with the reason.

    Args:
        folder: the folder; the instructor's own when left out.
    """
    there = own_folder() if folder is None else folder
    found: list[OwnOrder] = []
    names: set[str] = set()
    for path in sorted(there.glob("*.toml"))[:MOST]:
        one = _read(path)
        if one.order is not None and one.order.name in names:
            why = f"two files have the id {one.order.name!r}. Give one of them another."
            one = OwnOrder(path, None, why)
        elif one.order is not None:
            names.add(one.order.name)
        found.append(one)
    return tuple(found)


def order_source(name: str) -> str | Path:
    """Return what opens a work order: the name of one of the kit's, or the file of an own one.

    Args:
        name: its id.
    """
    if name in work_order_names():
        return name
    for one in own_orders():
        if one.order is not None and one.order.name == name:
            return one.path
    return name  # whoever opens it says that there is none


def order_files(*more: Path) -> tuple[Path, ...]:
    """Return every file that may hold the work order of a journal: own ones, older ones and more.

    Args:
        more: further folders to look into, such as the one that was handed in.
    """
    own = own_folder()
    folders = (own, own / OLDER, *more)
    return tuple(path for one in folders for path in sorted(one.glob("*.toml"))[:MOST])


def find_order(name: str, digest: str, files: Iterable[Path]) -> str | Path | None:
    """Return the work order that a journal was made with; None when there is none.

    Args:
        name: its id, as the journal's header has it.
        digest: digest of its file, as the header has it.
        files: where to look when it is none of the kit's.
    """
    if name in work_order_names():
        return name
    for path in files:
        one = _read(path, own=False)
        if one.order is not None and (one.order.name, one.order.digest) == (name, digest):
            return path
    return None


def save(text: str, name: str, over: bool = False) -> Path:
    """Write a work order into the instructor's folder, whole or not at all.

    Args:
        text: the file's text.
        name: its id and the file's name without ending.
        over: whether one of that name may be written over; it is put into `older` first.

    Returns:
        The file.

    Raises:
        KitError: the name is taken or does not fit, the text is no work order, or the disk does
            not take it.
    """
    if not NAME.fullmatch(name):
        raise KitError(f"{name!r} cannot be a file's name. Use small letters, digits and dashes.")
    path = own_folder() / f"{name}.toml"
    if path.exists() and not over:
        raise KitError(f"There is a work order {name!r} already. Choose another name.")
    try:
        handle, scratch = tempfile.mkstemp(dir=learner_folder(), prefix=name, suffix=".toml")
        try:
            with os.fdopen(handle, "w", encoding="utf-8", newline="\n") as file:
                file.write(text)
            load_work_order(scratch).condition()  # what cannot be opened is not kept
            if path.exists():
                put_aside(path)
            Path(scratch).replace(path)
        finally:
            Path(scratch).unlink(missing_ok=True)
    except OSError as error:
        raise KitError(f"{path.name} cannot be written: {error.strerror}.") from error
    return path


def put_aside(path: Path) -> Path:
    """Keep a copy of a work order in the folder `older` beside it.

    Args:
        path: its file.
    """
    older = path.parent / OLDER
    older.mkdir(exist_ok=True)
    raw = path.read_bytes()
    for number in range(1, MOST):
        kept = older / f"{path.stem}.{number}.toml"
        if not kept.exists():
            kept.write_bytes(raw)
            return kept
        if kept.read_bytes() == raw:
            return kept
    raise KitError(f"There are too many old files of {path.name!r}. Clear some away.")


def _read(path: Path, own: bool = True) -> OwnOrder:
    try:
        stat = path.stat()
    except OSError as error:
        return OwnOrder(path, None, str(error.strerror))
    if stat.st_size > LARGEST:
        return OwnOrder(path, None, f"it is larger than {LARGEST} bytes.")
    found = _loaded(path, stat.st_mtime_ns, stat.st_size)
    if own and found.order is not None and found.order.name in work_order_names():
        why = f"its id {found.order.name!r} is that of one of the kit's work orders."
        return OwnOrder(path, None, why)
    return found


@lru_cache(maxsize=256)
def _loaded(path: Path, _changed_ns: int, _size: int) -> OwnOrder:
    try:
        order = load_work_order(path)
        order.condition()  # refuses faults that nobody knows, or that exclude each other
    except (KitError, OSError) as error:
        return OwnOrder(path, None, str(error))
    return OwnOrder(path, order)
