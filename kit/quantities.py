"""Conversion at the edge: SI inside the kit, the learner's units on the screen and in fields.

Source of every factor: NIST SP 811 (2008), Appendix B.8, or the exact definition it rests on.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass

from kit.errors import KitError, OutOfRangeError, UnknownNameError

# Exact definitions (NIST SP 811, B.8, printed in bold there).
INCH_M = 0.0254
FOOT_M = 0.3048
POUND_KG = 0.45359237
STANDARD_GRAVITY_M_S2 = 9.80665
ZERO_CELSIUS_K = 273.15
ZERO_FAHRENHEIT_K = 459.67 / 1.8
STANDARD_ATMOSPHERE_PA = 101325.0

# Derived from them, or rounded there.
PSI_PA = POUND_KG * STANDARD_GRAVITY_M_S2 / INCH_M**2  # B.8: 6.894 757 E+03
CFM_M3_S = FOOT_M**3 / 60.0  # B.8: 4.719 474 E-04
BTU_H_W = 1055.05585262 / 3600.0  # International Table Btu; B.8: 2.930 711 E-01
MICRON_PA = 0.001 * 133.322387415  # conventional mercury; B.8, mmHg: 1.333 224 E+02
INCH_WATER_PA = 1000.0 * STANDARD_GRAVITY_M_S2 * INCH_M  # conventional; B.8: 2.490 889 E+02
GALLON_M3 = 231.0 * INCH_M**3  # US gallon; B.8: 3.785 412 E-03
FOOT_POUND_N_M = FOOT_M * POUND_KG * STANDARD_GRAVITY_M_S2  # B.8: 1.355 818

_LONGEST_ENTRY = 40
_ENTRY = re.compile(r"([+-]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][+-]?[0-9]+)?)\s*(.*)")


class EntryError(KitError):
    """What was typed is not a number that can be used; the message says why."""


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit of one kind of quantity.

    Args:
        symbol: as shown beside a number.
        factor: size of one unit [SI].
        zero: SI value at which this unit reads zero [SI].
        decimals: digits shown after the point; as fine as a good field instrument.
        also: other ways in which people type it.
    """

    symbol: str
    factor: float
    decimals: int
    zero: float = 0.0
    also: tuple[str, ...] = ()

    def to_si(self, value: float) -> float:
        """Return a value given in this unit [SI]."""
        return value * self.factor + self.zero

    def from_si(self, value: float) -> float:
        """Return an SI value in this unit; arrays pass through."""
        return (value - self.zero) / self.factor


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of quantity: what it is shown in and what is possible.

    Args:
        name: its name, as `Measure`, `Scale` and the journal use it.
        us: unit in the system of the United States trade.
        si: metric unit of the trade.
        others: more units that may be typed.
        low: lowest value that makes sense [SI].
        high: highest value that makes sense [SI].
    """

    name: str
    us: Unit
    si: Unit
    others: tuple[Unit, ...] = ()
    low: float = -math.inf
    high: float = math.inf

    @property
    def units(self) -> tuple[Unit, ...]:
        """Every unit of this kind, each once."""
        return tuple(dict.fromkeys((self.us, self.si, *self.others)))


_F = Unit("°F", 1 / 1.8, 1, ZERO_FAHRENHEIT_K, ("F", "degF", "deg F", "ºF"))
_C = Unit("°C", 1.0, 1, ZERO_CELSIUS_K, ("C", "degC", "deg C", "ºC"))
_F_STEP = Unit("°F", 1 / 1.8, 1, 0.0, ("F", "degF", "deg F", "ºF"))
_K_STEP = Unit("K", 1.0, 1, 0.0, ("°C", "C", "degC", "ºC"))
_PSIG = Unit("psig", PSI_PA, 1, 0.0, ("psi",))
_PSIA = Unit("psia", PSI_PA, 1)
_KPA_ABS = Unit("kPa abs", 1000.0, 0, 0.0, ("kPa", "kPaa"))
_KPA_GAUGE = Unit("kPa gauge", 1000.0, 0, 0.0, ("kPa", "kPag"))
_KPA = Unit("kPa", 1000.0, 3)
_BAR_ABS = Unit("bar abs", 1.0e5, 2, 0.0, ("bar", "bara"))
_BAR_GAUGE = Unit("bar gauge", 1.0e5, 2, 0.0, ("bar", "barg"))
_PA = Unit("Pa", 1.0, 1)
_MICRON = Unit("micron", MICRON_PA, 0, 0.0, ("microns", "µmHg"))
_INCH_WATER = Unit("in. w.c.", INCH_WATER_PA, 2, 0.0, ("inwc", "in wc", "inH2O"))
_CFM = Unit("cfm", CFM_M3_S, 0, 0.0, ("ft3/min",))
_L_S = Unit("L/s", 0.001, 0, 0.0, ("l/s",))
_M3_H = Unit("m3/h", 1 / 3600.0, 0, 0.0, ("m³/h",))
_BTU_H = Unit("Btu/h", BTU_H_W, 0, 0.0, ("BTU/h", "btuh", "Btuh"))
_W = Unit("W", 1.0, 0)
_KW = Unit("kW", 1000.0, 2)
_LB = Unit("lb", POUND_KG, 2, 0.0, ("lbs",))
_OZ = Unit("oz", POUND_KG / 16.0, 1)
_KG = Unit("kg", 1.0, 2)
_G = Unit("g", 0.001, 0)
_AMP = Unit("A", 1.0, 2)
_VOLT = Unit("V", 1.0, 1)
_OHM = Unit("ohm", 1.0, 2, 0.0, ("Ω", "Ohm", "ohms"))
_KILOHM = Unit("kohm", 1.0e3, 2, 0.0, ("kΩ", "k"))
_MEGOHM = Unit("Mohm", 1.0e6, 2, 0.0, ("MΩ", "megohm", "megohms"))
_FT_MIN = Unit("ft/min", FOOT_M / 60.0, 0, 0.0, ("fpm",))
_M_S = Unit("m/s", 1.0, 2)
_FOOT = Unit("ft", FOOT_M, 1, 0.0, ("feet", "foot"))
_METRE = Unit("m", 1.0, 2)
_INCH = Unit("in.", INCH_M, 2, 0.0, ("in", "inch", "inches"))
_MM = Unit("mm", 0.001, 0)
_GALLON = Unit("gal", GALLON_M3, 2)
_LITRE = Unit("L", 0.001, 1, 0.0, ("l", "litre", "liter"))
_PERCENT = Unit("%", 0.01, 0, 0.0, ("percent",))
_GRAIN_LB = Unit("gr/lb", 1 / 7000.0, 1)
_G_KG = Unit("g/kg", 0.001, 2)
_MINUTE = Unit("min", 60.0, 0, 0.0, ("minutes", "minute"))
_SECOND = Unit("s", 1.0, 0, 0.0, ("sec", "seconds"))
_LB_H = Unit("lb/h", POUND_KG / 3600.0, 1)
_KG_H = Unit("kg/h", 1 / 3600.0, 2)
# Leaks are rated by the year; this kind alone counts in kilograms a year, not a second.
_G_YEAR = Unit("g/yr", 0.001, 0, 0.0, ("g/a",))
_OZ_YEAR = Unit("oz/yr", POUND_KG / 16.0, 2)
_FOOT_POUND = Unit("ft lb", FOOT_POUND_N_M, 0, 0.0, ("ft-lb", "lbf ft"))
_N_M = Unit("N m", 1.0, 0, 0.0, ("Nm",))
_HERTZ = Unit("Hz", 1.0, 1)
_RPM = Unit("rpm", 1 / 60.0, 0)

KINDS: dict[str, Kind] = {
    kind.name: kind
    for kind in (
        Kind("temperature", _F, _C, low=0.0),
        Kind("temperature_difference", _F_STEP, _K_STEP),
        Kind("relative_humidity", _PERCENT, _PERCENT, low=0.0, high=1.0),
        Kind("fraction", _PERCENT, _PERCENT),
        Kind("humidity_ratio", _GRAIN_LB, _G_KG, low=0.0),
        Kind("pressure", _PSIA, _KPA_ABS, (_BAR_ABS, _PA), low=0.0),
        Kind("gauge_pressure", _PSIG, _KPA_GAUGE, (_BAR_GAUGE,), low=-STANDARD_ATMOSPHERE_PA),
        Kind("pressure_difference", _INCH_WATER, _PA, (_KPA,)),
        Kind("vacuum", _MICRON, _PA, low=0.0),
        Kind("airflow", _CFM, _L_S, (_M3_H,), low=0.0),
        Kind("heat_flow", _BTU_H, _W, (_KW,)),
        Kind("power", _W, _W, (_KW,)),
        Kind("mass", _LB, _KG, (_OZ, _G), low=0.0),
        Kind("small_mass", _OZ, _G, (_LB, _KG), low=0.0),
        Kind("mass_flow", _LB_H, _KG_H, low=0.0),
        Kind("leak_rate", _OZ_YEAR, _G_YEAR, low=0.0),
        Kind("torque", _FOOT_POUND, _N_M, low=0.0),
        Kind("current", _AMP, _AMP),
        Kind("voltage", _VOLT, _VOLT),
        Kind("resistance", _OHM, _OHM, (_KILOHM, _MEGOHM), low=0.0),
        Kind("sensor_resistance", _KILOHM, _KILOHM, (_OHM, _MEGOHM), low=0.0),
        Kind("insulation", _MEGOHM, _MEGOHM, (_KILOHM, _OHM), low=0.0),
        Kind("frequency", _HERTZ, _HERTZ, low=0.0),
        Kind("rotation", _RPM, _RPM, low=0.0),
        Kind("speed", _FT_MIN, _M_S, low=0.0),
        Kind("length", _FOOT, _METRE, (_INCH, _MM), low=0.0),
        Kind("small_length", _INCH, _MM, (_FOOT, _METRE), low=0.0),
        Kind("volume", _GALLON, _LITRE, low=0.0),
        Kind("time", _MINUTE, _MINUTE, (_SECOND,), low=0.0),
    )
}


def kind_of(name: str) -> Kind:
    """Return a kind of quantity by its name.

    Raises:
        UnknownNameError: there is none of that name; the nearest is named.
    """
    if name not in KINDS:
        raise UnknownNameError("kind of quantity", name, list(KINDS))
    return KINDS[name]


@dataclass(frozen=True, slots=True)
class UnitSystem:
    """The units a learner chose; `UNIT_SYSTEMS` has them all."""

    name: str

    def unit(self, kind: str) -> Unit:
        """Return the unit in which a kind of quantity is shown."""
        found = kind_of(kind)
        return found.us if self.name == "us" else found.si

    def number(self, kind: str, value: float) -> float:
        """Return an SI value in this system's unit; arrays pass through."""
        return self.unit(kind).from_si(value)

    def show(self, kind: str, value: float, decimals: int | None = None) -> str:
        """Return a value as text with its unit.

        Args:
            kind: name of the kind of quantity.
            value: what to show [SI].
            decimals: digits after the point; those of the unit when None.

        Raises:
            EntryError: the value is not a finite number.
        """
        unit = self.unit(kind)
        if not math.isfinite(value):
            raise EntryError(f"A {kind} of {value} cannot be shown; give a finite number.")
        digits = unit.decimals if decimals is None else decimals
        text = f"{unit.from_si(value):.{digits}f}"
        if float(text) == 0.0:
            text = text.lstrip("-")  # no minus sign before a zero
        return f"{text}{'' if unit.symbol == '%' else ' '}{unit.symbol}"

    def parse(
        self, kind: str, text: str, low: float | None = None, high: float | None = None
    ) -> float:
        """Return what a person typed [SI]; a unit of the same kind may stand behind the number.

        Args:
            kind: name of the kind of quantity.
            text: what was typed; without a unit it is read in this system's.
            low: lowest value allowed [SI]; the kind's own limit when None.
            high: highest value allowed [SI]; the kind's own limit when None.

        Raises:
            EntryError: it is no number, or its unit is of another kind.
            OutOfRangeError: it is a number outside what is allowed; it is never moved inside.
        """
        found = kind_of(kind)
        number, written = _split(text)
        value = _unit_typed(found, written, self.unit(kind)).to_si(number)
        low = found.low if low is None else low
        high = found.high if high is None else high
        if not math.isfinite(value):
            raise EntryError(
                "{typed} is too large to be a {kind}. Check it.",
                typed=_quoted(text), kind=_plain(kind),
            )  # fmt: skip
        # A hair of tolerance: a limit typed in another unit must not fail by its last digit.
        hair = 1e-9 * max(abs(value), 1.0)
        if not low - hair <= value <= high + hair:
            raise OutOfRangeError(
                f"The {_plain(kind)}", _quoted(text), self._limit(kind, low),
                self._limit(kind, high), "Check the reading and its unit, and type it again.",
            )  # fmt: skip
        return value

    def _limit(self, kind: str, value: float) -> str:
        return self.show(kind, value) if math.isfinite(value) else "any value"


