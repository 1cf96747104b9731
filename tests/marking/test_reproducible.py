"""A mark is the same to the byte: again, in another process, with another hash seed."""

from __future__ import annotations

import os
import subprocess
import sys

import pytest

from kit import library
from kit.marking import mark

JOURNALS = ("model.jsonl", "careful.jsonl", "weak.jsonl")
CODE = """
import sys
from kit.marking import mark
from kit.marking.plot import visit_plot
from kit.marking.plot_svg import plot_svg
from kit.journal import replay
done = replay(sys.argv[1])
found = mark(done, rubric=sys.argv[2])
sys.stdout.buffer.write(found.to_json() + found.text.encode() + plot_svg(visit_plot(done)).encode())
"""


def in_a_process(journal: str, rubric: str, seed: str) -> bytes:
    """Return what a fresh interpreter says of a journal."""
    path = library.answer_keys("practice", "spring-check-01", journal)
    where = {**os.environ, "PYTHONHASHSEED": seed, "PYTHONPATH": os.pathsep.join(sys.path)}
    done = subprocess.run(
        [sys.executable, "-c", CODE, str(path), rubric],
        check=True, capture_output=True, env=where,
    )  # fmt: skip
    return done.stdout


@pytest.mark.parametrize("rubric", ["spring-check", "visit"])
@pytest.mark.parametrize("journal", JOURNALS)
def test_other_processes_give_the_same_bytes(journal, rubric) -> None:
    """The order of Python's sets must not show, neither in marks nor in words nor in the plot."""
    first, second = (in_a_process(journal, rubric, seed) for seed in ("1", "4711"))

    assert len(first) > 5000
    assert first == second


def test_a_second_marking_gives_the_same_bytes() -> None:
    """Marking leaves nothing behind."""
    path = library.answer_keys("practice", "spring-check-01", "careful.jsonl")

    assert mark(path).to_json() == mark(path).to_json()
