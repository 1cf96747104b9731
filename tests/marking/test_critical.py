"""Each critical error, committed through the public interface, fails; the near miss does not."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

import kit
from kit import library
from kit.marking import Mark, load_rubric, mark
from kit.marking.critical import CODES, KINDS

RUN = {"do": "set_demand", "mode": "cooling", "setpoint_k": 291.15, "fan": "auto"}
OFF = {"do": "set_demand", "mode": "off"}
PULL, LOCK, TAG = {"do": "pull_disconnect"}, {"do": "lock"}, {"do": "tag"}
ISOLATE = (PULL, LOCK, TAG)
UNLOCK, RESTORE = {"do": "remove_lock"}, {"do": "restore_power"}
WEAR = {"do": "wear", "items": ["goggles", "cut_gloves", "mask", "insulating_gloves", "glasses"]}
TERMINALS = {"do": "open_outdoor", "part": "terminal_cover"}
TESTS = tuple(
    {"do": "read", "instrument": "multimeter", "at": at}
    for at in ("known_source", "line_1_line_2", "line_1_earth", "line_2_earth", "dc_bus",
               "known_source")
)  # fmt: skip
PROVE = ({"do": "wait", "minutes": 8}, TERMINALS, *TESTS)
OPEN = tuple({"do": "open_indoor", "part": p} for p in ("front_panel", "filter", "indoor_casing"))
COVER = {"do": "protect", "items": ["drop_cloth", "wash_bag", "indoor_electrics"]}
WASH = {"do": "wash_indoor_coil", "method": "along_fins"}
READ = {"do": "read", "instrument": "air_probe", "at": "supply", "hold_s": 60}
SAFE = (*ISOLATE, WEAR, *PROVE)
SUPERVISOR = {"do": "call_supervisor"}
CARE = {"do": "take_precautions", "measures": ["ignition_clear", "detector_on", "aired"]}
GAUGES = {"do": "attach_gauges"}
CIRCUIT = (SUPERVISOR, WEAR, CARE, GAUGES, *ISOLATE)
RECOVER = {"do": "recover", "cylinder": "own"}
FLARE = {"do": "repair_leak", "where": "gas_flare_outdoor", "method": "new_flare",
         "nitrogen_flow": True}  # fmt: skip
AIRED_FLARE = {**FLARE, "nitrogen_flow": False}
BRAZE = {**FLARE, "where": "valve_stems", "method": "replace_part"}
NITROGEN = {"do": "pressurise", "gas": "nitrogen", "regulator": "relief", "to_pa": 350e3}
PUMP = ({"do": "connect_pump", "hose": "wide", "cores_out": True, "oil": "fresh"},
        {"do": "start_pump"})  # fmt: skip
VACUUM = (*CIRCUIT, RECOVER, FLARE, *PUMP, {"do": "wait", "minutes": 15}, {"do": "stop_pump"})
SCALE = {"do": "set_up_scale", "tare": "hose_filled"}
WEIGH = {"do": "weigh_in", "refrigerant": "R-32", "phase": "liquid", "mass_kg": 0.3}
HOT = ({"do": "wait", "minutes": 1}, RUN, {"do": "wait", "minutes": 8})

LADDER = "[fitted]\nladder = true\n\n[surroundings]"
OTHER = '[site]\nother_lock = "A roofer, Odo Plumb"\n\n[[site.hazard]]'
PERSON = '[site]\nperson_at_unit = "A window cleaner reaches over the unit"\n\n[[site.hazard]]'

Steps = tuple[dict, ...]


def record(value: float) -> dict:
    """Return a step that writes the leaving air down by hand."""
    return {"do": "record", "item": "supply_dry_bulb", "when": "as_found", "value": value}


# code: (steps that commit it, steps that come near it and do not)
CASES: dict[str, tuple[Steps, Steps]] = {
    # Hands in without isolation.
    "live_work": (OPEN, (*ISOLATE, *OPEN)),
    "not_locked": ((PULL, *OPEN), (PULL, LOCK, *OPEN)),
    # Not proved dead: the meter's second known source is left out.
    "not_proved_dead": (
        (*ISOLATE, WEAR, *PROVE[:-1], *OPEN, COVER, WASH),
        (*SAFE, *OPEN, COVER, WASH),
    ),
    # Capacitors.
    "bus_shorted": (
        (*ISOLATE, WEAR, TERMINALS, {"do": "discharge_bus", "how": "tool"}),
        (*ISOLATE, WEAR, TERMINALS, {"do": "discharge_bus", "how": "resistor"}),
    ),
    # Locks and people of others.
    "other_lock_removed": (
        (*ISOLATE, UNLOCK, {"do": "cut_lock"}),
        (*ISOLATE, UNLOCK, {"do": "call_owner"}, RESTORE),
    ),
    "restored_with_person": (
        (*ISOLATE, UNLOCK, RESTORE),
        (*ISOLATE, UNLOCK, {"do": "clear_people"}, RESTORE),
    ),
    "restored_open": (
        (*ISOLATE, TERMINALS, UNLOCK, RESTORE),
        (*ISOLATE, TERMINALS, {"do": "refit", "part": "terminal_cover"}, UNLOCK, RESTORE),
    ),
    # The wheel: the same place while it stands is none.
    "probe_in_wheel": (
        (RUN, {"do": "wait", "minutes": 1}, {**READ, "at": "supply_deep"}),
        ({**READ, "at": "supply_deep"},),
    ),
    # Refrigerant let out, or the circuit opened with it inside.
    "vented": ((*CIRCUIT, {"do": "let_out"}), (*CIRCUIT, RECOVER, NITROGEN, {"do": "let_out"})),
    "vented_through_pump": ((*CIRCUIT, *PUMP), (*CIRCUIT, RECOVER, *PUMP)),
    "opened_unrecovered": ((*CIRCUIT, FLARE), (*CIRCUIT, RECOVER, FLARE)),
    "gauges_unqualified": ((WEAR, CARE, GAUGES), (SUPERVISOR, WEAR, CARE, GAUGES)),
    # Test gas and pressure.
    "wrong_test_gas": (
        (*CIRCUIT, RECOVER, {**NITROGEN, "gas": "oxygen"}),
        (*CIRCUIT, RECOVER, NITROGEN),
    ),
    "no_regulator": (
        (*CIRCUIT, RECOVER, {**NITROGEN, "regulator": "no_relief"}),
        (*CIRCUIT, RECOVER, NITROGEN),
    ),
    "above_rating": (
        (*CIRCUIT, RECOVER, {**NITROGEN, "to_pa": 6e6}),
        # Straight to full pressure: poor practice, and no more.
        (*CIRCUIT, RECOVER, {**NITROGEN, "to_pa": 3.5e6}),
    ),
    "cylinder_overfilled": (
        (*CIRCUIT, {**RECOVER, "cylinder": "nearly_full"}),
        (*CIRCUIT, RECOVER),
    ),
    "one_way_cylinder": (
        (*CIRCUIT, {**RECOVER, "cylinder": "one_way"}),
        (*CIRCUIT, RECOVER),
    ),
    # Flammable and mixed refrigerants.
    "flammable_work": (
        (SUPERVISOR, WEAR, GAUGES, *ISOLATE, RECOVER),
        (SUPERVISOR, WEAR, CARE, GAUGES, *ISOLATE, RECOVER),
    ),
    "ignition_at_leak": (
        ({"do": "read", "instrument": "leak_detector_old", "at": "sniff_gas_flare_outdoor"},),
        ({"do": "read", "instrument": "leak_detector", "at": "sniff_gas_flare_outdoor"},),
    ),
    "torch_unswept": (
        (*CIRCUIT, RECOVER, {**BRAZE, "nitrogen_flow": False}),
        (*CIRCUIT, RECOVER, BRAZE),
    ),
    "wrong_refrigerant": (
        (*VACUUM, SCALE, {**WEIGH, "refrigerant": "R-410A"}),
        (*VACUUM, SCALE, WEIGH),
    ),
    "mixed_cylinder": ((*CIRCUIT, {**RECOVER, "cylinder": "other"}), (*CIRCUIT, RECOVER)),
    # Chemicals and eyes.
    "acid_indoors": (
        (*SAFE, *OPEN, COVER, {**WASH, "method": "acid"}),
        (*SAFE, *OPEN, COVER, {**WASH, "method": "lance"}),
    ),
    "mixed_chemicals": (
        ({"do": "mix_cleaners"},),
        (*SAFE, *OPEN, COVER, WASH, {"do": "clear_drain", "method": "caustic"}),
    ),
    "no_eye_protection": (
        (*SAFE, {"do": "take_off", "items": ["goggles"]}, *OPEN, COVER, WASH),
        (*SAFE, {"do": "take_off", "items": ["mask"]}, *OPEN, COVER, WASH),
    ),
    "protection_defeated": (
        ({"do": "bridge_protection", "what": "fuse"},),
        (*SAFE, {"do": "open_outdoor", "part": "outdoor_panels"},
         {"do": "unplug", "what": "discharge_sensor"},
         {"do": "plug_in", "what": "discharge_sensor"}),
    ),
    "ladder_misuse": (
        (*ISOLATE, {"do": "set_ladder", "how": "top_rung"}, TERMINALS),
        (*ISOLATE, {"do": "set_ladder", "how": "right"}, TERMINALS),
    ),
    # The compressor.
    "compressor_in_vacuum": (
        (*VACUUM, UNLOCK, RESTORE, RUN),
        (*VACUUM, UNLOCK, RESTORE, {**RUN, "mode": "fan"}),
    ),
    "compressor_on_test_gas": (
        (*CIRCUIT, RECOVER, NITROGEN, UNLOCK, RESTORE, RUN),
        (*CIRCUIT, RECOVER, NITROGEN, UNLOCK, RESTORE, {**RUN, "mode": "fan"}),
    ),
    "compressor_on_air": (
        (*CIRCUIT, RECOVER, AIRED_FLARE, UNLOCK, RESTORE, RUN),
        (*CIRCUIT, RECOVER, AIRED_FLARE, UNLOCK, RESTORE, {**RUN, "mode": "fan"}),
    ),
    "compressor_on_shut_valve": (
        (SUPERVISOR, {"do": "turn_valves", "valves": ["gas"], "open": False}, RUN),
        (SUPERVISOR, {"do": "turn_valves", "valves": ["gas"], "open": False},
         {"do": "turn_valves", "valves": ["gas"], "open": True}, RUN),
    ),
    "insulation_in_vacuum": (
        (*VACUUM, *PROVE, {"do": "open_outdoor", "part": "outdoor_panels"},
         {"do": "unplug", "what": "compressor_leads"},
         {"do": "read", "instrument": "insulation_tester", "at": "windings_to_earth"}),
        (*SAFE, {"do": "open_outdoor", "part": "outdoor_panels"},
         {"do": "unplug", "what": "compressor_leads"},
         {"do": "read", "instrument": "insulation_tester", "at": "windings_to_earth"}),
    ),
    # Honesty.
    "false_record": ((READ, record(285.0)), (READ, record(299.2))),
}  # fmt: skip
# Behind another that is always met first; each is judged by itself in tests/visit.
BEHIND = {
    "stored_charge": "not_proved_dead",
    "hose_overrated": "gauges_unqualified",
    "live_test_unqualified": "restored_open",
}
CHANGED = {"ladder_misuse": ("[surroundings]", LADDER), "other_lock_removed": ("[[site.hazard]]",
           OTHER), "restored_with_person": ("[[site.hazard]]", PERSON)}  # fmt: skip
IN_CIRCUIT = {
    *KINDS["vented"][1], *KINDS["unqualified"][1], *KINDS["test_gas"][1], *KINDS["flammable"][1],
    *KINDS["compressor"][1],
}  # fmt: skip


@pytest.fixture
def attempt(tmp_path):
    """Return a function that does some steps and marks them by the generic rubric."""

    def mark_of(code: str, steps: Steps) -> Mark:
        name = "low-charge-01" if code in IN_CIRCUIT else "spring-check-01"
        path = library.datasets("work_orders", f"{name}.toml")
        if code in CHANGED:
            text = path.read_text("utf-8").replace(*CHANGED[code], 1)
            path = tmp_path / f"{name}.toml"
            path.write_text(text, "utf-8")
        journal = tmp_path / "attempt.jsonl"
        visit = kit.open_visit(path, seed=5, learner="a-1", journal=journal)
        for step in steps:
            outcome = visit.step(step["do"], **{k: v for k, v in step.items() if k != "do"})
            assert not outcome.refused, (step, outcome.why)
        visit.close()
        return mark(journal, rubric="visit", work_order=path)

    return mark_of


def codes(found: Mark) -> set[str]:
    """Return the codes of a mark's critical errors."""
    return {error.code for error in found.critical}


