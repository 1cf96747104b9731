"""Holding an instrument somewhere and reading its display."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from kit.visit.instruments import Instrument, Scale, instrument, shown
from kit.visit.outcome import Line, Measure, Reading, line
from kit.visit.places import PLACES
from kit.visit.state import Probe, State

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

QUANTITIES = {
    "dry_bulb": "Dry bulb",
    "wet_bulb": "Wet bulb",
    "relative_humidity": "Relative humidity",
    "pipe_temperature": "Pipe temperature",
    "surface_temperature": "Surface temperature",
    "current": "Current",
    "voltage": "Voltage",
    "air_speed": "Air speed",
    "peak_current": "Highest current",
    "lowest_voltage": "Lowest voltage",
    "highest_voltage": "Highest voltage",
    "low_resistance": "Resistance",
    "resistance": "Resistance",
    "insulation": "Insulation resistance",
    "rotation": "Speed",
    "port_pressure": "Pressure",
    "vacuum": "Vacuum",
    "mass": "Mass",
    "leak_signal": "Leak",
    "leak_signal_old": "Leak",
}
OHMS = ("resistance", "sensor_resistance", "insulation")
SWING_V = 5.0  # less is the noise of a line on which nobody speaks; common practice, no source
LAST_LOOK_S = 10.0  # a figure that moved more than one step in this time is not steady


def placed(state: State, name: str, place: str) -> State:
    """Return the state with an instrument put at a place; its element comes along as it was."""
    tool = instrument(name)
    old = state.probe(name)
    if old is not None and old.place == place:
        return state
    values = wanted(tool, PLACES[place].values(state))
    element = dict(old.element) if old else _in_the_bag(state, tool)
    probe = Probe(name, place, state.clock_s, tuple(element.items()), tuple(values.items()))
    others = tuple(p for p in state.probes if p.instrument != name)
    return replace(state, probes=(*others, probe))


def wanted(tool: Instrument, values: Mapping[str, float]) -> dict[str, float]:
    """Return those quantities of a place that an instrument measures [SI]."""
    return {s.quantity: values[s.quantity] for s in tool.scales if s.quantity in values}


def lifted(state: State, name: str) -> State:
    """Return the state with an instrument back in the bag."""
    return replace(state, probes=tuple(p for p in state.probes if p.instrument != name))


def displayed(state: State, probe: Probe, count: int) -> Iterator[tuple[str, float]]:
    """Give what the display shows now: (quantity, value [SI]) pairs.

    Args:
        state: the visit, solved up to its clock.
        probe: the instrument where it is.
        count: number in the instrument's stream.
    """
    tool = instrument(probe.instrument)
    dead = state.order.instrument_faults.get(probe.instrument) == "dead"
    element = dict(probe.element)
    for scale in tool.scales:
        if scale.quantity in dict(probe.target):
            value = element.get(scale.quantity, dict(probe.target)[scale.quantity])
            if scale.kind in OHMS and value > scale.high and not dead:
                yield scale.quantity, scale.high  # the display says OL; `in_words` says so too
                continue
            seen = shown(scale, probe.instrument, value, state.seed, count, dead)
            if seen is not None:
                trim = trimmed(state, probe.instrument, scale.quantity)
                yield scale.quantity, round(seen + trim, 9)


def trimmed(state: State, name: str, quantity: str) -> float:
    """Return the correction set at an instrument [SI].

    Args:
        state: the visit.
        name: the instrument.
        quantity: what it measures.
    """
    return sum(by for tool, what, by in state.trims if (tool, what) == (name, quantity))


def read_off(state: State, name: str, before: Probe) -> tuple[State, tuple[Reading, ...]]:
    """Return the state with new readings of an instrument, and the readings.

    Args:
        state: the visit, solved up to its clock.
        name: the instrument, already in place.
        before: the same a moment ago, to see whether the figure still moves.
    """
    probe = state.probe(name)
    if probe is None:
        return state, ()
    tool = instrument(name)
    count = 1_000_000 + sum(r.instrument == name for r in state.readings)
    new: list[Reading] = []
    for quantity, value in displayed(state, probe, count):
        scale = tool.scale(quantity)
        steady = _still(scale, dict(before.element), dict(probe.element))
        number = len(state.readings) + len(new) + 1
        new.append(
            Reading(number, name, quantity, scale.kind, probe.place, value, state.clock_s, steady)
        )
    return replace(state, readings=(*state.readings, *new)), tuple(new)


def in_words(tool: Instrument, readings: tuple[Reading, ...]) -> tuple[Line, ...]:
    """Return what a person says who reads the display."""
    if not readings:
        return (line("{tool}: the display shows no figure.", tool=tool.title),)
    said = []
    for reading in readings:
        still = "{what} at {place}: {value}." if reading.steady else _MOVING
        if reading.kind in OHMS and reading.value >= tool.scale(reading.quantity).high:
            still = "{what} at {place}: OL, more than {value}."
        said.append(
            line(
                still,
                what=QUANTITIES[reading.quantity],
                place=PLACES[reading.place].title,
                value=Measure(reading.value, reading.kind),
            )
        )
    values = {reading.quantity: reading.value for reading in readings}
    if "highest_voltage" in values:
        swing = values["highest_voltage"] - values["lowest_voltage"]
        moves = "The figure swings up and down." if swing > SWING_V else "The figure stands still."
        said.append(line(moves))
    return tuple(said)


_MOVING = "{what} at {place}: {value}, and the figure still moves."


def _still(scale: Scale, old: dict[str, float], new: dict[str, float]) -> bool:
    if scale.lag_s == 0 or scale.quantity not in old:
        return True
    return abs(new[scale.quantity] - old[scale.quantity]) <= scale.resolution


def _in_the_bag(state: State, tool: Instrument) -> dict[str, float]:
    """Give where an element starts: at the air of the room it was carried through."""
    t = state.truth
    air = wanted(tool, PLACES["room_centre"].values(state))
    return wanted(tool, {**air, "pipe_temperature": float(t.room_db_k)})
