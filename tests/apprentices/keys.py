"""Write the scripts of the practice keys from what simulated apprentices do.

Run from the top folder: python -m tests.apprentices.keys [work order ...]
Then make the journals: python answer_keys/practice/make_journals.py [work order ...]
"""

from __future__ import annotations

import json
import math
import sys
import tempfile
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

import kit
from kit import library
from kit.marking import Mark
from tests.apprentices import send
from tests.apprentices.bench import WORK_ORDERS

SLACK = 2.0  # points either side that a trainer might give instead
BY_HAND = ("spring-check-01",)  # its scripts were written by hand
# Who fails at which work order; elsewhere it is the hasty one.
WEAK = {
    "displaced-sensor-01": "part-swapper",
    "failed-compressor-01": "part-swapper",
    "heating-sound-01": "part-swapper",
    "humid-room-01": "gauge-first",
    "little-demand-01": "gauge-first",
    "low-charge-01": "gauge-first",
    "outdoor-fan-01": "part-swapper",
}
WORDS = {
    "expert": "A visit as a trainer would like to see it.",
    "careful": "A careful beginner: safe and orderly, with gaps that a trainer would mark.",
    "hasty": "A hasty beginner: three minutes of running, no humidity, no tag, no pour test.",
    "part-swapper": "A part-swapper: a new board and a new sensor on no reading.",
    "gauge-first": "Gauges before anything else, and refrigerant on top whatever they show.",
}
MADE = "The journal beside it is made from this list."


def value(one: Any) -> str:
    """Return a value as TOML writes it."""
    if isinstance(one, Mapping):
        return "{ " + ", ".join(f"{key} = {value(v)}" for key, v in one.items()) + " }"
    if isinstance(one, list | tuple):
        return "[" + ", ".join(value(v) for v in one) + "]"
    return json.dumps(one)


def script(work_order: str, name: str, stem: str, seed: int) -> str:
    """Return the script of an apprentice's visit, with the mark it earns.

    Args:
        work_order: name of the work order.
        name: name of the apprentice.
        stem: "model", "careful" or "weak".
        seed: the visit's seed.
    """
    with tempfile.TemporaryDirectory() as folder:
        journal = Path(folder) / "visit.jsonl"
        visit = kit.open_visit(work_order, seed=seed, learner=stem, journal=journal)
        steps = send(name, visit).steps
        visit.close()
        mark = kit.mark(journal)
    head = (f"# {WORDS[name]}", f"# {MADE}", f"work_order = {value(work_order)}",
            f"seed = {seed}", f"learner = {value(stem)}",
            f"expected = {value(expected(mark, stem))}")  # fmt: skip
    lines = (f"  {value(step)}," for step in steps)
    return "\n".join([*head, "", "steps = [", *lines, "]", ""])


def expected(mark: Mark, stem: str) -> dict[str, Any]:
    """Return the marks that a trainer would give: full ones for a model, else a band."""
    slack = 0.0 if stem == "model" else SLACK
    return {
        "least": max(0, math.floor(mark.points - slack)),
        "most": min(math.ceil(mark.points + slack), mark.out_of),
        "passes": mark.passed,
        "critical": sorted({error.code for error in mark.critical}),
    }


def scripts(work_order: str) -> Iterator[tuple[str, str]]:
    """Give the name and the text of each script of a work order."""
    yield "model", script(work_order, "expert", "model", 7)
    yield "careful", script(work_order, "careful", "careful", 23)
    yield "weak", script(work_order, WEAK.get(work_order, "hasty"), "weak", 11)


def main(names: list[str]) -> None:
    """Write the scripts.

    Args:
        names: work orders; all that were not written by hand when empty.
    """
    for work_order in names or [name for name in WORK_ORDERS if name not in BY_HAND]:
        folder = library.answer_keys("practice") / work_order
        folder.mkdir(exist_ok=True)
        for stem, text in scripts(work_order):
            (folder / f"{stem}.toml").write_text(text, "utf-8")


if __name__ == "__main__":
    main(sys.argv[1:])
