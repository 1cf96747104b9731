"""What a work order says of the refrigerant circuit."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from kit.errors import KitError, UnknownNameError
from kit.visit.circuit_tools import LEAK_PLACES


@dataclass(frozen=True, slots=True)
class CircuitFacts:
    """What a work order says of the circuit.

    Args:
        leak_at: a key of `LEAK_PLACES`; "" for the usual place of the faults hidden.
        leak_um: width of the hole [um]; 0 for the usual one.
        moisture_kg: water in the circuit as found, beyond a sound machine's trace [kg].
    """

    leak_at: str = ""
    leak_um: float = 0.0
    moisture_kg: float = 0.0


NO_FACTS = CircuitFacts()


def facts(table: Mapping[str, Any], file: str) -> CircuitFacts:
    """Read the table `[circuit]` of a work order.

    Args:
        table: what the file says.
        file: its name, for messages.

    Raises:
        UnknownNameError: an unknown key or place.
        KitError: a number that is none, or out of range.
    """
    known = {"leak_at": str, "leak_um": 60.0, "moisture_g": 50.0}
    for key, value in table.items():
        if key not in known:
            raise UnknownNameError(f"key in {file} circuit", key, sorted(known))
        limit = known[key]
        if isinstance(limit, float):
            fits = isinstance(value, int | float) and not isinstance(value, bool)
            if not fits or not 0.0 <= value <= limit:
                raise KitError(f"{file}: `circuit.{key}` is {value!r}; give 0 to {limit:g}.")
    place = table.get("leak_at", "")
    if place and place not in LEAK_PLACES:
        raise UnknownNameError(f"value of {file}: `circuit.leak_at`", str(place), [*LEAK_PLACES])
    return CircuitFacts(
        place, float(table.get("leak_um", 0.0)), float(table.get("moisture_g", 0.0)) / 1000.0
    )
