"""The DC bus of machines that the remote has set off, and what becomes of it after isolation."""

from __future__ import annotations

import math
from functools import cache
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from kit.machine import Condition, Spec, Surroundings, Truth


def machine(name: str) -> Spec:
    """Return a data sheet by the name of its machine."""
    from kit.machine import load_spec

    return load_spec(name)


def _around() -> Surroundings:
    from kit.machine import Surroundings

    return Surroundings(300.15, 0.5, 305.15, 0.45)


@cache
def set_off(name: str) -> Truth:
    """Return a sound machine on a warm day, set off at the remote and left alone."""
    from kit.machine import Command, Condition, settle

    return settle(machine(name), Condition(), _around(), Command("off", 297.15))


def bus_start_v(name: str) -> float:
    """Return the DC bus of a machine that the remote has set off, still powered [V DC].

    Args:
        name: name of the machine.
    """
    from kit.machine import Condition
    from kit.machine.readings import Case, reading

    case = Case(set_off(name), machine(name), Condition(), _around(), "off")
    return float(reading("bus").take(case))


def bus_v(name: str, elapsed_s: float, condition: Condition | None = None) -> float:
    """Return the DC bus of a machine some time after its disconnect was pulled [V DC].

    Args:
        name: name of the machine.
        elapsed_s: time since then [s].
        condition: its condition; sound when None.
    """
    from kit.physics import electrics

    spec = machine(name)
    stays = condition is not None and condition.bleed_resistor_open
    bleed = math.inf if stays else spec.bus_bleed_ohm
    start = bus_start_v(name)
    return float(electrics.bus_after_v(start, elapsed_s, spec.bus_capacitance_f, bleed))


def wait_s(name: str) -> float:
    """Return how long a sound machine's bus takes to the touch limit [s].

    Args:
        name: name of the machine.
    """
    from kit.physics import electrics

    spec = machine(name)
    wait = electrics.bus_wait_s(bus_start_v(name), spec.bus_capacitance_f, spec.bus_bleed_ohm)
    return float(wait)


def broken() -> Condition:
    """Return a condition that is sound but for the bleed resistor."""
    from kit.machine import Condition

    return Condition(bleed_resistor_open=True)