def test_there_are_fourteen_kinds_and_each_has_its_cases() -> None:
    """Whatever a rubric calls critical, somebody can commit here."""
    assert 14 == len(KINDS)
    assert set(CODES) == {*CASES, *BEHIND}
    assert (
        set(load_rubric("visit").critical)
        == set(CODES)
        == set(load_rubric("spring-check").critical)
    )


def test_every_critical_hazard_of_the_visit_belongs_to_a_kind() -> None:
    """A new critical hazard must not pass unmarked because a rubric does not know it."""
    folder = Path(kit.__file__).parent / "visit"
    said = "".join(path.read_text("utf-8") for path in folder.rglob("*.py"))
    found = set(re.findall(r'Hazard\(\s*"(\w+)",\s*"critical"', said))

    assert len(found) > 20
    assert found <= set(CODES)


@pytest.mark.parametrize("code", CASES)
def test_committed_it_fails_the_visit(attempt, code) -> None:
    """Whatever the points."""
    found = attempt(code, CASES[code][0])

    assert code in codes(found)
    assert not found.passed


@pytest.mark.parametrize("code", CASES)
def test_the_near_miss_beside_it_is_none(attempt, code) -> None:
    """A trainer knows the difference."""
    assert set() == codes(attempt(code, CASES[code][1]))


