"""Airflow of an indoor unit: where the curve of its fan meets the resistance of filter and coil."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from kit.errors import UnknownNameError
from kit.machine.condition import Condition
from kit.machine.spec import Spec
from kit.physics import blower
from kit.screens.plots.axes import HEIGHT, Frame, ruled, steps, ticks
from kit.screens.plots.labels import Labels, Place
from kit.screens.plots.pen import CARD, SMALL, SOFT, point, sheet, style, trail
from kit.screens.plots.said import together
from kit.screens.task import Plot
from kit.visit.outcome import Line, Measure, line

if TYPE_CHECKING:
    from kit.screens.voice import Voice

LEAST_M3_S, LEAST_SHARE = 0.01, 0.05  # what the axes show at least, when no fan turns
SIDES = ((1, 0), (1, -1), (1, 1), (-1, 0), (-1, -1), (-1, 1), (0, -1), (0, 1))
_NODES = 60


@dataclass(frozen=True, slots=True)
class Case:
    """One unit: its fan's curve, its resistance, and where they meet.

    The pressure is a share of the most that the clean fan at full speed can build up, against a
    closed outlet; a data sheet of ours has no more than that.

    Args:
        name: what it is.
        free_m3_s: flow of the clean fan at full speed against no resistance [m3/s].
        share: its speed over full speed [-].
        lift: what dirt on the blades leaves of its pressure [0..1].
        reach: what dirt on the blades leaves of its free flow [0..1].
        resistance: of filter, coil and casing, over the fan's own [-].
        airflow_m3_s: where both meet [m3/s].
    """

    name: str
    free_m3_s: float
    share: float
    lift: float
    reach: float
    resistance: float
    airflow_m3_s: float

    def fan(self, flow_m3_s: float) -> float:
        """Return the pressure that the fan builds up [-].

        Args:
            flow_m3_s: airflow [m3/s].
        """
        ratio = flow_m3_s / (self.free_m3_s * self.reach)
        return self.lift * (self.share**2 - ratio**2)

    def needed(self, flow_m3_s: float) -> float:
        """Return the pressure that the unit's resistance takes [-].

        Args:
            flow_m3_s: airflow [m3/s].
        """
        return self.resistance * (flow_m3_s / self.free_m3_s) ** 2

    @property
    def most_m3_s(self) -> float:
        """The fan's flow against no resistance [m3/s]."""
        return self.free_m3_s * self.reach * self.share


def airflow_chart(spec: Spec, cases: Sequence[tuple[str, Condition]], fan: str = "high") -> Plot:
    """Return a chart of fan and resistance curves of an indoor unit in several conditions.

    Args:
        spec: its data sheet.
        cases: name and condition of each.
        fan: speed of the fan, one of the data sheet's.

    Raises:
        UnknownNameError: the fan has no such speed.

    Source:
        The curves of `kit.physics.blower`: fan laws, textbook; size of dirt's effect common
        practice, no source.
    """
    if fan not in spec.speeds:
        raise UnknownNameError("fan speed", fan, list(spec.speeds))
    known = [case(spec, name, condition, fan) for name, condition in cases]
    alt = _in_words(known)
    return Plot(lambda voice: _drawn(known, voice, alt), alt)


def case(spec: Spec, name: str, condition: Condition, fan: str = "high") -> Case:
    """Return the curves of one unit.

    Args:
        spec: its data sheet.
        name: what it is.
        condition: its condition.
        fan: speed of the fan.

    Source: `kit.physics.blower`, put together as the engine does.
    """
    sheet_ = spec.indoor_fan
    resistance = sheet_.resistance * (
        float(blower.filter_resistance(sheet_.filter_share, condition.filter_loading))
        + float(
            blower.blocked_resistance(
                sheet_.coil_share, condition.indoor_coil_blockage, condition.indoor_coil_ice
            )
        )
        + (1.0 - sheet_.filter_share - sheet_.coil_share)
    )
    share = spec.speeds[fan] * condition.indoor_fan_factor
    free = spec.indoor.airflow_m3_s * math.sqrt(1.0 + sheet_.resistance)
    fouling = condition.wheel_fouling
    # Both follow from the blower itself: against no resistance, and against one beyond measure.
    reach = float(blower.airflow_m3_s(1.0, 1.0, 0.0, fouling))
    closed = 1e12
    lift = closed * float(blower.airflow_m3_s(1.0, 1.0, closed, fouling)) ** 2
    flow = float(blower.airflow_m3_s(free, share, resistance, fouling))
    return Case(name, free, share, lift, reach, resistance, flow)


