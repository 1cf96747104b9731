"""Electrics of an inverter split unit: DC bus, windings, supply, signal line, earth.

Thermistors have their own module. Every function takes numbers or numpy arrays. Live work and
stored charge can kill: these figures teach what a meter shows; they never replace local codes,
the equipment's own instructions and licensed practice.
"""

from __future__ import annotations

from typing import cast

import numpy as np

from kit.errors import KitError, OutOfRangeError
from kit.physics.thermistor import Reals, inside

COPPER_PER_K = 0.00393  # at 20 C, IEC 60028 (seen: Industrial Power Engineering handbook, p. 970)
SAFE_TOUCH_DC_V = 50.0  # the limit a technician waits and measures for; common practice
DIODE_DROP_V = 1.0  # one silicon diode of a bridge under load; from memory
INSULATION_OK_40C_OHM = 100e6  # a sound, dry winding; common practice, no source
INSULATION_EARTHED_OHM = 20e3  # a winding burnt to the shell; common practice, no source
SIGNAL_LOW_V, SIGNAL_HIGH_V = 2.0, 24.0  # one low-level line; from memory, units differ
SIGNAL_PERIOD_S = 1.6  # slow enough for a meter to be seen swinging; from memory

WINDING_STATES = ("ok", "open_winding", "locked_rotor", "earthed_winding")


def rectified_bus_v(supply_v: Reals, doubled: bool = False) -> Reals:
    """Give the DC bus voltage that a plain bridge charges its capacitors to, lightly loaded.

    Args:
        supply_v: supply voltage at the terminals [V rms], 0 to 300.
        doubled: True for a voltage doubler, as on 115 V machines.

    Returns:
        Bus voltage [V DC]; never below 0.

    Raises:
        OutOfRangeError: a value outside its range.

    Source: peak of a sine, sqrt(2) V, less two diode drops (one per half for a doubler).
    """
    inside("supply_v", supply_v, 0.0, 300.0)
    peak = np.sqrt(2.0) * np.asarray(supply_v, dtype=float)
    bus = 2.0 * (peak - DIODE_DROP_V) if doubled else peak - 2.0 * DIODE_DROP_V
    return cast("Reals", np.maximum(bus, 0.0)[()])


def boosted_bus_v(supply_v: Reals, target_v: float = 370.0, doubled: bool = False) -> Reals:
    """Give the DC bus voltage behind a power-factor-correcting boost stage at work.

    Args:
        supply_v: supply voltage at the terminals [V rms], 0 to 300.
        target_v: voltage the boost stage holds [V DC], 300 to 420.
        doubled: True for a voltage doubler in front.

    Returns:
        Bus voltage [V DC]: the target, or the rectified peak where that is higher.

    Raises:
        OutOfRangeError: a value outside its range.

    Source: a boost stage cannot hold less than its input's peak; 360 to 400 V from memory.
    """
    inside("target_v", target_v, 300.0, 420.0)
    peak = np.asarray(rectified_bus_v(supply_v, doubled))
    return cast("Reals", np.where(peak > 0.0, np.maximum(peak, target_v), 0.0)[()])


def bus_after_v(start_v: Reals, elapsed_s: Reals, bus_f: float, bleed_ohm: float) -> Reals:
    """Give the DC bus voltage some time after isolation.

    Args:
        start_v: bus voltage at the moment of isolation [V DC], 0 to 500.
        elapsed_s: time since isolation [s], 0 to 1e9.
        bus_f: capacitance of the bus [F], 1e-6 to 0.02.
        bleed_ohm: bleed resistance [ohm], 100 or more; infinite when the resistor is open, and
            then the charge stays.

    Returns:
        Bus voltage [V DC].

    Raises:
        OutOfRangeError: a value outside its range.

    Source: exponential discharge, V exp(-t / R C).
    """
    inside("start_v", start_v, 0.0, 500.0)
    inside("elapsed_s", elapsed_s, 0.0, 1e9)
    inside("bus_f", bus_f, 1e-6, 0.02)
    inside("bleed_ohm", bleed_ohm, 10.0, np.inf)
    return cast("Reals", start_v * np.exp(-np.asarray(elapsed_s) / (bleed_ohm * bus_f)))


