"""Apprentices of known skill come out in the order of their skill: air side and sound units."""

from __future__ import annotations

import pytest

from tests.apprentices.bench import WORK_ORDERS
from tests.apprentices.ordering import AIR_SIDE, BEYOND, check

pytestmark = pytest.mark.slow


def test_every_work_order_is_run() -> None:
    """A work order that no apprentice runs is one that nobody has tried."""
    assert set(WORK_ORDERS) == {*AIR_SIDE, *BEYOND}


@pytest.mark.parametrize("work_order", AIR_SIDE)
def test_marks_follow_skill(tmp_path, work_order) -> None:
    """Expert, careful, hasty, part-swapper, gauge-first, guesser: strictly in this order."""
    check(work_order, tmp_path)
