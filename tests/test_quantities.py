from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import constants

from kit import quantities
from kit.errors import KitError, OutOfRangeError, UnknownNameError
from kit.quantities import KINDS, EntryError, Unit, UnitSystem, convert, parse, show

SP811 = "NIST SP 811 (2008), Appendix B.8"
# kind, unit, SI value of one unit, source. Seven figures are printed there, so 5e-7 of the value.
PUBLISHED_FACTORS = [
    ("pressure", "psia", 6.894757e3, SP811),
    ("vacuum", "micron", 1.333224e-1, f"{SP811}, millimetre of mercury / 1000"),
    ("pressure_difference", "in. w.c.", 2.490889e2, SP811),
    ("airflow", "cfm", 4.719474e-4, SP811),
    ("heat_flow", "Btu/h", 2.930711e-1, f"{SP811}, from memory"),
    ("mass", "lb", 4.535924e-1, f"{SP811}, from memory"),
    ("mass", "oz", 2.834952e-2, f"{SP811}, from memory"),
    ("speed", "ft/min", 5.08e-3, f"{SP811}, from memory"),
    ("volume", "gal", 3.785412e-3, f"{SP811}, from memory"),
    ("torque", "ft lb", 1.355818, f"{SP811}, from memory"),
]
# kind, value, unit, expected, unit wanted, tolerance, source.
PUBLISHED_POINTS = [
    ("temperature", 0.0, "°C", 32.0, "°F", 1e-9, "melting ice: definition of both scales"),
    ("temperature", 100.0, "°C", 212.0, "°F", 1e-9, "definition of both scales"),
    ("temperature", -40.0, "°C", -40.0, "°F", 1e-9, "where the scales cross"),
    ("temperature_difference", 20.0, "°F", 11.1111, "K", 1e-4, f"{SP811}: degree F / 1.8"),
    ("pressure", 101325.0, "Pa", 14.69595, "psia", 1e-5, f"{SP811}: standard atmosphere"),
    ("heat_flow", 12000.0, "Btu/h", 3516.853, "W", 1e-3, f"{SP811}: ton of refrigeration"),
    ("vacuum", 500.0, "micron", 66.66, "Pa", 0.01, f"{SP811}: mmHg / 2"),
    ("airflow", 400.0, "cfm", 188.779, "L/s", 1e-3, f"{SP811}: cubic foot per minute"),
]
EVERY_UNIT = [(kind.name, unit) for kind in KINDS.values() for unit in kind.units]


@pytest.mark.parametrize(("kind", "unit", "expected", "source"), PUBLISHED_FACTORS)
def test_a_factor_is_the_published_one(kind: str, unit: str, expected: float, source: str) -> None:
    """One unit has the size that NIST prints, to its seven figures."""
    si = next(u for u in KINDS[kind].units if u.symbol == unit)

    assert si.to_si(1.0) == pytest.approx(expected, rel=5e-7), source


@pytest.mark.parametrize(
    ("kind", "value", "unit", "expected", "into", "tol", "source"), PUBLISHED_POINTS
)
def test_a_conversion_gives_the_published_value(kind, value, unit, expected, into, tol, source):
    """Known pairs of values convert into each other."""
    assert convert(kind, value, unit, into) == pytest.approx(expected, abs=tol), source


@pytest.mark.parametrize(
    ("ours", "reference"),
    [
        (quantities.PSI_PA, constants.psi),
        (quantities.BTU_H_W, constants.Btu / constants.hour),
        (quantities.POUND_KG, constants.pound),
        (quantities.FOOT_M, constants.foot),
        (quantities.GALLON_M3, constants.gallon),
        (quantities.STANDARD_GRAVITY_M_S2, constants.g),
        (quantities.STANDARD_ATMOSPHERE_PA, constants.atm),
        (quantities.ZERO_CELSIUS_K, constants.zero_Celsius),
        (quantities.MICRON_PA, 1e-3 * constants.mmHg),  # torr differs from mmHg by 1.5e-7
    ],
)
def test_a_constant_agrees_with_a_reference_library(ours: float, reference: float) -> None:
    """Constants agree with those of SciPy to the last digits (mmHg: torr is 1.5e-7 apart)."""
    assert ours == pytest.approx(reference, rel=2e-7)


@pytest.mark.parametrize(("kind", "unit"), EVERY_UNIT)
@settings(max_examples=25)
@given(value=st.floats(-1e6, 1e6))
def test_a_value_survives_the_way_there_and_back(kind: str, unit: Unit, value: float) -> None:
    """Converting into a unit and back gives the same value."""
    assert unit.to_si(unit.from_si(value)) == pytest.approx(value, rel=1e-12, abs=1e-9), kind


@pytest.mark.parametrize("name", list(KINDS))
@pytest.mark.parametrize("system", ["us", "si"])
@settings(max_examples=25)
@given(share=st.floats(0.001, 1.0))
def test_what_is_shown_can_be_typed(name: str, system: str, share: float) -> None:
    """The text a screen shows is read back to the same value, within its last digit."""
    kind = KINDS[name]
    low, high = max(kind.low, 0.0), min(kind.high, 1000.0)
    value = low + share * (high - low)
    unit = UnitSystem(system).unit(name)

    read = parse(name, show(name, value, system), system)

    assert read == pytest.approx(value, abs=0.5001 * unit.factor * 10**-unit.decimals)