def bus_wait_s(
    start_v: Reals, bus_f: float, bleed_ohm: float, safe_v: float = SAFE_TOUCH_DC_V
) -> Reals:
    """Give how long a DC bus takes to fall below a voltage; measuring stays necessary.

    Args:
        start_v: bus voltage at the moment of isolation [V DC], 0 to 2000.
        bus_f: capacitance of the bus [F], 1e-6 to 0.02.
        bleed_ohm: bleed resistance [ohm], 10 or more; infinite when open.
        safe_v: voltage to fall below [V DC], 1 to 400.

    Returns:
        Time [s]; infinite when the bleed resistor is open.

    Raises:
        OutOfRangeError: a value outside its range.

    Source: t = R C ln(V0 / V), inverse of `bus_after_v`.
    """
    inside("start_v", start_v, 0.0, 2000.0)
    inside("bus_f", bus_f, 1e-6, 0.02)
    inside("bleed_ohm", bleed_ohm, 10.0, np.inf)
    inside("safe_v", safe_v, 1.0, 400.0)
    folds = np.log(np.maximum(np.asarray(start_v, dtype=float) / safe_v, 1.0))
    above = np.where(folds > 0.0, folds, 1.0)  # an endless time constant times 0 is no number
    return cast("Reals", np.where(folds > 0.0, bleed_ohm * bus_f * above, 0.0)[()])


def stored_energy_j(bus_v: Reals, bus_f: float) -> Reals:
    """Give the energy held by a charged DC bus.

    Args:
        bus_v: bus voltage [V DC], 0 to 2000.
        bus_f: capacitance of the bus [F], 1e-6 to 0.02.

    Returns:
        Energy [J].

    Raises:
        OutOfRangeError: a value outside its range.

    Source: E = C V^2 / 2.
    """
    inside("bus_v", bus_v, 0.0, 2000.0)
    inside("bus_f", bus_f, 1e-6, 0.02)
    return cast("Reals", 0.5 * bus_f * np.square(bus_v))


def copper_resistance_ohm(r20_ohm: Reals, temperature_k: Reals) -> Reals:
    """Give the resistance of a copper winding at its temperature.

    Args:
        r20_ohm: resistance at 20 C [ohm], 0 or more.
        temperature_k: temperature of the winding [K], 200 to 450.

    Returns:
        Resistance [ohm].

    Raises:
        OutOfRangeError: a value outside its range.

    Source: IEC 60028, 0.00393 per K at 20 C (seen: Industrial Power Engineering and Applications
        Handbook, p. 970).
    """
    inside("r20_ohm", r20_ohm, 0.0, np.inf)
    inside("temperature_k", temperature_k, 200.0, 450.0)
    return cast("Reals", r20_ohm * (1.0 + COPPER_PER_K * (np.asarray(temperature_k) - 293.15)))


def winding_pairs_ohm(state: str, phase_ohm: Reals) -> tuple[Reals, Reals, Reals]:
    """Give the three resistances between the terminals of a star-wound compressor motor.

    Args:
        state: one of `WINDING_STATES`. A locked rotor and an earthed winding read like a sound
            motor between terminals; an open first phase reads open on two pairs.
        phase_ohm: resistance of one phase at its temperature [ohm], above 0.

    Returns:
        U-V, V-W and W-U resistance [ohm]; infinite where open.

    Raises:
        KitError: an unknown state.
        OutOfRangeError: a value outside its range.

    Source: two star phases in series; equal pairs of 0.5 to 3 ohm from memory.
    """
    inside("phase_ohm", phase_ohm, 1e-3, 1e3)
    _known("state", state, WINDING_STATES)
    pair = 2.0 * np.asarray(phase_ohm, dtype=float)
    broken = np.full_like(pair, np.inf) if state == "open_winding" else pair
    return cast("tuple[Reals, Reals, Reals]", (broken[()], pair[()], broken[()]))


