"""Numbers that a learner works out, as they follow from that learner's own readings.

Each has the tolerance that the accuracy of the instruments behind it gives, and stands beside
what a handbook says. A number is never held against what the engine knows.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace

from kit.marking.air import ROUNDING_K, air
from kit.marking.evidence import Case, Entry, error_k
from kit.visit.outcome import Line, Measure, Reading, line
from kit.visit.target import humidity_of

# What a sound unit shows at full speed, from memory (field guides give 4 to 12 and 5 to 15 °F).
USUAL_SUPERHEAT_K = (4 / 1.8, 12 / 1.8)
USUAL_SUBCOOLING_K = (5 / 1.8, 15 / 1.8)
AIRFLOW_M3_S_W = 400 * 4.719474e-4 / 3516.853  # 400 cfm a ton: common practice, no source
HANDBOOK_KG_M3 = 1.2014  # 0.075 lb/ft3, standard air; 4.5 = 60 x 0.075 (ASHRAE Fundamentals ch. 1)
FLOW_SHARE = 0.03  # of a flow by anemometer, the class of the instrument; common practice
NEAR_IN_TIME_S = 1200.0  # a temperature this near a pressure belongs to it; common practice
CARD_PA = 7000.0  # a card is read to a pound per square inch; common practice


@dataclass(frozen=True, slots=True)
class Figure:
    """A number that follows from a learner's readings.

    Args:
        value: the number [SI]; not a number when a reading is missing.
        tolerance: how far off it may be [SI].
        beside: what a handbook says, and the like.
        missing: what it rests on and is not there, in words.
    """

    value: float
    tolerance: float = 0.0
    beside: tuple[Line, ...] = ()
    missing: Line | None = None


def expected(case: Case, item: str, when: str, before: int | None = None) -> Figure:
    """Return the number that follows from a learner's own readings.

    Args:
        case: the visit.
        item: line of the job sheet, one of `NUMBERS`.
        when: "as_found" or "as_left".
        before: only readings before this line of the journal.
    """
    return NUMBERS[item](case, when, before)


def _none(what: str) -> Figure:
    return Figure(math.nan, missing=line(what))


def _split(case: Case, when: str, before: int | None) -> Figure:
    own = air(case, when, before)
    if math.isnan(own.split_k):
        return _none("Entering or leaving air is not on the sheet.")
    return Figure(own.split_k, ROUNDING_K)


def _target(case: Case, when: str, before: int | None) -> Figure:
    own = air(case, when, before)
    if math.isnan(own.card_k):
        return _none("Entering air and its humidity are not both on the sheet.")
    beside: tuple[Line, ...] = ()
    if not math.isnan(own.handbook_k):
        book = Measure(own.handbook_k, "temperature_difference")
        beside = (line("The handbook's table says {book}.", book=book),)
    return Figure(own.card_k, own.tolerance_k, beside)


def _saturation_k(case: Case, pressure: Entry, dew: bool) -> tuple[float, float]:
    """Return saturation temperature at a gauge reading and its uncertainty [K]."""
    from kit.physics.refrigerant import load

    fluid = load(case.replay.start.spec.refrigerant)

    def at(gauge: float) -> float:
        lnp = min(max(math.log(max(gauge + _air_pa(case), 1e3)), fluid.lnp_min), fluid.lnp_max)
        sat = fluid.sat(lnp)
        return float(sat.t_dew_k if dew else sat.t_bubble_k)

    found = at(pressure.value)
    return found, abs(at(pressure.value + error_k(pressure, 2.4e4) + CARD_PA) - found)


def _superheat(case: Case, when: str, before: int | None) -> Figure:
    pressure, pipe = case.entry("port_pressure", when, before), case.entry("gas_line", when, before)
    if pressure is None or pipe is None:
        return _none(
            "Pressure at the gas port or the large line's temperature is not on the sheet."
        )
    if _mode_at(pressure) == "heating":
        return _none("In heating the gas port shows discharge; there is no superheat to read.")
    dew, off = _saturation_k(case, pressure, dew=True)
    tolerance = math.hypot(off, error_k(pipe, 0.8)) + ROUNDING_K
    return Figure(pipe.value - dew, tolerance, (_usual(USUAL_SUPERHEAT_K),))


def _subcooling(case: Case, when: str, before: int | None) -> Figure:
    pressure = case.entry("port_pressure", when, before)
    pipe = case.entry("small_line", when, before)
    if pressure is None or pipe is None:
        return _none(
            "Pressure at the gas port or the small line's temperature is not on the sheet."
        )
    if _mode_at(pressure) != "heating":
        return _none("In cooling this port shows suction; subcooling is read in heating.")
    bubble, off = _saturation_k(case, pressure, dew=False)
    tolerance = math.hypot(off, error_k(pipe, 0.8)) + ROUNDING_K
    return Figure(bubble - pipe.value, tolerance, (_usual(USUAL_SUBCOOLING_K),))


def _usual(band: tuple[float, float]) -> Line:
    low, high = (Measure(k, "temperature_difference") for k in band)
    return line("A sound unit usually shows {low} to {high}.", low=low, high=high)


def _standing(case: Case, when: str, before: int | None) -> Figure:
    from kit.physics.refrigerant import load

    temperatures = [
        entry
        for item in ("outdoor_dry_bulb", "return_dry_bulb")
        if (entry := case.entry(item, when, before)) is not None
    ]
    if len(temperatures) < 2:
        return _none("Outdoor air and room air are not both on the sheet.")
    coldest = min(temperatures, key=lambda entry: entry.value)
    fluid = load(case.replay.start.spec.refrigerant)

    def at(kelvin: float) -> float:
        return math.exp(float(fluid.lnp_bubble(kelvin))) - _air_pa(case)

    off = at(coldest.value + error_k(coldest, 0.5) + ROUNDING_K) - at(coldest.value)
    return Figure(at(coldest.value), abs(off) + CARD_PA)


def _nitrogen(case: Case, when: str, before: int | None) -> Figure:
    from kit.physics.textbook import closed_gas_pressure_pa

    start, end = (case.entry(f"nitrogen_{e}", when, before) for e in ("start", "end"))
    if start is None or end is None or start.reading is None or end.reading is None:
        return _none("Test pressures at start and end are not both on the sheet.")
    pairs = list(_temperatures(case, start.reading, end.reading))
    if not pairs:
        return _none("No temperature was read at the same place at the start and at the end.")
    first, last = pairs[0]
    absolute = start.value + _air_pa(case)
    value = float(closed_gas_pressure_pa(absolute, first.value, last.value)) - _air_pa(case)
    # The thermometer's own error is nearly the same both times; what is left is its repeat.
    warm = ROUNDING_K / first.value * absolute
    tolerance = math.hypot(error_k(start, 2.4e4) / 4, warm) + CARD_PA
    kelvin = Measure(last.value - first.value, "temperature_difference")
    plain = line("Uncorrected it would have stayed at {start}; the gas changed by {kelvin}.",
                 start=Measure(start.value, "gauge_pressure"), kelvin=kelvin)  # fmt: skip
    return Figure(value, tolerance, (plain,))


def _temperatures(case: Case, start: Reading, end: Reading) -> Iterator[tuple[Reading, Reading]]:
    """Give pairs of temperatures read at one place, near the two pressures in time."""
    kinds = ("dry_bulb", "pipe_temperature")
    read = [r for r in case.end.readings if r.kind == "temperature" and r.quantity in kinds]

    def nearest(at_s: float) -> dict[tuple[str, str], Reading]:
        near = [r for r in read if abs(r.at_s - at_s) <= NEAR_IN_TIME_S]
        near.sort(key=lambda r: -abs(r.at_s - at_s))  # the nearest comes last and wins
        return {(r.place, r.quantity): r for r in near}

    first, last = nearest(start.at_s), nearest(end.at_s)
    places = [key for key in first if key in last and first[key].number != last[key].number]
    # Most of the gas is outdoors.
    places.sort(key=lambda key: (not key[0].startswith("outdoor"), key))
    for key in places:
        yield first[key], last[key]


def _recovered(case: Case, when: str, before: int | None) -> Figure:
    entries = [case.entry(f"cylinder_{e}", when, before) for e in ("before", "after")]
    start, end = entries
    if start is None or end is None:
        return _none("The cylinder's weight before and after is not on the sheet.")
    # One scale, one zero: its error cancels but for rounding and repeat.
    return Figure(end.value - start.value, 0.004)


def _charge(case: Case, _: str, before: int | None) -> Figure:
    latest = case.after_all if before is None else before
    for action, what in (
        ("read_data_sheet", "The data sheet was not read."),
        ("measure_lines", "The line set was not measured."),
    ):
        if not any(s.line < latest for s in case.did(action)):
            return _none(what)
    spec = case.replay.start.spec
    more_m = max(round(spec.line_m, 1) - spec.precharged_line_m, 0.0)
    value = spec.factory_charge_kg + more_m * spec.extra_charge_kg_m
    factory = line("The plate alone says {kg}.", kg=Measure(spec.factory_charge_kg, "small_mass"))
    # Rounding of the plate, the tape and the figure itself.
    return Figure(value, 0.005 + 0.05 * spec.extra_charge_kg_m, (factory,))


def _airflow(case: Case, when: str, before: int | None) -> Figure:
    from kit.visit.steps.tape import outlet_size_m

    latest = case.after_all if before is None else before
    speed = case.entry("air_speed", when, before)
    if speed is None or not any(s.line < latest for s in case.did("measure_outlet")):
        return _none("Air speed on the sheet and a tape at the outlet are both needed.")
    spec = case.replay.start.spec
    width, height = outlet_size_m(spec.indoor.face_m2)
    area = width * height
    # Half a millimetre on the tape at each side, the anemometer, and a rounded figure.
    tape = 0.0005 * (width + height) * speed.value
    tolerance = math.hypot(area * error_k(speed, 0.1), tape) + 0.005 * area * speed.value
    usual = Measure(AIRFLOW_M3_S_W * spec.rated_cooling_w, "airflow")
    beside = line("The rule of 400 cfm a ton would say {usual} for the plate's size.", usual=usual)
    return Figure(area * speed.value, tolerance + 0.0025, (beside,))


@dataclass(frozen=True, slots=True)
class _Duty:
    """What a capacity rests on."""

    flow_m3_s: float
    in_db_k: float
    in_rh: float
    out_db_k: float
    out_rh: float
    p_pa: float

    def _drop_j_kg(self) -> float:
        from kit.physics import air as moist

        w_in = float(moist.humidity_ratio(self.in_db_k, self.in_rh, self.p_pa))
        w_out = float(moist.humidity_ratio(self.out_db_k, self.out_rh, self.p_pa))
        entering = float(moist.enthalpy_j_kg(self.in_db_k, w_in))
        return entering - float(moist.enthalpy_j_kg(self.out_db_k, w_out))

    def heat_w(self, leaving: bool = True) -> float:
        """Return the duty [W], the flow taken at the state of leaving or of entering air."""
        from kit.physics import air as moist
        from kit.physics import textbook

        db, rh = (self.out_db_k, self.out_rh) if leaving else (self.in_db_k, self.in_rh)
        w = float(moist.humidity_ratio(db, rh, self.p_pa))
        dry = float(textbook.dry_air_flow_kg_s(self.flow_m3_s, db, w, self.p_pa))
        return dry * self._drop_j_kg()

    def handbook_w(self) -> float:
        """Return the duty by the constant for standard air [W]."""
        return self.flow_m3_s * self._drop_j_kg() * HANDBOOK_KG_M3


def _capacity(case: Case, when: str, before: int | None) -> Figure:
    flow = case.entry("airflow", when, before)
    entering, leaving = (_state(case, side, when, before) for side in ("return", "supply"))
    if flow is None or entering is None or leaving is None:
        return _none("Airflow, and dry bulb and humidity of entering and leaving air, are needed.")
    (db_in, rh_in, off_in, wet_in), (db_out, rh_out, off_out, wet_out) = entering, leaving
    sign = -1.0 if case.replay.order.mode == "heating" else 1.0
    duty = _Duty(flow.value, db_in, rh_in, db_out, rh_out, _air_pa(case))
    value = duty.heat_w()
    moved = (
        replace(duty, in_db_k=db_in + off_in),
        replace(duty, out_db_k=db_out + off_out),
        replace(duty, in_rh=max(rh_in - wet_in, 0.0)),
        replace(duty, out_rh=max(rh_out - wet_out, 0.0)),
    )
    parts = [one.heat_w() - value for one in moved]
    # At which side the flow counts is left to the learner; an anemometer's figure is no better.
    side = duty.heat_w(leaving=False) - value
    tolerance = math.hypot(*parts, FLOW_SHARE * value, side)
    plate = case.replay.start.spec
    rated = plate.rated_heating_w if sign < 0 else plate.rated_cooling_w
    beside = (
        line("With the handbook's constant for standard air: {w}.",
             w=Measure(sign * duty.handbook_w(), "heat_flow")),
        line("The plate says {rated}.", rated=Measure(rated, "heat_flow")),
    )  # fmt: skip
    return Figure(sign * value, tolerance, beside)


def _state(
    case: Case, side: str, when: str, before: int | None
) -> tuple[float, float, float, float] | None:
    """Return dry bulb, humidity, and the errors of both, as one side's air was written down."""
    db = case.entry(f"{side}_dry_bulb", when, before)
    wet = case.entry(f"{side}_wet_bulb", when, before)
    damp = case.entry(f"{side}_humidity", when, before)
    if db is not None and wet is not None:
        height = case.replay.start.around.altitude_m
        rh = humidity_of(db.value, min(wet.value, db.value), height)
        more = humidity_of(db.value, min(wet.value + error_k(wet, 0.5), db.value), height)
        return db.value, rh, error_k(db, 0.5), abs(more - rh)
    if db is not None and damp is not None:
        return db.value, damp.value, error_k(db, 0.5), error_k(damp, 0.03)
    return None


def _mode_at(entry: Entry) -> str:
    return entry.step.after.asked.mode if entry.taken is None else entry.taken.after.asked.mode


def _air_pa(case: Case) -> float:
    from kit.physics import air as moist

    return float(moist.pressure_pa(case.replay.start.around.altitude_m))


NUMBERS: Mapping[str, Callable[[Case, str, int | None], Figure]] = {
    "split": _split,
    "target_split": _target,
    "superheat": _superheat,
    "subcooling": _subcooling,
    "standing_saturation": _standing,
    "nitrogen_expected": _nitrogen,
    "recovered": _recovered,
    "charge_to_weigh": _charge,
    "airflow": _airflow,
    "capacity": _capacity,
}
