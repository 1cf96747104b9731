"""What tests of the journal share."""

from __future__ import annotations

from pathlib import Path

import pytest

from kit.journal import open_visit

STEPS = (
    ("ask", {"topic": "what"}),
    ("set_demand", {"mode": "cooling", "setpoint_k": 291.15}),
    ("place", {"instrument": "air_probe", "at": "supply"}),
    ("wait", {"minutes": 2}),
    ("read", {"instrument": "air_probe", "at": "supply"}),
    ("record", {"item": "supply_dry_bulb", "when": "as_found", "reading": 1}),
    ("lock", {}),
)


@pytest.fixture(scope="session")
def written(tmp_path_factory) -> bytes:
    """Return the bytes of a short journal."""
    path = tmp_path_factory.mktemp("journal") / "attempt.jsonl"
    visit = open_visit("spring-check-01", seed=7, learner="a-17", journal=path)
    for name, args in STEPS:
        visit.step(name, **args)
    visit.close()
    return path.read_bytes()


@pytest.fixture
def path(tmp_path, written) -> Path:
    """Return a copy of the short journal."""
    copy = tmp_path / "attempt.jsonl"
    copy.write_bytes(written)
    return copy
