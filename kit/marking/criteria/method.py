"""How readings were taken, written down and worked out."""

from __future__ import annotations

import math

from kit.marking.air import ROUNDING_K, Air, air
from kit.marking.criterion import Score, criterion
from kit.marking.evidence import Case, Entry, asked_gap_k
from kit.visit.outcome import Line, Measure, line
from kit.visit.places import PLACES
from kit.visit.sheet import ITEMS, WHEN
from kit.visit.steps.run import FANS

SAME_AIR_K = 1.0  # two set temperatures count as the same; common practice, no source


@criterion
def demand(case: Case, when: str, least_k: float, fan: str) -> Score:
    """Judge the demand that ran while the leaving air was read.

    Args:
        case: the visit.
        when: "as_found" or "as_left".
        least_k: least difference of room and set temperature [K].
        fan: fan setting wanted.
    """
    entry = _leaving(case, when)
    if entry is None or entry.taken is None:
        return Score(0.0, (line("No reading of the leaving air to judge the demand by."),))
    command = entry.taken.after.asked
    if command.mode != case.replay.order.mode:
        return Score(0.0, (line("The unit did not run in the mode of the work order."),))
    gap_k = asked_gap_k(case, entry.taken)
    said = (
        line("Set to the end of the remote's range, fan {fan}.", fan=FANS[command.fan])
        if math.isinf(gap_k)
        else line(
            "Set {gap} beyond the room's air, fan {fan}.",
            gap=Measure(gap_k, "temperature_difference"),
            fan=FANS[command.fan],
        )
    )
    enough = gap_k >= least_k - 0.05
    return Score((0.7 if enough else 0.0) + (0.3 if command.fan == fan else 0.0), (said,))


@criterion
def ran_long_enough(case: Case, when: str, minutes: float) -> Score:
    """Judge how long the unit had run when entering and leaving air were read.

    Args:
        case: the visit.
        when: "as_found" or "as_left".
        minutes: least time [min].
    """
    entries = [case.entry("return_dry_bulb", when), _leaving(case, when)]
    taken = [e.taken for e in entries if e is not None and e.taken is not None]
    if not taken:
        return Score(0.0, (line("No reading to judge the waiting time by."),))
    shortest = min(case.ran_s(step) for step in taken)
    said = line("The unit had run for {time}.", time=Measure(shortest, "time"))
    return Score(min(shortest / (minutes * 60), 1.0) if shortest < minutes * 54 else 1.0, (said,))


@criterion
def reading_good(case: Case, item: str, when: str, places: list[str]) -> Score:
    """Judge one reading: written down, taken at the right place, and steady.

    Args:
        case: the visit.
        item: line of the job sheet.
        when: "as_found" or "as_left".
        places: places that are right.
    """
    return _reading(case.entry(item, when), item, when, places)


@criterion
def any_reading_good(case: Case, items: list[str], when: str, places: list[str]) -> Score:
    """Judge the best of several lines of which one is enough.

    Args:
        case: the visit.
        items: lines of the job sheet.
        when: "as_found" or "as_left".
        places: places that are right.
    """
    scores = [_reading(case.entry(item, when), item, when, places) for item in items]
    return max(scores, key=lambda score: score.share)


@criterion
def recorded(case: Case, items: list[str], when: str) -> Score:
    """Judge whether lines of the job sheet were filled in from readings or seen things.

    Args:
        case: the visit.
        items: lines of the job sheet; of lines joined by "|" one is enough.
        when: "as_found" or "as_left".
    """
    from kit.marking.audit import doubt

    items = [_filled_one(case, one.split("|"), when) for one in items]
    missing = [i for i in items if case.entry(i, when) is None]
    doubtful = [
        i for i in items if (e := case.entry(i, when)) is not None and doubt(case, e) is not None
    ]
    bad = [*missing, *doubtful]
    said = tuple(
        line("{when}, {item}: {what}.", when=WHEN[when], item=ITEMS[i].title,
             what="not written down" if i in missing else "written down without grounds")
        for i in bad
    ) or (line("All written down."),)  # fmt: skip
    return Score(1 - len(bad) / len(items), said)


@criterion
def split_entered(case: Case, when: str) -> Score:
    """Judge the split against the learner's own two readings.

    Args:
        case: the visit.
        when: "as_found" or "as_left".
    """
    entry, own = case.entry("split", when), air(case, when)
    return _number(entry, own.split_k, ROUNDING_K, "split")


@criterion
def target_entered(case: Case, when: str) -> Score:
    """Judge the target against the card's value for the learner's own readings.

    Args:
        case: the visit.
        when: "as_found" or "as_left".
    """
    entry, own = case.entry("target_split", when), air(case, when)
    if entry is None or math.isnan(own.card_k):
        return _number(entry, own.card_k, own.tolerance_k, "target")
    book = own.handbook_k
    by_book = not math.isnan(book) and abs(entry.value - book) < abs(entry.value - own.card_k)
    score = _number(entry, book if by_book else own.card_k, own.tolerance_k, "target")
    other = own.card_k if by_book else book
    if math.isnan(other):
        return score
    beside = "The unit's card says {other}." if by_book else "The handbook's table says {other}."
    said = line(beside, other=Measure(other, "temperature_difference"))
    return Score(score.share, (*score.said, said))


