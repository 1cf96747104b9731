"""Every fault in the folder keeps its word; a new file is checked with nothing new to write.

The readings and their accuracies are those of `kit.machine.readings`; the faults are solved on one
12,000 Btu/h machine at rating conditions by `tests.faults.matrix`.
"""

from __future__ import annotations

import itertools

import numpy as np
import psychrolib
import pytest

from kit.errors import KitError, OutOfRangeError
from kit.faults import Fault, LookAlike, fault, fault_names
from kit.machine import (
    Command,
    Condition,
    Spec,
    Surroundings,
    Truth,
    load_spec,
    settle,
    spec_names,
)
from kit.machine.condition import KNOB_NAMES
from kit.machine.readings import READINGS, Case, observe, reading
from tests.faults.matrix import CONVERGED, MACHINE, SITUATIONS, Row, found_rows, matrix, rows

SPEC = load_spec(MACHINE)
# What a first look at a running machine gives, nothing opened and nothing live touched.
FIRST_READINGS = (
    "split", "return_below_room", "airflow", "gas_line", "small_line", "discharge_line",
    "outdoor_airflow", "outdoor_air_rise", "outdoor_intake_over_air", "outdoor_coil_over_air",
    "outdoor_fan_speed", "indoor_fan_speed", "current",
)  # fmt: skip
every_fault = pytest.mark.parametrize("one", [fault(n) for n in fault_names()], ids=fault_names())


def rows_of(one: Fault) -> list[Row]:
    """Return a fault's rows from its mildest severity to its worst."""
    _, every = matrix()
    return [every[one.name, s.name] for s in one.severities]


@every_fault
def test_every_severity_is_solved(one: Fault) -> None:
    """In cooling, in heating and standing, each named severity has a steady state."""
    for severity, row in zip(one.severities, rows_of(one), strict=True):
        for mode, truth in row.truths.items():
            assert truth.residual < CONVERGED, (severity.name, mode)


@every_fault
def test_equal_seeds_give_equal_runs(one: Fault) -> None:
    """A seed draws the same visit and the same figures bit for bit; another seed does not."""

    def run(seed: int) -> tuple[Truth, list[float]]:
        chance = np.random.default_rng(seed)
        condition = one.apply(Condition(), str(chance.choice([s.name for s in one.severities])))
        around = Surroundings(
            room_db_k=chance.uniform(295.0, 301.0),
            room_rh=chance.uniform(0.35, 0.65),
            outdoor_db_k=chance.uniform(300.0, 309.0),
            outdoor_rh=0.4,
        )
        truth = settle(SPEC, condition, around, Command("cooling", around.room_db_k - 4.0))
        case = Case(truth, SPEC, condition, around, "cooling")
        names = [n for n, r in READINGS.items() if "cooling" in r.modes]
        return truth, [observe(n, case, chance) for n in names]

    assert run(7) == run(7)
    assert run(7)[1] != run(8)[1]


@every_fault
def test_worse_severity_moves_each_telling_sign_further(one: Fault) -> None:
    """From one severity meant to be found to the next each sign moves on; no tool sees it return.

    A severity too mild to be found may lie anywhere within the tool's accuracy of the one before:
    a valve that still makes up for a shortage even cools the discharge line a little.
    """
    healthy, _ = matrix()
    for sign in one.signs:
        key = (sign.reading, sign.mode)
        way = 1.0 if sign.direction == "up" else -1.0
        values = [way * r.readings[key] for r in (healthy, *rows_of(one))]
        for before, after in itertools.pairwise(values):
            assert before <= after or not reading(sign.reading).apart(before, after), (key, values)
        found = [way * healthy.readings[key], *(way * r.readings[key] for r in found_rows(one))]
        for before, after in itertools.pairwise(found):
            assert before < after, (key, values)


@every_fault
def test_each_sign_exceeds_the_instruments_accuracy(one: Fault) -> None:
    """At every severity meant to be found, each sign is larger than the tool can be wrong."""
    healthy, _ = matrix()
    assert found_rows(one), "at least one severity is meant to be found"
    for sign, row in itertools.product(one.signs, found_rows(one)):
        key = (sign.reading, sign.mode)
        sound, sick = healthy.readings[key], row.readings[key]
        assert reading(sign.reading).apart(sound, sick), (key, sound, sick)
        assert (sick > sound) == (sign.direction == "up"), (key, sound, sick)


