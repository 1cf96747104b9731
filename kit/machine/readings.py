"""What the usual tools show of a machine: named readings, each with the tool's accuracy.

A reading here is what a careful hand gets with a sound instrument in the right place, before the
instrument's own error; `accuracy` says how far off that error may be.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import TYPE_CHECKING

import numpy as np

from kit.errors import KitError, UnknownNameError
from kit.physics import air, charge, condensate, electrics, refrigerant, thermistor

if TYPE_CHECKING:
    from kit.machine.condition import Condition
    from kit.machine.spec import Spec
    from kit.machine.surroundings import Surroundings
    from kit.machine.truth import Truth

READING_MODES = ("cooling", "heating", "off")
RUNNING = ("cooling", "heating")
DRAIN_TEST_KG = 1.0  # one litre poured slowly into the pan
BUS_WAIT_S = 600.0  # the usual wait before a DC bus is measured
OVER_CURRENT_TRIP = 1.5  # peak at which a board gives up a start, over its current limit; memory


@dataclass(frozen=True, slots=True)
class Case:
    """What a reading is taken of: the machine's truth in one mode, and what caused it."""

    truth: Truth
    spec: Spec
    condition: Condition
    around: Surroundings
    mode: str


@dataclass(frozen=True, slots=True)
class Reading:
    """One named reading.

    Args:
        name: how faults and lessons call it.
        title: what a job sheet calls it.
        quantity: kind of quantity, with its SI unit.
        tool: the usual tool.
        absolute: accuracy of that tool, in the reading's unit.
        relative: accuracy as a share of the reading, added to `absolute`.
        modes: when it can be taken.
        take: function of a case.
        gauges: True when the refrigerant circuit must be opened to gauges, which the law in many
            countries leaves to certified or directly supervised persons.
        source: where the accuracy comes from.
    """

    name: str
    title: str
    quantity: str
    tool: str
    absolute: float
    relative: float
    modes: tuple[str, ...]
    take: Callable[[Case], float]
    gauges: bool = False
    source: str = "common practice, no source"

    def accuracy(self, value: float) -> float:
        """Return how far the tool's reading may be from a true value, in the same unit."""
        return self.absolute + (self.relative * abs(value) if math.isfinite(value) else 0.0)

    def apart(self, one: float, other: float) -> bool:
        """Return True when two true values differ by more than the tool can be wrong.

        Independent errors of the two readings add by their squares (textbook).
        """
        if math.isinf(one) or math.isinf(other):
            return one != other
        return abs(one - other) > math.hypot(self.accuracy(one), self.accuracy(other))


def reading(name: str) -> Reading:
    """Return a reading by name.

    Raises:
        UnknownNameError: there is none; the nearest one is named.
    """
    try:
        return READINGS[name]
    except KeyError:
        raise UnknownNameError("reading", name, list(READINGS)) from None


def take(name: str, case: Case) -> float:
    """Return one reading of a case [its SI unit]; infinite where a meter shows an open circuit.

    Raises:
        UnknownNameError: no such reading.
        KitError: the reading cannot be taken in the case's mode.
    """
    one = reading(name)
    if case.mode not in one.modes:
        raise KitError(
            f"The reading {name!r} is taken with the machine in {' or '.join(one.modes)}, "
            f"not in {case.mode!r}."
        )
    return float(one.take(case))


def take_all(case: Case) -> dict[str, float]:
    """Return every reading that the case's mode allows, by name [SI]."""
    return {name: float(r.take(case)) for name, r in READINGS.items() if case.mode in r.modes}


def observe(name: str, case: Case, chance: np.random.Generator) -> float:
    """Return one reading as a sound tool shows it, its error drawn evenly within its accuracy.

    Args:
        name: name of the reading.
        case: what it is taken of.
        chance: seeded generator; equal seeds give equal errors.

    Returns:
        Reading with its error [its SI unit].

    Raises:
        UnknownNameError: no such reading.
        KitError: the reading cannot be taken in the case's mode.
    """
    true = take(name, case)
    return true + chance.uniform(-1.0, 1.0) * reading(name).accuracy(true)