def _in_words(cases: Sequence[Case]) -> Line:
    said = [
        line(
            "Fan curves that fall and resistance curves that rise; the airflow is where they meet."
        )
    ]
    said += [
        line(
            "{name}: {flow} at {share} of the pressure of the clean fan at full speed.",
            name=one.name,
            flow=Measure(one.airflow_m3_s, "airflow"),
            share=Measure(one.needed(one.airflow_m3_s), "fraction"),
        )
        for one in cases
    ]
    return together(said)


@dataclass(frozen=True, slots=True)
class _Curve:
    """One curve on the sheet.

    Args:
        index: number of the first case it belongs to.
        width: of its line.
        places: its points.
        name: what it is; "" when it goes without saying.
    """

    index: int
    width: float
    places: tuple[Place, ...]
    name: str


def _drawn(cases: Sequence[Case], voice: Voice, alt: Line) -> str:
    most = max(LEAST_M3_S, *(one.most_m3_s for one in cases))
    along = steps(0.0, voice.number("airflow", most), 8)
    high = max(LEAST_SHARE, *(one.fan(0.0) for one in cases))
    up = steps(0.0, 108.0 * high, 7)
    frame = Frame(along[0], along[-1], up[0], up[-1])
    labels = Labels(frame.box)
    parts = ruled(
        frame, ticks(along), ticks(up),
        f"{voice.words('Airflow')}, {voice.unit('airflow')}",
        voice.words("Pressure, % of the clean fan at full speed, outlet closed"),
        CARD,
    )  # fmt: skip
    curves = [*_fans(cases, frame, voice), *_resistances(cases, frame, voice)]
    for one in curves:
        look = style(one.index)
        parts.append(trail(one.places, look.colour, one.width, look.dash))
        labels.keep_clear(one.places, 4.0)
    met = [_place(frame, voice, c.airflow_m3_s, c.needed(c.airflow_m3_s)) for c in cases]
    for i, (one_case, at) in enumerate(zip(cases, met, strict=True)):
        parts.append(point(*at, style(i), one_case.name, 8.0))
        labels.keep_clear((at, at), 9.0)
    for one_case, at in zip(cases, met, strict=True):
        texts = (voice.words(one_case.name), voice.show("airflow", one_case.airflow_m3_s))
        labels.put(at, texts, bold_first=True, ways=SIDES)
    for one in curves:
        if one.name:
            labels.put(one.places[4::6], (one.name,), SOFT, SMALL, ways=SIDES)
    return sheet(HEIGHT, voice.line(alt), [*parts, *labels.drawn()])


def _place(frame: Frame, voice: Voice, flow_m3_s: float, share: float) -> Place:
    return frame.at(voice.number("airflow", flow_m3_s), 100.0 * share)


def _fans(cases: Sequence[Case], frame: Frame, voice: Voice) -> list[_Curve]:
    """Return the fan curves, each one once; only dirt on the wheel or a weak fan gives another."""
    first: dict[tuple[float, float, float], int] = {}
    for i, one in enumerate(cases):
        first.setdefault((one.share, one.lift, one.reach), i)
    curves = []
    for i in first.values():
        one = cases[i]
        flows = [one.most_m3_s * n / _NODES for n in range(_NODES + 1)]
        places = tuple(_place(frame, voice, flow, one.fan(flow)) for flow in flows)
        name = voice.words("fan curve")
        if len(first) > 1:
            name += f", {voice.words(one.name)}"
        curves.append(_Curve(i, 4.5, places, name))
    return curves


def _resistances(cases: Sequence[Case], frame: Frame, voice: Voice) -> list[_Curve]:
    """Return the resistance curves, each one once; the first one is named, for all rise alike."""
    first: dict[float, int] = {}
    for i, one in enumerate(cases):
        first.setdefault(one.resistance, i)
    curves: list[_Curve] = []
    for i in first.values():
        one = cases[i]
        top = max(1.25 * one.airflow_m3_s, 0.5 * one.most_m3_s)
        flows = [top * n / _NODES for n in range(_NODES + 1)]
        places = frame.inside(
            [(voice.number("airflow", flow), 100.0 * one.needed(flow)) for flow in flows]
        )
        name = "" if curves else voice.words("resistance")
        curves.append(_Curve(i, 3.0, tuple(places), name))
    return curves
