"""Print the marks of each simulated apprentice at each work order.

Run from the top folder: python -m tests.apprentices [work order ...]
"""

from __future__ import annotations

import sys
import tempfile
from concurrent.futures import ProcessPoolExecutor
from functools import partial
from pathlib import Path

from tests.apprentices import APPRENTICES
from tests.apprentices.bench import WORK_ORDERS, mark_of


def row(work_order: str, folder: Path) -> str:
    """Return one line of the table: points out of those to be had, and whether it passes."""
    marks = [mark_of(work_order, name, folder) for name in APPRENTICES]
    cells = [f"{mark.points:g} {'pass' if mark.passed else 'fail'}" for mark in marks]
    return f"| {work_order} | {marks[0].out_of:g} | " + " | ".join(cells) + " |"


def main(names: list[str]) -> None:
    """Print the table, a line as soon as it is known.

    Args:
        names: work orders; all when empty.
    """
    titles = ["work order", "out of", *APPRENTICES]
    print("| " + " | ".join(titles) + " |")  # noqa: T201 - the table is the result
    print("|---" * len(titles) + "|")  # noqa: T201
    with tempfile.TemporaryDirectory() as folder, ProcessPoolExecutor(2) as pool:
        for line in pool.map(partial(row, folder=Path(folder)), names or WORK_ORDERS):
            print(line, flush=True)  # noqa: T201


if __name__ == "__main__":
    main(sys.argv[1:])
