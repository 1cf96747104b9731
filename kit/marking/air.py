"""Split and target that follow from a learner's own readings."""

from __future__ import annotations

import math
from dataclasses import dataclass

from kit.marking.evidence import Case, Entry, error_k
from kit.visit.target import card_split_k, handbook_split_k, humidity_of, wet_bulb_of

LITTLE_K = 5 / 1.8  # 5 °F; below it the trade speaks of "about zero". Common practice, no source
COLUMN_K = 0.6  # between the columns of the card for mild and hot weather
ROUNDING_K = 0.3  # a figure given in whole degrees Fahrenheit


@dataclass(frozen=True)
class Air:
    """Air readings of one moment of the visit as the learner wrote them down.

    Args:
        entering: line with the entering dry bulb.
        leaving: line with the leaving dry bulb.
        humidity: line with the wet bulb or the relative humidity.
        outdoor: line with the outdoor dry bulb.
        target: line with the target the learner wrote.
        machine: name of the machine.
        mode: mode the unit ran in.
        altitude_m: height of the place [m].
    """

    entering: Entry | None
    leaving: Entry | None
    humidity: Entry | None
    outdoor: Entry | None
    target: Entry | None
    machine: str
    mode: str
    altitude_m: float

    @property
    def split_k(self) -> float:
        """Split that follows [K]; not a number when a reading is missing."""
        if self.entering is None or self.leaving is None:
            return math.nan
        drop = self.entering.value - self.leaving.value
        return -drop if self.mode == "heating" else drop

    @property
    def wet_bulb_k(self) -> float:
        """Wet bulb that follows [K]; not a number when the humidity is missing."""
        if self.entering is None or self.humidity is None:
            return math.nan
        if self.humidity.written.item == "return_wet_bulb":
            return self.humidity.value
        return wet_bulb_of(self.entering.value, self.humidity.value, self.altitude_m)

    @property
    def target_k(self) -> float:
        """Target to compare with [K]: the learner's when it follows, else the card's."""
        written = self.target
        if written is not None and self.accepts(written.value):
            return written.value
        return self.card_k

    @property
    def card_k(self) -> float:
        """Target by the unit's card [K]; not a number without humidity."""
        if self.entering is None or self.humidity is None:
            return math.nan
        return self._card(self.entering.value, self._humidity(0.0))

    @property
    def handbook_k(self) -> float:
        """Target by the published table [K]; not a number without humidity or outside it."""
        if self.entering is None or math.isnan(self.wet_bulb_k):
            return math.nan
        return handbook_split_k(self.mode, self.entering.value, self.wet_bulb_k)

    @property
    def tolerance_k(self) -> float:
        """How far a target may be off by the accuracy of the instruments and rounding [K]."""
        if self.entering is None or self.humidity is None:
            return math.nan
        db, card = self.entering.value, self.card_k
        by_db = abs(self._card(db + error_k(self.entering, 0.5), self._humidity(0.0)) - card)
        by_wet = abs(self._card(db, self._humidity(error_k(self.humidity, 0.5))) - card)
        found = math.hypot(by_db, by_wet) + ROUNDING_K
        # The outdoor column matters little; which one was used is left to the learner.
        return round(found + (0.0 if self.outdoor is not None else COLUMN_K), 3)

    def accepts(self, target_k: float) -> bool:
        """Return whether a target follows from these readings, by the card or by the handbook.

        Args:
            target_k: what the learner wrote [K].
        """
        near = (abs(target_k - k) for k in (self.card_k, self.handbook_k) if not math.isnan(k))
        return any(off <= self.tolerance_k + 1e-9 for off in near)

    def _humidity(self, more: float) -> float:
        assumed = self.humidity
        if assumed is None or self.entering is None:
            return math.nan
        if assumed.written.item == "return_humidity":
            return min(max(assumed.value + more, 0.1), 0.95)
        wet = min(assumed.value + more, self.entering.value)
        return min(max(humidity_of(self.entering.value, wet, self.altitude_m), 0.1), 0.95)

    def _card(self, db_k: float, rh: float) -> float:
        outdoor = self.outdoor.value if self.outdoor else None
        return card_split_k(self.machine, self.mode, db_k, rh, outdoor, self.altitude_m)


def air(case: Case, when: str, before: int | None = None) -> Air:
    """Return the air readings written down, as found or as left.

    Args:
        case: the visit.
        when: "as_found" or "as_left".
        before: only what was written before this line of the journal.
    """
    entering = case.entry("return_dry_bulb", when, before)
    wet = case.entry("return_wet_bulb", when, before)
    humidity = wet or case.entry("return_humidity", when, before)
    return Air(
        entering,
        case.entry("supply_dry_bulb", when, before),
        humidity,
        case.entry("outdoor_dry_bulb", when, before),
        case.entry("target_split", when, before),
        case.replay.order.machine,
        case.replay.order.mode,
        case.replay.start.around.altitude_m,
    )