UNIT_SYSTEMS: dict[str, UnitSystem] = {name: UnitSystem(name) for name in ("us", "si")}


def unit_system(name: str) -> UnitSystem:
    """Return a unit system: `us` (°F, psig, cfm, Btu/h) or `si` (°C, kPa, L/s, W).

    Raises:
        UnknownNameError: there is none of that name.
    """
    if name not in UNIT_SYSTEMS:
        raise UnknownNameError("unit system", name, list(UNIT_SYSTEMS))
    return UNIT_SYSTEMS[name]


def show(kind: str, value: float, system: str = "us", decimals: int | None = None) -> str:
    """Return a value as text with its unit; see `UnitSystem.show`."""
    return unit_system(system).show(kind, value, decimals)


def parse(
    kind: str, text: str, system: str, low: float | None = None, high: float | None = None
) -> float:
    """Return what a person typed [SI]; see `UnitSystem.parse`."""
    return unit_system(system).parse(kind, text, low, high)


def convert(kind: str, value: float, unit: str, into: str) -> float:
    """Convert between two units of one kind.

    Args:
        kind: name of the kind of quantity.
        value: a number in `unit`.
        unit: symbol of the unit it is in.
        into: symbol of the unit wanted.

    Raises:
        UnknownNameError: a unit is not of this kind.
    """
    return _unit_named(kind_of(kind), into).from_si(_unit_named(kind_of(kind), unit).to_si(value))


