"""Work on the refrigerant circuit: done step by step, or handed on to whoever may."""

from __future__ import annotations

from kit.marking.criteria.gate import handed_on
from kit.marking.criterion import Score, criterion
from kit.marking.evidence import Case, Entry
from kit.marking.numbers import expected
from kit.visit.outcome import Measure, line

WORK = ("recover", "repair_leak", "pressurise", "connect_pump", "weigh_in", "top_up", "let_out")
# Common practice, no source: trade limits of evacuation, and how long a test is held.
DRY_PA = 67.0  # 500 micron
HELD_PA = 134.0  # 1,000 micron
DECAY_S = 540.0  # ten minutes, give or take one
NITROGEN_S = 840.0  # fifteen minutes, give or take one
WEIGHED_SHARE = 0.03  # of the charge; what a scale and a hose leave open


def _unless_handed_on(case: Case) -> Score | None:
    """Return the score of a visit in which nobody worked on the circuit, or None."""
    if any(case.did(action) for action in WORK):
        return None
    if handed_on(case) or case.did("have_done"):
        return Score(1.0, (line("Left to a certified person, and written down so."),))
    return Score(0.0, (line("Neither done nor handed on."),))


@criterion
def leak_searched(case: Case) -> Score:
    """Judge whether the leak was searched before charging, and its place written down.

    Args:
        case: the visit.
    """
    score = _unless_handed_on(case)
    if score is not None:
        return score
    filled = [s.line for a in ("weigh_in", "top_up") for s in case.did(a)]
    latest = min(filled, default=case.after_all)
    sought = any(s.line < latest for s in case.did("search_leak")) or any(
        r.quantity.startswith("leak_signal")
        for s in case.really_done
        if s.line < latest
        for r in s.outcome.readings
    )
    written = any(e.written.item == "leak_found" for e in case.entries)
    said = [line("Leak searched before charging." if sought else "No leak search before charging.")]
    if not written:
        said.append(line("Where it leaked is not on the job sheet."))
    return Score(0.7 * sought + 0.3 * written, tuple(said))


@criterion
def recovered_first(case: Case) -> Score:
    """Judge whether the charge was recovered before opening or charging, and weighed.

    Args:
        case: the visit.
    """
    score = _unless_handed_on(case)
    if score is not None:
        return score
    opened = [s.line for a in ("repair_leak", "weigh_in", "top_up") for s in case.did(a)]
    first = min(opened, default=case.after_all)
    done = any(s.line < first for s in case.did("recover"))
    weighed = case.entry("recovered", "as_found") or case.entry("recovered", "as_left")
    words = "Recovered before anything else." if done else "Not recovered first."
    said = [line(words)]
    if done and weighed is None:
        said.append(line("How much was recovered is not on the job sheet."))
    return Score(0.0 if not done else 1.0 if weighed else 0.7, tuple(said))


@criterion
def nitrogen_tested(case: Case) -> Score:
    """Judge the pressure test: after the repair, held, and corrected for temperature.

    Args:
        case: the visit.
    """
    score = _unless_handed_on(case)
    if score is not None:
        return score
    start, end = _either(case, "nitrogen_start"), _either(case, "nitrogen_end")
    if start is None or end is None or start.reading is None or end.reading is None:
        return Score(0.0, (line("No test pressure at the start and at the end."),))
    held_s = end.reading.at_s - start.reading.at_s
    said = [line("Held for {time}.", time=Measure(held_s, "time"))]
    share = 0.5 * min(held_s / NITROGEN_S, 1.0)
    repairs = [s.line for s in case.did("repair_leak")]
    if repairs and start.step.line < max(repairs):
        said.append(line("The test came before the repair."))
        share = 0.0
    figure = expected(case, "nitrogen_expected", end.written.when)
    tight = abs(end.value - figure.value) <= 2 * figure.tolerance
    if figure.missing is not None:
        said.append(figure.missing)
    elif tight:
        said.append(line("Corrected for temperature it is tight."))
        share *= 2.0
    else:
        said.append(line("Corrected for temperature it has fallen: it leaks still."))
    return Score(share, tuple(said))


@criterion
def evacuated(case: Case) -> Score:
    """Judge the evacuation: deep enough at the far side, and a decay test that held.

    Args:
        case: the visit.
    """
    score = _unless_handed_on(case)
    if score is not None:
        return score
    reached, held = _either(case, "vacuum_reached"), _either(case, "vacuum_after_hold")
    if reached is None or reached.reading is None:
        return Score(0.0, (line("No vacuum on the job sheet."),))
    said = [line("Vacuum reached: {pa}.", pa=Measure(reached.value, "vacuum"))]
    share = 0.4 if reached.value <= DRY_PA else 0.0
    if reached.reading.place != "vacuum_far":
        said.append(line("Read at the pump, not at the far side."))
        share = 0.1 if share else 0.0
    if held is None or held.reading is None:
        return Score(share, (*said, line("No decay test.")))
    waited_s = held.reading.at_s - reached.reading.at_s
    said.append(
        line("After {time} it stood at {pa}.", time=Measure(waited_s, "time"),
             pa=Measure(held.value, "vacuum"))
    )  # fmt: skip
    good = waited_s >= DECAY_S and held.value <= HELD_PA
    return Score(share + (0.6 if good else 0.2), tuple(said))


@criterion
def weighed_in(case: Case) -> Score:
    """Judge the charge: weighed in after evacuation, the amount that plate and lines call for.

    Args:
        case: the visit.
    """
    score = _unless_handed_on(case)
    if score is not None:
        return score
    done, guessed = case.did("weigh_in"), case.did("top_up")
    if guessed:
        return Score(0.0, (line("Topped up without a scale: nobody knows how much is in it."),))
    if not done:
        return Score(0.0, (line("No charge was weighed in."),))
    total = sum(float(s.args["mass_kg"]) for s in done)
    figure = expected(case, "charge_to_weigh", "as_left")
    said = [line("Weighed in: {kg}.", kg=Measure(total, "small_mass"))]
    if figure.missing is not None:
        return Score(0.3, (*said, figure.missing))
    said.append(line("Plate and lines call for {kg}.", kg=Measure(figure.value, "small_mass")))
    off = abs(total - figure.value)
    limit = figure.tolerance + WEIGHED_SHARE * figure.value
    return Score(1.0 if off <= limit else 0.3 if off <= 2 * limit else 0.0, tuple(said))


def _either(case: Case, item: str) -> Entry | None:
    return case.entry(item, "as_left") or case.entry(item, "as_found")