@criterion
def probes_matched(case: Case, when: str) -> Score:
    """Judge whether entering and leaving air can be compared: one probe, or two cross-checked.

    Args:
        case: the visit.
        when: "as_found" or "as_left".
    """
    own = air(case, when)
    pair = [e.reading for e in (own.entering, own.leaving) if e is not None and e.reading]
    if len(pair) < 2:
        return Score(0.0, (line("No pair of readings to compare."),))
    tools = {reading.instrument for reading in pair}
    if len(tools) == 1:
        return Score(1.0, (line("One probe for both: its error drops out of the split."),))
    if all(_checked_probe(case, tool) for tool in tools):
        return Score(1.0, (line("Two probes, both checked in ice and water."),))
    return Score(0.3, (line("Two probes, and neither was held against the other."),))


def _checked_probe(case: Case, tool: str) -> bool:
    return any(
        r.instrument == tool and r.place == "ice_bath"
        for step in case.steps
        for r in step.outcome.readings
    )


@criterion
def same_conditions(case: Case) -> Score:
    """Judge whether the recheck was made as the baseline was: mode, demand, fan, places, time.

    Args:
        case: the visit.
    """
    before, after = air(case, "as_found"), air(case, "as_left")
    pairs = [(before.entering, after.entering), (before.leaving, after.leaving)]
    if any(e is None or e.taken is None for pair in pairs for e in pair):
        return Score(0.0, (line("There is no full pair of readings to compare."),))
    wrong = _differences(case, before, after)
    said = wrong or (line("Same mode, demand, fan, places and instruments, and as long a run."),)
    return Score(max(0.0, 1 - len(wrong) / 3), said)


def _differences(case: Case, before: Air, after: Air) -> tuple[Line, ...]:
    wrong = []
    for old, new in ((before.entering, after.entering), (before.leaving, after.leaving)):
        if not (old and new and old.taken and new.taken and old.reading and new.reading):
            continue
        a, b = old.taken.after, new.taken.after
        if a.asked.mode != b.asked.mode or a.asked.fan != b.asked.fan:
            wrong.append(line("Another mode or fan speed than at the baseline."))
        if abs(a.asked.setpoint_k - b.asked.setpoint_k) > SAME_AIR_K:
            wrong.append(line("Another set temperature than at the baseline."))
        if old.reading.place != new.reading.place:
            wrong.append(line("{item}: read at another place.", item=new.written.title))
        if old.reading.instrument != new.reading.instrument:
            wrong.append(line("{item}: read with another instrument.", item=new.written.title))
        if case.ran_s(new.taken) < min(case.ran_s(old.taken), 900) - 120:
            wrong.append(line("{item}: read after a shorter run.", item=new.written.title))
    return tuple(dict.fromkeys(wrong))


def _filled_one(case: Case, items: list[str], when: str) -> str:
    return next((i for i in items if case.entry(i, when) is not None), items[0])


def _leaving(case: Case, when: str) -> Entry | None:
    return case.entry("supply_dry_bulb", when)


def _reading(entry: Entry | None, item: str, when: str, places: list[str]) -> Score:
    title = ITEMS[item].title
    if entry is None:
        said = line("{when}, {item}: not written down.", when=WHEN[when], item=title)
        return Score(0.0, (said,))
    if entry.reading is None:
        said = line("{when}, {item}: no reading stands behind it.", when=WHEN[when], item=title)
        return Score(0.0, (said,))
    shown = Measure(entry.reading.value, entry.reading.kind)
    where = PLACES[entry.reading.place].title
    said = line("{item}: {value} at {place}.", item=title, value=shown, place=where)
    if entry.reading.place not in places:
        return Score(0.25, (said, line("That is not the place for it.")))
    if not entry.reading.steady:
        return Score(0.5, (said, line("The figure still moved when it was read.")))
    return Score(1.0, (said,))


def _number(entry: Entry | None, wanted: float, tolerance: float, what: str) -> Score:
    if entry is None:
        return Score(0.0, (line("No figure for the {what}.", what=what),))
    given = Measure(entry.value, "temperature_difference")
    if math.isnan(wanted):
        said = line("{given} for the {what}, but the readings it rests on are missing.",
                    given=given, what=what)  # fmt: skip
        return Score(0.0, (said,))
    said = line(
        "{given} for the {what}; your own readings give {wanted}, give or take {tolerance}.",
        given=given,
        what=what,
        wanted=Measure(wanted, "temperature_difference"),
        tolerance=Measure(tolerance, "temperature_difference"),
    )
    off = abs(entry.value - wanted)
    return Score(1.0 if off <= tolerance else 0.4 if off <= 2 * tolerance else 0.0, (said,))
