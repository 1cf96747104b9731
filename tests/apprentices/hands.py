"""Eyes, hands and a notebook: how a simulated apprentice meets a visit, by its public face only.

Everything an apprentice knows comes out of an `Outcome` or of `visit.view()`. What it does is kept
as a list of steps that `kit.marking.script` can play again.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import Any

from kit.visit.outcome import Line, Measure, Outcome, Reading
from kit.visit.sheet import ITEMS
from kit.visit.visit import Visit

PATIENCE = 5  # how often a figure that still moves is looked at again


class Hands:
    """What an apprentice has done, seen and written down so far."""

    def __init__(self, visit: Visit) -> None:
        """Stand before a visit that has just begun; of the work order only its mode is known."""
        self.step, self.view, self.actions = visit.step, visit.view, visit.actions
        self.mode = visit.order.mode
        self.steps: list[dict[str, Any]] = []
        self.first: dict[tuple[str, str], int] = {}  # (part, what is drawn): how bad, at first
        self.told: dict[str, str] = {}  # look, question or try: what was said at first
        self.sheet: dict[tuple[str, str], float] = {}  # (line, when): figure
        self.setting = visit.view().setpoint_k, visit.view().fan  # as the customer left it
        # What was worked out or measured on the way.
        self.breaker_a = 0.0
        self.current_a: float | None = None
        self.humidity = 0.0  # of the entering air
        self.ran_min = 0.0  # before the baseline was read
        self.sensor_off = False
        self.coil_sensor_sound = False
        self.ohms: list[float] = []
        self.insulation_ohm = math.inf
        self.filter_clean = False
        self.leak = "none"  # where it leaks

    @property
    def powered(self) -> bool:
        """Whether the disconnect is in."""
        return not self.view().disconnect_pulled

    def do(self, action: str, **args: Any) -> Outcome:
        """Do one thing and note it."""
        self.steps.append({"do": action, **args})
        return self.step(action, **args)

    def ask(self, *topics: str) -> None:
        """Ask the customer."""
        for topic in topics:
            self.told.setdefault(f"ask:{topic}", self.do("ask", topic=topic).text)

    def look(self, *parts: str) -> None:
        """Look at things, and remember how they looked at first."""
        for part in parts:
            outcome = self.do("inspect", part=part)
            if outcome.refused:
                continue
            self.told.setdefault(part, outcome.text)
            for picture in outcome.pictures:
                self.first.setdefault((part, picture.subject), picture.grade)

    def again(self, part: str) -> str:
        """Look at something once more, and let the new look count."""
        self.told.pop(part, None)
        self.look(part)
        return self.told.get(part, "")

    def grade(self, part: str, subject: str = "") -> int:
        """Return how bad a part looked at first; of all that was drawn, or of one thing."""
        return max(
            (g for (p, s), g in self.first.items() if p == part and subject in ("", s)), default=0
        )

    def says(self, part: str, *words: str) -> bool:
        """Return whether what was said of a part holds one of these words."""
        return any(word in self.told.get(part, "") for word in words)

    def read(
        self, instrument: str, at: str, hold_s: float = 15.0, patient: bool = True, **write: str
    ) -> dict[str, Reading]:
        """Read an instrument until it stands still, and write what it shows on lines of the sheet.

        Args:
            instrument: its name.
            at: where.
            hold_s: how long to watch it [s].
            patient: whether to go on watching while the figure moves.
            write: line of the job sheet to "as_found" or "as_left".
        """
        got: dict[str, Reading] = {}
        for _ in range(PATIENCE if patient else 1):
            outcome = self.do("read", instrument=instrument, at=at, hold_s=hold_s)
            got = {reading.quantity: reading for reading in outcome.readings}
            if not got or all(reading.steady for reading in got.values()):
                break
            hold_s = 120.0
        if not got:
            return got
        if write:
            self.steps[-1]["write"] = dict(write)
        for item, when in write.items():
            reading = got[ITEMS[item].quantity]
            self.step("record", item=item, when=when, reading=reading.number)
            self.sheet[item, when] = reading.value
        return got

    def value(self, instrument: str, at: str, hold_s: float = 15.0, **write: str) -> float:
        """Return the first figure that an instrument shows [SI]; nan when it shows none."""
        got = self.read(instrument, at, hold_s, **write)
        return next(iter(got.values())).value if got else float("nan")

    def write(self, item: str, when: str, words: str) -> None:
        """Write words on the job sheet."""
        self.do("record", item=item, when=when, words=words)

    def copy(self, item: str, when: str, reading: Reading) -> None:
        """Write a reading that was taken before on a line of the job sheet."""
        self.do("record", item=item, when=when, reading=reading.number)
        self.sheet[item, when] = reading.value

    def enter(self, item: str, when: str, value: float, name: str = "") -> None:
        """Write down what was worked out; `name` is what a script calls that figure."""
        self.steps.append({"do": "enter", "item": item, "when": when, "value": name or value})
        self.step("enter", item=item, when=when, value=value)
        self.sheet[item, when] = value

    def choices(self, action: str, argument: str) -> list[str]:
        """Return what an argument of an action can be."""
        offered = next(a for a in self.actions(everything=True) if a.name == action)
        found = next(a for a in offered.arguments if a.name == argument)
        return [choice.value for choice in found.choices]


def figures(lines: Iterable[Line]) -> dict[str, float]:
    """Return the figures that sentences spoke of, by name [SI]."""
    return {
        name: value.value
        for said in lines
        for name, value in said.values
        if isinstance(value, Measure)
    }


def words(lines: Iterable[Line]) -> dict[str, str]:
    """Return the words that sentences were filled with, by name."""
    return {name: value for said in lines for name, value in said.values if isinstance(value, str)}
