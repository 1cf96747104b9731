"""Places on the refrigerant circuit where an instrument can be held."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from kit.visit import circuit_time, circuit_work
from kit.visit.circuit_tools import (
    CYLINDERS,
    LEAK_PLACES,
    PUMPS,
    SUPPLY_GROSS_KG,
    LeakPlace,
)
from kit.visit.circuit_work import Leak
from kit.visit.outcome import Line, line
from kit.visit.places import PLACES, Place

if TYPE_CHECKING:
    from kit.visit.places import Values
    from kit.visit.state import State

OPEN_PORT_M = 1.3e-6  # a port's core without its cap: about 5 g a year; common practice, no source
# Vapour of a cleaner that a detector takes for refrigerant, and how long it hangs about;
# common practice, no source.
CLEANER_KG_A = 0.04
CLEANER_S = 1200.0
WASHED = {"indoor": ("wash_indoor_coil", "clean_wheel"), "outdoor": ("wash_outdoor_coil",)}
SATURATED_KG_A = 8.0  # a detector cannot tell more than this: the same
OLD_RESPONSE = 0.08  # of a detector made for older refrigerants: the same


def leak_at_kg_s(state: State, place: str) -> float:
    """Return the refrigerant that comes out at a place now [kg/s].

    Args:
        state: the visit, solved up to its clock.
        place: a key of `LEAK_PLACES`.
    """
    return sum(circuit_time.leak_kg_s(state, leak) for leak in holes_at(state, place))


def holes_at(state: State, place: str) -> tuple[Leak, ...]:
    """Return the holes at a place, an uncapped port's among them.

    Args:
        state: the visit.
        place: a key of `LEAK_PLACES`.
    """
    found = tuple(leak for leak in state.work.leaks if leak.place == place)
    if place == "port_core" and "port" in state.work.caps_off and not state.gauges_on:
        found += (Leak(place, OPEN_PORT_M),)
    return found


def smelt_kg_a(state: State, place: str, response: float = 1.0) -> float:
    """Return what a detector would take for a leak, cleaner's vapour included [kg a year].

    Args:
        state: the visit, solved up to its clock.
        place: a key of `LEAK_PLACES`.
        response: of the detector to this refrigerant [0..1].
    """
    from kit.physics import leak

    washed = [at for name, at in state.done if name in WASHED[LEAK_PLACES[place].part]]
    vapour = sum(math.exp(-(state.clock_s - at) / CLEANER_S) for at in washed[-1:])
    other = vapour * CLEANER_KG_A / leak.YEAR_S
    signal = leak.detector_signal_kg_s(leak_at_kg_s(state, place), response, other)
    return min(float(leak.yearly_loss_kg(signal)), SATURATED_KG_A)


def _sniff(place: str) -> Place:
    where: LeakPlace = LEAK_PLACES[place]

    def values(state: State) -> Values:
        return {
            "leak_signal": smelt_kg_a(state, place),
            "leak_signal_old": smelt_kg_a(state, place, OLD_RESPONSE),
        }

    return Place(where.title, "sniff", where.part, values)


def _at_the_unit(state: State) -> Values:
    return {"vacuum": circuit_work.port_pa(state)}


def _at_the_pump(state: State) -> Values:
    """Give the pressure at the pump: its own once the valve to the circuit is shut."""
    from kit.physics import evacuation

    rig = state.work.rig
    if rig is None or not rig.runs:
        return {"vacuum": circuit_work.vessel_of(state).p_atm_pa}
    pump, path = PUMPS[rig.oil], circuit_time.pump_path(state.work)
    if not rig.valve_open or path is None:
        return {"vacuum": pump.ultimate_pa}
    return {"vacuum": evacuation.inlet_pressure_pa(circuit_work.port_pa(state), path, pump)}


def _supply(state: State) -> Values:
    return {"mass": SUPPLY_GROSS_KG - state.work.ledger.supplied_kg}


def _recovery(name: str) -> Place:
    cylinder = CYLINDERS[name]

    def values(state: State) -> Values:
        got = state.work.ledger.cylinder_kg if state.work.cylinder == name else 0.0
        return {"mass": cylinder.tare_kg + cylinder.holds_kg + got}

    return Place(cylinder.title[0].lower() + cylinder.title[1:], "scale", "instruments", values)


PLACES.update(
    {
        "vacuum_far": Place("the port farthest from the pump", "vacuum", "outdoor", _at_the_unit),
        "vacuum_at_pump": Place("the vacuum pump", "vacuum", "outdoor", _at_the_pump),
        **{f"sniff_{place}": _sniff(place) for place in LEAK_PLACES},
        "supply_cylinder": Place(
            "the supply cylinder on the scale", "scale", "instruments", _supply
        ),
        **{f"cylinder_{name}": _recovery(name) for name in CYLINDERS},
    }
)


def out_of_reach(state: State, tool: str, name: str) -> Line | None:
    """Return why an instrument cannot be held at a place of the circuit now, or None.

    Args:
        state: the visit.
        tool: name of the instrument.
        name: name of the place.
    """
    medium = PLACES[name].medium
    if medium == "vacuum" and state.work.rig is None:
        return line("No vacuum pump is connected.")
    if medium == "port" and state.gauges_on and state.work.gauge_set not in ("", tool):
        return line("Other gauges are on the port.")
    return None
