"""What a machine and its room remember from one moment to the next."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from kit.machine.condition import Condition
from kit.machine.spec import Spec
from kit.machine.truth import Truth

# All common practice, no source.
ICE_FULL_KG_M2 = 3.5  # ice on a square metre of face that closes it
COIL_WATER_KG_M2 = 0.35  # water that clings to a wet coil before any reaches the pan


@dataclass(frozen=True, slots=True)
class Memory:
    """State that `advance` carries along; SI.

    `steady` is the quasi-steady Truth that the lagged fields run after, valid for `steady_key`.
    """

    elapsed_s: float
    room_db_k: float
    room_w: float
    speed_rps: float
    running_s: float  # since the compressor last started
    stopped_s: float  # since it last stopped
    satisfied: bool  # the thermostat holds it off
    indoor_ice_kg: float
    outdoor_frost_kg: float
    seen_ice: tuple[float, float]  # ice knobs as last seen: a changed knob resets the mass
    coil_water_kg: float
    pan_water_kg: float
    overflow_kg: float
    defrost_s: float  # time left of a running defrost
    heating_s: float  # compressor time in heating since the last defrost
    steady: Truth | None
    steady_key: Any


def ice_full_kg(face_m2: float) -> float:
    """Return the ice that closes a coil's face [kg]."""
    return ICE_FULL_KG_M2 * face_m2


def first_memory(truth: Truth, spec: Spec, condition: Condition) -> Memory:
    """Return the memory of a machine found in a steady state.

    Args:
        truth: steady state from `settle`.
        spec: the machine.
        condition: its condition (ice knobs give the first ice).

    Returns:
        Memory; a standing machine has stood long enough to start at once.
    """
    running = bool(truth.running)
    water = COIL_WATER_KG_M2 * spec.indoor.face_m2
    return Memory(
        elapsed_s=0.0,
        room_db_k=truth.room_db_k,
        room_w=truth.room_w,
        speed_rps=truth.compressor_rps,
        running_s=3600.0 if running else 0.0,
        stopped_s=0.0 if running else 3600.0,
        satisfied=False,
        indoor_ice_kg=condition.indoor_coil_ice * ice_full_kg(spec.indoor.face_m2),
        outdoor_frost_kg=condition.outdoor_coil_ice * ice_full_kg(spec.outdoor.face_m2),
        seen_ice=(condition.indoor_coil_ice, condition.outdoor_coil_ice),
        coil_water_kg=water if truth.condensate_kg_s > 0 else 0.0,
        pan_water_kg=0.0,
        overflow_kg=0.0,
        defrost_s=0.0,
        heating_s=0.0,
        steady=None,
        steady_key=None,
    )