def gauge_pa(absolute_pa: float, atmosphere_pa: float = STANDARD_ATMOSPHERE_PA) -> float:
    """Return what a gauge would show of an absolute pressure.

    Args:
        absolute_pa: absolute pressure [Pa].
        atmosphere_pa: pressure of the air around the gauge [Pa].

    Returns:
        Pressure above that of the air around [Pa].

    Source:
        Definition of gauge pressure.
    """
    return absolute_pa - atmosphere_pa


def absolute_pa(gauge_pa: float, atmosphere_pa: float = STANDARD_ATMOSPHERE_PA) -> float:
    """Return the absolute pressure behind a gauge reading.

    Args:
        gauge_pa: pressure above that of the air around [Pa].
        atmosphere_pa: pressure of the air around the gauge [Pa].

    Returns:
        Absolute pressure [Pa].

    Source:
        Definition of gauge pressure.
    """
    return gauge_pa + atmosphere_pa


def _split(text: str) -> tuple[float, str]:
    """Return the number typed and what stands behind it."""
    typed = text.strip().replace("\N{MINUS SIGN}", "-")
    if not typed:
        raise EntryError("Nothing was typed. Type the number that the instrument shows.")
    if len(typed) > _LONGEST_ENTRY:
        raise EntryError(
            "{typed} is too long for a number. Type the number alone.", typed=_quoted(typed)
        )
    if "," in typed:
        raise EntryError(
            "{typed} has a comma, which can be read in two ways. Use a point before decimals and "
            "no mark between thousands: 72.5, 1200.",
            typed=_quoted(typed),
        )
    found = _ENTRY.fullmatch(typed)
    if found is None:
        raise EntryError(
            "{typed} is not a number. Type digits, such as 72.5.", typed=_quoted(typed)
        )
    number = float(found[1])
    if not math.isfinite(number):
        raise EntryError("{typed} is too large. Check it and type it again.", typed=_quoted(typed))
    return number, found[2].strip()


def _unit_typed(kind: Kind, written: str, default: Unit) -> Unit:
    if not written:
        return default
    try:
        return _unit_named(kind, written)
    except UnknownNameError:
        known = ", ".join(unit.symbol for unit in kind.units)
        raise EntryError(
            "{typed} is no unit of {kind}. Type the number alone (in {unit}) or with one of: "
            "{known}.",
            typed=_quoted(written),
            kind=_plain(kind.name),
            unit=default.symbol,
            known=known,
        ) from None


def _unit_named(kind: Kind, name: str) -> Unit:
    for unit in kind.units:
        if name in (unit.symbol, *unit.also):
            return unit
    # A unit in the wrong case is taken when only one can be meant: mohm could be two.
    near = [u for u in kind.units if name.casefold() in {s.casefold() for s in (u.symbol, *u.also)}]
    if len(near) == 1 and not name.startswith("m"):
        return near[0]
    raise UnknownNameError(f"unit of {_plain(kind.name)}", name, [u.symbol for u in kind.units])


def _plain(kind: str) -> str:
    return kind.replace("_", " ")


def _quoted(text: str) -> str:
    return repr(text if len(text) <= _LONGEST_ENTRY else text[:_LONGEST_ENTRY] + "...")
