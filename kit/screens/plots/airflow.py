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
from kit.screens.plots.labels import Labels
from kit.screens.plots.pen import CARD, SMALL, SOFT, point, sheet, style, trail
from kit.screens.plots.said import together
from kit.screens.task import Plot
from kit.visit.outcome import Line, Measure, line

if TYPE_CHECKING:
    from kit.screens.voice import Voice

_NODES = 60
_SAME = 1e-9


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


def _drawn(cases: Sequence[Case], voice: Voice, alt: Line) -> str:
    most = max(one.most_m3_s for one in cases)
    along = steps(0.0, voice.number("airflow", most), 8)
    high = max(one.fan(0.0) for one in cases)
    up = steps(0.0, 100.0 * high, 6)
    frame = Frame(along[0], along[-1], up[0], up[-1])
    labels = Labels(frame.box)
    parts = ruled(
        frame, ticks(along), ticks(up),
        f"{voice.words('Airflow')}, {voice.unit('airflow')}",
        voice.words("Pressure, % of the clean fan at full speed, outlet closed"),
        CARD,
    )  # fmt: skip
    parts += _fans(cases, frame, voice, labels)
    parts += _resistances(cases, frame, voice, labels)
    for i, one in enumerate(cases):
        x, y = _place(frame, voice, one.airflow_m3_s, one.needed(one.airflow_m3_s))
        parts.append(point(x, y, style(i), one.name, 8.0))
        labels.keep_clear(((x, y), (x, y)), 9.0)
    for one in cases:
        at = _place(frame, voice, one.airflow_m3_s, one.needed(one.airflow_m3_s))
        flow = voice.show("airflow", one.airflow_m3_s)
        labels.put(at, (voice.words(one.name), flow), bold_first=True,
                   ways=((1, 0), (1, -1), (1, 1), (-1, 0), (-1, -1), (-1, 1)))  # fmt: skip
    return sheet(HEIGHT, voice.line(alt), [*parts, *labels.drawn()])


def _place(frame: Frame, voice: Voice, flow_m3_s: float, share: float) -> tuple[float, float]:
    return frame.at(voice.number("airflow", flow_m3_s), 100.0 * share)


def _fans(cases: Sequence[Case], frame: Frame, voice: Voice, labels: Labels) -> list[str]:
    """Return the fan curves, each one once; only dirt on the wheel or a weak fan gives another."""
    parts = []
    seen: list[tuple[float, float, float]] = []
    for i, one in enumerate(cases):
        shape = (one.share, one.lift, one.reach)
        if any(math.dist(shape, other) < _SAME for other in seen):
            continue
        seen.append(shape)
        flows = [one.most_m3_s * n / _NODES for n in range(_NODES + 1)]
        places = [_place(frame, voice, flow, one.fan(flow)) for flow in flows]
        parts.append(trail(places, style(i).colour, 4.5, style(i).dash))
        labels.keep_clear(places, 4.0)
        said = voice.words("fan curve")
        alone = all(math.dist(shape, (c.share, c.lift, c.reach)) < _SAME for c in cases)
        if not alone:
            said += f", {voice.words(one.name)}"
        labels.put(places[_NODES // 5], (said,), SOFT, SMALL, ways=((1, -1), (0, -1), (-1, 1)))
    return parts


def _resistances(cases: Sequence[Case], frame: Frame, voice: Voice, labels: Labels) -> list[str]:
    """Return the resistance curves, each one once."""
    parts = []
    seen: list[float] = []
    high = frame.high_y / 100.0
    for i, one in enumerate(cases):
        if any(abs(one.resistance - other) < _SAME for other in seen):
            continue
        seen.append(one.resistance)
        top = min(one.free_m3_s * math.sqrt(high / one.resistance), one.airflow_m3_s * 1.3)
        flows = [top * n / _NODES for n in range(_NODES + 1)]
        places = [_place(frame, voice, flow, one.needed(flow)) for flow in flows]
        parts.append(trail(places, style(i).colour, 3.0, style(i).dash or "1 0"))
        labels.keep_clear(places, 4.0)
        labels.put(places[-1], (voice.words("resistance"),), SOFT, SMALL,
                   ways=((1, -1), (0, -1), (-1, -1), (1, 0)))  # fmt: skip
    return parts
