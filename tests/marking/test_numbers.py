"""A number is held against what follows from the learner's own readings, worked out apart here."""

from __future__ import annotations

import math
from dataclasses import replace

import psychrolib
import pytest
from CoolProp.CoolProp import PropsSI

from kit.marking.criteria.numbers import number_entered, numbers_follow
from kit.marking.evidence import Case, Entry
from kit.marking.numbers import NUMBERS, expected
from kit.visit.outcome import SheetEntry
from kit.visit.sheet import ITEMS, items
from kit.visit.steps.tape import outlet_size_m
from tests.marking.jobs import air_job, circuit_job

# How far our tables may be from the reference library: datasets/refrigerants is held to 0.1 K.
TABLE_K = 0.1


@pytest.fixture(scope="module")
def repair(tmp_path_factory) -> Case:
    """Return a whole repair of a leak."""
    return Case(circuit_job(tmp_path_factory.mktemp("repair") / "job.jsonl"))


@pytest.fixture(scope="module")
def cooling(tmp_path_factory) -> Case:
    """Return air readings of a cooling unit."""
    return Case(air_job(tmp_path_factory.mktemp("cooling") / "job.jsonl", "cooling"))


@pytest.fixture(scope="module")
def heating(tmp_path_factory) -> Case:
    """Return air and circuit readings of a heating unit."""
    return Case(air_job(tmp_path_factory.mktemp("heating") / "job.jsonl", "heating"))


def sheet(case: Case, item: str, when: str = "as_found") -> float:
    """Return a figure on the learner's sheet."""
    entry = case.entry(item, when)
    assert entry is not None
    return entry.value


def air_pa(case: Case) -> float:
    """Return the pressure of the air around (psychrolib, ASHRAE Fundamentals ch. 1 eq. 3)."""
    psychrolib.SetUnitSystem(psychrolib.SI)
    return psychrolib.GetStandardAtmPressure(case.replay.start.around.altitude_m)


def having(case: Case, item: str, when: str, value: float) -> Case:
    """Return the same visit with a number worked out and written down at its end."""
    written = SheetEntry(item, ITEMS[item].title, when, ITEMS[item].kind, value, None, 0.0)
    found = Case(case.replay)
    last = case.replay.steps[-1]
    found.__dict__["entries"] = (*case.entries, Entry(written, last, None, None))
    return found


def test_every_line_that_is_worked_out_has_its_number() -> None:
    """A line of the job sheet that a learner works out is marked."""
    assert set(items(computed=True)) == set(NUMBERS)


def test_superheat_by_the_reference_librarys_saturation(repair) -> None:
    """Pipe less dew point at the port: CoolProp 8, R-32."""
    p = sheet(repair, "port_pressure") + air_pa(repair)
    dew = PropsSI("T", "P", p, "Q", 1, "R32")

    figure = expected(repair, "superheat", "as_found")

    assert pytest.approx(sheet(repair, "gas_line") - dew, abs=TABLE_K) == figure.value
    assert 0.7 < figure.tolerance < 2.5


def test_subcooling_by_the_reference_librarys_saturation(heating) -> None:
    """Bubble point at the port less pipe, in heating: CoolProp 8."""
    name = {"R-32": "R32", "R-410A": "R410A", "R-454B": "R454B.mix"}[
        heating.replay.start.spec.refrigerant
    ]
    p = sheet(heating, "port_pressure") + air_pa(heating)
    bubble = PropsSI("T", "P", p, "Q", 0, name)

    figure = expected(heating, "subcooling", "as_found")

    assert pytest.approx(bubble - sheet(heating, "small_line"), abs=TABLE_K) == figure.value


def test_standing_saturation_is_that_of_the_coldest_air(repair) -> None:
    """All of the circuit stands at what its coldest part allows: CoolProp 8, R-32."""
    coldest = min(sheet(repair, "outdoor_dry_bulb"), sheet(repair, "return_dry_bulb"))
    wanted = PropsSI("P", "T", coldest, "Q", 0, "R32") - air_pa(repair)

    figure = expected(repair, "standing_saturation", "as_found")

    assert pytest.approx(wanted, rel=2e-3) == figure.value


