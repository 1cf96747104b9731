"""Every criterion can be met in full and can be missed; nothing is given away, nothing withheld."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import replace

import pytest

from kit import library
from kit.journal import replay
from kit.marking import load_rubric
from kit.marking.criterion import criteria, judged
from kit.marking.evidence import Case
from tests.marking.jobs import Job, circuit_job

# Met and missed in tests of their own.
ELSEWHERE = {
    "in_sequence": "below",
    "nothing_made_worse": "below",
    "number_entered": "test_numbers",
}


@pytest.fixture(scope="module")
def shares(tmp_path_factory):
    """Return every share that each criterion gave, over rubrics and visits good and bad."""
    folder = tmp_path_factory.mktemp("visits")
    names = ("model", "careful", "weak")
    cases = [
        Case(replay(library.answer_keys("practice", "spring-check-01", f"{name}.jsonl")))
        for name in names
    ]
    cases.append(Case(circuit_job(folder / "circuit.jsonl")))
    cases.append(Case(silly(Job("low-charge-01", folder / "silly.jsonl"))))
    found = defaultdict(list)
    for rubric in (load_rubric("spring-check"), load_rubric("visit")):
        for row in rubric.rows:
            for case in cases:
                found[row.criterion].append(judged(row.criterion, case, row.args).share)
    return found


def silly(job: Job):
    """Do what a rubric must not reward."""
    job.do("set_demand", mode="cooling", setpoint_k=297.15, fan="quiet")
    job.do("call_supervisor")
    job.do("wear", items=["goggles", "cut_gloves"])
    job.do("take_precautions", measures=["ignition_clear", "detector_on", "aired"])
    job.do("attach_gauges", purge="puff")
    job.do("read", instrument="gauges", at="gas_port")
    job.do("read", instrument="air_probe", at="supply_in_front", hold_s=10)
    job.do("top_up", refrigerant="R-32", phase="liquid", seconds=200)
    job.do("pull_disconnect")
    job.do("wait", minutes=240)
    job.do("wait", minutes=240)
    job.do("conclude", findings=["overcharge"], recommendations=["replace_unit"],
           first="replace_unit")  # fmt: skip
    job.do("hand_over", explain=[])
    return job.done()


@pytest.mark.parametrize("name", sorted(set(criteria()) - set(ELSEWHERE)))
def test_it_can_be_met_and_missed(shares, name) -> None:
    """A row that everybody or nobody earns says nothing about a learner."""
    assert 1.0 == max(shares[name])
    assert min(shares[name]) < 0.75


HARM = [
    ({"condition": {"indoor_coil_blockage": 0.5}}, 0.5),
    ({"condition": {"charge_fraction": 0.7}}, 0.5),
    ({"condition": {"charge_fraction": 0.97}}, 1.0),  # what a hose takes
    ({"condition": {"inverter_state": "dead"}}, 0.5),
    ({"harm": {"bent_outdoor": 0.3}}, 0.5),
    ({"harm": {"packed": True}}, 0.5),
    ({"harm": {"wheel": 0.5, "strip": 0.5}}, 0.0),
    ({"harm": {"indoor_board": True}}, 0.5),
    ({"loose": {"plugs": frozenset({"coil_sensor"})}}, 0.5),
    ({"loose": {"few_screws": frozenset({"outdoor_panels"})}}, 0.5),
    ({"work": {"sealant": True}}, 0.5),
    ({"work": {"shifted": True}}, 0.5),
]


@pytest.mark.parametrize(("left", "share"), HARM)
def test_harm_is_seen_wherever_it_was_done(model, left, share) -> None:
    """Knobs, folded fins, plugs, screws, what is in the circuit."""
    last = model.steps[-1]
    after = last.after
    for part, values in left.items():
        after = replace(after, **{part: replace(getattr(after, part), **values)})
    steps = (*model.steps[:-1], replace(last, after=after))

    assert share == judged("nothing_made_worse", Case(replace(model, steps=steps)), {}).share


@pytest.mark.parametrize(
    ("first", "then", "share"),
    [
        ("baseline", "cleaning", 1.0),
        ("cleaning", "baseline", 0.0),
        ("gauges", "cleaning", 0.0),
        ("wash", "pour_test", 1.0),
        ("proved_dead", "first_work", 1.0),
        ("locked", "cover_opened", 1.0),
        ("handed_over", "locked", 0.0),
    ],
)
def test_a_sequence_needs_both_and_their_order(model, first, then, share) -> None:
    """For a row of an instructor's own."""
    score = judged("in_sequence", Case(model), {"first": first, "then": then})

    assert share == score.share
