"""What real visits write, against the limits of a journal."""

from __future__ import annotations

from kit.journal import open_visit, read_journal
from kit.journal.entry import DEEPEST, LONGEST_LINE, _depth
from kit.journal.file import LARGEST_FILE
from kit.visit.actions import find_action
from kit.visit.instruments import instrument, instrument_names
from kit.visit.places import places_for


def test_the_longest_wait_with_every_instrument_in_place_fits(tmp_path) -> None:
    """A line has room for twice what it writes, a journal for two days of it."""
    path = tmp_path / "long.jsonl"
    visit = open_visit("spring-check-01", seed=7, journal=path)
    placed = 0
    for name in instrument_names():
        at = [place for place in places_for(instrument(name).medium) if place != "supply_deep"]
        placed += bool(at) and not visit.step("place", instrument=name, at=at[0]).refused
    minutes = next(a.high for a in find_action("wait").arguments if a.name == "minutes")
    visit.step("set_demand", mode="cooling", setpoint_k=291.15)
    visit.step("wait", minutes=minutes)
    visit.close()

    longest = max(len(row) for row in path.read_bytes().splitlines())
    deepest = max(_depth(entry) for entry in read_journal(path).entries)
    waits = 48 * 60 / minutes
    assert placed >= 5
    assert longest * 2 < LONGEST_LINE
    assert longest * waits < LARGEST_FILE
    assert deepest + 4 < DEEPEST
