"""What cleaning does to the knobs, well done and badly done; pure functions of a condition.

What is left after a good wash, and what goes wrong after a bad one, is common practice, no source.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from kit.faults import fault

if TYPE_CHECKING:
    from kit.machine.condition import Condition

FILTER_METHODS = {
    "vacuum_and_rinse": "Vacuum, then lukewarm water from the clean side, shake",
    "vacuum": "Vacuum only",
    "compressed_air": "Blow out with compressed air",
    "wash_all": "All of it under the tap, strips too",
}
INDOOR_METHODS = {
    "along_fins": "Neutral cleaner for aluminium coils, low pressure, along the fins, rinse",
    "rinse": "Rinse with water only, low pressure",
    "lance": "High-pressure lance",
    "acid": "Acid cleaner",
}
WHEEL_METHODS = {
    "brush_and_rinse": "Brush blade by blade, turned by hand, foam, rinse",
    "spray": "Spray from outside only",
    "scrape": "Scrape blade by blade with a screwdriver",
}
OUTDOOR_METHODS = {
    "outwards": "Garden hose from the fan side outwards, square to the fins",
    "inwards": "Garden hose from the dirty face inwards",
    "lance": "High-pressure lance at an angle",
    "acid": "Acid cleaner, left on, rinsed off with the hose",
}
DRAIN_METHODS = {
    "suck": "Suck out at the end of the hose, flush, wipe the pan",
    "wipe": "Wipe the pan only",
    "blow": "Blow it through with gas pressure from the pan",
    "caustic": "Pour caustic drain opener",
}
# What a bad method does besides: fins folded by a lance, a wheel scraped out of balance.
BENT = {"indoor": 0.35, "outdoor": 0.4}
SCRAPED = 0.7
PACKED = 0.35  # share that a good wash leaves when the felt was driven in before
STRIP_CLOGS = 0.35  # loading that a washed strip alone is worth
LOOSENED = 0.18  # share of the drain that dirt washed off coil or wheel closes until it is flushed


def filter_cleaned(condition: Condition, method: str, strip: str = "none") -> Condition:
    """Return the condition after the filter was cleaned.

    Args:
        condition: the machine before.
        method: a key of `FILTER_METHODS`.
        strip: strip behind the mesh, which water ruins.
    """
    if method == "wash_all" and strip != "none":
        return replace(condition, filter_loading=STRIP_CLOGS)
    if method in ("vacuum_and_rinse", "wash_all"):
        return fault("dirty-filter").cure.done(condition)
    left = {"vacuum": 0.25, "compressed_air": 0.2}[method]
    return replace(condition, filter_loading=min(condition.filter_loading, left))


def indoor_coil_cleaned(condition: Condition, method: str) -> Condition:
    """Return the condition after the indoor coil was cleaned."""
    c = condition
    film, blockage = {
        "along_fins": (0.04 * c.indoor_coil_film, 0.04 * c.indoor_coil_blockage),
        "rinse": (0.7 * c.indoor_coil_film, 0.15 * c.indoor_coil_blockage),
        # Fins folded over by the jet close part of the face for good.
        "lance": (0.2 * c.indoor_coil_film, max(0.35, 0.5 * c.indoor_coil_blockage)),
    }[method]
    return _loosened(replace(c, indoor_coil_film=film, indoor_coil_blockage=blockage))


def wheel_cleaned(condition: Condition, method: str) -> Condition:
    """Return the condition after the blower wheel was cleaned."""
    left = {"brush_and_rinse": 0.04, "spray": 0.7, "scrape": 0.04}[method]
    return _loosened(replace(condition, wheel_fouling=left * condition.wheel_fouling))


def outdoor_coil_cleaned(condition: Condition, method: str, packed: bool = False) -> Condition:
    """Return the condition after the outdoor coil was washed.

    Args:
        condition: the machine before.
        method: a key of `OUTDOOR_METHODS`.
        packed: whether an earlier wash drove the felt in.
    """
    c = condition
    left = PACKED if packed else 0.05
    film, blockage = {
        "outwards": (0.06 * c.outdoor_coil_film, left * c.outdoor_coil_blockage),
        # The jet drives the felt into the fins.
        "inwards": (0.5 * c.outdoor_coil_film, c.outdoor_coil_blockage),
        "lance": (0.3 * c.outdoor_coil_film, max(0.4, c.outdoor_coil_blockage)),
        "acid": (0.02 * c.outdoor_coil_film, 0.5 * c.outdoor_coil_blockage),
    }[method]
    return replace(c, outdoor_coil_film=film, outdoor_coil_blockage=blockage)


def drain_cleared(condition: Condition, method: str) -> Condition:
    """Return the condition after the drain was cleared."""
    if method == "suck":
        return replace(condition, drain_blockage=0.02)
    left = {"wipe": 0.97, "blow": 0.4, "caustic": 0.6}[method]
    return replace(condition, drain_blockage=left * condition.drain_blockage)


def _loosened(condition: Condition) -> Condition:
    blockage = condition.drain_blockage
    return replace(condition, drain_blockage=blockage + (1 - blockage) * LOOSENED)
