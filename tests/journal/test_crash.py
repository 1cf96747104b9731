"""The program may die at any moment: at most the action in flight is lost."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from kit.journal import open_visit, read_journal

TOP = Path(__file__).parents[2]
forks = pytest.mark.skipif(not hasattr(os, "fork"), reason="Windows cannot fork")


def run(*words: object) -> dict[str, Any]:
    """Run the script that kills, and return what it found."""
    done = subprocess.run(
        [sys.executable, "-W", "ignore", "-m", "tests.journal.killed", *map(str, words)],
        capture_output=True, text=True, check=False, cwd=TOP, timeout=600,
    )  # fmt: skip
    assert 0 == done.returncode, done.stderr[-3000:]
    return json.loads(done.stdout.splitlines()[-1])


@pytest.mark.slow
@forks
def test_killed_at_random_moments_the_visit_goes_on_as_if_nothing_had_been(tmp_path) -> None:
    """Killed up to six times each, every visit ends line for line like an uninterrupted one."""
    seed = int.from_bytes(os.urandom(4), "big")

    found = run("random", tmp_path, seed, 40)

    assert found["kills"] >= 40
    assert [True] * found["visits"] == found["equal"], f"seed {seed}"
    # What was seen is on the disk; at most one more line is there, whose outcome nobody saw.
    assert {-1, 0} >= set(found["lost"]), f"seed {seed}"


@pytest.mark.slow
@forks
def test_killed_in_the_middle_of_a_write_the_visit_goes_on(tmp_path) -> None:
    """Torn anywhere, also while an earlier tear is being mended, nothing that was seen is lost."""
    found = run("writing", tmp_path)

    assert [True] * len(found["equal"]) == found["equal"]
    assert {-1, 0} >= set(found["lost"])
    # Of five moments in a line, the middle three leave torn bytes, which are noted once.
    assert [0, 1, 1, 1, 0] * 6 == found["notes"][:30]
    assert all(notes >= 1 for notes in found["notes"][30:])


def test_killed_on_any_system_what_was_seen_is_there(tmp_path) -> None:
    """The same in small, without forking: also on Windows."""
    path = tmp_path / "killed.jsonl"
    code = (
        "import os, sys, kit\n"
        "visit = kit.open_visit('spring-check-01', seed=7, journal=sys.argv[1])\n"
        "for topic in ('what', 'codes', 'drip'):\n"
        "    visit.step('ask', topic=topic)\n"
        "os.kill(os.getpid(), 9) if os.name == 'posix' else os._exit(9)\n"
    )

    done = subprocess.run(
        [sys.executable, "-c", code, str(path)], capture_output=True, check=False, cwd=TOP
    )

    assert done.returncode != 0
    assert 3 == len(read_journal(path).entries)
    visit = open_visit("spring-check-01", seed=7, journal=path)
    assert 3 == len(visit.outcomes)
    visit.close()
