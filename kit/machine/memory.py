"""What a machine and its room remember from one moment to the next."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any, TypeAlias

from kit.machine import controls
from kit.machine.condition import Condition
from kit.machine.lag import Given, given
from kit.machine.spec import Spec
from kit.machine.surroundings import Command, Surroundings
from kit.machine.truth import Truth
from kit.physics import air

# All common practice, no source.
ICE_FULL_KG_M2 = 3.5  # ice on a square metre of face that closes it
COIL_WATER_KG_M2 = 0.35  # water that clings to a wet coil before any reaches the pan
LONG_S = 3600.0  # a machine found running or standing has done so for long

Orders: TypeAlias = tuple[Condition, Surroundings, Command]


@dataclass(frozen=True, slots=True)
class Solved:
    """A quasi-steady state, and what it was solved for."""

    key: Any
    truth: Truth


@dataclass(frozen=True, slots=True)
class Memory:
    """State that `advance` carries along; SI.

    The machine is stepped on a grid of its own; `truth` is its state at the last point of that
    grid and `pending_s` the time that has passed since. So the pieces in which time is asked for
    change nothing.
    """

    truth: Truth
    orders: Orders  # condition, surroundings and command that hold since that point
    pending_s: float
    gives: Given  # what a kilogram of air gives to the indoor unit
    room_db_k: float
    room_w: float
    # Compressor.
    speed_rps: float
    running_s: float  # since the compressor last started
    stopped_s: float  # since it last stopped
    warming_s: float  # since heat was last turned on: a start, or the end of a defrost
    ran_mode: str  # in which mode it last ran
    satisfied: bool  # the thermostat holds it off
    trips: int  # stops by a protection while running, without a good run between
    tripped: tuple[str, ...]  # protections that stopped it last
    # Water and ice.
    indoor_ice_kg: float
    outdoor_frost_kg: float
    seen_ice: tuple[float, float]  # ice knobs as last seen: a changed knob resets the mass
    coil_water_kg: float
    pan_water_kg: float
    shed_kg: float  # water that the coil gave up so far: condensed and melted
    drained_kg: float  # of that, down the drain
    dried_kg: float  # of that, back into the air
    overflow_kg: float  # of that, over the pan's edge
    defrost_s: float  # since a defrost began; below zero while there is none
    heating_s: float  # compressor time in heating since the last defrost
    # Solved states: what demand asks for, and what the machine runs after now.
    target: Solved | None
    steady: Solved | None


def ice_full_kg(face_m2: float) -> float:
    """Return the ice that closes a coil's face.

    Args:
        face_m2: face of the coil [m2].

    Returns:
        Mass [kg].
    """
    return ICE_FULL_KG_M2 * face_m2


def first_memory(truth: Truth, spec: Spec, orders: Orders) -> Memory:
    """Return the memory of a machine found in a steady state.

    Args:
        truth: steady state from `settle`.
        spec: the machine.
        orders: condition (its ice knobs give the first ice), surroundings and command.

    Returns:
        Memory; a standing machine has stood long enough to start at once, one that a protection
        stopped has given up.
    """
    condition, around, _ = orders
    cools = truth.indoor_coil_surface_k < truth.room_db_k
    running = bool(truth.running)
    tripped = tuple(name for name in truth.limits if name in controls.TRIPS)
    wet = truth.condensate_kg_s > 0.0
    water = COIL_WATER_KG_M2 * spec.indoor.face_m2 if wet else 0.0
    pan = float(truth.pan_water_kg)
    memory = Memory(
        truth=truth,
        orders=orders,
        pending_s=0.0,
        gives=given(truth, float(air.pressure_pa(around.altitude_m))),
        room_db_k=truth.room_db_k,
        room_w=truth.room_w,
        speed_rps=truth.compressor_rps,
        running_s=LONG_S if running else 0.0,
        stopped_s=0.0 if running else LONG_S,
        warming_s=LONG_S if running else 0.0,
        ran_mode="cooling" if cools == (truth.split_k >= 0.0) else "heating",
        satisfied=False,
        trips=controls.TRIPS_TO_GIVE_UP if tripped else 0,
        tripped=tripped,
        indoor_ice_kg=0.0,
        outdoor_frost_kg=0.0,
        seen_ice=(0.0, 0.0),
        coil_water_kg=water,
        pan_water_kg=pan,
        shed_kg=water + pan,
        drained_kg=0.0,
        dried_kg=0.0,
        overflow_kg=0.0,
        defrost_s=-1.0,
        heating_s=0.0,
        target=None,
        steady=None,
    )
    return with_ice(memory, spec, condition)


def with_ice(memory: Memory, spec: Spec, condition: Condition) -> Memory:
    """Return the memory with the ice that the condition's knobs say, where they were turned.

    Args:
        memory: what is remembered.
        spec: the machine.
        condition: its condition.

    Returns:
        Memory.
    """
    knobs = (condition.indoor_coil_ice, condition.outdoor_coil_ice)
    indoor, outdoor = memory.indoor_ice_kg, memory.outdoor_frost_kg
    if knobs[0] != memory.seen_ice[0]:
        indoor = knobs[0] * ice_full_kg(spec.indoor.face_m2)
    if knobs[1] != memory.seen_ice[1]:
        outdoor = knobs[1] * ice_full_kg(spec.outdoor.face_m2)
    return replace(memory, indoor_ice_kg=indoor, outdoor_frost_kg=outdoor, seen_ice=knobs)


def with_held_room(memory: Memory, around: Surroundings) -> Memory:
    """Return the memory with the room's air as given, where no load makes it follow its own way.

    Args:
        memory: what is remembered.
        around: air at both units.

    Returns:
        Memory.
    """
    if around.room_load_w is not None:
        return memory
    p_pa = float(air.pressure_pa(around.altitude_m))
    w = float(air.humidity_ratio(around.room_db_k, around.room_rh, p_pa))
    return replace(memory, room_db_k=around.room_db_k, room_w=w)