def insulation_ohm(state: str, temperature_k: Reals) -> Reals:
    """Give the resistance from a compressor motor's windings to earth, leads off the board.

    Never test with the compressor under vacuum, nor through electronics.

    Args:
        state: one of `WINDING_STATES`; only an earthed winding differs.
        temperature_k: temperature of the winding [K], 200 to 450.

    Returns:
        Insulation resistance [ohm].

    Raises:
        KitError: an unknown state.
        OutOfRangeError: a value outside its range.

    Source: halves for each 10 K of warming (IEEE 43's rule, seen in vibromera.eu's and
        insulationtesting.com's accounts); the 100 megohm and 20 kilohm levels are common
        practice, no source.
    """
    inside("temperature_k", temperature_k, 200.0, 450.0)
    _known("state", state, WINDING_STATES)
    kelvin = np.asarray(temperature_k, dtype=float)
    if state == "earthed_winding":
        return cast("Reals", np.full_like(kelvin, INSULATION_EARTHED_OHM)[()])
    return cast("Reals", INSULATION_OK_40C_OHM / np.asarray(insulation_to_40c(kelvin))[()])


def insulation_to_40c(temperature_k: Reals) -> Reals:
    """Give the factor that brings an insulation reading to 40 C.

    Args:
        temperature_k: temperature of the winding when measured [K], 200 to 450.

    Returns:
        Factor to multiply the reading with [-].

    Raises:
        OutOfRangeError: a value outside its range.

    Source: IEEE 43, 0.5^((40 - T)/10) with T in C, seen in vibromera.eu's account.
    """
    inside("temperature_k", temperature_k, 200.0, 450.0)
    return cast("Reals", np.power(0.5, (313.15 - np.asarray(temperature_k)) / 10.0))


def insulation_minimum_ohm(rated_v: Reals) -> Reals:
    """Give the least insulation resistance of a motor winding, brought to 40 C.

    Args:
        rated_v: rated voltage between terminals [V], 0 to 20000.

    Returns:
        Insulation resistance [ohm].

    Raises:
        OutOfRangeError: a value outside its range.

    Source: IEEE 43, (kV + 1) megohm, seen in vibromera.eu's account.
    """
    inside("rated_v", rated_v, 0.0, 20000.0)
    return cast("Reals", (np.asarray(rated_v) / 1000.0 + 1.0) * 1e6)


def input_current_a(power_w: Reals, supply_v: Reals, power_factor: float) -> Reals:
    """Give the supply current of a single-phase machine.

    Args:
        power_w: real power drawn [W], 0 or more.
        supply_v: voltage at the terminals under load [V rms], 1 to 300.
        power_factor: power factor [-], 0.3 to 1.

    Returns:
        Current [A rms].

    Raises:
        OutOfRangeError: a value outside its range.

    Source: P = V I pf; an inverter holds the power, so a lower voltage draws more current.
    """
    inside("power_w", power_w, 0.0, np.inf)
    inside("supply_v", supply_v, 1.0, 300.0)
    inside("power_factor", power_factor, 0.3, 1.0)
    return cast("Reals", np.asarray(power_w) / (np.asarray(supply_v) * power_factor))


def fed_voltage_v(source_v: Reals, power_w: Reals, feeder_ohm: Reals) -> Reals:
    """Give the voltage at a constant-power machine at the end of a resistive feeder.

    Args:
        source_v: voltage at the panel [V rms], 1 to 300.
        power_w: power drawn at unity power factor [W], 0 or more.
        feeder_ohm: resistance out and back, with its joints [ohm], 0 or more.

    Returns:
        Voltage at the machine's terminals under load [V rms].

    Raises:
        OutOfRangeError: a value outside its range, or a feeder that cannot carry the power.

    Source: upper root of V = Vs - R P / V.
    """
    inside("source_v", source_v, 1.0, 300.0)
    inside("power_w", power_w, 0.0, np.inf)
    inside("feeder_ohm", feeder_ohm, 0.0, np.inf)
    most = np.min(np.square(source_v) / (4.0 * np.maximum(feeder_ohm, 1e-12)))
    if np.any(np.asarray(power_w) > most):
        advice = "The feeder's resistance is too high for this load."
        raise OutOfRangeError("electrics: power_w", power_w, 0.0, float(most), advice)
    return cast(
        "Reals",
        0.5 * (source_v + np.sqrt(np.square(source_v) - 4.0 * np.asarray(feeder_ohm) * power_w)),
    )


