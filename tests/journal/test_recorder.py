"""A visit that is written down as it goes."""

from __future__ import annotations

import pytest

from kit.errors import KitError
from kit.journal import file, open_visit, read_journal, recorder, replay
from kit.visit.state import State

HERE = {"seed": 7, "learner": "a-17"}
READ = {"instrument": "air_probe", "at": "supply"}


def test_a_step_that_cannot_be_written_does_not_happen(path) -> None:
    """What is not in the journal has not been done."""
    visit = open_visit("spring-check-01", journal=path, **HERE)
    before = visit._state
    visit.close()

    with pytest.raises(KitError):
        visit.step("hazard_walk")

    assert before == visit._state
    assert 7 == len(visit.outcomes)


def test_an_interrupt_after_the_line_was_written_is_found(path, monkeypatch) -> None:
    """The journal is one action ahead of the visit in memory; nothing is written on top of it."""
    visit = open_visit("spring-check-01", journal=path, **HERE)
    put = file.put

    def stopped(self, state: State, outcome) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(recorder.Visit, "_keep", stopped)
    with pytest.raises(KeyboardInterrupt):
        visit.step("hazard_walk")
    monkeypatch.undo()
    with pytest.raises(KitError, match="interrupted after it was written"):
        visit.step("hazard_walk")
    assert put is file.put

    again = open_visit("spring-check-01", journal=path, **HERE)
    again.step("hazard_walk")
    again.close()
    assert ["hazard_walk"] * 2 == [s.action for s in replay(path).steps[-2:]]


def test_a_mistaken_call_is_not_written(path) -> None:
    """An unknown action or a number out of range never happened."""
    visit = open_visit("spring-check-01", journal=path, **HERE)
    before = path.read_bytes()

    for name, args in (("fly", {}), ("wait", {"minutes": -1}), ("ask", {"topic": "\ud800"})):
        with pytest.raises(KitError):
            visit.step(name, **args)
    visit.close()

    assert before == path.read_bytes()


def test_units_and_language_change_at_any_moment_and_touch_no_value(tmp_path) -> None:
    """One line for each change; the same visit without changes holds the same actions."""
    plain, changing = tmp_path / "plain.jsonl", tmp_path / "changing.jsonl"
    texts = []
    for path in (plain, changing):
        visit = open_visit("spring-check-01", journal=path, **HERE)
        for units, language in (("us", "en"), ("si", "en"), ("si", "es"), ("us", "es")):
            if path is changing:
                visit.units = units
                visit.language = language
            texts.append(visit.step("read", **READ).text)
        visit.close()

    views = [e for e in read_journal(changing).entries if e["kind"] == "view"]
    assert [("si", "en"), ("si", "es"), ("us", "es")] == [
        (v["units"], v["language"]) for v in views
    ]
    assert [visit.clock_s for visit in replay(plain).steps[-1:] for visit in [visit.after]] == [
        replay(changing).end.clock_s
    ]
    bare = [
        [(e["action"], e["args"], e["outcome"]) for e in read_journal(p).entries if "action" in e]
        for p in (plain, changing)
    ]
    assert bare[0] == bare[1]
    assert ["°F", "°C", "°C", "°F"] == [t[t.index("°") :][:2] for t in texts[4:]]


def test_a_change_of_nothing_is_not_written(path) -> None:
    """A screen may set the units again as often as it likes."""
    visit = open_visit("spring-check-01", journal=path, units="us", **HERE)
    visit.units, visit.language = "us", "en"
    visit.close()

    assert 7 == len(read_journal(path).entries)


@pytest.mark.parametrize(("name", "value"), [("units", "furlongs"), ("language", "es_MX")])
def test_unknown_units_or_languages_are_refused(path, name, value) -> None:
    """And the visit stays in what it was."""
    visit = open_visit("spring-check-01", journal=path, **HERE)

    with pytest.raises(KitError, match=value):
        setattr(visit, name, value)

    assert ("us", "en") == (visit.units, visit.language)
    visit.close()


def test_past_outcomes_keep_their_units_when_it_is_opened_again(path) -> None:
    """What was read in degrees Fahrenheit is still shown so, as in a visit never closed."""
    visit = open_visit("spring-check-01", journal=path, **HERE)
    visit.units = "si"
    visit.step("read", **READ)
    before = [outcome.text for outcome in visit.outcomes]

    again = open_visit("spring-check-01", journal=path, **HERE)

    assert "si" == again.units
    assert before == [outcome.text for outcome in again.outcomes]
    again.close()


def test_two_days_of_simulated_time_are_enough(path, monkeypatch) -> None:
    """A replay must end; the step beyond is refused and not written."""
    monkeypatch.setattr(recorder, "LONGEST_VISIT_S", 1000.0)
    visit = open_visit("spring-check-01", journal=path, **HERE)

    with pytest.raises(KitError, match="simulated time"):
        visit.step("wait", minutes=20)
    visit.close()

    assert 7 == len(read_journal(path).entries)