@every_fault
def test_the_cure_brings_back_the_healthy_reading(one: Fault) -> None:
    """After the cure every reading is the healthy one, and what else is wrong stays wrong."""
    healthy, _ = matrix()
    worst = one.apply(Condition(), one.severities[-1].level)
    assert worst != Condition()
    (cured,) = rows(SPEC, [one.cure.done(worst)])
    for key, sound in healthy.readings.items():
        assert sound == pytest.approx(cured.readings[key], rel=1e-8, abs=1e-8), key
    others = {"room_sensor_offset_k": 1.5, "filter_loading": 0.2, "compressor_leak": 0.1}
    both = Condition(**{k: v for k, v in others.items() if k not in one.cure.restores})
    assert both == one.cure.done(one.apply(both, one.severities[-1].level))


@every_fault
def test_energy_and_mass_still_close(one: Fault) -> None:
    """Refrigerant, air, water and electricity balance at every severity, and no charge is lost."""
    for row in rows_of(one):
        for mode, truth in row.truths.items():
            around, _ = SITUATIONS[mode]
            closes(truth, row.condition, around)


def closes(t: Truth, condition: Condition, around: Surroundings, spec: Spec = SPEC) -> None:
    """Check the balances of one steady state, the air's with psychrolib [0.1 %, mass 1e-6]."""
    charge = spec.charge_kg * condition.charge_fraction
    assert charge == pytest.approx(t.charge_kg, rel=1e-6, abs=1e-9)
    electric = t.compressor_w / spec.inverter_efficiency + t.indoor_fan_w + t.outdoor_fan_w
    assert electric + spec.standby_w == pytest.approx(t.power_w, rel=1e-3)
    assert t.capacity_w == pytest.approx(t.sensible_w + t.latent_w, rel=1e-3, abs=0.1)
    absorbed = t.heat_absorbed_w + t.compressor_w - t.shell_loss_w
    assert absorbed == pytest.approx(t.heat_rejected_w, rel=1e-3, abs=0.1)
    if t.airflow_m3_s <= 0.0:
        return
    psychrolib.SetUnitSystem(psychrolib.SI)
    p = psychrolib.GetStandardAtmPressure(around.altitude_m)
    t1, t2 = t.return_db_k - 273.15, t.supply_db_k - 273.15
    volume = psychrolib.GetMoistAirVolume(t1, t.return_w, p)
    h1 = psychrolib.GetMoistAirEnthalpy(t1, t.return_w)
    h2 = psychrolib.GetMoistAirEnthalpy(t2, t.supply_w)
    cools = 1.0 if t.indoor_coil_surface_k < t.room_db_k else -1.0
    given = cools * t.airflow_m3_s / volume * (h1 - h2)
    expected = t.capacity_w - cools * t.indoor_fan_w
    assert expected == pytest.approx(given, rel=1e-3, abs=2.0)
    water = t.airflow_m3_s / volume * (t.return_w - t.supply_w)
    frost = t.frost_kg_s if cools > 0.0 else 0.0
    assert water == pytest.approx(t.condensate_kg_s + frost, rel=1e-3, abs=1e-8)


@pytest.mark.parametrize("machine", spec_names())
def test_the_signs_show_on_every_machine(machine: str) -> None:
    """On each machine every severity is solved and closes, and each sign passes the accuracy."""
    spec = load_spec(machine)
    healthy, every = matrix(machine)
    for name, severity in every:
        row = every[name, severity]
        for mode, truth in row.truths.items():
            assert truth.residual < CONVERGED, (name, severity, mode)
            closes(truth, row.condition, SITUATIONS[mode][0], spec)
    for one in (fault(n) for n in fault_names()):
        for sign, row in itertools.product(one.signs, found_rows(one, machine)):
            key = (sign.reading, sign.mode)
            sound, sick = healthy.readings[key], row.readings[key]
            assert reading(sign.reading).apart(sound, sick), (one.name, key, sound, sick)
            assert (sick > sound) == (sign.direction == "up"), (one.name, key, sound, sick)


def told_apart(one: Fault, other: Fault, name: str, mode: str) -> bool:
    """Return True when a reading separates two faults at all severities meant to be found."""
    return all(
        reading(name).apart(a.readings[name, mode], b.readings[name, mode])
        for a, b in itertools.product(found_rows(one), found_rows(other))
    )


def differ_without_gauges(one: Fault, other: Fault) -> bool:
    """Return True when each pair of severities differs in a reading any apprentice can take."""
    plain = [(r.name, mode) for r in READINGS.values() if not r.gauges for mode in r.modes]
    return all(
        any(reading(n).apart(a.readings[n, m], b.readings[n, m]) for n, m in plain)
        for a, b in itertools.product(found_rows(one), found_rows(other))
    )


