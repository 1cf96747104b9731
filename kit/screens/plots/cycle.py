"""The pressure–enthalpy diagram: the refrigerant's dome and the cycles of machines on it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from kit.machine.truth import Truth
from kit.physics import refrigerant as refrigerants
from kit.quantities import unit_system
from kit.screens.plots.axes import HEIGHT, Frame, Tick, ruled, steps, ticks
from kit.screens.plots.circuit import Corner, Corners, corners
from kit.screens.plots.labels import Labels
from kit.screens.plots.pen import (
    BACK,
    CARD,
    INK,
    SMALL,
    SOFT,
    TEXT,
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
        low, high = min(lows) - 0.45, min(max(highs) + 0.35, ref.lnp_max)
        sat = ref.sat(low)
        least = min([float(sat.h_l), *(c.liquid.h for c in found)]) - 12e3
        most = max([float(sat.h_v), *(c.discharge.h for c in found)]) + 15e3
        self.along = steps(least / self.factor, most / self.factor, 8)
        self.frame = Frame(self.along[0], self.along[-1], low, high)

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
    height = HEIGHT + 10.0
    for i, one in enumerate(cycles):
        parts += _key(height, one, looks[i], pressure_pa, voice)
        height += 2 * _ROW + 6
    return sheet(height + 2, voice.line(alt), [*parts, *labels.drawn()])


def _dome(chart: _Sheet, labels: Labels) -> list[str]:
    """Return the saturation lines and the names of what lies between and beside them."""
    ref, frame, voice = chart.ref, chart.frame, chart.voice
    levels = [frame.low_y + (frame.high_y - frame.low_y) * i / _NODES for i in range(_NODES + 1)]
    sats = [ref.sat(lnp) for lnp in levels]
    bubble = [chart.place(p, float(s.h_l)) for p, s in zip(levels, sats, strict=True)]
    dew = [chart.place(p, float(s.h_v)) for p, s in zip(levels, sats, strict=True)]
    inside = [(float(s.h_l) / chart.factor, p) for p, s in zip(levels, sats, strict=True)]
    edge = frame.inside(inside) or bubble
    parts = [trail([*edge, *reversed(dew)], BACK, 0.0, closed=True, fill=BACK)]
    parts += [trail(edge, INK, 4.0), trail(dew, INK, 4.0)]
    labels.keep_clear(edge, 4.0)
    labels.keep_clear(dew, 4.0)
    labels.put(edge[0], (voice.words("bubble line"),), SOFT, SMALL, ways=((1, -1), (1, 0)))
    labels.put(dew[0], (voice.words("dew line"),), SOFT, SMALL, ways=((-1, -1), (-1, 0)))
    return parts


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
    for said, corner, ways in (
        (voice.words("discharge"), c.discharge, ((-1, -1), (0, -1), (-1, 0), (1, -1), (1, 1))),
        (voice.words("out of the condenser"), c.liquid, ((0, -1), (-1, -1), (1, -1), (-1, 1))),
        (voice.words("into the evaporator"), c.entering, ((-1, 1), (0, 1), (1, 1), (-1, 0))),
        (voice.words("suction"), c.suction, ((1, 1), (1, 0), (0, 1))),
    ):
        labels.put(chart.at(corner), (said, show("temperature", corner.t_k)), bold_first=True,
                   ways=ways)  # fmt: skip
    for lnp, said in ((c.high, voice.words("condensing")), (c.low, voice.words("evaporating"))):
        sat = chart.ref.sat(lnp)
        middle = chart.place(lnp, 0.45 * float(sat.h_l) + 0.55 * float(sat.h_v))
        bubble, dew = float(sat.t_bubble_k), float(sat.t_dew_k)
        texts = [f"{said} {show('temperature', dew)}"]
        if dew - bubble > GLIDE_K:
            texts = [
                f"{said}: {voice.words('bubble')} {show('temperature', bubble)}",
                f"{voice.words('dew')} {show('temperature', dew)}",
            ]
        labels.put(middle, texts, SOFT, SMALL, ways=((0, 1), (0, -1)))
    return parts


def _brackets(chart: _Sheet, c: Corners, look: Style, labels: Labels) -> list[str]:
    """Return where superheat and subcooling lie, with their figures."""
    voice, parts = chart.voice, []
    dew_h, bubble_h = float(chart.ref.sat(c.low).h_v), float(chart.ref.sat(c.high).h_l)
    for name, k, lnp, ends, down in (
        (voice.words("superheat"), c.superheat_k, c.low, (dew_h, c.leaving.h), 1.0),
        (voice.words("subcooling"), c.subcooling_k, c.high, (c.liquid.h, bubble_h), -1.0),
    ):
        (x0, y), (x1, _) = (chart.place(lnp, h) for h in ends)
        figure = voice.show("temperature_difference", k)
        y += 13.0 * down
        if x1 - x0 > 1.0:
            parts.append(trail(((x0, y - 5 * down), (x0, y), (x1, y), (x1, y - 5 * down)),
                               look.colour, 2.5))  # fmt: skip
            labels.keep_clear(((x0, y), (x1, y)), 4.0)
        labels.put(((x0 + x1) / 2, y), (f"{name} {figure}",),
                   ways=((0, int(down)), (-1, int(down)), (1, int(down))))  # fmt: skip
    return parts


def _key(y: float, one: Cycle, look: Style, pressure_pa: float, voice: Voice) -> list[str]:
    """Return the two lines below the diagram that belong to one cycle."""
    parts = [
        trail(((14.0, y + 9), (58.0, y + 9)), look.colour, 4.0, look.dash),
        point(36.0, y + 9, look, "", 6.0).replace(' data-point=""', ""),
        word(70.0, y + 14, voice.words(one.name), bold=True, size=TEXT),
    ]
    c = one.corners
    if c is None:
        said = voice.words("the compressor stands, so there is no cycle")
    else:
        low, high = (voice.show("gauge_pressure", p - pressure_pa)
                     for p in (c.suction_pa, c.discharge_pa))  # fmt: skip
        sh, sc = (voice.show("temperature_difference", k) for k in (c.superheat_k, c.subcooling_k))
        said = f"{low} → {high}, {voice.words('superheat')} {sh}, {voice.words('subcooling')} {sc}"
    parts.append(word(70.0, y + 14 + _ROW, said, size=SMALL))
    return parts
