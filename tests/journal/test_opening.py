"""Opening a visit: a new one, one that goes on, or a finished one to be looked at."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

import kit
from kit.errors import KitError
from kit.journal import (
    NotWritableError,
    OtherJournalError,
    open_visit,
    opening,
    read_journal,
    replay,
)
from kit.journal.file import Writer
from tests.journal.forging import forged

HERE = {"seed": 7, "learner": "a-17"}
READ = {"instrument": "air_probe", "at": "supply", "hold_s": 20.0}


def handed_over(visit) -> None:
    """Do as little as a hand-over needs, and hand over."""
    visit.step("read_work_order")
    visit.step("conclude", findings=[], recommendations=[])
    visit.step("hand_over", explain=["what_was_done"])


@pytest.fixture
def finished(tmp_path) -> Path:
    """Return the journal of a visit that was handed over, with little done in it."""
    path = tmp_path / "finished.jsonl"
    visit = open_visit("spring-check-01", journal=path, **HERE)
    handed_over(visit)
    return path


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
    assert straight.outcomes == again.outcomes
    assert straight.step("read", **READ) == again.step("read", **READ)
    assert 8 == len(read_journal(path).entries)
    again.close()


def test_opening_again_writes_nothing(path) -> None:
    """Looking in ten times leaves no trace."""
    before = path.read_bytes()

    open_visit("spring-check-01", journal=path, **HERE).close()

    assert before == path.read_bytes()


def test_opened_twice_in_one_program_the_newer_one_goes_on(path) -> None:
    """Running a notebook's cell again must not end in a locked file."""
    older = open_visit("spring-check-01", journal=path, **HERE)
    newer = open_visit("spring-check-01", journal=path, **HERE)

    with pytest.raises(KitError, match="Use the newer one"):
        older.step("hazard_walk")
    newer.step("hazard_walk")
    newer.close()

    assert 8 == len(read_journal(path).entries)


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"learner": "b-4"}, "belongs to learner 'a-17', not 'b-4'"),
        ({"seed": 8}, "belongs to seed 7, not 8"),
    ],
)
def test_a_journal_of_somebody_else_is_not_continued(path, changed, said) -> None:
    """Each journal belongs to one learner, one seed, one work order; what to do is said."""
    before = path.read_bytes()

    with pytest.raises(OtherJournalError, match=f"line 1: it {said}.*fresh=True"):
        open_visit("spring-check-01", journal=path, **{**HERE, **changed})

    assert before == path.read_bytes()


def test_a_journal_of_another_work_order_is_not_continued(path, tmp_path) -> None:
    """A work order of an instructor's own, under another name."""
    from kit import library

    own = tmp_path / "own.toml"
    text = library.datasets("work_orders", "spring-check-01.toml").read_text("utf-8")
    own.write_text(text.replace('"spring-check-01"', '"autumn-check-02"'), "utf-8")

    with pytest.raises(OtherJournalError, match="work order 'spring-check-01', not 'autumn-ch"):
        open_visit(own, journal=path, **HERE)


def test_an_instructors_own_work_order_goes_on_and_replays(tmp_path) -> None:
    """Its file is given to `replay`, since the kit does not know its name."""
    from kit import library
    from kit.visit.work_order import load_work_order

    own, path = tmp_path / "own.toml", tmp_path / "own.jsonl"
    text = library.datasets("work_orders", "spring-check-01.toml").read_text("utf-8")
    own.write_text(text.replace('"spring-check-01"', '"our own, 7"'), "utf-8")
    for count in (1, 2):
        visit = open_visit(own, journal=path, **HERE)
        visit.step("hazard_walk")
        visit.close()
        assert count == len(replay(path, order=load_work_order(own)).steps)


def test_a_seed_left_out_is_that_of_the_journal(path) -> None:
    """Going on needs no more than the file."""
    visit = open_visit("spring-check-01", journal=path, learner="a-17")
    visit.close()

    assert 7 == visit._state.seed


def test_a_seed_left_out_at_the_beginning_is_drawn(tmp_path) -> None:
    """Two learners have two sets of instruments."""
    seeds = set()
    for name in ("a", "b"):
        visit = open_visit("spring-check-01", journal=tmp_path / f"{name}.jsonl")
        visit.close()
        seeds.add(visit._state.seed)

    assert 2 == len(seeds)


def test_beginning_anew_puts_the_old_journal_aside(path) -> None:
    """Nothing is ever deleted."""
    old = path.read_bytes()

    for _ in range(2):
        open_visit("spring-check-01", journal=path, fresh=True, **HERE).close()

    assert old == path.with_name("attempt.1.jsonl").read_bytes()
    assert path.with_name("attempt.2.jsonl").is_file()
    assert () == read_journal(path).entries


def test_a_journal_in_use_is_not_put_aside(path) -> None:
    """The other program would go on writing into the renamed file."""
    code = (
        "import sys; from kit.journal.file import Writer; w = Writer(sys.argv[1]);"
        "print('open', flush=True); sys.stdin.read()"
    )
    child = subprocess.Popen(
        [sys.executable, "-c", code, str(path)], cwd=Path(__file__).parents[2],
        stdin=subprocess.PIPE, stdout=subprocess.PIPE,
    )  # fmt: skip
    with child:
        child.stdout.readline()
        with pytest.raises(NotWritableError, match="Another program"):
            open_visit("spring-check-01", journal=path, fresh=True, **HERE)
        child.communicate()

    assert [path.name] == [other.name for other in path.parent.iterdir()]


