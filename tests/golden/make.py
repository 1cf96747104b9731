"""Make the golden journals again: python -m tests.golden.make [--keep-version].

When a change of the kit changes what is shown, `tests/journal/test_golden.py` fails. If the change
is meant, raise PHYSICS_VERSION in kit/journal/versions.py and run this. It refuses to put other
readings under a version that exists already, unless `--keep-version` says that no journal of that
version has ever left this clone.
"""

from __future__ import annotations

import json
import sys
import tempfile
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from kit.errors import KitError
from kit.journal import PHYSICS_VERSION, open_visit
from kit.journal.seed import committed
from tests.golden.visits import LEARNER, SEED, VISITS, Step
from tests.journal.forging import chained, entries_of

HERE = Path(__file__).parent
WALL = "2026-01-01T00:00:00.000+00:00"  # golden journals are the same to the byte each time
NONCE = "0" * 64
SHOWN = ("action", "args", "clock_s", "outcome")


def made(order: Path, steps: Sequence[Step]) -> bytes:
    """Return the journal of a visit, with the times of the day and the nonce taken out.

    Args:
        order: file of its work order.
        steps: what is done.
    """
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "golden.jsonl"
        visit = open_visit(order, seed=SEED, learner=LEARNER, journal=path)
        for action, args in steps:
            visit.step(action, **args)
        visit.close()
        entries = entries_of(path.read_bytes())
    header = entries[0]
    header["nonce"] = NONCE
    header["commitment"] = committed(SEED, NONCE, header["order_digest"])
    return chained([{**entry, "wall": WALL} for entry in entries])


def shown(raw: bytes) -> list[dict[str, Any]]:
    """Return what a journal says was done and shown."""
    return [{key: e[key] for key in SHOWN} for e in entries_of(raw) if e["kind"] == "action"]


def changed(old: bytes, new: bytes) -> bool:
    """Tell whether the same actions are said to show something else under the same version.

    Args:
        old: the golden journal as it is.
        new: the same visit of today.
    """
    if json.loads(old.splitlines()[0])["physics"] != PHYSICS_VERSION:
        return False
    for before, after in zip(shown(old), shown(new), strict=False):
        if (before["action"], before["args"]) != (after["action"], after["args"]):
            return False  # the visit itself was written anew from here on
        if before != after:
            return True
    return False


def main(words: Sequence[str], folder: Path = HERE) -> int:
    """Make every golden journal; return 0, or 1 when the version must be raised first.

    Args:
        words: what follows the command.
        folder: where work orders and journals lie.
    """
    if not set(words) <= {"--keep-version"}:
        sys.stderr.write(str(__doc__))
        return 2
    new: dict[Path, bytes] = {}
    for name, steps in VISITS.items():
        order = folder / f"{name}.toml"
        if order.is_file():
            new[order.with_suffix(".jsonl")] = made(order, steps)
    others = [
        path.stem for path, raw in new.items() if path.is_file() and changed(path.read_bytes(), raw)
    ]
    if others and not words:
        sys.stderr.write(
            f"Physics version {PHYSICS_VERSION} now shows something else in: {', '.join(others)}.\n"
            "Raise PHYSICS_VERSION in kit/journal/versions.py, then run this again. While no\n"
            "journal of this version has left this clone, --keep-version does without.\n"
        )
        return 1
    for path, raw in new.items():
        path.write_bytes(raw)
    sys.stdout.write(f"{len(new)} golden journals made, physics version {PHYSICS_VERSION}.\n")
    return 0


if __name__ == "__main__":
    try:
        raise SystemExit(main(sys.argv[1:]))
    except KitError as error:
        raise SystemExit(f"A golden visit cannot be done: {error}") from error
