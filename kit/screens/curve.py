"""The split over time: from what instruments left in place showed, and from pairs of readings."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from kit.visit.outcome import Measure, line
from kit.visit.sheet import ITEMS

if TYPE_CHECKING:
    from kit.screens.voice import Voice
    from kit.visit.outcome import Outcome, Reading, SheetEntry, Trace, View

PAIR_WITHIN_S = 300.0  # two readings further apart than this make no split: common practice
WINDOW_MIN = 30.0
BAND_K = 5 / 3  # plus and minus 3 °F: regulation's tolerance on the target split
_GAP_S = 240.0  # a longer break starts a new piece of the curve
_RETURN = ITEMS["return_dry_bulb"].places
_SUPPLY = ITEMS["supply_dry_bulb"].places


@dataclass(frozen=True, slots=True)
class SplitPoint:
    """The size of the difference of entering and leaving air at one moment.

    Args:
        at_s: clock of the visit [s].
        split_k: entering minus leaving air, or the reverse in heating [K].
    """

    at_s: float
    split_k: float


def from_traces(traces: Iterable[Trace], heating: bool = False) -> list[SplitPoint]:
    """Return the split from instruments left at both grilles, where both showed a figure."""
    entering: dict[float, float] = {}
    leaving: dict[float, float] = {}
    for trace in traces:
        if trace.quantity != "dry_bulb":
            continue
        target = entering if trace.place in _RETURN else leaving if trace.place in _SUPPLY else None
        if target is not None:
            target.update(zip(trace.at_s, trace.values, strict=True))
    sign = -1.0 if heating else 1.0
    return [
        SplitPoint(at_s, sign * (entering[at_s] - leaving[at_s]))
        for at_s in sorted(entering.keys() & leaving.keys())
    ]


def from_readings(readings: Sequence[Reading], heating: bool = False) -> list[SplitPoint]:
    """Return a split for each reading that has a partner at the other grille shortly before."""
    sign = -1.0 if heating else 1.0
    last: dict[str, Reading] = {}
    found = []
    for reading in readings:
        if reading.quantity != "dry_bulb":
            continue
        side = "in" if reading.place in _RETURN else "out" if reading.place in _SUPPLY else ""
        if not side:
            continue
        last[side] = reading
        other = last.get("out" if side == "in" else "in")
        if other is not None and reading.at_s - other.at_s <= PAIR_WITHIN_S:
            difference = last["in"].value - last["out"].value
            found.append(SplitPoint(reading.at_s, sign * difference))
    return found


def curve(outcomes: Sequence[Outcome], view: View, voice: Voice) -> dict[str, Any]:
    """Return the plot in the learner's units.

    The band is the learner's own target from the job sheet, so that it gives nothing away.

    Args:
        outcomes: every outcome so far.
        view: the visit as it can be seen.
        voice: units and language.
    """
    heating = view.mode == "heating"
    traced = from_traces((t for o in outcomes for t in o.traces), heating)
    paired = from_readings(view.readings, heating)
    shown = [*(p.split_k for p in traced), *(p.split_k for p in paired)]
    target = _last(view.sheet, "target_split", ("as_found", "as_left"))
    found = _last(view.sheet, "split", ("as_found",))
    start_s = max(0.0, view.clock_s - WINDOW_MIN * 60)
    high_k = max([30 / 1.8, *shown, (target or 0) + 2 * BAND_K])
    y_min, y_max, y_ticks = _axis(min([0.0, *shown]), high_k, voice)
    x_min = 5 * int(start_s / 300)
    x_max = x_min + WINDOW_MIN + (5 if start_s else 0)

    def split(value: float) -> float:
        return round(voice.number("temperature_difference", value), 2)

    unit = voice.unit("temperature_difference")
    return {
        "title": voice.words("Split over time"),
        "y_label": f"{voice.words('Split')}, {unit}",
        "x_label": voice.words("minutes on site"),
        "x_min": x_min,
        "x_max": x_max,
        "x_ticks": list(range(x_min, int(x_max) + 1, 5)),
        "y_min": y_min,
        "y_max": y_max,
        "y_ticks": y_ticks,
        "pieces": [
            [[round(p.at_s / 60, 3), split(p.split_k)] for p in piece] for piece in _pieces(traced)
        ],
        "points": [
            [round(p.at_s / 60, 3), split(p.split_k), f"{split(p.split_k):.1f}"] for p in paired
        ],
        "band": None if target is None else _band(target, voice),
        "found": None if found is None else _found_line(found, target, voice),
        "alt": _in_words(traced, paired, target, voice),
        "note": _note(traced, paired, target, voice),
    }


def _band(target_k: float, voice: Voice) -> dict[str, Any]:
    kind = "temperature_difference"
    return {
        "low": voice.number(kind, target_k - BAND_K),
        "high": voice.number(kind, target_k + BAND_K),
        "label": f"{voice.words('your target')} {voice.show(kind, target_k)}",
    }


def _found_line(found_k: float, target_k: float | None, voice: Voice) -> dict[str, Any]:
    kind = "temperature_difference"
    label = f"{voice.words('as found')} {voice.show(kind, found_k)}"
    above = target_k is not None and found_k > target_k  # keeps clear of the band's own label
    return {"value": voice.number(kind, found_k), "label": label, "above": above}


def _last(sheet: Sequence[SheetEntry], item: str, whens: tuple[str, ...]) -> float | None:
    values = [e.value for e in sheet if e.item == item and e.when in whens]
    return float(values[-1]) if values else None


def _axis(low_k: float, high_k: float, voice: Voice) -> tuple[float, float, list[int]]:
    """Return lowest, highest and ticks of the axis in the learner's unit."""
    kind = "temperature_difference"
    low, high = voice.number(kind, low_k), voice.number(kind, high_k)
    step = 5 if voice.unit(kind) == "°F" else 3
    bottom = step * int(low // step)
    top = step * -int(-(high + 0.01) // step)
    return float(bottom), float(top), list(range(bottom, top + 1, step))


def _pieces(points: Sequence[SplitPoint]) -> list[list[SplitPoint]]:
    pieces: list[list[SplitPoint]] = []
    for point in points:
        if not pieces or point.at_s - pieces[-1][-1].at_s > _GAP_S:
            pieces.append([])
        pieces[-1].append(point)
    return pieces


def _in_words(
    traced: Sequence[SplitPoint],
    paired: Sequence[SplitPoint],
    target_k: float | None,
    voice: Voice,
) -> str:
    kind = "temperature_difference"
    everything = sorted([*traced, *paired], key=lambda p: p.at_s)
    if not everything:
        return voice.words("Split over time: nothing to show yet.")
    first, last = everything[0], everything[-1]
    said = (
        f"{voice.words('Split over time:')} {voice.show(kind, first.split_k)} "
        f"{voice.words('at minute')} {first.at_s / 60:.0f}, {voice.show(kind, last.split_k)} "
        f"{voice.words('at minute')} {last.at_s / 60:.0f}."
    )
    if target_k is not None:
        said += f" {voice.words('Your target:')} {voice.show(kind, target_k)}. "
        said += voice.line(
            line(
                "The band around the target of {target} goes from {low} to {high}.",
                target=Measure(target_k, kind),
                low=Measure(target_k - BAND_K, kind),
                high=Measure(target_k + BAND_K, kind),
            )
        )
    return said


def _note(
    traced: Sequence[SplitPoint],
    paired: Sequence[SplitPoint],
    target_k: float | None,
    voice: Voice,
) -> str:
    if not traced and not paired:
        return voice.words("Leave a probe at the return and one at the supply, then let time pass.")
    if target_k is None:
        return voice.words("Write your target split on the job sheet and its band is drawn here.")
    return voice.words("The band is your own target, give or take 3 °F (1.7 K).")
