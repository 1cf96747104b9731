"""The condition of a machine: every knob a fault, a repair or neglect can turn."""

from __future__ import annotations

import math
from dataclasses import dataclass, fields

from kit.errors import KitError, OutOfRangeError

COMPRESSOR_STATES = ("ok", "open_winding", "locked_rotor", "earthed_winding")
INVERTER_STATES = ("ok", "dead")
REVERSING_VALVE_STATES = ("ok", "stuck_cooling", "stuck_heating")
COMMUNICATION_STATES = ("ok", "open")

# name: (lowest, highest) of every numeric knob; the one place that states the envelope.
KNOB_RANGES: dict[str, tuple[float, float]] = {
    "filter_loading": (0.0, 1.0),
    "indoor_coil_film": (0.0, 1.0),
    "indoor_coil_blockage": (0.0, 1.0),
    "indoor_coil_ice": (0.0, 1.0),
    "wheel_fouling": (0.0, 1.0),
    "indoor_fan_factor": (0.0, 1.2),
    "outdoor_coil_blockage": (0.0, 1.0),
    "outdoor_coil_film": (0.0, 1.0),
    "outdoor_coil_ice": (0.0, 1.0),
    "outdoor_fan_factor": (0.0, 1.2),
    "outdoor_recirculation": (0.0, 1.0),
    "charge_fraction": (0.0, 1.5),
    "noncondensable_kg": (0.0, 0.02),
    "compressor_leak": (0.0, 1.0),
    "valve_fixed_opening": (0.0, 1.0),
    "liquid_restriction": (0.0, 1.0),
    "reversing_valve_leak": (0.0, 1.0),
    "drain_blockage": (0.0, 1.0),
    "drain_slope_fault": (0.0, 1.0),
    "supply_voltage_factor": (0.6, 1.15),
    "room_sensor_offset_k": (-20.0, 20.0),
    "coil_sensor_offset_k": (-60.0, 60.0),
}


@dataclass(frozen=True, slots=True)
class Condition:
    """State of wear, dirt, charge and damage. All defaults are healthy.

    Fractions run from 0 (healthy) to 1 (worst); `*_factor` and `charge_fraction` are 1 when
    healthy. Offsets are [K]: sensor reading minus truth. `valve_fixed_opening` is None while the
    controller drives the valve, else the opening it is stuck at [0..1].

    Raises:
        OutOfRangeError: a knob is outside `KNOB_RANGES`; nothing is ever clamped.
        KitError: a state is not one of the named states.
    """

    filter_loading: float = 0.0
    indoor_coil_film: float = 0.0
    indoor_coil_blockage: float = 0.0
    indoor_coil_ice: float = 0.0
    wheel_fouling: float = 0.0
    indoor_fan_factor: float = 1.0
    outdoor_coil_blockage: float = 0.0
    outdoor_coil_film: float = 0.0
    outdoor_coil_ice: float = 0.0
    outdoor_fan_factor: float = 1.0
    outdoor_recirculation: float = 0.0
    charge_fraction: float = 1.0
    noncondensable_kg: float = 0.0
    compressor_leak: float = 0.0
    compressor_state: str = "ok"
    inverter_state: str = "ok"
    valve_fixed_opening: float | None = None
    liquid_restriction: float = 0.0
    reversing_valve_leak: float = 0.0
    reversing_valve_state: str = "ok"
    communication_state: str = "ok"
    drain_blockage: float = 0.0
    drain_slope_fault: float = 0.0
    supply_voltage_factor: float = 1.0
    room_sensor_offset_k: float = 0.0
    coil_sensor_offset_k: float = 0.0
    bleed_resistor_open: bool = False

    def __post_init__(self) -> None:
        """Refuse any value outside its range."""
        for name, (low, high) in KNOB_RANGES.items():
            value = getattr(self, name)
            if value is None and name == "valve_fixed_opening":
                continue
            if not (
                isinstance(value, (int, float)) and math.isfinite(value) and low <= value <= high
            ):
                raise OutOfRangeError(
                    f"Condition.{name}", value, low, high, "Give a value inside this range."
                )
        for name, allowed in STATE_NAMES.items():
            if getattr(self, name) not in allowed:
                raise KitError(
                    f"Condition.{name} is {getattr(self, name)!r}; "
                    f"choose one of {', '.join(allowed)}."
                )


STATE_NAMES: dict[str, tuple[str, ...]] = {
    "compressor_state": COMPRESSOR_STATES,
    "inverter_state": INVERTER_STATES,
    "reversing_valve_state": REVERSING_VALVE_STATES,
    "communication_state": COMMUNICATION_STATES,
}

KNOB_NAMES: tuple[str, ...] = tuple(f.name for f in fields(Condition))
