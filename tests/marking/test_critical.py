"""Each critical error fails the visit; the near miss beside it does not."""

from __future__ import annotations

import pytest

from kit.marking import load_rubric

RUN = {"do": "set_demand", "mode": "cooling", "setpoint_k": 291.15, "fan": "auto"}
OFF = ({"do": "set_demand", "mode": "off"}, {"do": "wait", "minutes": 2})
ISOLATE = ({"do": "pull_disconnect"}, {"do": "lock"}, {"do": "tag"})
WEAR = {"do": "wear", "items": ["goggles", "cut_gloves", "mask", "insulating_gloves", "glasses"]}
PROVE = (
    {"do": "wait", "minutes": 8},
    {"do": "open_outdoor", "part": "terminal_cover"},
    *(
        {"do": "read", "instrument": "multimeter", "at": at}
        for at in (
            "known_source", "line_1_line_2", "line_1_earth", "line_2_earth", "dc_bus",
            "known_source",
        )
    ),
)  # fmt: skip
OPEN = tuple({"do": "open_indoor", "part": p} for p in ("front_panel", "filter", "indoor_casing"))
COVER = {"do": "protect", "items": ["drop_cloth", "wash_bag", "indoor_electrics"]}
WASH = {"do": "wash_indoor_coil", "method": "along_fins"}
READ = {"do": "read", "instrument": "air_probe", "at": "supply", "hold_s": 60}
SAFE = (*ISOLATE, WEAR, *PROVE)


def record(value: float) -> dict:
    """Return a step that writes the leaving air down by hand."""
    return {"do": "record", "item": "supply_dry_bulb", "when": "as_found", "value": value}


# code: (steps that commit it, steps that come near it and do not)
CASES: dict[str, tuple[tuple[dict, ...], tuple[dict, ...]]] = {
    "live_work": (OPEN, (*ISOLATE, *OPEN)),
    "not_locked": (({"do": "pull_disconnect"}, *OPEN), (*ISOLATE[:2], *OPEN)),
    "not_proved_dead": (
        (*ISOLATE, WEAR, *PROVE[:-1], *OPEN, COVER, WASH),
        (*SAFE, *OPEN, COVER, WASH),
    ),
    "no_eye_protection": (
        (*SAFE, {"do": "take_off", "items": ["goggles"]}, *OPEN, COVER, WASH),
        (*SAFE, {"do": "take_off", "items": ["mask"]}, *OPEN, COVER, WASH),
    ),
    "acid_indoors": (
        (*SAFE, *OPEN, COVER, {**WASH, "method": "acid"}),
        (*SAFE, *OPEN, COVER, {**WASH, "method": "lance"}),
    ),
    "restored_open": (
        (*ISOLATE, {"do": "open_outdoor", "part": "terminal_cover"}, {"do": "remove_lock"},
         {"do": "restore_power"}),
        (*ISOLATE, {"do": "open_outdoor", "part": "terminal_cover"},
         {"do": "refit", "part": "terminal_cover"}, {"do": "remove_lock"},
         {"do": "restore_power"}),
    ),
    "probe_in_wheel": (
        (RUN, {"do": "wait", "minutes": 1}, {**READ, "at": "supply_deep"}),
        ({**READ, "at": "supply_deep"},),
    ),
    "gauges_unqualified": (
        ({"do": "attach_gauges"},),
        ({"do": "call_supervisor"}, {"do": "attach_gauges"}),
    ),
    "false_record": ((READ, record(285.0)), (READ, record(299.2))),
}  # fmt: skip


def test_every_critical_error_that_can_be_met_has_its_case() -> None:
    """A rubric's critical error is one that somebody can commit."""
    others = {"stored_charge"}  # behind the proof; held back there by `not_proved_dead`

    assert set(load_rubric("spring-check").critical) == {*CASES, *others}


@pytest.mark.parametrize("code", CASES)
def test_committed_it_fails_the_visit(short, code) -> None:
    """Whatever the points."""
    mark = short(*CASES[code][0])

    assert code in {error.code for error in mark.critical}
    assert not mark.passed


@pytest.mark.parametrize("code", CASES)
def test_the_near_miss_beside_it_is_none(short, code) -> None:
    """A trainer knows the difference."""
    mark = short(*CASES[code][1])

    assert [] == [error.code for error in mark.critical]


def test_a_critical_error_tells_when_and_what(short) -> None:
    """The learner and an assessor find it in the journal."""
    error = short({"do": "attach_gauges"}).critical[0]

    assert (2, "gauges_unqualified") == (error.line, error.code)
    assert error.at_s > 0
    assert "certified" in error.said.render()


def test_words_without_the_deed_are_made_up(short) -> None:
    """Signing for a check not done is as bad as inventing a figure."""
    made_up = {"do": "record", "item": "pour_test", "when": "as_left", "words": "free"}

    assert ["false_record"] == [error.code for error in short(made_up).critical]


def test_a_slip_of_the_pen_is_no_falsehood(short) -> None:
    """Half a degree off costs the honest row; it is not a fraud."""
    mark = short(READ, record(298.6))
    honest = next(row for row in mark.rows if row.name == "honest")

    assert [] == list(mark.critical)
    assert 0 == honest.points
