"""What is around a machine, and what it is told to do."""

from __future__ import annotations

import math
from dataclasses import dataclass

from kit.errors import KitError, OutOfRangeError

MODES = ("cooling", "heating", "fan", "off")
FAN_SETTINGS = ("auto", "quiet", "low", "medium", "high")

# The envelope in which the model is solved and tested.
SURROUNDINGS_RANGES: dict[str, tuple[float, float]] = {
    "room_db_k": (283.15, 313.15),
    "room_rh": (0.10, 0.95),
    "outdoor_db_k": (248.15, 325.15),
    "outdoor_rh": (0.10, 1.0),
    "altitude_m": (0.0, 3000.0),
}


def _check(owner: str, name: str, value: float, low: float, high: float) -> None:
    if not (isinstance(value, (int, float)) and math.isfinite(value) and low <= value <= high):
        raise OutOfRangeError(
            f"{owner}.{name}", value, low, high, "Give a value inside this range."
        )


@dataclass(frozen=True, slots=True)
class Surroundings:
    """Air at both units.

    Args:
        room_db_k: dry-bulb in the room [K].
        room_rh: relative humidity in the room [0..1].
        outdoor_db_k: dry-bulb outdoors in the shade [K].
        outdoor_rh: relative humidity outdoors [0..1].
        altitude_m: height above sea level [m].
        room_load_w: sensible heat gain of the room (loss when negative) [W]; None holds the
            room at the given state, as a calorimeter room does.
        room_moisture_kg_s: moisture gain of the room [kg/s]; used with `room_load_w`.
        room_volume_m3: air volume of the room [m3]; used with `room_load_w`.

    Raises:
        OutOfRangeError: a value outside `SURROUNDINGS_RANGES`.
    """

    room_db_k: float
    room_rh: float
    outdoor_db_k: float
    outdoor_rh: float
    altitude_m: float = 0.0
    room_load_w: float | None = None
    room_moisture_kg_s: float = 0.0
    room_volume_m3: float = 60.0

    def __post_init__(self) -> None:
        """Refuse any value outside the envelope."""
        for name, (low, high) in SURROUNDINGS_RANGES.items():
            _check("Surroundings", name, getattr(self, name), low, high)
        if self.room_load_w is not None:
            _check("Surroundings", "room_load_w", self.room_load_w, -20000.0, 20000.0)
        _check("Surroundings", "room_moisture_kg_s", self.room_moisture_kg_s, 0.0, 0.005)
        _check("Surroundings", "room_volume_m3", self.room_volume_m3, 10.0, 1000.0)


@dataclass(frozen=True, slots=True)
class Command:
    """What the remote control asks for.

    Args:
        mode: one of `MODES`.
        setpoint_k: temperature asked for [K], 289.15 to 305.15.
        fan: one of `FAN_SETTINGS`.
        compressor_rps: None lets demand decide; a number forces that speed [1/s], as in a
            unit's test run (protections still act).

    Raises:
        KitError: unknown mode or fan setting.
        OutOfRangeError: a number outside its range.
    """

    mode: str = "cooling"
    setpoint_k: float = 291.15
    fan: str = "auto"
    compressor_rps: float | None = None

    def __post_init__(self) -> None:
        """Refuse unknown words and values out of range."""
        if self.mode not in MODES:
            raise KitError(f"Command.mode is {self.mode!r}; choose one of {', '.join(MODES)}.")
        if self.fan not in FAN_SETTINGS:
            raise KitError(f"Command.fan is {self.fan!r}; choose one of {', '.join(FAN_SETTINGS)}.")
        _check("Command", "setpoint_k", self.setpoint_k, 289.15, 305.15)
        if self.compressor_rps is not None:
            _check("Command", "compressor_rps", self.compressor_rps, 10.0, 130.0)
