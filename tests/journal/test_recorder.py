"""A visit that is written down as it goes, and goes on where it was."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

import kit
from kit.errors import KitError
from kit.journal import open_visit, read_journal, replay

HERE = {"seed": 7, "learner": "a-17"}


def test_the_kit_offers_it_at_the_top(tmp_path) -> None:
    """`kit.open_visit` is the way in."""
    visit = kit.open_visit("spring-check-01", journal=tmp_path / "a.jsonl", **HERE)

    assert visit.step("read_work_order").text
    visit.close()


def test_reopened_it_goes_on_as_if_never_closed(path) -> None:
    """The same state, and the next reading is the one that would have come."""
    again = open_visit("spring-check-01", journal=path, **HERE)
    straight = open_visit("spring-check-01", **HERE)
    for step in replay(path).steps:
        straight.step(step.action, **step.args)

    assert straight._state == again._state
    then = ("read", {"instrument": "air_probe", "at": "supply", "hold_s": 20.0})
    assert straight.step(then[0], **then[1]) == again.step(then[0], **then[1])
    assert 8 == len(read_journal(path).entries)
    again.close()


def test_opened_twice_in_one_program_the_newer_one_goes_on(path) -> None:
    """Running a notebook's cell again must not end in a locked file."""
    older = open_visit("spring-check-01", journal=path, **HERE)
    newer = open_visit("spring-check-01", journal=path, **HERE)

    with pytest.raises(KitError, match="Use the newer one"):
        older.step("hazard_walk")
    newer.step("hazard_walk")
    newer.close()

    assert 8 == len(read_journal(path).entries)


def test_a_step_that_cannot_be_written_does_not_happen(path) -> None:
    """What is not in the journal has not been done."""
    visit = open_visit("spring-check-01", journal=path, **HERE)
    before = visit._state
    visit.close()

    with pytest.raises(KitError):
        visit.step("hazard_walk")

    assert before == visit._state


@pytest.mark.parametrize(
    ("changed", "said"),
    [({"learner": "b-4"}, "learner"), ({"seed": 8}, "seed")],
)
def test_a_journal_of_somebody_else_is_not_continued(path, changed, said) -> None:
    """Each journal belongs to one learner, one seed, one work order."""
    with pytest.raises(KitError, match=said):
        open_visit("spring-check-01", journal=path, **{**HERE, **changed})


def test_beginning_anew_puts_the_old_journal_aside(path) -> None:
    """Nothing is ever deleted."""
    old = path.read_bytes()

    visit = open_visit("spring-check-01", journal=path, fresh=True, **HERE)
    visit.close()

    assert old == path.with_name("attempt.1.jsonl").read_bytes()
    assert () == read_journal(path).entries


@pytest.mark.parametrize("learner", ["Ann Other", "a/b", "x" * 65, "é"])
def test_a_name_is_no_opaque_id(learner) -> None:
    """Journals travel; names do not."""
    with pytest.raises(KitError, match="not a name"):
        open_visit("spring-check-01", learner=learner)


@pytest.mark.parametrize("seed", [-1, 2**53, 1.5, True])
def test_a_seed_must_be_a_whole_number_json_can_carry(seed) -> None:
    """RFC 8785 carries whole numbers below 2**53."""
    with pytest.raises(KitError, match="seed"):
        open_visit("spring-check-01", seed=seed)


def test_units_may_differ_when_it_is_opened_again(path) -> None:
    """The journal keeps SI; text follows the learner of today."""
    visit = open_visit("spring-check-01", journal=path, units="si", **HERE)

    outcome = visit.step("read", instrument="air_probe", at="supply")
    visit.close()

    assert "°C" in outcome.text


def test_killed_at_any_moment_at_most_the_action_in_flight_is_lost(tmp_path) -> None:
    """Each outcome that was seen is on the disk."""
    path = tmp_path / "killed.jsonl"
    code = (
        "import os, sys, kit\n"
        "visit = kit.open_visit('spring-check-01', seed=7, journal=sys.argv[1])\n"
        "for topic in ('what', 'codes', 'drip'):\n"
        "    visit.step('ask', topic=topic)\n"
        "os.kill(os.getpid(), 9) if os.name == 'posix' else os._exit(9)\n"
    )

    done = subprocess.run(
        [sys.executable, "-c", code, str(path)],
        capture_output=True, check=False, cwd=Path(__file__).parents[2],
    )  # fmt: skip

    assert done.returncode != 0
    assert 3 == len(read_journal(path).entries)
    visit = open_visit("spring-check-01", seed=7, journal=path)
    assert 3 == len(visit.outcomes)
    visit.close()
