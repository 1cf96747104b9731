"""Making safe: order, lock, proof, waiting, protective equipment."""

from __future__ import annotations

from kit.marking.criterion import Score, criterion
from kit.marking.events import HANDS_IN
from kit.marking.evidence import Case
from kit.visit.hazards import SAFE_DC_V, proof_gap
from kit.visit.outcome import Line, Measure, line


@criterion
def stopped_first(case: Case) -> Score:
    """Judge whether the unit was off at the remote before the disconnect was pulled.

    Args:
        case: the visit.
    """
    pulls = case.did("pull_disconnect")
    if not pulls:
        return Score(0.0, (line("The disconnect was never pulled."),))
    loaded = [s for s in pulls if any(h.code == "pulled_under_load" for h in s.outcome.hazards)]
    words = "Pulled under load." if loaded else "Off at the remote first."
    return Score(0.0 if loaded else 1.0, (line(words),))


@criterion
def locked_and_tagged(case: Case) -> Score:
    """Judge whether lock and tag were on before the first cover was touched.

    Args:
        case: the visit.
    """
    from kit.marking.events import EVENTS

    cover = EVENTS["cover_opened"](case) or case.after_all
    lock = any(s.line < cover for s in case.did("lock"))
    tag = any(s.line < cover for s in case.did("tag"))
    said: list[Line] = []
    if not lock:
        said.append(line("No lock before the first cover."))
    if not tag:
        said.append(line("No tag before the first cover."))
    return Score(0.7 * lock + 0.3 * tag, tuple(said) or (line("Lock and tag on."),))


@criterion
def start_tried(case: Case) -> Score:
    """Judge whether a start was tried on the isolated unit.

    Args:
        case: the visit.
    """
    good = any(s.after.supply.tried and s.after.supply.locked for s in case.did("try_start"))
    words = "Tried to start: dead." if good else "No start was tried with the lock on."
    return Score(1.0 if good else 0.0, (line(words),))


@criterion
def proved_dead(case: Case) -> Score:
    """Judge the proof: known source, pairs and earth, known source again, before hands went in.

    Args:
        case: the visit.
    """
    washes = [s.line for s in case.steps if s.action in HANDS_IN and not s.outcome.refused]
    first = min(washes, default=case.after_all)
    isolated = [s for s in case.steps if s.line < first and s.after.supply.pulled]
    if not isolated:
        return Score(0.0, (line("Nothing was proved dead."),))
    gap = proof_gap(isolated[-1].after)
    if gap is None:
        return Score(1.0, (line("Known source, pairs, earth, bus, known source: proved dead."),))
    tests = len(isolated[-1].after.supply.proofs)
    return Score(0.2 if tests >= 3 else 0.0, (gap,))


@criterion
def bus_measured(case: Case) -> Score:
    """Judge whether the DC bus was measured and found discharged before hands went in.

    Args:
        case: the visit.
    """
    washes = [s.line for s in case.steps if s.action in HANDS_IN and not s.outcome.refused]
    first = min(washes, default=case.after_all)
    bus = [
        r.value
        for s in case.steps
        if s.line < first and s.after.supply.pulled
        for r in s.outcome.readings
        if r.place == "dc_bus"
    ]
    if not bus:
        return Score(0.0, (line("The DC bus was not measured."),))
    said = line("The DC bus showed {volts} at last.", volts=Measure(bus[-1], "voltage"))
    return Score(1.0 if bus[-1] < SAFE_DC_V else 0.0, (said,))


@criterion
def no_hazard(case: Case, codes: list[str], each: float = 0.34) -> Score:
    """Judge whether hazards were kept away from.

    Args:
        case: the visit.
        codes: codes of the hazards.
        each: share lost for each kind met [0..1].
    """
    met: dict[str, Line] = {}
    for _, hazard in case.hazards():
        if hazard.code in codes:
            met.setdefault(hazard.code, hazard.line)
    return Score(max(0.0, 1 - each * len(met)), tuple(met.values()) or (line("None met."),))


@criterion
def worn(case: Case, actions: list[str], wear: list[str]) -> Score:
    """Judge what was worn at some work; that the work was done at all is judged elsewhere.

    Args:
        case: the visit.
        actions: names of the work.
        wear: what must be worn.
    """
    done = [s for a in actions for s in case.did(a)]
    if not done:
        return Score(0.0, (line("That work was not done."),))
    from kit.visit.state import WORN

    missing = [i for i in wear if any(i not in s.before.worn for s in done)]
    said = tuple(line("Not worn: {what}.", what=WORN[i]) for i in missing)
    return Score(1 - len(missing) / len(wear), said or (line("All worn."),))


@criterion
def covered(case: Case, action: str, protection: list[str]) -> Score:
    """Judge what was protected while something was washed.

    Args:
        case: the visit.
        action: name of the work.
        protection: protection that must be in place.
    """
    from kit.visit.state import PROTECTION

    done = case.did(action)
    if not done:
        return Score(0.0, (line("That work was not done."),))
    missing = [i for i in protection if any(i not in s.before.protected for s in done)]
    said = tuple(line("Not in place: {what}.", what=PROTECTION[i]) for i in missing)
    return Score(1 - len(missing) / len(protection), said or (line("All in place."),))