def declared(one: Fault, other: Fault) -> list[LookAlike]:
    """Return the look-alikes that either of two faults declares of the other."""
    return [
        *(x for x in one.look_alikes if x.fault == other.name),
        *(x for x in other.look_alikes if x.fault == one.name),
    ]


@every_fault
def test_the_signature_differs_from_every_other(one: Fault) -> None:
    """A reading without gauges differs by more than its accuracy, or the pair is declared."""
    for other in (fault(n) for n in fault_names() if n != one.name):
        if not declared(one, other):
            assert differ_without_gauges(one, other), f"{one.name} reads like {other.name}"


def first_alike(one: Fault, other: Fault) -> bool:
    """Return True when some pair of severities reads alike, and not healthy, at first."""
    healthy, _ = matrix()

    def apart(a: Row, b: Row) -> bool:
        return any(
            reading(n).apart(a.readings[n, "cooling"], b.readings[n, "cooling"])
            for n in FIRST_READINGS
        )

    return any(
        not apart(a, b) and apart(a, healthy) and apart(b, healthy)
        for a, b in itertools.product(found_rows(one), found_rows(other))
    )


@every_fault
def test_what_reads_alike_at_first_is_declared(one: Fault) -> None:
    """Two faults that air probes, pipe clamps and a clamp meter cannot tell are look-alikes."""
    for other in (fault(n) for n in fault_names() if n != one.name):
        if first_alike(one, other):
            assert declared(one, other), f"{one.name} reads like {other.name} at first"


@every_fault
def test_the_named_reading_tells_a_look_alike_apart(one: Fault) -> None:
    """Each declared look-alike exists, and the named reading does separate the two."""
    for alike in one.look_alikes:
        assert told_apart(one, fault(alike.fault), alike.reading, alike.mode), alike


@every_fault
def test_its_words_are_known(one: Fault) -> None:
    """Readings and knobs named in a fault exist, and the cure restores all that it turned."""
    for sign in one.signs:
        assert sign.mode in reading(sign.reading).modes, sign
    for alike in one.look_alikes:
        assert alike.mode in reading(alike.reading).modes, alike
    worst = one.apply(Condition(), one.severities[-1].level)
    turned = {k for k in KNOB_NAMES if getattr(worst, k) != getattr(Condition(), k)}
    assert turned <= set(one.cure.restores)


def together(first: Fault, second: Fault) -> Condition | None:
    """Return both at their mildest, or None where one part cannot fail in two ways."""
    alone = first.apply(Condition(), first.severities[0].level)
    try:
        return second.apply(alone, second.severities[0].level)
    except KitError:
        return None


@every_fault
def test_two_faults_act_together(one: Fault) -> None:
    """With each other fault, the order does not matter and the knobs of both are turned."""
    for other in (fault(n) for n in fault_names() if n != one.name):
        both, back = together(one, other), together(other, one)
        assert (both is None) == (back is None), other.name
        if both is None or back is None:
            continue
        for knob in KNOB_NAMES:
            assert getattr(both, knob) == pytest.approx(getattr(back, knob)), (other.name, knob)
        assert one.cure.done(both) != both, other.name


@every_fault
def test_two_faults_at_once_are_solved_and_close(one: Fault) -> None:
    """Together with a dirty filter and a dirty outdoor coil the balances still hold."""
    companions = [fault("dirty-filter"), fault("dirty-outdoor-coil"), fault("low-charge")]
    conditions = [
        c.apply(one.apply(Condition(), one.severities[0].level), "moderate")
        for c in companions
        if c.name != one.name
    ]
    for row in rows(SPEC, conditions):
        for mode, truth in row.truths.items():
            assert truth.residual < CONVERGED, (row.condition, mode)
            closes(truth, row.condition, SITUATIONS[mode][0])


@every_fault
def test_severities_outside_0_to_1_are_refused(one: Fault) -> None:
    """Nothing is clamped: no level below 0 or above 1, none that is not a number; 0 is healthy."""
    for level in (-0.01, 1.01, float("nan"), float("inf")):
        with pytest.raises(OutOfRangeError, match=one.name):
            one.apply(Condition(), level)
    with pytest.raises(KitError, match="severity"):
        one.apply(Condition(), "dreadful")
    assert Condition() == one.apply(Condition(), 0.0)
