"""Work on the circuit: each step judged by what was written down; handing on is as good."""

from __future__ import annotations

from dataclasses import replace

import pytest

from kit.marking.criteria import circuit
from kit.marking.criterion import judged
from kit.marking.evidence import Case
from tests.marking.jobs import Job, circuit_job

ROWS = ("leak_searched", "recovered_first", "nitrogen_tested", "evacuated", "weighed_in")


@pytest.fixture(scope="module")
def repair(tmp_path_factory) -> Case:
    """Return a whole repair of a leak."""
    return Case(circuit_job(tmp_path_factory.mktemp("repair") / "job.jsonl"))


def without(case: Case, *actions: str) -> Case:
    """Return the visit as if some actions had never been done."""
    steps = tuple(s for s in case.steps if s.action not in actions)
    return Case(replace(case.replay, steps=steps))


def unwritten(case: Case, *items: str) -> Case:
    """Return the visit as if some lines had not been written down."""
    found = Case(case.replay)
    found.__dict__["entries"] = tuple(e for e in case.entries if e.written.item not in items)
    return found


def figure(case: Case, item: str, value: float) -> Case:
    """Return the visit with another figure on a line; its reading stays behind it."""
    found = Case(case.replay)
    found.__dict__["entries"] = tuple(
        replace(e, written=replace(e.written, value=value)) if e.written.item == item else e
        for e in case.entries
    )
    return found


@pytest.mark.parametrize("row", ROWS)
def test_the_whole_repair_has_full_marks(repair, row) -> None:
    """Search, recover, flare, nitrogen, vacuum, weigh in: nothing to add."""
    score = judged(row, repair, {})

    assert 1.0 == score.share, [said.render() for said in score.said]


@pytest.mark.parametrize(
    ("row", "spoilt", "most"),
    [
        ("leak_searched", lambda c: without(c, "search_leak"), 0.3),
        ("leak_searched", lambda c: unwritten(c, "leak_found"), 0.7),
        ("recovered_first", lambda c: without(c, "recover"), 0.0),
        ("recovered_first", lambda c: unwritten(c, "recovered"), 0.7),
        ("nitrogen_tested", lambda c: unwritten(c, "nitrogen_end"), 0.0),
        ("nitrogen_tested", lambda c: figure(c, "nitrogen_end", 3.0e6), 0.5),
        ("evacuated", lambda c: unwritten(c, "vacuum_reached"), 0.0),
        ("evacuated", lambda c: figure(c, "vacuum_reached", 200.0), 0.6),
        ("evacuated", lambda c: unwritten(c, "vacuum_after_hold"), 0.4),
        ("evacuated", lambda c: figure(c, "vacuum_after_hold", 400.0), 0.6),
        ("weighed_in", lambda c: without(c, "weigh_in"), 0.0),
        ("weighed_in", lambda c: without(c, "read_data_sheet"), 0.3),
        ("weighed_in", lambda c: without(c, "measure_lines"), 0.3),
    ],
)
def test_a_step_left_out_costs_its_row(repair, row, spoilt, most) -> None:
    """And no more than a trainer would take."""
    assert pytest.approx(most) == judged(row, spoilt(repair), {}).share


@pytest.mark.parametrize("row", ROWS)
def test_handing_on_is_a_full_answer(tmp_path, row) -> None:
    """Who may not open a circuit does right to leave it to who may, on a sign that was seen."""
    shares = []
    for measured, recommended in ((True, "leak_search"), (True, "yearly_service"),
                                  (False, "leak_search")):  # fmt: skip
        job = Job("low-charge-01", tmp_path / f"{measured}-{recommended}.jsonl")
        if measured:
            job.do("enter", item="split", when="as_found", value=6.0)
        job.do("conclude", findings=["low-charge"], recommendations=[recommended])
        shares.append(judged(row, Case(job.done()), {}).share)

    assert [1.0, 0.0, 0.0] == shares


def test_topping_up_is_no_weighing_in(tmp_path) -> None:
    """A guess on top of a guess."""
    job = Job("low-charge-01", tmp_path / "job.jsonl")
    job.do("call_supervisor")
    job.do("wear", items=["goggles", "cut_gloves"])
    job.do("take_precautions", measures=["ignition_clear", "detector_on", "aired"])
    job.run(8)
    job.do("attach_gauges")
    job.do("top_up", refrigerant="R-32", phase="vapour", seconds=60)
    case = Case(job.done())
    met = judged("no_hazard", case, {"codes": ["charged_by_guess"], "each": 0.5})

    assert 0.0 == judged("weighed_in", case, {}).share
    assert 0.5 == met.share
    assert set(circuit.WORK) >= {"top_up", "weigh_in"}
