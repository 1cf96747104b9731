"""What is asked of the marks of simulated apprentices, shared by the test files."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path

from kit.marking import Mark
from tests.apprentices import APPRENTICES
from tests.apprentices.bench import WORK_ORDERS, mark_of

LOTS = range(2, 6)  # further seeds of the guesser
NEARLY_FULL = 0.98  # share of the points an expert has at least
# Two files share the work, so that two workers can: faults of the circuit, of electricity and of
# the outdoor fan in the other.
BEYOND = ("chewed-wire-01", "displaced-sensor-01", "failed-compressor-01", "low-charge-01",
          "outdoor-fan-01", "spring-check-01", "two-faults-01")  # fmt: skip
AIR_SIDE = tuple(name for name in WORK_ORDERS if name not in BEYOND)


def check(work_order: str, folder: Path) -> None:
    """Send all apprentices through a work order and judge their marks.

    Args:
        work_order: name of the work order.
        folder: where the journals are written.
    """
    marks = {name: mark_of(work_order, name, folder) for name in APPRENTICES}
    others = [mark_of(work_order, f"guesser-{seed}", folder) for seed in LOTS]
    points = {name: mark.points for name, mark in marks.items()}

    order = list(points.values())
    assert all(better > worse for better, worse in pairwise(order)), points
    assert max(mark.points for mark in others) < points["gauge-first"], _told(others)
    assert marks["expert"].passed, marks["expert"].text
    assert marks["expert"].share >= NEARLY_FULL, marks["expert"].text
    assert not marks["expert"].critical
    for mark in (marks["guesser"], *others):
        assert not mark.passed, mark.text


def _told(marks: list[Mark]) -> list[float]:
    return [mark.points for mark in marks]