def _cools(c: Case) -> bool:
    """Return True when the indoor coil is the cold one, whatever was asked."""
    return bool(c.truth.indoor_coil_surface_k < c.truth.room_db_k)


def _outdoor_intake_k(c: Case) -> float:
    """Return the air entering the outdoor coil: what leaves, less what it took up on the way."""
    t, flow = c.truth, float(c.truth.outdoor_airflow_m3_s)
    if not t.running or flow <= 0.0:
        return c.around.outdoor_db_k
    board_w = t.power_w - t.compressor_w - t.indoor_fan_w - t.outdoor_fan_w - c.spec.standby_w
    coil_w = t.heat_rejected_w if _cools(c) else -t.heat_absorbed_w
    p_pa = air.pressure_pa(c.around.altitude_m)
    w = air.humidity_ratio(c.around.outdoor_db_k, c.around.outdoor_rh, p_pa)
    mass = flow / air.specific_volume_m3_kg(c.around.outdoor_db_k, w, p_pa)
    return float(
        t.outdoor_supply_k - (coil_w + t.shell_loss_w + board_w + t.outdoor_fan_w) / (mass * 1006.0)
    )


def _bend_k(c: Case) -> float:
    """Return the pipe temperature in the middle of the condensing coil: air gives no warmth."""
    if not c.truth.running:
        return c.around.outdoor_db_k
    ref = refrigerant.load(c.spec.refrigerant)
    coil = c.spec.outdoor if _cools(c) else c.spec.indoor
    t_k = float(c.truth.condensing_k)
    gas_m3 = 0.5 * coil.volume_m3 + c.spec.shell_m3
    for _ in range(6):  # partial pressures add, so the refrigerant's own is the rest
        p_air = float(charge.air_pressure_pa(c.condition.noncondensable_kg, gas_m3, t_k))
        lnp = np.log(max(float(c.truth.discharge_pa) - p_air, math.exp(ref.lnp_min)))
        t_k = float(ref.sat(lnp).t_bubble_k)
    return t_k


def _saturation_pa(c: Case) -> float:
    coldest = min(c.around.room_db_k, c.around.outdoor_db_k)
    return math.exp(float(refrigerant.load(c.spec.refrigerant).lnp_bubble(coldest)))


def _winding(pair: int) -> Callable[[Case], float]:
    def ohm(c: Case) -> float:
        phase = electrics.copper_resistance_ohm(0.5 * c.spec.winding_ohm, c.around.outdoor_db_k)
        return float(electrics.winding_pairs_ohm(c.condition.compressor_state, phase)[pair])

    return ohm


def _insulation(c: Case) -> float:
    return float(electrics.insulation_ohm(c.condition.compressor_state, c.around.outdoor_db_k))


def _supply_v(c: Case) -> float:
    return c.spec.supply_v * c.condition.supply_voltage_factor


def _bus_v(c: Case) -> float:
    if c.condition.inverter_state != "ok":
        return 0.0
    doubled = c.spec.supply_v < 150.0
    if c.truth.running:
        return float(electrics.boosted_bus_v(_supply_v(c), doubled=doubled))
    return float(electrics.rectified_bus_v(_supply_v(c), doubled))


def _bus_later_v(c: Case) -> float:
    bleed = math.inf if c.condition.bleed_resistor_open else c.spec.bus_bleed_ohm
    return float(electrics.bus_after_v(_bus_v(c), BUS_WAIT_S, c.spec.bus_capacitance_f, bleed))


def _signal_swing_v(c: Case) -> float:
    sender = "ok" if c.condition.inverter_state == "ok" else "dead"
    low, high = electrics.signal_levels_v(c.condition.communication_state, sender)
    return high - low


def _signal_high_v(c: Case) -> float:
    sender = "ok" if c.condition.inverter_state == "ok" else "dead"
    return electrics.signal_levels_v(c.condition.communication_state, sender)[1]


