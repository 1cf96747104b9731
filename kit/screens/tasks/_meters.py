"""What meters show in the lesson on electrical checks, worked out by the kit's electrics."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING, NamedTuple

from kit.screens.tasks._given import fahrenheit_k, published

if TYPE_CHECKING:
    from kit.machine import Truth

MACHINE = "wall-12k-r32"
SAGS = (1.0, 0.95, 0.9, 0.85, 0.8, 0.7)  # supply voltage over rated
WORKSHOP_K = fahrenheit_k(86)
# Made up: a meter whose leads are worn, and a motor with turns that touch.
LEADS_OHM = 0.42
READ_OHM = (1.56, 1.57, 1.44)
PAIRS_OHM = tuple(round(value - LEADS_OHM, 2) for value in READ_OHM)
COLD_K, HOT_K, ICE_K = fahrenheit_k(50), 313.15, 273.15
# The usual 10 kilohm sensor of component tables, which is not that of the machine.
TABLE_R25_OHM, TABLE_BETA_K = 10e3, 3950.0
BESIDE_SENSOR_K, SENSOR_OFF_K = 299.15, -7.0  # made up
READ_COLD_OHM = 4e6  # made up: it looks well above the least value
CAUSES = ("open", "leads", "earthed", "sound")  # of the compressors A to D
_STATES = {"open": "open_winding", "earthed": "earthed_winding", "sound": "locked_rotor"}
SENDERS = ("dead", "sound", "open")  # of the signal lines A to C


class Sensor(NamedTuple):
    """A room sensor: air beside it [K] and its resistance [ohm]."""

    air_k: float
    ohm: float


class Motor(NamedTuple):
    """A compressor's motor: three pairs and the way to earth [ohm]."""

    pairs_ohm: tuple[float, float, float]
    earth_ohm: float


@cache
def sagging() -> tuple[tuple[float, ...], Truth]:
    """Return supply voltages and the machine run at each of them."""
    from kit.machine import Command, Condition, Surroundings, load_spec, settle_many

    spec, n = load_spec(MACHINE), len(SAGS)
    around = Surroundings(fahrenheit_k(80), 0.5, fahrenheit_k(95), 0.4)
    conditions = [Condition(supply_voltage_factor=x) for x in SAGS]
    truth = settle_many(spec, conditions, [around] * n, [Command("cooling", 289.15)] * n)
    return tuple(spec.supply_v * x for x in SAGS), truth


def copper_ohm(temperature_k: float) -> float:
    """Return what a pair of the machine's windings should read at a temperature [ohm]."""
    from kit.machine import load_spec
    from kit.physics import electrics

    return float(electrics.copper_resistance_ohm(load_spec(MACHINE).winding_ohm, temperature_k))


def to_40c(temperature_k: float) -> float:
    """Return the factor that brings an insulation reading to 40 °C (IEEE 43) [-]."""
    from kit.physics import electrics

    return float(electrics.insulation_to_40c(temperature_k))


def least_ohm() -> float:
    """Return the least insulation of the machine's motor at 40 °C (IEEE 43) [ohm]."""
    from kit.machine import load_spec
    from kit.physics import electrics

    return float(electrics.insulation_minimum_ohm(load_spec(MACHINE).supply_v))


@cache
def compressors() -> tuple[Motor, ...]:
    """Return what the four compressors show, the meter's leads taken off."""
    from kit.physics import electrics
    from kit.visit.electric_places import BOARD_OHM, BOARD_TO_EARTH_OHM

    found = []
    for cause in CAUSES:
        state = _STATES.get(cause, "ok")
        pairs = electrics.winding_pairs_ohm(state, 0.5 * copper_ohm(WORKSHOP_K))
        earth = float(electrics.insulation_ohm(state, WORKSHOP_K))
        uv, vw, wu = (float(value) for value in pairs)
        if cause == "leads":
            uv, vw, wu = (_beside(value, BOARD_OHM) for value in (uv, vw, wu))
            earth = _beside(earth, BOARD_TO_EARTH_OHM)
        found.append(Motor((uv, vw, wu), earth))
    return tuple(found)


def _beside(one: float, other: float) -> float:
    return one * other / (one + other)


def ntc_ohm(temperature_k: float, r25_ohm: float, beta_k: float) -> float:
    """Return the resistance of a sensor by the two-point law [ohm]."""
    from kit.physics import thermistor

    return float(thermistor.ntc_resistance_ohm(temperature_k, r25_ohm, beta_k))


def ntc_temperature_k(resistance_ohm: float, r25_ohm: float, beta_k: float) -> float:
    """Return the temperature that a sensor's resistance stands for [K]."""
    from kit.physics import thermistor

    return float(thermistor.ntc_temperature_k(resistance_ohm, r25_ohm, beta_k))


def ntc_table_ohm(celsius: int) -> float:
    """Return what the component table prints at 0 or 50 °C [ohm]."""
    return 1e3 * float(published("sensors", f"sensors-ntc-table-{celsius}C")["expected"])


def machine_sensor() -> tuple[float, float]:
    """Return resistance at 25 °C [ohm] and beta [K] of the machine's sensors."""
    from kit.machine import load_spec

    spec = load_spec(MACHINE)
    return float(spec.thermistor_ohm), float(spec.thermistor_beta_k)


@cache
def room_sensor() -> Sensor:
    """Return a room sensor of the machine that reads cold."""
    return Sensor(BESIDE_SENSOR_K, ntc_ohm(BESIDE_SENSOR_K + SENSOR_OFF_K, *machine_sensor()))


def signal_levels(sender: str) -> tuple[float, float]:
    """Return lowest and highest voltage of a signal line [V].

    Args:
        sender: "sound", "open" (the wire) or "dead" (the outdoor board).
    """
    from kit.physics import electrics

    wire = "open" if sender == "open" else "ok"
    return electrics.signal_levels_v(wire, "dead" if sender == "dead" else "ok")
