"""Rubrics as data: rows with points, blocks with minimums, critical errors, a partial order."""

from __future__ import annotations

import hashlib
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from kit import library
from kit.errors import KitError, UnknownNameError
from kit.marking.critical import titles
from kit.marking.rubric_form import checked, checked_args


@dataclass(frozen=True, slots=True)
class Block:
    """A group of rows.

    Args:
        name: short name.
        title: label.
        least: share of its points needed to pass [0..1].
    """

    name: str
    title: str
    least: float


@dataclass(frozen=True, slots=True)
class Row:
    """One row.

    Args:
        name: short name.
        block: name of its block.
        title: what is looked at.
        points: what it is worth.
        criterion: name of the criterion that judges it.
        args: arguments of the criterion.
        why: why it matters, in a trainer's words.
        next_time: what to do next time.
        when: facts of the truth key that must all hold for the row to apply.
        unless: facts of which none may hold.
    """

    name: str
    block: str
    title: str
    points: float
    criterion: str
    args: Mapping[str, Any]
    why: str
    next_time: str
    when: tuple[str, ...] = ()
    unless: tuple[str, ...] = ()

    def applies(self, facts: frozenset[str]) -> bool:
        """Return whether the row applies to a visit of which these facts hold."""
        return set(self.when) <= facts and not set(self.unless) & facts


@dataclass(frozen=True, slots=True)
class Order:
    """One thing that must come before another, or some rows earn nothing.

    Args:
        title: in words.
        first: name of the event that must come first.
        then: name of the event that must come after it.
        voids: names of the rows that earn nothing otherwise.
        optional: whether the first may also be left out altogether.
    """

    title: str
    first: str
    then: str
    voids: tuple[str, ...]
    optional: bool = False


@dataclass(frozen=True, slots=True)
class Rubric:
    """A rubric.

    Args:
        name: its name.
        title: label.
        least: share of all points needed to pass [0..1].
        blocks: its blocks.
        rows: its rows.
        orders: what must come before what.
        critical: codes of hazards that fail at once, with what is said of them.
        digest: SHA-256 of its file, in hexadecimal.
    """

    name: str
    title: str
    least: float
    blocks: tuple[Block, ...]
    rows: tuple[Row, ...]
    orders: tuple[Order, ...]
    critical: Mapping[str, str]
    digest: str


def load_rubric(name: str | Path) -> Rubric:
    """Read a rubric by its name, or from a file of an instructor's own.

    Args:
        name: name of a file in `datasets/rubrics`, or the path of a `.toml` file.

    Raises:
        UnknownNameError: no such rubric, criterion, event, block or row.
        KitError: the file breaks the form; the message names the place and what to write.
    """
    path = Path(name)
    if path.suffix != ".toml":
        path = library.datasets("rubrics", f"{name}.toml")
        known = sorted(p.stem for p in library.datasets("rubrics").glob("*.toml"))
        if str(name) not in known:
            raise UnknownNameError("rubric", str(name), known)
    if not path.is_file():
        raise KitError(f"There is no file {path.name!r} at that place. Check its path.")
    raw = path.read_bytes()
    try:
        data = tomllib.loads(raw.decode("utf-8"))
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as error:
        raise KitError(f"{path.name} is not a TOML file: {error}. Mend that line.") from error
    checked(data, path.name)
    rubric = _rubric(data, hashlib.sha256(raw).hexdigest())
    _consistent(path.name, rubric)
    return rubric


def _rubric(data: Mapping[str, Any], digest: str) -> Rubric:
    return Rubric(
        name=data["id"],
        title=data["title"],
        least=float(data["least"]),
        blocks=tuple(Block(b["name"], b["title"], float(b["least"])) for b in data["block"]),
        rows=tuple(_row(row) for row in data["row"]),
        orders=tuple(
            Order(o["title"], o["first"], o["then"], tuple(o["voids"]), o.get("optional", False))
            for o in data.get("order", [])
        ),
        critical=titles(data["critical"]),
        digest=digest,
    )


def _row(row: Mapping[str, Any]) -> Row:
    return Row(
        name=row["name"],
        block=row["block"],
        title=row["title"],
        points=float(row["points"]),
        criterion=row["criterion"],
        args=dict(row.get("args", {})),
        why=row["why"],
        next_time=row["next_time"],
        when=tuple(row.get("when", ())),
        unless=tuple(row.get("unless", ())),
    )


def _consistent(file: str, rubric: Rubric) -> None:
    """Refuse names that do not exist, and a partial order that goes in a circle."""
    from kit.marking.criterion import criteria
    from kit.marking.key import FACTS

    rows = [row.name for row in rubric.rows]
    blocks = [block.name for block in rubric.blocks]
    for what, names in (("rows", rows), ("blocks", blocks)):
        twice = sorted({name for name in names if names.count(name) > 1})
        if twice:
            raise KitError(f"{file}: two {what} are named {twice[0]!r}. Give each its own name.")
    for row in rubric.rows:
        where = f"{file}, row {row.name!r}"
        _known(f"block in {where}, `block`", row.block, blocks)
        _known(f"criterion in {where}, `criterion`", row.criterion, list(criteria()))
        _arguments(where, row)
        for fact in (*row.when, *row.unless):
            _known(f"fact in {where}", fact, list(FACTS))
    empty = [name for name in blocks if not any(row.block == name for row in rubric.rows)]
    if empty:
        raise KitError(f"{file}: the block {empty[0]!r} has no row. Add one, or leave it out.")
    _orders(file, rubric, rows)


def _arguments(where: str, row: Row) -> None:
    from kit.marking.criterion import parameters

    takes = parameters(row.criterion)
    for given in row.args:
        _known(f"argument of {row.criterion!r} in {where}, `args`", given, list(takes))
    lacking = [name for name, (_, needed) in takes.items() if needed and name not in row.args]
    if lacking:
        what = ", ".join(f"`{name}`" for name in lacking)
        raise KitError(f"{where}: {row.criterion!r} needs {what}. Add it under `args`.")
    checked_args(where, row.args, {name: kind for name, (kind, _) in takes.items()})


def _orders(file: str, rubric: Rubric, rows: list[str]) -> None:
    from kit.marking.events import EVENTS

    for order in rubric.orders:
        where = f"{file}, order {order.title!r}"
        for event in (order.first, order.then):
            _known(f"event in {where}", event, list(EVENTS))
        for name in order.voids:
            _known(f"row in {where}, `voids`", name, rows)
    after: dict[str, set[str]] = {}
    for order in rubric.orders:
        after.setdefault(order.first, set()).add(order.then)
    for order in rubric.orders:
        if order.first in _reached(after, order.then):
            raise KitError(
                f"{file}, order {order.title!r}: {order.first!r} comes before {order.then!r} and, "
                "by the other orders, after it as well. Take one of them out."
            )


def _reached(after: Mapping[str, set[str]], start: str) -> set[str]:
    """Return all events that must come after one, itself included."""
    seen: set[str] = set()
    ahead = [start]
    while ahead:
        event = ahead.pop()
        if event not in seen:
            seen.add(event)
            ahead += sorted(after.get(event, ()))
    return seen


def _known(kind: str, name: str, known: list[str]) -> None:
    if name not in known:
        raise UnknownNameError(kind, name, known)
