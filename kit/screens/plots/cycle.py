"""The pressure–enthalpy diagram: the refrigerant's dome and the cycles of machines on it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from kit.machine.truth import Truth
from kit.physics import refrigerant as refrigerants
from kit.quantities import unit_system
from kit.screens.plots.axes import Frame, Tick, ruled, steps, ticks
from kit.screens.plots.circuit import Corner, Corners, corners
from kit.screens.plots.labels import Labels, Way
from kit.screens.plots.pen import (
    BACK,
    CARD,
    INK,
    SMALL,
    SOFT,
    Style,
    arrow,
    point,
    sheet,
    style,
    trail,
    word,
)
from kit.screens.plots.said import together
from kit.screens.task import Plot
from kit.visit.outcome import Line, Measure, line

if TYPE_CHECKING:
    from kit.physics.refrigerant import Refrigerant
    from kit.screens.voice import Voice

# Enthalpy in the learner's unit: Btu (International Table) a pound is 2326 J/kg exactly (NIST SP
# 811, B.8).
ENTHALPY = {"us": ("Btu/lb", 2326.0), "si": ("kJ/kg", 1000.0)}
# Gauge pressures that may stand beside the axis.
MARKS = {
    "us": (0, 25, 50, 75, 100, 150, 200, 300, 400, 500, 600, 800),
    "si": (0, 200, 400, 600, 800, 1000, 1500, 2000, 3000, 4000, 5000),
}
MARKS_APART = 22.0  # on the sheet
GLIDE_K = 0.5  # dew above bubble from which both are named
HIGH = 470.0  # of the frame on the sheet
KEY_LEFT = 70.0
_ROW = 19.0
_NODES = 90


@dataclass(frozen=True, slots=True)
class Cycle:
    """One machine's cycle.

    Args:
        name: what it is.
        corners: its corners; None when the compressor stands.
    """

    name: str
    corners: Corners | None


def cycle_chart(
    refrigerant: str, cycles: Sequence[tuple[str, Truth]], pressure_pa: float = 101_325.0
) -> Plot:
    """Return a pressure–enthalpy diagram with one or more cycles on it.

    The last one is the machine in question, drawn as a whole line and named in full; those before
    it, such as a sound one, are dashed.

    Args:
        refrigerant: name of a refrigerant of `kit.physics.refrigerant`.
        cycles: name and truth of each machine.
        pressure_pa: pressure of the air around the gauges [Pa].

    Raises:
        UnknownNameError: there is no such refrigerant.

    Source:
        CoolProp 8 through the kit's tables.
    """
    ref = refrigerants.load(refrigerant)
    known = [Cycle(name, corners(ref, truth)) for name, truth in cycles]
    alt = _in_words(ref, known, pressure_pa)
    return Plot(lambda voice: _drawn(ref, known, pressure_pa, voice, alt), alt)


def _in_words(ref: Refrigerant, cycles: Sequence[Cycle], pressure_pa: float) -> Line:
    said = [
        line(
            "Pressure–enthalpy diagram of {refrigerant}, gauge pressure on a logarithmic axis.",
            refrigerant=ref.name,
        )
    ]
    for one in cycles:
        if one.corners is None:
            said.append(line("{name}: the compressor stands, so there is no cycle.", name=one.name))
            continue
        c = one.corners
        said.append(
            line(
                "{name}: suction {suction} at {t1}, discharge {discharge} at {t2}, out of the "
                "condenser {t3}, into the evaporator {t4}, superheat {sh}, subcooling {sc}.",
                name=one.name,
                suction=Measure(c.suction_pa - pressure_pa, "gauge_pressure"),
                t1=Measure(c.suction.t_k, "temperature"),
                discharge=Measure(c.discharge_pa - pressure_pa, "gauge_pressure"),
                t2=Measure(c.discharge.t_k, "temperature"),
                t3=Measure(c.liquid.t_k, "temperature"),
                t4=Measure(c.entering.t_k, "temperature"),
                sh=Measure(c.superheat_k, "temperature_difference"),
                sc=Measure(c.subcooling_k, "temperature_difference"),
            )
        )
    return together(said)


class _Sheet:
    """A diagram being drawn: corners come in SI and lie in the learner's units."""

    def __init__(
        self, ref: Refrigerant, found: Sequence[Corners], pressure_pa: float, voice: Voice
    ) -> None:
        self.ref, self.voice, self.pressure_pa = ref, voice, pressure_pa
        self.symbol, self.factor = ENTHALPY[voice.units]
        lows = [min(c.suction.lnp, c.low) for c in found] or [math.log(8e5)]
        highs = [c.high for c in found] or [math.log(25e5)]
        low, high = min(lows) - 0.5, max(highs) + 0.4
        sat = ref.sat(low)
        least = min([float(sat.h_l), *(c.liquid.h for c in found)]) - 12e3
        most = max([float(sat.h_v), *(c.discharge.h for c in found)]) + 45e3
        self.along = steps(least / self.factor, most / self.factor, 8)
        self.frame = Frame(self.along[0], self.along[-1], low, high, HIGH)

    def place(self, lnp: float, h: float) -> tuple[float, float]:
        return self.frame.at(h / self.factor, lnp)

    def at(self, corner: Corner) -> tuple[float, float]:
        return self.place(corner.lnp, corner.h)

    def marks(self) -> list[Tick]:
        """Return gauge pressures along the axis, far enough apart to be read."""
        unit = unit_system(self.voice.units).unit("gauge_pressure")
        found: list[Tick] = []
        last = math.inf
        for gauge in MARKS[self.voice.units]:
            lnp = math.log(unit.to_si(gauge) + self.pressure_pa)
            inside = self.frame.low_y <= lnp <= self.frame.high_y
            if inside and last - self.frame.y(lnp) >= MARKS_APART:
                found.append((lnp, f"{gauge}"))
                last = self.frame.y(lnp)
        return found


