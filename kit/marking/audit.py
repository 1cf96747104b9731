"""Honesty of the job sheet: figures without a reading, words without the deed."""

from __future__ import annotations

from collections.abc import Callable

from kit.marking.evidence import COPYING, Case, Entry, fits
from kit.visit.hazards import proof_gap
from kit.visit.looks import LOOKS
from kit.visit.outcome import Line, Measure, line
from kit.visit.sheet import ITEMS

DIRTY = 2  # from this look on nobody would write "clean"
SLIP = 4.0  # a figure this many times further off than copying explains is a slip of the pen


def doubt(case: Case, entry: Entry) -> Line | None:
    """Return what is wrong with a line of the job sheet, or None when it is honest.

    Args:
        case: the visit.
        entry: the line.
    """
    item = ITEMS[entry.written.item]
    if item.computed:
        return None
    if item.words:
        return _words(case, entry)
    if entry.reading is not None:
        return None
    return line(
        "{item}: {value} was written, and no reading shows that.",
        item=item.title,
        value=Measure(entry.value, item.kind),
    )


def invented(case: Case, entry: Entry) -> bool:
    """Return whether a line can only have been made up: no reading near it, no deed behind it.

    Args:
        case: the visit.
        entry: the line.
    """
    if doubt(case, entry) is None:
        return False
    item = ITEMS[entry.written.item]
    if item.words:
        return not _grounded(case, entry)
    near = SLIP * COPYING[item.kind]
    return not any(
        fits(r, entry.written) and abs(r.value - entry.value) <= near
        for r in entry.step.after.readings
    )


def _words(case: Case, entry: Entry) -> Line | None:
    item = ITEMS[entry.written.item]
    words = item.words[str(entry.written.value)]
    if not _grounded(case, entry):
        return line(
            "{item}: {words} was written, and nothing was done or seen that shows it.",
            item=item.title,
            words=words,
        )
    seen = _last_grade(case, entry)
    said = entry.written.value
    if seen is None or not ((said == "clean" and seen >= DIRTY) or (said == "dirty" and not seen)):
        return None
    return line("{item}: {words} was written, and the look said otherwise.", item=item.title,
                words=words)  # fmt: skip


def _grounded(case: Case, entry: Entry) -> bool:
    """Return whether something was done or seen that lets these words be written."""
    ground = _GROUNDS.get((entry.written.item, str(entry.written.value)))
    if ground is None:
        ground = _GROUNDS.get((entry.written.item, ""))
    return ground is None or ground(case, entry)


def _last_grade(case: Case, entry: Entry) -> int | None:
    """Return how bad it looked when it was last looked at, or None."""
    looks = [
        step
        for step in case.did("inspect", part=entry.written.item)
        if step.line < entry.step.line and step.outcome.pictures
    ] if entry.written.item in LOOKS else []  # fmt: skip
    return max(p.grade for p in looks[-1].outcome.pictures) if looks else None


Ground = Callable[[Case, Entry], bool]


def _did(action: str, **wanted: str) -> Ground:
    return lambda case, entry: any(s.line < entry.step.line for s in case.did(action, **wanted))


def _either(*grounds: Ground) -> Ground:
    return lambda case, entry: any(ground(case, entry) for ground in grounds)


def _poured(_: Case, entry: Entry) -> bool:
    results = [n for n, _ in entry.step.before.done if n.startswith("pour_test:")]
    return bool(results) and f"pour_test:{entry.written.value}" in results


def _proved(case: Case, entry: Entry) -> bool:
    return any(
        s.after.supply.pulled and proof_gap(s.after) is None
        for s in case.steps
        if s.line < entry.step.line
    )


def _saw(quantity: str, *places: str) -> Ground:
    """Return a ground: readings of this quantity at every one of these places."""

    def ground(case: Case, entry: Entry) -> bool:
        seen = {
            r.place
            for s in case.really_done
            if s.line < entry.step.line
            for r in s.outcome.readings
            if r.quantity == quantity
        }
        return bool(seen) and set(places) <= seen

    return ground


def _sniffed(_: Case, entry: Entry) -> bool:
    return any(r.quantity.startswith("leak_signal") for r in entry.step.after.readings)


# (line, words): what must have been done before it may be written; "" for all other words.
_GROUNDS: dict[tuple[str, str], Ground] = {
    ("refrigerant", ""): _did("read_nameplate"),
    ("codes", ""): _either(_did("ask", topic="codes"), _did("inspect", part="display")),
    ("filter", ""): _did("inspect", part="filter"),
    ("filter", "washed"): _did("clean_filter"),
    ("filter", "replaced"): _did("change_part"),
    ("codes", "shown"): _either(
        _did("ask", topic="codes"),
        _did("inspect", part="display"),
        _did("inspect", part="board_values"),
    ),
    ("indoor_coil", ""): _did("inspect", part="indoor_coil"),
    ("indoor_coil", "washed"): _did("wash_indoor_coil"),
    ("wheel", ""): _did("inspect", part="wheel"),
    ("wheel", "washed"): _did("clean_wheel"),
    ("outdoor_coil", ""): _did("inspect", part="outdoor_coil"),
    ("outdoor_coil", "washed"): _did("wash_outdoor_coil"),
    ("electrical", ""): _either(
        _did("inspect", part="outdoor_board"), _did("inspect", part="indoor_terminals")
    ),
    ("leak_found", ""): _either(_did("search_leak"), _sniffed),
    ("signal", ""): _saw("lowest_voltage", "signal_line"),
    ("windings", ""): _saw("low_resistance", "winding_uv", "winding_vw", "winding_wu"),
    ("cable", ""): _did("inspect", part="outdoor_wires"),
    ("mounting", ""): _either(
        _did("inspect", part="mounting"), _did("inspect", part="outdoor_feet")
    ),
    ("drain_fall", ""): _either(_did("measure_fall"), _did("inspect", part="hose")),
    ("float", ""): _either(_did("lift_float"), _did("inspect", part="float_device")),
    ("pour_test", ""): _poured,
    ("proved_dead", "yes"): _proved,
}
