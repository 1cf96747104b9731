"""PHYSICS_VERSION is held to its word: what it showed when it was named so, it shows today."""

from __future__ import annotations

import json
import shutil
import tomllib
from pathlib import Path

import pytest

from kit.journal import PHYSICS_VERSION, JournalError, read_journal, replay
from kit.visit import places
from kit.visit.instruments import instrument_names
from kit.visit.work_order import load_work_order
from tests.golden import make
from tests.golden.visits import VISITS

HOW = (
    "\n\nThe kit shows something else than physics version {version} did. If that is not meant, "
    "it is a mistake. If it is meant: raise PHYSICS_VERSION in kit/journal/versions.py, then run\n"
    "    python -m tests.golden.make"
)
JOURNALS = {name: make.HERE / f"{name}.jsonl" for name in VISITS}


def order_of(name: str):
    """Return the work order of a golden visit."""
    return load_work_order(make.HERE / f"{name}.toml")


@pytest.mark.parametrize("name", VISITS)
def test_a_golden_journal_replays_bit_for_bit(name) -> None:
    """Every reading, word and clock of each visit comes out as it was written."""
    header = read_journal(JOURNALS[name]).header
    if header["physics"] != PHYSICS_VERSION:
        pytest.fail(f"{name} is of physics version {header['physics']}. Make the golden journals "
                    "again: python -m tests.golden.make")  # fmt: skip
    try:
        done = replay(JOURNALS[name], order=order_of(name))
    except JournalError as error:
        pytest.fail(f"{name}: {error}{HOW.format(version=PHYSICS_VERSION)}")

    assert [step for step, _ in VISITS[name]] == [step.action for step in done.steps]


def test_there_is_a_golden_journal_for_each_visit_and_no_other() -> None:
    """A journal that no visit makes would never be made again."""
    assert sorted(VISITS) == sorted(path.stem for path in make.HERE.glob("*.jsonl"))
    assert sorted(VISITS) == sorted(path.stem for path in make.HERE.glob("*.toml"))


def test_they_cover_machines_modes_faults_and_instruments() -> None:
    """All refrigerants, both modes, ten faults, and every instrument that may be read there."""
    from kit.machine import load_spec

    orders = [order_of(name) for name in VISITS]
    specs = [load_spec(order.machine) for order in orders]
    faults = {fault.name for order in orders for fault in order.faults}
    read = {r["instrument"] for path in JOURNALS.values() for e in make.shown(path.read_bytes())
            for r in e["outcome"].get("readings", ())}  # fmt: skip

    assert {"R-32", "R-410A", "R-454B"} == {spec.refrigerant for spec in specs}
    assert len(specs) - 1 <= len({spec.name for spec in specs})
    assert {"cooling", "heating"} == {order.mode for order in orders}
    assert 10 <= len(faults)
    # An old detector may not be used on flammable refrigerants, and older gauges read the same.
    assert {"leak_detector_old", "gauges_old"} >= set(instrument_names()) - read


def test_work_orders_of_golden_visits_are_for_nobody() -> None:
    """They say that they are invented, as every work order does."""
    for name in VISITS:
        data = tomllib.loads((make.HERE / f"{name}.toml").read_text("utf-8"))
        assert data["invented"] is True
        assert "Nobody" in data["customer"]["name"]


@pytest.fixture
def one(tmp_path, monkeypatch) -> Path:
    """Return a folder with one golden visit, made today."""
    name = "clogged-wheel"
    steps = VISITS[name][:5]
    monkeypatch.setattr(make, "VISITS", {name: steps})
    shutil.copy(make.HERE / f"{name}.toml", tmp_path)
    assert 0 == make.main([], tmp_path)
    return tmp_path / f"{name}.jsonl"


def test_made_again_it_is_the_same_to_the_byte(one) -> None:
    """A diff shows what has changed and nothing else."""
    before = one.read_bytes()

    assert 0 == make.main([], one.parent)
    assert before == one.read_bytes()


def test_other_readings_under_the_same_version_are_refused(one, monkeypatch, capsys) -> None:
    """The guard bites: a changed reading fails the replay, and is not made golden unseen."""
    before = one.read_bytes()
    monkeypatch.setattr(places, "OUTLET_OF_FACE", places.OUTLET_OF_FACE * 1.05)

    with pytest.raises(JournalError, match=r"line 6: .*si` says"):
        replay(one, order=order_of("clogged-wheel"))
    assert 1 == make.main([], one.parent)
    assert before == one.read_bytes()
    assert "Raise PHYSICS_VERSION" in capsys.readouterr().err
    assert 0 == make.main(["--keep-version"], one.parent)
    assert before != one.read_bytes()
    assert 5 == len(replay(one, order=order_of("clogged-wheel")).steps)


def test_a_raised_version_takes_other_readings(one, monkeypatch) -> None:
    """Raise, make, done; the journal then says the new version."""
    from kit.journal import opening

    monkeypatch.setattr(places, "OUTLET_OF_FACE", places.OUTLET_OF_FACE * 1.05)
    for module in (make, opening):
        monkeypatch.setattr(module, "PHYSICS_VERSION", PHYSICS_VERSION + 1)

    assert 0 == make.main([], one.parent)
    assert PHYSICS_VERSION + 1 == json.loads(one.read_bytes().splitlines()[0])["physics"]


def test_the_version_is_a_whole_number() -> None:
    """It is compared and counted up."""
    assert type(PHYSICS_VERSION) is int
    assert PHYSICS_VERSION >= 1
