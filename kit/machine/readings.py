"""What the usual tools show of a machine: named readings, each with the tool's accuracy.

A reading here is what a careful hand gets with a sound instrument in the right place, before the
instrument's own error; `accuracy` says how far off that error may be.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType
from typing import TYPE_CHECKING

import numpy as np

from kit.errors import KitError, UnknownNameError
from kit.physics import charge, electrics, refrigerant, thermistor

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


def _intake_k(c: Case) -> float:
    """Return the air entering the outdoor coil, from its warming and its flow."""
    flow = c.truth.outdoor_airflow_m3_s
    if not c.truth.running or flow <= 0.0:
        return c.around.outdoor_db_k
    # What the outdoor unit gives off, seen from the refrigerant and the supply together.
    cooled = c.truth.valve_outlet_k <= c.around.room_db_k
    return _bend_k(c) if not cooled else c.around.outdoor_db_k


def _bend_k(c: Case) -> float:
    """Return the pipe temperature in the middle of the condensing coil: air gives no warmth."""
    ref = refrigerant.load(c.spec.refrigerant)
    coil = c.spec.outdoor if c.mode == "cooling" else c.spec.indoor
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


def _truth(name: str) -> Callable[[Case], float]:
    return lambda c: getattr(c.truth, name)


def _look(knob: str) -> Callable[[Case], float]:
    return lambda c: getattr(c.condition, knob)
