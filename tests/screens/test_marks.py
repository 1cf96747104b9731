"""The marks at the end: what failed the visit first, with the learner's own readings and a plot."""

from __future__ import annotations

import pytest

from kit import library, marking
from kit.journal.replay import replay
from kit.marking.plot import visit_plot
from kit.screens.marks import verdict
from kit.screens.voice import Voice

US, SI = Voice("us"), Voice("si")


@pytest.fixture(scope="module")
def weak():
    """Return a visit that failed, marked, with the figures of its plot."""
    done = replay(library.answer_keys("practice", "spring-check-01", "weak.jsonl"))
    return marking.mark(done), visit_plot(done)


def test_a_critical_error_says_when_and_what_happened(weak):
    """Each one stands by itself, before any points."""
    shown = verdict(*weak[:1], US)
    assert len(weak[0].critical) == len(shown["critical"])
    for row in shown["critical"]:
        assert row["points"].startswith("minute ")
        assert row["title"]
        assert row["text"]
    assert "critical errors" in shown["total"]


def test_what_cost_most_comes_first(weak):
    """A learner who reads only three rows reads the three that matter."""
    by_title = {row.title: row.out_of - row.points for row in weak[0].rows}
    costs = [by_title[row["title"]] for row in verdict(weak[0], US)["lost"]]
    assert sorted(costs, reverse=True) == costs


def test_a_row_that_lost_points_says_why_it_matters_and_what_to_do(weak):
    """Said, why and next time are told apart by words."""
    for row in verdict(weak[0], US)["lost"]:
        heads = [head for head, _ in row["more"]]
        assert ["Why it matters", "Next time"] == heads[-2:]
    assert all(not row["more"] for row in verdict(weak[0], US)["kept"])


def test_readings_in_the_feedback_follow_the_units(weak):
    """The learner's own figures, in the units chosen now."""
    us, si = (
        {row["title"]: row["text"] for row in verdict(weak[0], voice)["lost"]} for voice in (US, SI)
    )
    told = [title for title, text in us.items() if "°F" in text]
    assert told
    for title in told:
        assert "°C" in si[title] or " K" in si[title]


def test_the_plot_comes_drawn_and_in_words(weak):
    """Whoever cannot see it reads the same."""
    shown = verdict(*weak[:1], US, weak[1])["plot"]
    assert shown["svg"].startswith("<svg")
    assert "minute" in shown["text"]
    assert verdict(weak[0], US)["plot"] is None


def test_what_an_assessor_changed_is_shown_with_the_reason(weak):
    """The points that count are the assessor's; the kit's own stand beside them."""
    row = next(row for row in weak[0].rows if row.points < row.out_of)
    changed = marking.override(weak[0], row.name, row.out_of, "I. Vantongeren", "Shown in class.")
    shown = verdict(changed, US)
    assert row.title not in [one["title"] for one in shown["lost"]]
    assert "I. Vantongeren: Shown in class." in shown["changed"][0]


def test_charts_stand_beside_the_plot_when_there_are_any(weak):
    """What is revealed after the hand-over is passed on as it is; without it nothing is shown."""
    charts = {"title": "Your air", "list": []}
    assert charts == verdict(weak[0], US, weak[1], charts)["charts"]
    assert verdict(weak[0], US, weak[1])["charts"] is None