def _start_peak_a(c: Case) -> float:
    tries = c.condition.inverter_state == "ok" and c.condition.communication_state == "ok"
    if tries and c.condition.compressor_state in ("locked_rotor", "earthed_winding"):
        return OVER_CURRENT_TRIP * c.spec.current_limit_a[1]
    return float(c.truth.current_a)


def _sensor_error_k(c: Case) -> float:
    """Return what the room sensor's resistance stands for, less the air at the grille."""
    air_k = float(c.truth.return_db_k)
    ohm = thermistor.ntc_resistance_ohm(
        air_k + c.condition.room_sensor_offset_k, c.spec.thermistor_ohm, c.spec.thermistor_beta_k
    )
    told = thermistor.ntc_temperature_k(ohm, c.spec.thermistor_ohm, c.spec.thermistor_beta_k)
    return float(told) - air_k


def _coil_sensor_ratio(c: Case) -> float:
    """Return the coil sensor's resistance over the table's at the soaked coil's temperature."""
    r25, beta = c.spec.thermistor_ohm, c.spec.thermistor_beta_k
    true_k = c.around.room_db_k
    shown = thermistor.ntc_resistance_ohm(true_k + c.condition.coil_sensor_offset_k, r25, beta)
    return float(shown / thermistor.ntc_resistance_ohm(true_k, r25, beta))


def _drain_test_s(c: Case) -> float:
    """Return how long a litre takes to run out of the pan; endless when it never does."""
    k = c.condition
    return condensate.pour_time_s(
        DRAIN_TEST_KG,
        0.0,
        c.spec.pan_drain_kg_s,
        k.drain_blockage,
        k.drain_slope_fault,
        1000.0 * c.spec.pan_m3,
    )[0]


def _drain_flow_kg_s(c: Case) -> float:
    """Return what arrives at the drain's outlet once the pan has filled."""
    k, clear = c.condition, c.spec.pan_drain_kg_s
    rate = condensate.drain_per_kg(clear, k.drain_blockage, k.drain_slope_fault)
    most = 1000.0 * c.spec.pan_m3 * rate
    return float(min(c.truth.condensate_kg_s, most))


def _truth(name: str) -> Callable[[Case], float]:
    return lambda c: getattr(c.truth, name)


def _look(knob: str) -> Callable[[Case], float]:
    return lambda c: getattr(c.condition, knob)


_HAND, _DRY = ("off",), ("cooling",)

