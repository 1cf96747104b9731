"""Instruments: range, resolution, accuracy, lag and a stream of their own, from data files."""

from __future__ import annotations

import math
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

from kit import library
from kit.errors import KitError, UnknownNameError
from kit.visit import streams

_UNITS = {  # unit in the file: (kind of quantity, factor to SI, offset to SI)
    "C": ("temperature", 1.0, 273.15),
    "%": ("relative_humidity", 0.01, 0.0),
    "A": ("current", 1.0, 0.0),
    "V": ("voltage", 1.0, 0.0),
    "m/s": ("speed", 1.0, 0.0),
    "ohm": ("resistance", 1.0, 0.0),
    "kohm": ("sensor_resistance", 1000.0, 0.0),
    "Mohm": ("insulation", 1e6, 0.0),
    "rpm": ("rotation", 1 / 60, 0.0),
    "kPa gauge": ("gauge_pressure", 1000.0, 0.0),
    "Pa": ("vacuum", 1.0, 0.0),
    "g": ("small_mass", 0.001, 0.0),
    "g/a": ("leak_rate", 0.001, 0.0),
}
_KEYS = {
    "name", "unit", "low", "high", "resolution", "accuracy", "accuracy_of_reading", "repeat",
    "lag_s",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Scale:
    """How one instrument measures one quantity, in SI.

    Args:
        quantity: `dry_bulb`, `relative_humidity`, `voltage`, ...
        kind: kind of quantity for units.
        low: lowest value it shows [SI].
        high: highest value it shows [SI].
        resolution: last step of the display [SI].
        accuracy: its error stays within plus or minus this [SI] ...
        accuracy_of_reading: ... plus this fraction of the reading [-].
        repeat: standard deviation of repeated readings [SI].
        lag_s: first-order time constant of the element [s]; 0 when it follows at once.
        zero: SI value of the display's zero, at which its steps begin [SI].
    """

    quantity: str
    kind: str
    low: float
    high: float
    resolution: float
    accuracy: float
    accuracy_of_reading: float
    repeat: float
    lag_s: float
    zero: float

    def error_limit(self, value: float) -> float:
        """Return the largest error of a reading by its accuracy class [SI].

        Args:
            value: the reading [SI].
        """
        return self.accuracy + self.accuracy_of_reading * abs(value - self.zero)


@dataclass(frozen=True, slots=True)
class Instrument:
    """One instrument in the bag.

    Args:
        name: its name.
        title: words for it.
        medium: where it can be held: "air", "pipe", "surface", "conductor", "terminals",
            "outlet", "port", "vacuum", "sniff", "scale", "insulation" or "turning".
        place_s: time to put it somewhere [s].
        scales: what it measures.
    """

    name: str
    title: str
    medium: str
    place_s: float
    scales: tuple[Scale, ...]

    def scale(self, quantity: str) -> Scale:
        """Return the scale of one quantity.

        Raises:
            UnknownNameError: it does not measure that.
        """
        for scale in self.scales:
            if scale.quantity == quantity:
                return scale
        known = [scale.quantity for scale in self.scales]
        raise UnknownNameError(f"quantity of {self.title}", quantity, known)


def instrument_names() -> list[str]:
    """Return the names of the instruments in the bag."""
    return list(_bag())


def instrument(name: str) -> Instrument:
    """Return one instrument.

    Raises:
        UnknownNameError: there is none of that name.
    """
    bag = _bag()
    if name not in bag:
        raise UnknownNameError("instrument", name, list(bag))
    return bag[name]


def shown(
    scale: Scale, owner: str, element: float, seed: int, count: int, dead: bool = False
) -> float | None:
    """Return what the display shows for the state of the sensing element, or None off scale.

    The instrument's own fixed error and the scatter of a repeated reading come from its stream.

    Args:
        scale: the scale in use.
        owner: name of the instrument.
        element: value the element has come to [SI].
        seed: the visit's seed.
        count: number of the reading within this instrument and quantity.
        dead: whether the instrument is broken.

    Returns:
        Displayed value [SI].
    """
    if dead:
        return scale.zero
    # Fixed error, scatter (within 3 deviations) and rounding together stay within the class.
    room = max(scale.error_limit(element) - 3 * scale.repeat - scale.resolution / 2, 0.0)
    fixed = 0.5 * room * streams.bell(seed, owner, scale.quantity, "fixed", limit=2.0)
    scatter = scale.repeat * streams.bell(seed, owner, scale.quantity, count, limit=3.0)
    steps = round((element + fixed + scatter - scale.zero) / scale.resolution)
    value = round(scale.zero + steps * scale.resolution, 9)
    if value < scale.low <= element:
        value = scale.low  # a display without a sign: scatter about nothing shows nothing
    return value if scale.low <= value <= scale.high else None


@cache
def _bag() -> dict[str, Instrument]:
    files = sorted(library.datasets("instruments").glob("*.toml"))
    return {path.stem: _read(path.stem, tomllib.loads(path.read_text("utf-8"))) for path in files}


def _read(name: str, data: Mapping[str, Any]) -> Instrument:
    try:
        scales = tuple(_scale(name, row) for row in data["quantity"])
        return Instrument(name, data["title"], data["medium"], float(data["place_s"]), scales)
    except KeyError as error:
        raise KitError(f"datasets/instruments/{name}.toml lacks {error}. Add that line.") from error


def _scale(name: str, row: Mapping[str, Any]) -> Scale:
    for key in row:
        if key not in _KEYS | {"source"}:
            raise UnknownNameError(f"key in instruments/{name}.toml", key, sorted(_KEYS))
    if row["unit"] not in _UNITS:
        raise UnknownNameError(f"unit in instruments/{name}.toml", row["unit"], list(_UNITS))
    kind, factor, zero = _UNITS[row["unit"]]
    scale = Scale(
        quantity=row["name"],
        kind=kind,
        low=row["low"] * factor + zero,
        high=row["high"] * factor + zero,
        resolution=row["resolution"] * factor,
        accuracy=row["accuracy"] * factor,
        accuracy_of_reading=row.get("accuracy_of_reading", 0.0),
        repeat=row["repeat"] * factor,
        lag_s=float(row.get("lag_s", 0.0)),
        zero=zero,
    )
    if not (scale.low < scale.high and scale.resolution > 0 and math.isfinite(scale.high)):
        raise KitError(f"datasets/instruments/{name}.toml: {scale.quantity} has no sound range.")
    return scale