@pytest.mark.parametrize(
    ("kind", "value", "system", "expected"),
    [
        ("temperature", 295.15, "us", "71.6 °F"),
        ("temperature", 295.15, "si", "22.0 °C"),
        ("temperature", 273.1499, "si", "0.0 °C"),
        ("temperature_difference", 12.5, "us", "22.5 °F"),
        ("temperature_difference", 12.5, "si", "12.5 K"),
        ("relative_humidity", 0.5, "us", "50%"),
        ("gauge_pressure", 8.0e5, "us", "116.0 psig"),
        ("gauge_pressure", 8.0e5, "si", "800 kPa gauge"),
        ("pressure", 101325.0, "us", "14.7 psia"),
        ("airflow", 0.2, "us", "424 cfm"),
        ("airflow", 0.2, "si", "200 L/s"),
        ("heat_flow", 3517.0, "us", "12001 Btu/h"),
        ("power", 850.0, "us", "850 W"),
        ("small_mass", 0.5, "us", "17.6 oz"),
        ("time", 600.0, "si", "10 min"),
    ],
)
def test_a_value_is_shown_with_its_unit(kind, value, system, expected):
    """A value stands with the decimals of a field instrument and its unit."""
    assert expected == show(kind, value, system)


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf])
def test_what_is_no_number_is_not_shown(value: float) -> None:
    """A value that is no finite number is refused rather than shown."""
    with pytest.raises(EntryError, match="cannot be shown"):
        show("temperature", value)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("71.6", 295.15),
        (" 71.6 ", 295.15),
        ("71.6 °F", 295.15),
        ("71.6F", 295.15),
        ("22 °C", 295.15),
        ("22c", 295.15),
        ("+22.0 degC", 295.15),
        ("\N{MINUS SIGN}40", 233.15),
        ("7.16e1", 295.15),
        (".0", quantities.ZERO_CELSIUS_K - 32 / 1.8),
    ],
)
def test_a_number_is_read_in_the_learners_unit_or_in_the_one_typed(text, expected):
    """A number alone is in the learner's unit; one with a unit is in that."""
    assert expected == pytest.approx(parse("temperature", text, "us"))


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("", "Nothing was typed"),
        ("   ", "Nothing was typed"),
        ("72,5", "comma"),
        ("1,200", "comma"),
        ("nan", "not a number"),
        ("inf", "not a number"),
        ("-Infinity", "not a number"),
        ("1e999", "too large"),
        ("1" * 60, "too long"),
        ("seventy", "not a number"),
        ("0x20", "no unit"),
        ("1_000", "no unit"),
        ("72 psi", "no unit of temperature"),
        ("72 - 50", "no unit"),
        ("\N{ARABIC-INDIC DIGIT THREE}", "not a number"),
        ("--5", "not a number"),
    ],
)
def test_what_is_no_number_is_refused_with_the_reason(text: str, why: str) -> None:
    """What cannot be read is refused in plain words."""
    with pytest.raises(EntryError, match=why):
        parse("temperature", text, "us")


@pytest.mark.parametrize(
    ("kind", "text", "system"),
    [
        ("temperature", "-460", "us"),
        ("relative_humidity", "101", "us"),
        ("relative_humidity", "-1", "si"),
        ("gauge_pressure", "-15", "us"),
        ("mass", "-0.1", "us"),
    ],
)
def test_what_cannot_be_is_refused_and_not_moved(kind: str, text: str, system: str) -> None:
    """A number outside what is possible is refused; it is never pulled into range."""
    with pytest.raises(OutOfRangeError, match="must lie from"):
        parse(kind, text, system)


def test_a_limit_is_told_in_the_learners_unit() -> None:
    """The message gives the limits in the unit the learner works in."""
    with pytest.raises(OutOfRangeError, match=r"from 60\.8 °F to 87\.8 °F"):
        parse("temperature", "55", "us", low=289.15, high=304.15)


@given(degrees=st.integers(61, 86))
def test_a_limit_itself_is_allowed(degrees: int) -> None:
    """A number that equals the limit is inside it, whatever the rounding of the conversion."""
    limit = convert("temperature", degrees, "°F", "°C") + quantities.ZERO_CELSIUS_K

    assert limit == pytest.approx(parse("temperature", str(degrees), "us", low=limit, high=limit))


@given(text=st.text(max_size=60))
def test_any_text_is_read_or_refused(text: str) -> None:
    """Whatever is typed, the answer is a finite number or an error of the kit's own."""
    try:
        value = parse("temperature", text, "us")
    except KitError:
        return

    assert math.isfinite(value)


@given(gauge=st.floats(-9e4, 5e6), atmosphere=st.floats(7e4, 1.1e5))
def test_gauge_and_absolute_pressure_are_an_atmosphere_apart(gauge, atmosphere):
    """Gauge to absolute and back is the same pressure, at any altitude."""
    absolute = quantities.absolute_pa(gauge, atmosphere)

    assert gauge == pytest.approx(quantities.gauge_pa(absolute, atmosphere), abs=1e-6)


def test_an_unknown_name_tells_the_nearest() -> None:
    """A wrong name of a kind, a unit or a system names the nearest one."""
    with pytest.raises(UnknownNameError, match="'temperature'"):
        show("temperatur", 300.0)
    with pytest.raises(UnknownNameError, match="'us'"):
        quantities.unit_system("uss")
    with pytest.raises(UnknownNameError, match="'psia'"):
        convert("pressure", 1.0, "psai", "Pa")
