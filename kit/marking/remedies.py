"""What becomes of each fault: cured in the visit, or handed on with the right recommendation."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from kit.faults._definition import HEALTHY
from kit.machine.condition import Condition

if TYPE_CHECKING:
    from kit.faults import Fault

# How far a knob may be from healthy and still count as cured.
NEAR: Mapping[str, float] = {
    "charge_fraction": 0.06,
    "noncondensable_kg": 0.001,
    "room_sensor_offset_k": 0.6,
    "coil_sensor_offset_k": 0.6,
    "supply_voltage_factor": 0.05,
}
NEAR_ELSE = 0.12
STUCK_ALIKE = 0.3  # of a valve's opening: farther apart it is another fault

# cure: recommendations that hand the fault on to whoever may or can mend it.
HANDED_ON: Mapping[str, tuple[str, ...]] = {
    "repair_leak_and_weigh_in": ("leak_search", "certified_repair"),
    "evacuate_and_weigh_in": ("certified_repair",),
    "recover_and_weigh_in": ("certified_repair",),
    "replace_compressor": ("replace_part", "certified_repair"),
    "replace_expansion_valve": ("certified_repair", "replace_part"),
    "replace_restricted_part": ("certified_repair", "replace_part"),
    "replace_reversing_valve": ("certified_repair", "replace_part"),
    "replace_inverter_board": ("replace_part",),
    "replace_outdoor_fan_motor": ("replace_part",),
    "replace_indoor_fan_motor": ("replace_part",),
    "replace_coil_sensor": ("replace_part",),
    "replace_signal_cable": ("new_cable",),
    "restore_supply": ("electrician",),
    "relay_drain_hose": ("relay_drain",),
    "clear_outdoor_air_path": ("keep_clear",),
}


def unhealthy(one: Fault, condition: Condition) -> bool:
    """Return whether a condition shows a fault: one of its own knobs is turned its way.

    Args:
        one: the fault.
        condition: the machine.
    """
    turned = one.apply(Condition(), 1.0)
    return any(
        _turned_alike(knob, getattr(condition, knob), getattr(turned, knob)) for knob in _main(one)
    )


def _turned_alike(knob: str, value: Any, turned: Any) -> bool:
    if near_healthy(knob, value):
        return False
    healthy = HEALTHY[knob]
    if isinstance(turned, str | bool):
        return bool(value == turned)
    if healthy is None:  # a valve stuck somewhere: open and closed are two faults
        return abs(float(value) - float(turned)) < STUCK_ALIKE
    return bool((float(value) > healthy) == (float(turned) > healthy))


def near_healthy(knob: str, value: object) -> bool:
    """Return whether a knob is as good as new.

    Args:
        knob: its name.
        value: what it is.
    """
    healthy = HEALTHY[knob]
    if isinstance(value, bool) or not isinstance(value, int | float) or healthy is None:
        return bool(value == healthy)
    return abs(float(value) - float(healthy)) <= NEAR.get(knob, NEAR_ELSE)


def _main(one: Fault) -> tuple[str, ...]:
    """Return the knobs that the fault itself turns; a cure often restores more beside them."""
    turned = one.apply(Condition(), 1.0)
    return tuple(k for k in one.cure.restores if getattr(turned, k) != HEALTHY[k])
