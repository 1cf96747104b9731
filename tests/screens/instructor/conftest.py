"""A folder of the test's own for whatever an instructor writes."""

from __future__ import annotations

import pytest

from kit import library
from kit.screens.instructor.order_screen import OrderScreen


@pytest.fixture(autouse=True)
def own(tmp_path, monkeypatch):
    """Keep what is written in a folder of the test's own."""
    monkeypatch.setenv("BENCHCALL_DATA", str(tmp_path / "own"))
    return tmp_path / "own"


@pytest.fixture
def desk():
    """Return the desk with a copy of a job of the kit, named."""
    made = OrderScreen()
    made.load("kit:dirty-coil-01")
    return made


@pytest.fixture
def key():
    """Return a function that gives the path of an answer key's journal."""
    return lambda order, who: library.answer_keys("practice", order, f"{who}.jsonl")
