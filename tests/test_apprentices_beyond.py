"""Apprentices of known skill come out in the order of their skill: circuit and electricity."""

from __future__ import annotations

import pytest

from tests.apprentices.ordering import BEYOND, check

pytestmark = pytest.mark.slow


@pytest.mark.parametrize("work_order", BEYOND)
def test_marks_follow_skill(tmp_path, work_order) -> None:
    """Expert, careful, hasty, part-swapper, gauge-first, guesser: strictly in this order."""
    check(work_order, tmp_path)
