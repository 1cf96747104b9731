"""Everything that can be looked at, listened to or smelt; what is found follows from the state."""

from __future__ import annotations

from kit.visit import looks_electric, looks_indoor, looks_outdoor
from kit.visit.look import Look, grade

__all__ = ["LOOKS", "Look", "grade"]

LOOKS: dict[str, Look] = {
    **looks_indoor.LOOKS,
    **looks_outdoor.LOOKS,
    **looks_electric.LOOKS,
}
