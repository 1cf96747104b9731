"""What a unit will read on the day, and whether its faults can be found and told apart there.

Everything is solved by the engine in the work order's own air, at full demand and standing: as
found, with all sound, with each fault taken out in turn, and with each look-alike in its place.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, fields
from typing import Any

from kit.errors import KitError
from kit.faults import Fault, Sign, fault
from kit.machine import Command, Condition, Spec, Surroundings, Truth, load_spec, settle_many
from kit.machine.readings import READINGS, Case, reading, take
from kit.screens.instructor.draft import hidden

SOLVED = 1e-7  # largest residual of a steady state that is looked at
DEMAND_K = 5.6  # the remote is set so far beyond the room: 10 °F, full demand
SETPOINTS_K = (289.15, 305.15)  # what the remote can be set to


@dataclass(frozen=True, slots=True)
class Seen:
    """One telling sign of a hidden fault, in this work order's air.

    Args:
        sign: the sign.
        sound: reading with this fault alone taken out [SI].
        found: reading as found [SI].
        off_by: how far the tool may be wrong on both readings together [SI].
        state: "seen", "small" (within what the tool may be wrong), "other_way" or "other_mode".
    """

    sign: Sign
    sound: float
    found: float
    off_by: float
    state: str


@dataclass(frozen=True, slots=True)
class Twin:
    """A look-alike of a hidden fault, put in its place.

    Args:
        fault: name of the other fault.
        severity: its degree that lies closest.
        reading: name of the reading that separates the two in general.
        this: that reading as found [SI].
        other: the same with the other fault [SI].
        state: "apart", "by_others" (other readings separate them), "alike" or "other_mode".
        by: names of the readings that separate the two here.
    """

    fault: str
    severity: str
    reading: str
    this: float
    other: float
    state: str
    by: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Judged:
    """One hidden fault: its signs and its look-alikes in this work order.

    Args:
        fault: the fault.
        severity: how bad it is.
        signs: its telling signs.
        twins: what looks like it.
        by: every reading, in this mode or standing, that differs with and without it.
    """

    fault: Fault
    severity: str | float
    signs: tuple[Seen, ...]
    twins: tuple[Twin, ...]
    by: tuple[str, ...]

    @property
    def seen(self) -> tuple[Seen, ...]:
        """The signs that a sound instrument shows."""
        return tuple(one for one in self.signs if one.state == "seen")

    @property
    def fair(self) -> bool:
        """Whether some reading shows it, and no look-alike reads the same in everything."""
        return bool(self.by) and all(one.state != "alike" for one in self.twins)


@dataclass(frozen=True, slots=True)
class Preview:
    """What the unit reads.

    Args:
        spec: its data sheet.
        around: the air at both units.
        mode: mode of the job.
        found: as found.
        sound: with nothing wrong.
        faults: each hidden fault as judged.
    """

    spec: Spec
    around: Surroundings
    mode: str
    found: Truth
    sound: Truth
    faults: tuple[Judged, ...]

    @property
    def fair(self) -> bool:
        """Whether each hidden fault can be found and told apart."""
        return all(one.fair for one in self.faults)


def around_of(values: Mapping[str, Any]) -> Surroundings:
    """Return the air of a form.

    Args:
        values: what the form holds, in SI.
    """
    return Surroundings(
        room_db_k=values["room_c"],
        room_rh=values["room_rh"],
        outdoor_db_k=values["outdoor_c"],
        outdoor_rh=values["outdoor_rh"],
        altitude_m=values.get("altitude", 0.0),
    )


def full_demand(values: Mapping[str, Any]) -> Command:
    """Return the remote at full demand, as far as it can be set.

    Args:
        values: what the form holds, in SI.
    """
    way = -1.0 if values["mode"] == "cooling" else 1.0
    low, high = SETPOINTS_K
    wanted = values["room_c"] + way * DEMAND_K
    return Command(values["mode"], setpoint_k=min(max(wanted, low), high), fan="auto")


def preview(values: Mapping[str, Any], knobs: Mapping[str, Any] | None = None) -> Preview:
    """Return what a unit will read, and how its faults can be found.

    Args:
        values: what the form holds, in SI.
        knobs: knobs that the file sets besides the faults.

    Raises:
        KitError: faults exclude each other, or the engine finds no steady state.
    """
    bench = _Bench(values, knobs or {})
    bench.solve()
    return Preview(
        bench.spec, bench.around, bench.mode, bench.truth("found"), bench.truth("sound"),
        tuple(bench.judged(place) for place in range(len(bench.hidden))),
    )  # fmt: skip


class _Bench:
    """All cases of one work order, solved in two batches: running and standing."""

    def __init__(self, values: Mapping[str, Any], knobs: Mapping[str, Any]) -> None:
        self.spec, self.around = load_spec(values["machine"]), around_of(values)
        self.mode, self.command = str(values["mode"]), full_demand(values)
        self.hidden = [(fault(name), severity) for name, severity in hidden(values)]
        self.base = Condition(**knobs)
        self.cases: dict[Any, Condition] = {"sound": Condition(), "found": self._with()}
        for place, (one, _) in enumerate(self.hidden):
            self.cases["without", place] = self._with(but=place)
            for other, severity in _twins(one):
                self._put(("twin", place, other, severity), place, other, severity)
        self.order = {key: at for at, key in enumerate(self.cases)}
        self._truths: dict[str, Truth] = {}

    def _with(self, but: int | None = None) -> Condition:
        condition = self.base
        for place, (one, severity) in enumerate(self.hidden):
            if place != but:
                condition = one.apply(condition, severity)
        return condition

    def _put(self, key: Any, place: int, other: str, severity: str) -> None:
        try:
            self.cases[key] = fault(other).apply(self._with(but=place), severity)
        except KitError:  # it cannot be there beside what else is hidden
            return

    def solve(self) -> None:
        conditions = list(self.cases.values())
        n = len(conditions)
        for mode, command in ((self.mode, self.command), ("off", Command("off"))):
            self._truths[mode] = settle_many(
                self.spec, conditions, [self.around] * n, [command] * n
            )
        if not all(self._solved(key) for key in ("found", "sound")):
            raise KitError(
                "The engine finds no steady state for this unit in this air: its readings could "
                "not be trusted. Make a fault milder, or take another weather."
            )

    def truth(self, key: Any, mode: str = "") -> Truth:
        """Return the truth of one case."""
        at, batch = self.order[key], self._truths[mode or self.mode]
        values: dict[str, Any] = {}
        for one in fields(Truth):
            column: Any = getattr(batch, one.name)
            value: Any = None if column is None or one.name == "memory" else column[at]
            values[one.name] = value.item() if hasattr(value, "item") else value
        return Truth(**values)

    def _solved(self, key: Any) -> bool:
        return all(self.truth(key, mode).residual < SOLVED for mode in self._truths)

    def case(self, key: Any, mode: str) -> Case:
        return Case(self.truth(key, mode), self.spec, self.cases[key], self.around, mode)

    def judged(self, place: int) -> Judged:
        one, severity = self.hidden[place]
        signs = tuple(self._seen(place, sign) for sign in one.signs)
        by = tuple(self._separates(("without", place)))
        return Judged(one, severity, signs, tuple(self._compared(place, one)), by)

    def _seen(self, place: int, sign: Sign) -> Seen:
        if sign.mode not in (self.mode, "off"):
            return Seen(sign, math.nan, math.nan, math.nan, "other_mode")
        tool = reading(sign.reading)
        sound = take(sign.reading, self.case(("without", place), sign.mode))
        found = take(sign.reading, self.case("found", sign.mode))
        if not tool.apart(sound, found):
            state = "small"
        else:
            state = "seen" if (found > sound) == (sign.direction == "up") else "other_way"
        off_by = math.hypot(tool.accuracy(sound), tool.accuracy(found))
        return Seen(sign, sound, found, off_by, state)

    def _compared(self, place: int, one: Fault) -> Iterator[Twin]:
        for alike in one.look_alikes:
            keys = [
                key for key in self.cases
                if key[:3] == ("twin", place, alike.fault) and self._solved(key)
            ]  # fmt: skip
            if not keys:
                continue
            if alike.mode not in (self.mode, "off"):
                nan = math.nan
                yield Twin(alike.fault, "", alike.reading, nan, nan, "other_mode", ())
                continue
            yield self._closest(keys, alike.reading, alike.mode)

    def _closest(self, keys: Sequence[Any], name: str, mode: str) -> Twin:
        """Compare with the degree of the other fault that is hardest to tell apart."""
        tool = reading(name)
        this = take(name, self.case("found", mode))
        rows: list[tuple[int, float, Twin]] = []
        for key in keys:
            other = take(name, self.case(key, mode))
            by = tuple(self._separates(key))
            apart = tool.apart(this, other)
            state = "apart" if apart else "by_others" if by else "alike"
            rank = ("alike", "by_others", "apart").index(state)
            gap = abs(this - other) if math.isfinite(this - other) else math.inf
            rows.append((rank, gap, Twin(key[2], key[3], name, this, other, state, by)))
        return min(rows, key=lambda row: row[:2])[2]

    def _separates(self, key: Any) -> Iterator[str]:
        for mode in (self.mode, "off"):
            here, there = self.case("found", mode), self.case(key, mode)
            for name, tool in READINGS.items():
                if mode in tool.modes and tool.apart(take(name, here), take(name, there)):
                    yield name


def _twins(one: Fault) -> Iterator[tuple[str, str]]:
    """Give the look-alikes of a fault at each degree that a visit is meant to find."""
    for alike in one.look_alikes:
        for severity in fault(alike.fault).severities:
            if severity.found:
                yield alike.fault, severity.name