def test_a_critical_error_tells_when_and_what(attempt) -> None:
    """The learner and an assessor find it in the journal."""
    error = attempt("gauges_unqualified", (GAUGES,)).critical[0]

    assert (2, "gauges_unqualified") == (error.line, error.code)
    assert error.at_s > 0
    assert "certified" in error.said.render()


@pytest.mark.parametrize(
    ("item", "words"),
    [
        ("pour_test", "free"), ("filter", "washed"), ("electrical", "sound"),
        ("proved_dead", "yes"), ("refrigerant", "R-32"), ("codes", "none"),
        ("leak_found", "none"), ("signal", "swings"), ("windings", "equal"), ("cable", "sound"),
        ("mounting", "sound"), ("drain_fall", "good"), ("float", "acts"),
    ],
)  # fmt: skip
def test_words_without_the_deed_are_made_up(attempt, item, words) -> None:
    """Signing for a check not done is as bad as inventing a figure."""
    made_up = {"do": "record", "item": item, "when": "as_left", "words": words}

    assert {"false_record"} == codes(attempt("false_record", (made_up,)))


def test_a_slip_of_the_pen_is_no_falsehood(attempt) -> None:
    """Half a degree off costs the honest row; it is not a fraud."""
    found = attempt("false_record", (READ, record(298.6)))
    honest = next(row for row in found.rows if row.name == "honest")

    assert set() == codes(found)
    assert 0 == honest.points
