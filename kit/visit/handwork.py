"""What hands have left undone or done wrong, and what the machine then runs with.

Nothing here is a fault of the machine; it becomes one for as long as it is so: a plug left off, a
sensor left out of its clip, a cover held by two screws, a wheel knocked out of balance.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from kit.machine.condition import Condition
    from kit.visit.state import State

# name: (words, cover that must be off to reach it)
PLUGS: dict[str, tuple[str, str]] = {
    "room_sensor": ("plug of the room sensor", "indoor_casing"),
    "coil_sensor": ("plug of the coil sensor", "indoor_casing"),
    "indoor_fan": ("plug of the blower motor", "indoor_casing"),
    "compressor_leads": ("three compressor leads at the board", "outdoor_panels"),
    "outdoor_fan": ("plug of the outdoor fan motor", "outdoor_panels"),
    "ambient_sensor": ("plug of the outdoor air sensor", "outdoor_panels"),
    "discharge_sensor": ("plug of the discharge sensor", "outdoor_panels"),
    "valve_coil": ("plug of the expansion valve's coil", "outdoor_panels"),
    "reversing_coil": ("plug of the reversing valve's coil", "outdoor_panels"),
}
SENSORS = {
    "room_sensor": "room sensor in its clip",
    "coil_sensor": "coil sensor in its pocket",
}
# All common practice, no source.
LOOSE_RECIRCULATION = 0.15  # panels held by two screws let warm air back to the intake
WHEEL_LOSS = 0.2  # share of its speed that a wheel loses which is far out of balance
HANGING_ROOM_K = -5.0  # a room sensor that hangs against the cold coil
HANGING_COIL_K = 12.0  # a coil sensor out of its pocket feels the air instead
UNPLUGGED_ROOM_K, UNPLUGGED_COIL_K = -20.0, -60.0  # an open sensor reads as very cold
VALVE_RESTS_AT = 0.35  # where a valve without its coil stays
FLOAT_AT = 0.9  # of a full pan, at which a float acts
TOUCHING = 0.6  # share of the coil's temperature that a sensor lying against it takes


@dataclass(frozen=True, slots=True)
class Loose:
    """What is off, out or loose.

    Args:
        plugs: plugs and leads now off.
        sensors: sensors out of clip or pocket by the learner's hand.
        few_screws: covers that went back with a few screws only.
        ladder: how a ladder stands at the outdoor unit; "" for none.
    """

    plugs: frozenset[str] = frozenset()
    sensors: frozenset[str] = frozenset()
    few_screws: frozenset[str] = frozenset()
    ladder: str = ""


@dataclass(frozen=True, slots=True)
class Harm:
    """Damage that is no dirt; none of it washes off.

    Args:
        bent_indoor: share of the indoor coil's face that folded fins close [0..1].
        bent_outdoor: the same outdoors [0..1].
        packed: whether dirt was driven deep between the fins outdoors.
        wheel: how far the wheel is out of balance [0..1].
        strip: share of its work that a washed strip no longer does [0..1].
        indoor_board: whether the indoor board has died of water.
    """

    bent_indoor: float = 0.0
    bent_outdoor: float = 0.0
    packed: bool = False
    wheel: float = 0.0
    strip: float = 0.0
    indoor_board: bool = False


@dataclass(frozen=True, slots=True)
class Parts:
    """Spare parts.

    Args:
        ordered: ordered and not yet here.
        at_hand: brought for this job.
        fitted: put in, in order.
    """

    ordered: tuple[str, ...] = ()
    at_hand: tuple[str, ...] = ()
    fitted: tuple[str, ...] = ()


def handled(condition: Condition, state: State) -> Condition:
    """Return the condition with what hands have left off, out, loose or bent.

    Args:
        condition: the machine without it.
        state: the visit.
    """
    changes = {**_unplugged(condition, state.loose), **_out_of_place(condition, state)}
    if state.harm.indoor_board and condition.communication_state == "ok":
        changes["communication_state"] = "open"
    if state.order.fitted.drain == "pump" and not float_sound(state):
        changes["drain_blockage"] = 1.0  # nothing lifts the water
    if state.harm.wheel > 0.0:
        fan = changes.get("indoor_fan_factor", condition.indoor_fan_factor)
        changes["indoor_fan_factor"] = fan * (1.0 - WHEEL_LOSS * state.harm.wheel)
    return replace(condition, **changes) if changes else condition


def _unplugged(condition: Condition, loose: Loose) -> dict[str, Any]:
    off = loose.plugs
    changes: dict[str, Any] = {}
    if "room_sensor" in off:
        changes["room_sensor_offset_k"] = UNPLUGGED_ROOM_K
    if off & {"coil_sensor", "ambient_sensor", "discharge_sensor"}:
        changes["coil_sensor_offset_k"] = UNPLUGGED_COIL_K
    if "indoor_fan" in off:
        changes["indoor_fan_factor"] = 0.0
    if "outdoor_fan" in off:
        changes["outdoor_fan_factor"] = 0.0
    if "compressor_leads" in off and condition.compressor_state == "ok":
        changes["compressor_state"] = "open_winding"
    if "valve_coil" in off and condition.valve_fixed_opening is None:
        changes["valve_fixed_opening"] = VALVE_RESTS_AT
    if "reversing_coil" in off and condition.reversing_valve_state == "ok":
        changes["reversing_valve_state"] = "stuck_cooling"  # energised to heat; units differ
    return changes


def _out_of_place(condition: Condition, state: State) -> dict[str, Any]:
    loose = state.loose
    changes: dict[str, Any] = {}
    if "room_sensor" in loose.sensors and "room_sensor" not in loose.plugs:
        side = -1.0 if state.asked.mode == "heating" else 1.0
        offset = condition.room_sensor_offset_k + side * HANGING_ROOM_K
        changes["room_sensor_offset_k"] = min(max(offset, -20.0), 20.0)
    if "coil_sensor" in loose.sensors and "coil_sensor" not in loose.plugs:
        changes["coil_sensor_offset_k"] = condition.coil_sensor_offset_k + HANGING_COIL_K
    if "outdoor_panels" in loose.few_screws:
        most = max(condition.outdoor_recirculation, LOOSE_RECIRCULATION)
        changes["outdoor_recirculation"] = most
    return changes


def float_sound(state: State) -> bool:
    """Return whether the float, or the pump, at the drain does its work."""
    renewed = "float_device" in state.parts.fitted
    return renewed or not state.order.fitted.float_stuck


def ice_share(state: State, side: str) -> float:
    """Return how much of a coil ice closes now [0..1].

    Args:
        state: the visit, solved up to its clock.
        side: "indoor" or "outdoor".
    """
    from kit.machine.memory import ice_full_kg

    memory = state.truth.memory
    if memory is None:  # the machine has not been brought on yet: as found
        knob = "indoor_coil_ice" if side == "indoor" else "outdoor_coil_ice"
        return float(getattr(state.condition, knob))
    if side == "indoor":
        return float(min(memory.indoor_ice_kg / ice_full_kg(state.spec.indoor.face_m2), 1.0))
    return float(min(memory.outdoor_frost_kg / ice_full_kg(state.spec.outdoor.face_m2), 1.0))


def unbent(blockage: float, bent: float) -> float:
    """Return the share of a face that dirt alone closes, folded fins left aside.

    Args:
        blockage: closed by both [0..1].
        bent: closed by folded fins [0..1].
    """
    return max(1.0 - (1.0 - blockage) / max(1.0 - bent, 1e-6), 0.0)


def with_bent(dirt: float, bent: float) -> float:
    """Return the share of a face that dirt and folded fins close together.

    Args:
        dirt: closed by dirt [0..1].
        bent: closed by folded fins [0..1].
    """
    return 1.0 - (1.0 - dirt) * (1.0 - bent)
