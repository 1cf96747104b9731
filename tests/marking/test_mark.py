"""The mark: reproducible, complete, and lost where a trainer would take it away."""

from __future__ import annotations

import math

import pytest

from kit.marking import load_rubric, marked

SPOIL = [
    # (row that must lose all it is worth, how the model visit is spoilt)
    ("asked-codes", lambda s: [x for x in s if x.get("topic") != "codes"]),
    ("scope", lambda s: [x for x in s if x["do"] != "agree_scope"]),
    ("humidity", lambda s: [x for x in s if x.get("instrument") != "psychrometer"
                            and x.get("item") != "target_split"]),
    ("tried-start", lambda s: [x for x in s if x["do"] != "try_start"]),
    ("second-gate", lambda s: [x for x in s if x.get("choice") != "no_further"]),
    ("pour-test", lambda s: [x for x in s if x["do"] != "pour_test"
                             and x.get("item") != "pour_test"]),
    ("wheel-method", lambda s: [{**x, "method": "spray"} if x["do"] == "clean_wheel" else x
                                for x in s]),
    ("outdoor-method", lambda s: [{**x, "method": "inwards"} if x["do"] == "wash_outdoor_coil"
                                  else x for x in s]),
    ("recommendations", lambda s: [{**x, "recommendations": ["top_up"]} if x["do"] == "conclude"
                                   else x for x in s]),
    ("split", lambda s: [{**x, "value": 4.0} if x.get("item") == "split"
                         and x["when"] == "as_found" else x for x in s]),
]  # fmt: skip


def rows(mark) -> dict[str, float]:
    """Return the points of each row."""
    return {row.name: row.points for row in mark.rows}


def lost(mark) -> set[str]:
    """Return the rows that did not earn all they are worth."""
    return {row.name for row in mark.rows if row.points < row.out_of}


def test_the_model_visit_has_full_marks(model_mark) -> None:
    """A trainer would have nothing to add."""
    assert set() == lost(model_mark)
    assert (100, 100, True, ()) == (
        model_mark.points,
        model_mark.out_of,
        model_mark.passed,
        model_mark.critical,
    )


def test_a_second_marking_gives_the_same_bytes(model, model_mark) -> None:
    """The mark is a pure function of journal and rubric."""
    again = marked(model, load_rubric("spring-check"))

    assert model_mark.to_json() == again.to_json()


@pytest.mark.parametrize(("row", "change"), SPOIL, ids=[name for name, _ in SPOIL])
def test_leaving_something_out_costs_its_row(altered, row, change) -> None:
    """One thing done worse costs its own row, and no critical error appears."""
    mark = altered(change)

    assert 0 == rows(mark)[row]
    assert not mark.critical
    assert len(lost(mark)) <= 6


def clean_before(steps):
    """Wash the filter before the baseline; everything else as the model."""
    first = [
        {"do": "open_indoor", "part": "front_panel"},
        {"do": "open_indoor", "part": "filter"},
        {"do": "clean_filter", "method": "vacuum"},
        {"do": "refit", "part": "filter"},
        {"do": "refit", "part": "front_panel"},
    ]
    at = next(i for i, x in enumerate(steps) if x["do"] == "set_demand")
    return steps[:at] + first + steps[at:]


def test_cleaning_before_the_baseline_voids_the_baseline(altered) -> None:
    """What was there before cannot be measured any more, however well it is done."""
    mark = altered(clean_before)
    by_name = {row.name: row for row in mark.rows}

    assert 0 == by_name["leaving"].points
    assert "The baseline comes before any cleaning" in by_name["leaving"].broken
    assert not mark.passed


def pour_before(steps):
    """Pour before the wash and not after it."""
    pour = [x for x in steps if x["do"] == "pour_test" or x.get("item") == "pour_test"]
    clear = [x for x in steps if x["do"] == "clear_drain"]
    rest = [x for x in steps if x not in pour and x not in clear]
    at = next(i for i, x in enumerate(rest) if x["do"] == "wash_indoor_coil")
    return rest[:at] + clear + pour + rest[at:]


def test_a_pour_before_the_wash_proves_nothing(altered) -> None:
    """The dirt that blocks a drain comes off in the wash."""
    assert 0 == rows(altered(pour_before))["pour-test"]


def hurried(steps):
    """Read at once instead of after ten minutes, without humidity."""
    at = next(i for i, x in enumerate(steps) if x["do"] == "wait")
    dropped = ("psychrometer", "air_probe_b", "clamp_meter")
    start = [x for x in steps[:at] if x.get("part") in (None, "display", "wall")]
    rest = [
        x
        for x in steps[at + 1 :]
        if x.get("instrument") not in dropped and x.get("item") != "target_split"
    ]
    return [*start, *rest]


def test_a_reading_taken_early_costs_points(altered) -> None:
    """The further from ten minutes, the less it is worth."""
    mark = altered(hurried)

    assert 0 < rows(mark)["ten-minutes"] < 3


def test_an_unfinished_visit_does_not_pass(altered) -> None:
    """Without a hand-over the job is not done."""
    mark = altered(lambda_without_hand_over)

    assert mark.points > 95
    assert not mark.finished
    assert not mark.passed


def lambda_without_hand_over(steps):
    """Leave without a word."""
    return [x for x in steps if x["do"] != "hand_over"]


def test_blocks_and_rows_add_up(model_mark) -> None:
    """Every point belongs to one block, and the blocks to the sum."""
    assert math.isclose(model_mark.points, sum(b.points for b in model_mark.blocks))
    assert {b.name for b in model_mark.blocks} == {r.block for r in model_mark.rows}


def test_feedback_speaks_with_the_learners_own_readings(model, model_mark) -> None:
    """Words of a trainer, figures of the learner, in the learner's units."""
    from kit.marking.feedback import feedback

    split = next(e for e in model.end.sheet if e.item == "split")

    assert f"{split.value * 1.8:.1f} °F for the split" in model_mark.text
    assert f"{split.value:.1f} K for the split" in feedback(model_mark, "si")


def test_a_lost_row_says_why_and_what_next(altered) -> None:
    """Each point lost comes with the reason and the remedy."""
    mark = altered(SPOIL[0][1])
    row = next(r for r in mark.rows if r.name == "asked-codes")

    assert row.why in mark.text
    assert row.next_time in mark.text


def test_an_empty_visit_earns_next_to_nothing(short) -> None:
    """Marks are for what was done, not for what was not."""
    mark = short({"do": "read_work_order"})

    assert mark.points <= 10
    assert not mark.passed