def _drawn(
    ref: Refrigerant, cycles: Sequence[Cycle], pressure_pa: float, voice: Voice, alt: Line
) -> str:
    found = [one.corners for one in cycles if one.corners is not None]
    chart = _Sheet(ref, found, pressure_pa, voice)
    labels = Labels(chart.frame.box)
    parts = ruled(
        chart.frame, ticks(chart.along), chart.marks(),
        f"{voice.words('Enthalpy')}, {chart.symbol}",
        f"{voice.words('Gauge pressure, logarithmic')}, {voice.unit('gauge_pressure')}",
        CARD,
    )  # fmt: skip
    parts += _dome(chart, labels)
    running = [(i, one) for i, one in enumerate(cycles) if one.corners is not None]
    looks = [style(len(cycles) - 1 - i) for i in range(len(cycles))]  # the last one is whole
    for i, one in running:
        parts += _cycle(chart, one, looks[i], labels)
    if running:
        last, one = running[-1]
        parts += _named(chart, one, looks[last], labels)
    _line_names(chart, labels)
    height = HIGH + 10.0
    for i, one in enumerate(cycles):
        rows = _figures(one, pressure_pa, voice)
        parts += _key(height, one, looks[i], voice, rows)
        height += (1 + len(rows)) * _ROW + 6
    return sheet(height + 2, voice.line(alt), [*parts, *labels.drawn()])


def _dome(chart: _Sheet, labels: Labels) -> list[str]:
    """Return the saturation lines and the names of what lies between and beside them."""
    ref, frame = chart.ref, chart.frame
    top = min(frame.high_y, ref.lnp_max)  # the tables end below the dome's crown
    levels = np.linspace(frame.low_y, top, _NODES + 1)
    sat = ref.sat(levels)
    dew = [chart.place(float(p), float(h)) for p, h in zip(levels, sat.h_v, strict=True)]
    inside = [(float(h) / chart.factor, float(p)) for p, h in zip(levels, sat.h_l, strict=True)]
    edge = frame.inside(inside)
    parts = [trail([*edge, *reversed(dew)], BACK, 0.0, closed=True, fill=BACK)]
    parts += [trail(edge, INK, 4.0), trail(dew, INK, 4.0)]
    labels.keep_clear(edge, 4.0)
    labels.keep_clear(dew, 4.0)
    return parts


def _line_names(chart: _Sheet, labels: Labels) -> None:
    """Name both saturation lines where the cycle's own words have left room."""
    frame, voice = chart.frame, chart.voice
    top = min(frame.high_y, chart.ref.lnp_max)
    levels = [frame.low_y + (top - frame.low_y) * share for share in (0.05, 0.5, 0.25, 0.75, 0.95)]
    sats = [chart.ref.sat(lnp) for lnp in levels]
    for text, ends in (
        (voice.words("bubble line"), [float(s.h_l) for s in sats]),
        (voice.words("dew line"), [float(s.h_v) for s in sats]),
    ):
        places = [chart.place(lnp, h) for lnp, h in zip(levels, ends, strict=True)]
        labels.put(places, (text,), SOFT, SMALL, ways=((1, 0), (-1, 0), (1, 1), (-1, -1)))


def _cycle(chart: _Sheet, one: Cycle, look: Style, labels: Labels) -> list[str]:
    """Return the closed line of a cycle and the points at its corners."""
    c = one.corners
    if c is None:
        return []
    places = [chart.at(corner) for corner in c.closed]
    labels.keep_clear(places, 5.0)
    width = 4.5 if not look.dash else 3.0
    parts = [trail(places, look.colour, width, look.dash)]
    if not look.dash:
        parts.append(arrow(places[0], places[1], look.colour, 15.0))
        parts.append(arrow(places[3], places[4], look.colour, 15.0))
    for name, corner in (
        ("suction", c.suction), ("discharge", c.discharge), ("liquid", c.liquid),
        ("entering", c.entering),
    ):  # fmt: skip
        x, y = chart.at(corner)
        parts.append(point(x, y, look, f"{one.name}: {name}", 6.0))
        labels.keep_clear(((x, y), (x, y)), 7.0)
    return parts


