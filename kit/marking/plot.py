"""A plot of a visit: temperatures over time with what was done, as figures, as SVG and in words.

The figures follow from the journal alone: readings are points, what instruments left in place
showed is a line, and what was done stands as a numbered tick along the top.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from kit.quantities import show, unit_system
from kit.visit.outcome import line
from kit.visit.places import PLACES
from kit.visit.steps.decide import DECISIONS

if TYPE_CHECKING:
    from kit.journal.replay import Replay, Step

Translate = Callable[[str], str]
# What is worth a tick; all others would crowd the axis.
TOLD = {
    "decide": "Decision",
    "pull_disconnect": "Disconnect out",
    "lock": "Lock on",
    "clean_filter": "Filter cleaned",
    "wash_indoor_coil": "Indoor coil washed",
    "clean_wheel": "Wheel cleaned",
    "clear_drain": "Drain cleared",
    "pour_test": "Pour test",
    "wash_outdoor_coil": "Outdoor coil washed",
    "change_part": "Part changed",
    "reseat_sensor": "Sensor put back",
    "thaw": "Ice thawed",
    "attach_gauges": "Gauges on",
    "recover": "Refrigerant recovered",
    "repair_leak": "Leak repaired",
    "pressurise": "Test pressure on",
    "start_pump": "Vacuum pump on",
    "weigh_in": "Charge weighed in",
    "top_up": "Topped up",
    "remove_gauges": "Gauges off",
    "restore_power": "Power back",
    "conclude": "Conclusion",
    "hand_over": "Handed over",
}
KINDS = ("dry_bulb", "wet_bulb", "pipe_temperature", "surface_temperature")
GAP_MIN = 2.0  # a longer gap breaks a line: nobody was watching
QUANTITY = {"wet_bulb": "wet bulb", "dry_bulb": "dry bulb"}


@dataclass(frozen=True, slots=True)
class Series:
    """What was read at one place.

    Args:
        name: place and quantity, to tell series apart.
        title: label.
        points: readings: minutes of the visit and temperature [K].
        traces: what instruments left in place showed: the same, one piece for each stretch that
            one instrument was watched.
    """

    name: str
    title: str
    points: tuple[tuple[float, float], ...]
    traces: tuple[tuple[tuple[float, float], ...], ...]


@dataclass(frozen=True, slots=True)
class Tick:
    """Something done.

    Args:
        number: number along the axis, from 1.
        at_min: minutes of the visit.
        title: what it was.
        tone: "done", "refused" for what could not be done, "critical" for what a trainer stopped.
    """

    number: int
    at_min: float
    title: str
    tone: str


@dataclass(frozen=True, slots=True)
class VisitPlot:
    """The figures of a plot.

    Args:
        title: the work order's.
        series: what was read, in the order of first reading.
        ticks: what was done.
        running: from and to [min] where the unit was asked to cool or heat.
        end_min: minutes of the whole visit.
    """

    title: str
    series: tuple[Series, ...]
    ticks: tuple[Tick, ...]
    running: tuple[tuple[float, float], ...]
    end_min: float


def visit_plot(done: Replay) -> VisitPlot:
    """Return the figures of a visit's plot.

    Args:
        done: the visit, replayed.
    """
    return VisitPlot(
        done.order.title,
        tuple(_series(done)),
        tuple(_ticks(done)),
        tuple(_running(done)),
        done.end.clock_s / 60,
    )


def plot_text(plot: VisitPlot, units: str = "us", translate: Translate = str) -> str:
    """Return in words what the plot shows.

    Args:
        plot: its figures.
        units: name of a unit system of `kit.quantities`.
        translate: maps an English template or word to the learner's language.
    """
    said = [line("Temperatures over a visit of {n} minutes.", n=round(plot.end_min)).render(
        units, translate)]  # fmt: skip
    for one in plot.series:
        read = "; ".join(
            f"{translate('minute')} {at:.0f}: {show('temperature', kelvin, units)}"
            for at, kelvin in one.points
        )
        if read:
            said.append(f"{translate(one.title)}. {read}.")
        if one.traces:
            values = [kelvin for piece in one.traces for _, kelvin in piece]
            said.append(
                line(
                    "{what}, left in place: from {first} to {last}, lowest {low}, highest {high}.",
                    what=one.title,
                    first=show("temperature", values[0], units),
                    last=show("temperature", values[-1], units),
                    low=show("temperature", min(values), units),
                    high=show("temperature", max(values), units),
                ).render(units, translate)
            )
    tones = {"done": "", "refused": translate("not possible"), "critical": translate("stopped")}
    for tick in plot.ticks:
        tone = f" ({tones[tick.tone]})" if tones[tick.tone] else ""
        said.append(
            f"{tick.number}. {translate('minute')} {tick.at_min:.0f}: "
            f"{translate(tick.title)}{tone}."
        )
    return "\n".join(said)


def _series(done: Replay) -> Iterator[Series]:
    points: dict[tuple[str, str], list[tuple[float, float]]] = {}
    traces: dict[tuple[str, str], list[list[tuple[float, float]]]] = {}
    last: dict[tuple[str, str, str], list[tuple[float, float]]] = {}
    for step in done.steps:
        for reading in step.outcome.readings:
            if reading.quantity in KINDS:
                key = (reading.place, reading.quantity)
                points.setdefault(key, []).append((reading.at_s / 60, reading.value))
        for trace in step.outcome.traces:
            if trace.quantity not in KINDS or not trace.values:
                continue
            at_min = [at / 60 for at in trace.at_s]
            mine = (trace.place, trace.quantity, trace.instrument)
            piece = last.get(mine)
            if piece is None or at_min[0] - piece[-1][0] > GAP_MIN:
                piece = last[mine] = []
                traces.setdefault(mine[:2], []).append(piece)
            piece.extend(zip(at_min, trace.values, strict=True))
    for place, quantity in {**points, **traces}:
        what = QUANTITY.get(quantity, "")
        title = f"{PLACES[place].title}, {what}" if what else PLACES[place].title
        key = (place, quantity)
        yield Series(
            f"{place}:{quantity}",
            title[0].upper() + title[1:],
            tuple(points.get(key, ())),
            tuple(tuple(piece) for piece in traces.get(key, ())),
        )


def _ticks(done: Replay) -> Iterator[Tick]:
    number = 0
    for step in done.steps:
        tone = _tone(step)
        if step.action not in TOLD and tone != "critical":
            continue
        number += 1
        yield Tick(number, step.outcome.clock_s / 60, _told(step), tone)


def _tone(step: Step) -> str:
    if any(hazard.level == "critical" for hazard in step.outcome.hazards):
        return "critical"
    return "refused" if step.outcome.refused else "done"


def _told(step: Step) -> str:
    from kit.visit.actions import registry

    if step.action == "decide":
        return DECISIONS[step.args["choice"]]
    return TOLD.get(step.action) or registry()[step.action].title


def _running(done: Replay) -> Iterator[tuple[float, float]]:
    since: float | None = None
    for step in done.steps:
        runs = step.after.asked.mode in ("cooling", "heating")
        if runs and since is None:
            since = step.after.demand_since_s / 60
        if not runs and since is not None:
            yield since, step.after.demand_since_s / 60
            since = None
    if since is not None:
        yield since, done.end.clock_s / 60


def axis(low: float, high: float, most: int = 8) -> list[float]:
    """Return round numbers for an axis, its ends at or outside what is shown.

    Args:
        low: least value.
        high: greatest value.
        most: most steps.
    """
    span = max(high - low, 1.0)
    steps = [base * 10**power for power in range(7) for base in (1, 2, 5)]
    step = next(one for one in steps if span / one <= most - 1)
    first = math.floor(low / step)
    last = max(math.ceil(high / step), first + 1)
    return [float(step * i) for i in range(first, last + 1)]


def in_units(plot: VisitPlot, units: str) -> tuple[list[list[float]], str]:
    """Return all temperatures of the plot in a learner's unit, series by series, and its symbol.

    Args:
        plot: its figures.
        units: name of a unit system of `kit.quantities`.
    """
    system = unit_system(units)
    values = [
        [
            float(system.number("temperature", kelvin))
            for piece in (*one.traces, one.points)
            for _, kelvin in piece
        ]
        for one in plot.series
    ]
    return values, system.unit("temperature").symbol