def signal_levels_v(wire: str, sender: str) -> tuple[float, float]:
    """Give the lowest and highest voltage on the signal line at the outdoor terminals.

    Args:
        wire: "ok" or "open".
        sender: "ok" or "dead": the outdoor board, which modulates the line.

    Returns:
        Lowest and highest voltage [V DC]. A sound line swings between them; with the wire open
        nothing arrives, and with the outdoor board dead the level stays high.

    Raises:
        KitError: an unknown word.

    Source: common practice, no source (a healthy signal visibly swings; steady is a fault).
    """
    _known("wire", wire, ("ok", "open"))
    _known("sender", sender, ("ok", "dead"))
    if wire == "open":
        return 0.0, 0.0
    return (SIGNAL_HIGH_V, SIGNAL_HIGH_V) if sender == "dead" else (SIGNAL_LOW_V, SIGNAL_HIGH_V)


def signal_v(time_s: Reals, wire: str, sender: str) -> Reals:
    """Give the voltage on the signal line at the outdoor terminals at a moment.

    Args:
        time_s: time [s], 0 or more.
        wire: "ok" or "open".
        sender: "ok" or "dead": the outdoor board.

    Returns:
        Voltage [V DC].

    Raises:
        KitError: an unknown word.
        OutOfRangeError: a negative time.

    Source: common practice, no source (levels and period from memory).
    """
    inside("time_s", time_s, 0.0, np.inf)
    low, high = signal_levels_v(wire, sender)
    phase = np.mod(np.asarray(time_s, dtype=float), SIGNAL_PERIOD_S) / SIGNAL_PERIOD_S
    return cast("Reals", np.where(phase < 0.5, high, low)[()])


def earth_fault_a(supply_v: Reals, fault_ohm: Reals, earth_ohm: Reals) -> Reals:
    """Give the current to earth through a winding's faulty insulation.

    Args:
        supply_v: voltage to earth [V rms], 0 to 300.
        fault_ohm: resistance of the insulation at the fault [ohm], 0 or more.
        earth_ohm: resistance of the earth path back to the source [ohm], above 0.

    Returns:
        Current [A rms].

    Raises:
        OutOfRangeError: a value outside its range.

    Source: Ohm's law for the loop.
    """
    inside("supply_v", supply_v, 0.0, 300.0)
    inside("fault_ohm", fault_ohm, 0.0, np.inf)
    inside("earth_ohm", earth_ohm, 1e-4, np.inf)
    return cast("Reals", np.asarray(supply_v) / (np.asarray(fault_ohm) + earth_ohm))


def touch_voltage_v(supply_v: Reals, fault_ohm: Reals, earth_ohm: Reals) -> Reals:
    """Give the voltage of a metal case to true earth when a winding leaks to it.

    Args:
        supply_v: voltage to earth [V rms], 0 to 300.
        fault_ohm: resistance of the insulation at the fault [ohm], 0 or more.
        earth_ohm: resistance of the protective earth path [ohm], above 0; 1e6 or more when
            the earth wire is off.

    Returns:
        Touch voltage [V rms].

    Raises:
        OutOfRangeError: a value outside its range.

    Source: divider of the fault and the earth path.
    """
    return cast("Reals", earth_fault_a(supply_v, fault_ohm, earth_ohm) * np.asarray(earth_ohm))


def _known(name: str, word: str, words: tuple[str, ...]) -> None:
    """Refuse any word that is not among the known ones."""
    if word not in words:
        raise KitError(f"electrics: {name} is {word!r}; choose one of {', '.join(words)}.")
