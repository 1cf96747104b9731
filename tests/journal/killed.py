"""A visit whose program is killed, again and again; run as a script, which forks.

    python -m tests.journal.killed random FOLDER SEED KILLS
    python -m tests.journal.killed writing FOLDER

The last line printed is JSON: what the test needs to know.
"""

from __future__ import annotations

import json
import os
import random
import signal
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

from kit.journal import file, open_visit, read_journal

READ = ("read", {"instrument": "air_probe", "at": "supply"})
ACTIONS: tuple[tuple[str, dict[str, Any]], ...] = (
    ("read_work_order", {}),
    ("hazard_walk", {}),
    ("ask", {"topic": "what"}),
    ("set_demand", {"mode": "cooling", "setpoint_k": 291.15}),
    ("place", {"instrument": "air_probe", "at": "supply"}),
    ("wait", {"minutes": 1}),
    READ,
    ("record", {"item": "supply_dry_bulb", "when": "as_found", "reading": 1}),
    READ,
    ("lock", {}),
    ("ask", {"topic": "since"}),
    ("wait", {"minutes": 0.5}),
    READ,
    ("ask", {"topic": "drip"}),
)
UNITS = {2: "si", 7: "us", 11: "si"}  # chosen before the action of that number


def play(path: Path, told: Callable[[], object] = lambda: None) -> None:
    """Do all that is left of the visit; `told` is called after each outcome was seen."""
    visit = open_visit("spring-check-01", seed=7, learner="a-17", journal=path)
    for number in range(len(visit.outcomes), len(ACTIONS)):
        visit.units = UNITS.get(number, visit.units)
        name, args = ACTIONS[number]
        visit.step(name, **args)
        told()
    visit.close()


def without_times(path: Path) -> list[dict[str, Any]]:
    """Return the lines of a journal without times of the day, chain, nonce and notes."""
    journal = read_journal(path)
    left_out = ("wall", "i", "previous", "hash", "nonce", "commitment")
    return [
        {key: value for key, value in entry.items() if key not in left_out}
        for entry in (journal.header, *journal.entries)
        if entry["kind"] != "note"
    ]


def actions_in(path: Path) -> int:
    """Return how many actions a journal holds; none when it does not exist or is only begun."""
    if not path.exists() or b"\n" not in path.read_bytes():
        return 0
    return sum(entry["kind"] == "action" for entry in read_journal(path).entries)


def forked(work: Callable[[Callable[[], object]], object]) -> tuple[int, int]:
    """Start work in a child; return its number and the end of a pipe it tells its progress to."""
    out, into = os.pipe()
    child = os.fork()
    if child:
        os.close(into)
        return child, out
    status = 1
    try:
        work(lambda: os.write(into, b"."))
        status = 0
    finally:
        os._exit(status)


def ended(child: int, out: int) -> tuple[int, bool]:
    """Return how many outcomes a child had seen, and whether it was killed."""
    seen = b""
    while more := os.read(out, 1000):
        seen += more
    os.close(out)
    status = os.waitpid(child, 0)[1]
    if not os.WIFSIGNALED(status) and os.WEXITSTATUS(status):
        raise SystemExit("a child failed; its error stands above")
    return len(seen), os.WIFSIGNALED(status)


def at_random_moments(folder: Path, seed: int, kills: int) -> dict[str, Any]:
    """Kill the program at random moments until so many hit; then let each visit end."""
    play(folder / "straight.jsonl")
    rng, hits, lost, visits = random.Random(seed), 0, [], 0
    equal = []
    while hits < kills:
        path = folder / f"killed-{visits}.jsonl"
        visits += 1
        for left in range(6, -1, -1):
            before = actions_in(path)
            child, out = forked(lambda told, path=path: play(path, told))
            if left:
                time.sleep(rng.uniform(0.0, 0.4))
                os.kill(child, signal.SIGKILL)
            seen, was_killed = ended(child, out)
            hits += was_killed
            lost.append(before + seen - actions_in(path))
        equal.append(without_times(folder / "straight.jsonl") == without_times(path))
    return {"kills": hits, "visits": visits, "equal": equal, "lost": lost}


def while_writing(folder: Path) -> dict[str, Any]:
    """Kill the program in the middle of writing: each of some lines, after some of its bytes."""
    play(folder / "straight.jsonl")
    expected, equal, lost, notes = without_times(folder / "straight.jsonl"), [], [], []
    for number, moments in enumerate(plans()):
        path = folder / f"killed-{number}.jsonl"
        for moment in moments:
            before = actions_in(path)
            child, out = forked(lambda told, p=path, m=moment: (deadly(*m), play(p, told)))
            seen, was_killed = ended(child, out)
            if not was_killed:
                raise SystemExit(f"plan {number}: nothing was killed at {moment}")
            lost.append(before + seen - actions_in(path))
        ended(*forked(lambda told, p=path: play(p, told)))
        equal.append(expected == without_times(path))
        notes.append(sum(e["kind"] == "note" for e in read_journal(path).entries))
    return {"equal": equal, "lost": lost, "notes": notes}


def plans() -> Iterator[list[tuple[int, float, str]]]:
    """Give moments to kill at: (which write, share of its bytes written, during what)."""
    for line in (0, 1, 2, 3, 6, 9):
        for share in (0.0, 0.01, 0.5, 0.999, 1.0):
            yield [(line, share, "line")]
    for share in (0.0, 0.2, 0.9, 1.0):  # and again while what was cut off is being put aside
        yield [(5, 0.5, "line"), (0, share, "line")]
        yield [(5, 0.02, "line"), (0, share, "line"), (0, 0.3, "line")]
    yield [(5, 0.5, "line"), (0, 0.0, "aside")]
    yield [(5, 0.99, "line"), (0, 0.0, "cut")]


def deadly(which: int, share: float, during: str) -> None:
    """Let this program kill itself at a write to come."""
    put, aside, count = file.put, file._put_aside, [0]

    def die() -> None:
        os.kill(os.getpid(), signal.SIGKILL)

    def killing_put(out: Any, raw: bytes, at: int) -> None:
        if count[0] == which and during == "line":
            put(out, raw[: int(len(raw) * share)], at)
            die()
        put(out, raw, at)
        if during == "cut":
            die()
        count[0] += 1

    def killing_aside(path: Path, cut: bytes) -> str:
        name = aside(path, cut)
        if during == "aside":
            die()
        return name

    file.put, file._put_aside = killing_put, killing_aside


if __name__ == "__main__":
    place = Path(sys.argv[2])
    if sys.argv[1] == "random":
        result = at_random_moments(place, int(sys.argv[3]), int(sys.argv[4]))
    else:
        result = while_writing(place)
    sys.stdout.write(json.dumps(result) + "\n")
