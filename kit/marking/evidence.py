"""What a replayed visit offers as evidence: steps, job sheet, readings and how they were taken."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from kit.journal.replay import Replay, Step
from kit.visit.instruments import instrument
from kit.visit.outcome import Reading, SheetEntry
from kit.visit.sheet import ITEMS
from kit.visit.state import State

CLEANING = (
    "clean_filter",
    "wash_indoor_coil",
    "clean_wheel",
    "clear_drain",
    "wash_outdoor_coil",
)
# How far a figure written down by hand may be from the display: rounding to a whole degree
# Fahrenheit, a percent, a tenth of an ampere, a volt and the like. Common practice, no source.
COPYING = {
    "temperature": 0.3,
    "temperature_difference": 0.3,
    "relative_humidity": 0.0051,
    "current": 0.051,
    "voltage": 1.0,
    "speed": 0.051,
    "gauge_pressure": 7000.0,
    "resistance": 0.051,
    "sensor_resistance": 60.0,
    "insulation": 6e4,
    "rotation": 0.02,
}


@dataclass(frozen=True)
class Entry:
    """A line of the job sheet as evidence.

    Args:
        written: the line.
        step: the step that wrote it.
        reading: the reading behind it, or None when none supports it.
        taken: the step that took that reading, or None.
    """

    written: SheetEntry
    step: Step
    reading: Reading | None
    taken: Step | None

    @property
    def value(self) -> float:
        """The figure written down [SI]; not a number when words were written."""
        return self.written.value if isinstance(self.written.value, float) else math.nan


@dataclass(frozen=True)
class Case:
    """A visit to be marked."""

    replay: Replay

    @property
    def steps(self) -> tuple[Step, ...]:
        """Every step, refused and stopped ones too."""
        return self.replay.steps

    @cached_property
    def really_done(self) -> tuple[Step, ...]:
        """Steps that were neither refused nor stopped."""
        return tuple(s for s in self.steps if not s.outcome.refused and not s.outcome.stopped)

    @property
    def end(self) -> State:
        """The visit as it was left."""
        return self.replay.end

    def did(self, action: str, **wanted: Any) -> list[Step]:
        """Return the steps of an action that were really done, with these arguments."""
        return [
            step
            for step in self.really_done
            if step.action == action
            and all(step.args.get(key) == value for key, value in wanted.items())
        ]

    @cached_property
    def first_cleaning(self) -> int:
        """Line of the first cleaning, or a line after the last."""
        lines = [step.line for action in CLEANING for step in self.did(action)]
        return min(lines, default=self.after_all)

    @property
    def after_all(self) -> int:
        """A line number after the last."""
        return self.steps[-1].line + 1 if self.steps else 1

    @cached_property
    def taken(self) -> dict[int, Step]:
        """The step that took each reading, by the reading's number."""
        return {r.number: step for step in self.steps for r in step.outcome.readings}

    @cached_property
    def entries(self) -> tuple[Entry, ...]:
        """Every line written on the job sheet, in order."""
        found = []
        for step in self.steps:
            if step.action in ("record", "enter") and not step.outcome.refused:
                written = step.after.sheet[-1]
                reading = self._support(written, step)
                taken = self.taken[reading.number] if reading else None
                found.append(Entry(written, step, reading, taken))
        return tuple(found)

    def entry(self, item: str, when: str, before: int | None = None) -> Entry | None:
        """Return the last word of a line of the job sheet.

        Args:
            item: name of the line.
            when: "as_found" or "as_left".
            before: only what was written before this line of the journal.
        """
        last = None
        for one in self.entries:
            if (one.written.item, one.written.when) == (item, when) and (
                before is None or one.step.line < before
            ):
                last = one
        return last

    def ran_s(self, step: Step) -> float:
        """Return how long the unit had run on its present demand when a step ended [s].

        A restart delay does not count: the clock starts when the compressor first starts on this
        demand, unless it never does. One that trips and starts again has run from its first start.

        Args:
            step: the step.
        """
        state = step.after
        if state.asked.mode == "off":
            return 0.0
        starts = [
            s.after.running_since_s
            for s in self.steps
            if s.line <= step.line
            and s.after.demand_since_s == state.demand_since_s
            and s.after.truth.running
        ]
        since = max(state.demand_since_s, min(starts, default=state.demand_since_s))
        return state.clock_s - since

    def _support(self, written: SheetEntry, step: Step) -> Reading | None:
        item = ITEMS[written.item]
        if not item.quantity or isinstance(written.value, str):
            return None
        fitting = [r for r in step.after.readings if fits(r, written)]
        if written.reading is not None:
            return next((r for r in fitting if r.number == written.reading), None)
        near = [r for r in fitting if abs(r.value - written.value) <= COPYING[r.kind] + 1e-9]
        return near[-1] if near else None

    def hazards(self) -> Iterator[tuple[Step, Any]]:
        """Give every hazard met, with its step."""
        for step in self.steps:
            for hazard in step.outcome.hazards:
                yield step, hazard


def fits(reading: Reading, written: SheetEntry) -> bool:
    """Return whether a reading is of the kind that a line of the job sheet wants."""
    item = ITEMS[written.item]
    return reading.quantity == item.quantity and reading.place in item.places


REMOTE_ENDS_K = {"cooling": 289.15, "heating": 305.15}  # the ends of the remote's range


def asked_gap_k(case: Case, step: Step) -> float:
    """Return how far the remote's setting was beyond the room's air at a step [K].

    The room counts, not the grille: a clogged unit draws its own cold air in again. With the
    remote at the end of its range more cannot be asked for.

    Args:
        case: the visit.
        step: the step.
    """
    command = step.after.asked
    if command.mode not in REMOTE_ENDS_K:
        return 0.0
    if command.setpoint_k == REMOTE_ENDS_K[command.mode]:
        return math.inf
    sign = -1 if command.mode == "heating" else 1
    return sign * (float(case.replay.start.around.room_db_k) - command.setpoint_k)


# Where each line of the job sheet is read by a careful hand.
RIGHT_PLACES = {
    "return_dry_bulb": ("return_grille",),
    "return_wet_bulb": ("return_grille",),
    "return_humidity": ("return_grille",),
    "supply_dry_bulb": ("supply", "supply_left", "supply_right"),
    "outdoor_dry_bulb": ("outdoor_intake",),
    "current": ("one_conductor",),
}


def placed_well(entry: Entry | None) -> bool:
    """Return whether a steady reading at the right place stands behind a line.

    Args:
        entry: the line.
    """
    if entry is None or entry.reading is None:
        return False
    right = RIGHT_PLACES.get(entry.written.item, (entry.reading.place,))
    return entry.reading.place in right and entry.reading.steady


def error_k(entry: Entry | None, default: float) -> float:
    """Return the largest error of the reading behind a line by its instrument's class [SI].

    Args:
        entry: the line.
        default: what to take when no reading is behind it [SI].
    """
    if entry is None or entry.reading is None:
        return default
    scale = instrument(entry.reading.instrument).scale(entry.reading.quantity)
    return scale.error_limit(entry.reading.value)