# Every reading; the one place to add one.
_ROWS = (
    # Air. Thermistor probe +-1 F, two probes for a difference; from memory.
    Reading("return_air", "Return air", "temperature", "air probe", 0.5, 0.0, RUNNING,
            _truth("return_db_k")),
    Reading("supply_air", "Supply air", "temperature", "air probe", 0.5, 0.0, RUNNING,
            _truth("supply_db_k")),
    Reading("split", "Split", "temperature_difference", "two air probes", 0.8, 0.0, RUNNING,
            _truth("split_k")),
    Reading("return_below_room", "Room air less return air", "temperature_difference",
            "two air probes", 0.8, 0.0, RUNNING,
            lambda c: float(c.truth.room_db_k - c.truth.return_db_k)),
    Reading("supply_humidity", "Humidity of the supply air", "ratio", "hygrometer", 0.03, 0.0,
            RUNNING, _truth("supply_rh")),
    Reading("airflow", "Airflow at the outlet", "airflow", "anemometer grid", 0.003, 0.15,
            RUNNING, _truth("airflow_m3_s")),
    Reading("outdoor_airflow", "Outdoor airflow", "airflow", "anemometer grid", 0.01, 0.15,
            RUNNING, _truth("outdoor_airflow_m3_s")),
    Reading("outdoor_air_rise", "Warming of the outdoor air", "temperature_difference",
            "two air probes", 0.8, 0.0, RUNNING,
            lambda c: float(c.truth.outdoor_supply_k) - _outdoor_intake_k(c)),
    Reading("outdoor_intake_over_air", "Outdoor intake over shade air",
            "temperature_difference", "two air probes", 0.8, 0.0, RUNNING,
            lambda c: _outdoor_intake_k(c) - c.around.outdoor_db_k),
    Reading("indoor_fan_speed", "Speed of the blower wheel", "speed_rpm",
            "optical tachometer", 5.0, 0.01, RUNNING, _truth("indoor_fan_rpm")),
    Reading("outdoor_fan_speed", "Speed of the outdoor fan", "speed_rpm",
            "optical tachometer", 5.0, 0.01, RUNNING, _truth("outdoor_fan_rpm")),
    # Pipes. Clamp +-2 F when clean and wrapped; common practice.
    Reading("gas_line", "Gas line at the service valve", "temperature", "pipe clamp", 1.1, 0.0,
            _DRY, lambda c: float(c.truth.evaporating_k + c.truth.superheat_k)
            if c.truth.running else float(c.truth.suction_line_k)),
    Reading("small_line", "Small line at the service valve", "temperature", "pipe clamp", 1.1,
            0.0, _DRY, _truth("valve_outlet_k")),
    Reading("liquid_line", "Liquid line before the expansion valve", "temperature",
            "pipe clamp", 1.1, 0.0, _DRY, _truth("liquid_line_k")),
    Reading("liquid_line_drop", "Cooling along the liquid line", "temperature_difference",
            "two pipe clamps", 1.1, 0.0, _DRY, _truth("liquid_line_drop_k")),
    Reading("discharge_line", "Discharge line", "temperature", "pipe clamp", 2.0, 0.0, RUNNING,
            _truth("discharge_line_k")),
    Reading("outdoor_coil_over_air", "Outdoor coil's bend over shade air",
            "temperature_difference", "pipe clamp and air probe", 1.2, 0.0, _DRY,
            lambda c: _bend_k(c) - c.around.outdoor_db_k),
    Reading("valve_warming", "Suction pipe after less before the reversing valve",
            "temperature_difference", "two pipe clamps", 1.5, 0.0, _DRY,
            lambda c: float(
                c.truth.suction_line_k - c.truth.evaporating_k - c.truth.superheat_k)
            if c.truth.running else 0.0),
    # Gauges: +-3.5 psi suction, +-7 psi liquid (RA3.2, 2008, seen in excerpts).
    Reading("suction_pressure", "Suction pressure", "pressure", "gauges", 24e3, 0.0, RUNNING,
            _truth("suction_pa"), gauges=True),
    Reading("discharge_pressure", "Discharge pressure", "pressure", "gauges", 48e3, 0.0,
            RUNNING, _truth("discharge_pa"), gauges=True),
    Reading("superheat", "Superheat", "temperature_difference", "gauges and pipe clamp", 1.4,
            0.0, _DRY, _truth("superheat_k"), gauges=True),
    Reading("subcooling", "Subcooling", "temperature_difference", "gauges and pipe clamp", 1.4,
            0.0, _DRY, lambda c: float(c.truth.condensing_k - c.truth.liquid_line_k)
            if c.truth.running else 0.0, gauges=True),
    Reading("head_over_coil", "Saturation at discharge pressure over the coil's bend",
            "temperature_difference", "gauges and pipe clamp", 1.4, 0.0, _DRY,
            lambda c: float(c.truth.condensing_k) - _bend_k(c), gauges=True),
    Reading("standing_excess", "Standing pressure over saturation at the ambient",
            "pressure_difference", "gauges and air probe", 33e3, 0.0, _HAND,
            lambda c: float(c.truth.suction_pa) - _saturation_pa(c), gauges=True),
    # Electricity. Clamp +-2 %, meter +-1 % (from memory); live work is for the qualified.
    Reading("current", "Running current", "current", "clamp meter", 0.05, 0.02, RUNNING,
            _truth("current_a")),
    Reading("power", "Input power", "power", "clamp meter and voltage", 5.0, 0.03, RUNNING,
            _truth("power_w")),
    Reading("start_peak", "Highest current at a start", "current", "clamp meter, peak hold",
            0.1, 0.05, _DRY, _start_peak_a),
    Reading("supply", "Supply voltage under load", "voltage", "multimeter", 0.5, 0.01, RUNNING,
            _supply_v),
    Reading("bus", "DC bus", "voltage", "multimeter", 1.0, 0.01, _DRY, _bus_v),
    Reading("bus_after_wait", "DC bus ten minutes after isolation", "voltage", "multimeter",
            1.0, 0.01, _HAND, _bus_later_v),
    Reading("signal_swing", "Swing of the signal line", "voltage", "multimeter", 1.0, 0.02,
            _DRY, _signal_swing_v),
    Reading("signal_high", "Highest level of the signal line", "voltage", "multimeter", 1.0,
            0.02, _DRY, _signal_high_v),
    Reading("winding_uv", "Compressor winding U-V", "resistance", "ohmmeter", 0.1, 0.01, _HAND,
            _winding(0)),
    Reading("winding_vw", "Compressor winding V-W", "resistance", "ohmmeter", 0.1, 0.01, _HAND,
            _winding(1)),
    Reading("winding_wu", "Compressor winding W-U", "resistance", "ohmmeter", 0.1, 0.01, _HAND,
            _winding(2)),
    Reading("insulation", "Windings to earth", "resistance", "insulation tester", 1e3, 0.2,
            _HAND, _insulation),
    Reading("room_sensor_error", "Room sensor less air at the grille",
            "temperature_difference", "ohmmeter and air probe", 1.0, 0.0, _DRY,
            _sensor_error_k),
    Reading("coil_sensor_ratio", "Coil sensor's resistance over the table's", "ratio",
            "ohmmeter and air probe", 0.0, 0.05, _HAND, _coil_sensor_ratio),
    # Water: a jug and a watch.
    Reading("drain_flow", "Water at the drain's outlet", "mass_flow", "jug and watch", 1e-5,
            0.05, _DRY, _drain_flow_kg_s),
    Reading("drain_test", "Time for a litre to run out of the pan", "time", "watch", 5.0, 0.1,
            _HAND, _drain_test_s),
    # Looks, graded 0 (new) to 1 (worst) by a trained eye; common practice, no source.
    Reading("filter_look", "Look of the filter", "grade", "eye", 0.15, 0.0, _HAND,
            _look("filter_loading")),
    Reading("indoor_coil_film_look", "Film on the indoor fins", "grade", "eye and lamp", 0.15,
            0.0, _HAND, _look("indoor_coil_film")),
    Reading("indoor_coil_mat_look", "Dust mat on the indoor coil", "grade", "eye and lamp",
            0.15, 0.0, _HAND, _look("indoor_coil_blockage")),
    Reading("ice_look", "Ice on the indoor coil", "grade", "eye and lamp", 0.15, 0.0, _HAND,
            _look("indoor_coil_ice")),
    Reading("outdoor_ice_look", "Ice on the outdoor coil", "grade", "eye", 0.15, 0.0, _HAND,
            _look("outdoor_coil_ice")),
    Reading("wheel_look", "Look of the blower wheel", "grade", "eye and lamp", 0.15, 0.0, _HAND,
            _look("wheel_fouling")),
    Reading("outdoor_coil_look", "Look of the outdoor coil's rear face", "grade", "eye", 0.15,
            0.0, _HAND, lambda c: max(
                c.condition.outdoor_coil_blockage, c.condition.outdoor_coil_film)),
    Reading("drain_slope_look", "Fall of the drain hose", "grade", "eye and level", 0.15, 0.0,
            _HAND, _look("drain_slope_fault")),
    Reading("wire_look", "Gnawed cable between the units", "grade", "eye", 0.15, 0.0, _HAND,
            lambda c: 0.0 if c.condition.communication_state == "ok" else 1.0),
    Reading("board_look", "Burn marks on the outdoor board", "grade", "eye", 0.15, 0.0, _HAND,
            lambda c: 0.0 if c.condition.inverter_state == "ok" else 1.0),
)  # fmt: skip

READINGS: Mapping[str, Reading] = MappingProxyType({r.name: r for r in _ROWS})