def test_a_test_pressure_is_corrected_by_absolute_temperatures(repair) -> None:
    """Ideal gas at constant volume, absolute pressure over absolute temperature."""
    readings = repair.end.readings
    near = {}
    for item in ("nitrogen_start", "nitrogen_end"):
        at = repair.entry(item, "as_left").reading.at_s
        probe = [r for r in readings if r.place == "outdoor_intake" and r.at_s <= at]
        near[item] = probe[-1].value
    start = sheet(repair, "nitrogen_start", "as_left")
    ratio = near["nitrogen_end"] / near["nitrogen_start"]
    wanted = (start + air_pa(repair)) * ratio - air_pa(repair)

    figure = expected(repair, "nitrogen_expected", "as_left")

    assert pytest.approx(wanted, abs=1.0) == figure.value
    assert "Uncorrected" in figure.beside[0].render()
    assert abs(sheet(repair, "nitrogen_end", "as_left") - figure.value) < 2 * figure.tolerance


def test_what_was_recovered_is_the_cylinders_gain(repair) -> None:
    """After less before, to the scale's own steps."""
    gain = sheet(repair, "cylinder_after") - sheet(repair, "cylinder_before")

    assert pytest.approx(gain) == expected(repair, "recovered", "as_found").value


def test_the_charge_counts_the_line_set(repair) -> None:
    """Plate plus what the metres beyond its length call for, from the data sheet."""
    for line_m, beyond_m in ((3.0, 0.0), (20.0, 12.5)):
        spec = replace(repair.replay.start.spec, line_m=line_m)
        assert pytest.approx(7.5) == spec.precharged_line_m
        start = replace(repair.replay.start, spec=spec)
        figure = expected(Case(replace(repair.replay, start=start)), "charge_to_weigh", "as_left")
        wanted = spec.factory_charge_kg + beyond_m * spec.extra_charge_kg_m

        assert pytest.approx(wanted) == figure.value


def test_airflow_is_speed_times_opening(cooling) -> None:
    """The tape's figures and the anemometer's."""
    width, height = outlet_size_m(cooling.replay.start.spec.indoor.face_m2)

    figure = expected(cooling, "airflow", "as_found")

    assert pytest.approx(sheet(cooling, "air_speed") * width * height) == figure.value
    assert "400 cfm" in figure.beside[0].render()


@pytest.mark.parametrize("mode", ["cooling", "heating"])
def test_capacity_by_air_enthalpy_as_psychrolib_has_it(cooling, heating, mode) -> None:
    """Dry air times enthalpy difference (ASHRAE 37's method), states by psychrolib 2.5."""
    case = {"cooling": cooling, "heating": heating}[mode]
    flow = expected(case, "airflow", "as_found").value
    p = air_pa(case)
    states = []
    for side in ("return", "supply"):
        db = sheet(case, f"{side}_dry_bulb") - 273.15
        wet = min(sheet(case, f"{side}_wet_bulb") - 273.15, db)
        w = psychrolib.GetHumRatioFromTWetBulb(db, wet, p)
        states.append(
            (psychrolib.GetMoistAirEnthalpy(db, w), psychrolib.GetMoistAirVolume(db, w, p))
        )
    (h_in, _), (h_out, v_out) = states
    wanted = abs(flow / v_out * (h_in - h_out))

    figure = expected(having(case, "airflow", "as_found", flow), "capacity", "as_found")

    assert pytest.approx(wanted, rel=2e-3) == figure.value
    assert 0.02 * wanted < figure.tolerance < 0.35 * wanted
    assert "handbook's constant" in figure.beside[0].render()