def test_a_journal_that_was_changed_is_not_continued(path) -> None:
    """And it stays as it is, with its torn line."""
    forged(path, 6, lambda e: e["outcome"]["readings"][0].update(si=300))
    path.write_bytes(path.read_bytes() + b"torn")
    before = path.read_bytes()

    with pytest.raises(KitError, match="line 6"):
        open_visit("spring-check-01", journal=path, **HERE)

    assert before == path.read_bytes()


def test_a_torn_line_is_mended_when_the_visit_goes_on(path) -> None:
    """The note is written at once, before the next action."""
    path.write_bytes(path.read_bytes()[:-10])

    visit = open_visit("spring-check-01", journal=path, **HERE)

    assert ["action"] * 6 + ["note"] == [e["kind"] for e in read_journal(path).entries]
    assert 6 == len(visit.outcomes)
    visit.close()


def test_units_and_language_are_those_last_chosen_or_asked_for(path) -> None:
    """The journal remembers them; a change when opening is a change like any other."""
    first = open_visit("spring-check-01", journal=path, units="si", language="es", **HERE)
    first.close()
    second = open_visit("spring-check-01", journal=path, **HERE)
    second.close()

    assert ("si", "es") == (second.units, second.language)
    assert ["view"] == [e["kind"] for e in read_journal(path).entries[7:]]


def test_a_visit_that_is_not_written_down_has_units_and_language_too() -> None:
    """The same arguments work without a journal."""
    visit = open_visit("spring-check-01", units="si", language="es", **HERE)

    assert ("si", "es") == (visit.units, visit.language)


@pytest.mark.parametrize("learner", ["Ann Other", "a/b", "x" * 65, "é", "a\n"])
def test_a_name_is_no_opaque_id(learner) -> None:
    """Journals travel; names do not."""
    with pytest.raises(KitError, match="not a name"):
        open_visit("spring-check-01", learner=learner)


def test_a_name_no_system_takes_is_refused(tmp_path) -> None:
    """A clear sentence before anything is tried."""
    with pytest.raises(KitError, match="no name of a file"):
        open_visit("spring-check-01", journal=f"{tmp_path}/a\0.jsonl", **HERE)


def test_after_the_hand_over_nothing_more_is_written(finished) -> None:
    """The journal is complete: a further action is refused, and leaves no line."""
    visit = open_visit("spring-check-01", journal=finished.with_name("second.jsonl"), **HERE)
    handed_over(visit)
    before = visit.journal.read_bytes()

    outcome = visit.step("ask", topic="what")
    visit.units = "si"

    assert visit.finished
    assert outcome.refused
    assert "ask" != visit.outcomes[-1].action
    assert before == visit.journal.read_bytes()
    Writer(visit.journal).close()  # free for everybody


def test_a_finished_journal_opens_to_be_looked_at(finished) -> None:
    """Everything is shown, nothing is locked, nothing is written."""
    before = finished.read_bytes()

    visit = open_visit("spring-check-01", journal=finished, units="si", **HERE)

    assert visit.finished
    assert visit.view().closed
    assert "si" == visit.units
    assert ["read_work_order", "conclude", "hand_over"] == [o.action for o in visit.outcomes]
    assert visit.step("ask", topic="what").refused
    assert before == finished.read_bytes()
    assert visit.head == read_journal(finished).head
    Writer(finished).close()


def test_a_finished_journal_that_cannot_be_written_opens_too(finished, monkeypatch) -> None:
    """On a read-only share, or while another program holds it."""

    def denied(path) -> None:
        raise NotWritableError("denied")

    monkeypatch.setattr(opening, "Writer", denied)
    visit = open_visit("spring-check-01", journal=finished, **HERE)

    assert visit.finished
    assert visit.step("ask", topic="what").refused
    assert visit.head == read_journal(finished).head
    with pytest.raises(OtherJournalError):
        open_visit("spring-check-01", journal=finished, seed=7, learner="b-4")


def test_an_unfinished_journal_that_cannot_be_written_is_refused(path, monkeypatch) -> None:
    """A visit that would lose what is done next is not opened."""

    def denied(path) -> None:
        raise NotWritableError("denied")

    monkeypatch.setattr(opening, "Writer", denied)

    for place in (path, path.with_name("new.jsonl")):
        with pytest.raises(NotWritableError, match="denied"):
            open_visit("spring-check-01", journal=place, **HERE)


@pytest.fixture
def powerless(path):
    """Give up the rights of an administrator for a while, and all rights on the journal."""
    if os.name != "posix":
        pytest.skip("rights of files work otherwise on Windows")
    replay(path)  # loads what must be loaded while that is allowed
    path.chmod(0)
    administrator = os.geteuid() == 0
    if administrator:
        os.seteuid(65534)
    yield
    if administrator:
        os.seteuid(0)
    path.chmod(0o600)


@pytest.mark.usefixtures("powerless")
@pytest.mark.parametrize("way", ["read", "replay", "open", "anew"])
def test_without_permission_there_is_one_clear_error(path, way) -> None:
    """Neither reading nor writing: the sentence of the system, under the kit's own error."""
    ways = {
        "read": lambda: read_journal(path),
        "replay": lambda: replay(path),
        "open": lambda: open_visit("spring-check-01", journal=path, **HERE),
        "anew": lambda: open_visit("spring-check-01", journal=path, fresh=True, **HERE),
    }

    with pytest.raises(KitError, match="Permission denied"):
        ways[way]()