def _named(chart: _Sheet, one: Cycle, look: Style, labels: Labels) -> list[str]:
    """Return the names of a cycle's corners, of its superheat and of its subcooling."""
    c, voice = one.corners, chart.voice
    if c is None:
        return []
    show = voice.show
    parts = _brackets(chart, c, look, labels)
    for texts, corner, ways in _corner_words(c, voice):
        labels.put(chart.at(corner), texts, size=SMALL, bold_first=True, ways=ways)
    for lnp, said in ((c.high, voice.words("condensing")), (c.low, voice.words("evaporating"))):
        sat = chart.ref.sat(lnp)
        along = [float(sat.h_l) + share * float(sat.h_v - sat.h_l) for share in (0.66, 0.8, 0.5)]
        bubble, dew = float(sat.t_bubble_k), float(sat.t_dew_k)
        words = [f"{said} {show('temperature', dew)}"]
        if dew - bubble > GLIDE_K:
            words = [
                f"{said}: {voice.words('bubble')} {show('temperature', bubble)}",
                f"{voice.words('dew')} {show('temperature', dew)}",
            ]
        labels.put([chart.place(lnp, h) for h in along], words, SOFT, SMALL, ways=((0, 1), (0, -1)))
    return parts


def _corner_words(
    c: Corners, voice: Voice
) -> list[tuple[tuple[str, ...], Corner, tuple[Way, ...]]]:
    """Return what is written at each corner, and the directions in which there is room."""

    def degrees(corner: Corner) -> str:
        return voice.show("temperature", corner.t_k)

    superheat, subcooling = (
        voice.show("temperature_difference", k) for k in (c.superheat_k, c.subcooling_k)
    )
    above = ((0, -1), (1, -1), (-1, -1), (-1, 0), (1, 1), (-1, 1))
    below = ((0, 1), (1, 1), (-1, 1), (-1, 0), (1, 0))
    return [
        ((voice.words("discharge"), degrees(c.discharge)), c.discharge, above),
        (
            (
                voice.words("out of the condenser"),
                f"{degrees(c.liquid)}, {voice.words('subcooling')} {subcooling}",
            ),
            c.liquid,
            ((1, -1), *above),
        ),
        ((voice.words("into the evaporator"), degrees(c.entering)), c.entering, ((1, 1), *below)),
        (
            (
                voice.words("suction"),
                degrees(c.suction),
                f"{voice.words('superheat')} {superheat}",
            ),
            c.suction,
            ((1, 1), (1, 0), *below),
        ),
    ]


def _brackets(chart: _Sheet, c: Corners, look: Style, labels: Labels) -> list[str]:
    """Return where superheat and subcooling lie: from the dew and to the bubble line."""
    parts = []
    dew_h, bubble_h = float(chart.ref.sat(c.low).h_v), float(chart.ref.sat(c.high).h_l)
    for lnp, ends in ((c.low, (dew_h, c.leaving.h)), (c.high, (c.liquid.h, bubble_h))):
        (x0, y), (x1, _) = (chart.place(lnp, h) for h in ends)
        if x1 - x0 > 1.0:
            parts.append(trail(((x0, y), (x1, y)), look.colour, 9.0))
            labels.keep_clear(((x0, y), (x1, y)), 6.0)
    return parts


def _figures(one: Cycle, pressure_pa: float, voice: Voice) -> list[str]:
    """Return what stands below the diagram for one cycle, row by row."""
    c = one.corners
    if c is None:
        return [voice.words("the compressor stands, so there is no cycle")]
    suction, discharge = (
        voice.show("gauge_pressure", p - pressure_pa) for p in (c.suction_pa, c.discharge_pa)
    )
    superheat, subcooling = (
        voice.show("temperature_difference", k) for k in (c.superheat_k, c.subcooling_k)
    )
    return [
        f"{voice.words('suction')} {suction}, {voice.words('discharge')} {discharge}",
        f"{voice.words('superheat')} {superheat}, {voice.words('subcooling')} {subcooling}",
    ]


def _key(y: float, one: Cycle, look: Style, voice: Voice, rows: Sequence[str]) -> list[str]:
    """Return the lines below the diagram that belong to one cycle."""
    return [
        trail(((14.0, y + 9), (58.0, y + 9)), look.colour, 4.0, look.dash),
        point(36.0, y + 9, look, "", 6.0),
        word(KEY_LEFT, y + 14, voice.words(one.name), bold=True),
        *(word(KEY_LEFT, y + 14 + _ROW * i, row, size=SMALL) for i, row in enumerate(rows, 1)),
    ]