def test_the_handbooks_constant_is_four_and_a_half(cooling) -> None:
    """4.5 Btu/h for each cfm and Btu/lb: 60 x 0.075 (ASHRAE Fundamentals ch. 1, standard air)."""
    from kit.marking.numbers import HANDBOOK_KG_M3

    constant = HANDBOOK_KG_M3 * 4.719474e-4 * 2326.0 / 0.29307107

    assert pytest.approx(4.5, rel=1e-3) == constant


@pytest.mark.parametrize(
    ("item", "when"),
    [
        ("superheat", "as_found"), ("standing_saturation", "as_found"), ("recovered", "as_found"),
        ("nitrogen_expected", "as_left"), ("charge_to_weigh", "as_left"),
    ],
)  # fmt: skip
def test_within_the_instruments_accuracy_it_is_right(repair, item, when) -> None:
    """Full marks within the tolerance, part up to twice that, none beyond."""
    figure = expected(repair, item, when)
    shares = [
        number_entered(having(repair, item, when, figure.value + by * figure.tolerance), item, when)
        for by in (0.0, 0.95, -0.95, 1.5, 2.5)
    ]

    assert [1.0, 1.0, 1.0, 0.4, 0.0] == [score.share for score in shares]
    assert "your own readings give" in shares[0].said[0].render()


def test_gauge_and_absolute_mixed_up_is_wrong(repair) -> None:
    """The commonest slip: saturation looked up at gauge pressure as if it were absolute."""
    p = sheet(repair, "port_pressure")
    wrong = sheet(repair, "gas_line") - PropsSI("T", "P", p, "Q", 1, "R32")

    assert 0 == number_entered(having(repair, "superheat", "as_found", wrong), "superheat",
                               "as_found").share  # fmt: skip


def test_another_refrigerants_card_is_wrong(repair) -> None:
    """R-22's card for R-32."""
    p = sheet(repair, "port_pressure") + air_pa(repair)
    wrong = sheet(repair, "gas_line") - PropsSI("T", "P", p, "Q", 1, "R22")

    assert 0 == number_entered(having(repair, "superheat", "as_found", wrong), "superheat",
                               "as_found").share  # fmt: skip


@pytest.mark.parametrize(
    ("item", "when", "said"),
    [
        ("superheat", "as_left", "not on the sheet"),
        ("subcooling", "as_found", "not on the sheet"),
        ("nitrogen_expected", "as_found", "not both on the sheet"),
        ("airflow", "as_found", "tape"),
        ("capacity", "as_found", "are needed"),
        ("split", "as_found", "not on the sheet"),
        ("target_split", "as_found", "not both on the sheet"),
    ],
)
def test_a_number_without_its_readings_earns_nothing(repair, item, when, said) -> None:
    """Right by chance is not worked out."""
    figure = expected(repair, item, when)
    score = number_entered(having(repair, item, when, 5.0), item, when)

    assert math.isnan(figure.value)
    assert said in figure.missing.render()
    assert 0.0 == score.share


def test_superheat_cannot_be_read_in_heating(heating) -> None:
    """The one port is then on the discharge side."""
    heated = having(heating, "gas_line", "as_found", 340.0)

    assert "discharge" in expected(heated, "superheat", "as_found").missing.render()


def test_what_the_work_calls_for_must_be_worked_out(repair) -> None:
    """Gauges on a running unit and no superheat: the reading was for nothing."""
    lacking = numbers_follow(repair)
    superheat = expected(repair, "superheat", "as_found").value
    nitrogen = expected(repair, "nitrogen_expected", "as_left").value
    whole = having(having(repair, "superheat", "as_found", superheat), "nitrogen_expected",
                   "as_left", nitrogen)  # fmt: skip

    assert lacking.share < 1
    assert "Not worked out: Superheat." in [line.render() for line in lacking.said]
    assert 1.0 == numbers_follow(whole).share


def test_where_nothing_is_called_for_nothing_is_missing(cooling) -> None:
    """A visit without gauges needs split and target, which have rows of their own."""
    assert 1.0 == numbers_follow(cooling).share
