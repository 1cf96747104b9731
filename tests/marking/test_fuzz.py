"""Whatever was done in a visit, in whatever order, it has a mark: no criterion fails on it."""

from __future__ import annotations

import json
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from kit.errors import KitError
from kit.journal import Replay, open_visit, read_journal
from kit.journal.replay import Step
from kit.marking import load_rubric, marked
from kit.marking.criterion import criteria
from kit.marking.plot import plot_text, visit_plot
from kit.marking.plot_svg import plot_svg
from kit.visit.actions import Argument, registry
from kit.visit.transition import first_state, transition
from kit.visit.work_order import load_work_order

ORDERS = ("spring-check-01", "low-charge-01", "heating-sound-01")
RUBRICS = [load_rubric(name) for name in ("spring-check", "visit")]
# Work that leads somewhere is drawn more often than the rest.
USUAL = ("record", "enter", "read", "decide", "conclude", "inspect", "set_demand", "wait",
         "pull_disconnect", "lock", "open_indoor", "open_outdoor", "wear", "hand_over")  # fmt: skip


@pytest.fixture(scope="module")
def header(tmp_path_factory):
    """Return a journal whose first line serves all visits here."""
    path = tmp_path_factory.mktemp("fuzz") / "attempt.jsonl"
    open_visit("spring-check-01", seed=7, learner="a-17", journal=path).close()
    return read_journal(path)


@st.composite
def calls(draw: st.DrawFn) -> tuple[str, dict[str, Any]]:
    """Give an action with arguments that fit."""
    usual = draw(st.booleans())
    name = draw(st.sampled_from(USUAL if usual else sorted(registry())))
    args: dict[str, Any] = {}
    for one in registry()[name].arguments:
        value = draw(fitting(one, args))
        if value is not None:
            args[one.name] = value
    return name, args


def fitting(one: Argument, so_far: dict[str, Any]) -> st.SearchStrategy[Any]:
    """Give values of an argument, now and then none where it may be left out."""
    known = dict(one.choices)
    if one.choices_by:
        known = dict(one.choices_by.get(str(so_far.get(one.depends_on)), {}))
    if one.kind == "choices":
        found: st.SearchStrategy[Any] = st.lists(st.sampled_from(sorted(known)), max_size=4)
    elif one.kind == "choice":
        found = st.sampled_from(sorted(known)) if known else st.none()
    elif one.kind == "flag":
        found = st.booleans()
    elif one.kind == "text":
        found = st.text(max_size=5)
    else:
        low, high = max(one.low, -1e4), min(one.high, 1e4)
        found = st.floats(low, min(high, 20.0) if low <= 20.0 else high) | st.just(low)
    return found if one.required else found | st.none()


def played(header, order: str, steps: list[tuple[str, dict[str, Any]]]) -> Replay:
    """Do the steps and return them as a replay."""
    work = load_work_order(order)
    state = start = first_state(work, 7)
    done: list[Step] = []
    for name, args in steps:
        before = state
        try:
            state, outcome = transition(before, name, args)
        except KitError:
            continue
        done.append(Step(len(done) + 2, name, outcome.args, before, state, outcome, ""))
    return Replay(header, work, start, tuple(done), "us", "en")


@settings(max_examples=80, suppress_health_check=list(HealthCheck), deadline=None)
@given(order=st.sampled_from(ORDERS), steps=st.lists(calls(), max_size=25))
def test_every_visit_has_a_mark_within_its_points(header, order, steps) -> None:
    """No criterion raises, no row earns more than it is worth, and the sums add up."""
    done = played(header, order, steps)

    for rubric in RUBRICS:
        found = marked(done, rubric)
        assert all(0.0 <= row.points <= row.out_of for row in found.rows)
        assert 0.0 <= found.points <= found.out_of
        assert pytest.approx(found.points) == sum(block.points for block in found.blocks)
        assert found.text
        assert json.loads(found.to_json())["points"] == found.points
        assert found.to_json() == marked(done, rubric).to_json()
    plot = visit_plot(done)
    assert plot_svg(plot).endswith("</svg>")
    assert plot_text(plot, "si")


@settings(max_examples=40, suppress_health_check=list(HealthCheck), deadline=None)
@given(order=st.sampled_from(ORDERS), steps=st.lists(calls(), max_size=15), data=st.data())
def test_every_criterion_takes_every_visit(header, order, steps, data) -> None:
    """Also those that the drawn order's rows do not use: each share lies from 0 to 1."""
    from kit.marking.evidence import Case

    case = Case(played(header, order, steps))
    rows = [row for rubric in RUBRICS for row in rubric.rows]
    row = data.draw(st.sampled_from(rows))
    score = criteria()[row.criterion](case, **row.args)

    assert 0.0 <= score.share <= 1.0
    assert score.said
    assert all(said.render("si") for said in score.said)
