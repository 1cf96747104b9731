"""Cures, harm done, and what was recommended."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import fields

from kit.faults._definition import HEALTHY
from kit.machine.condition import Condition
from kit.marking.criterion import Score, criterion
from kit.marking.evidence import Case
from kit.marking.key import Key, truth_key
from kit.marking.remedies import HANDED_ON, near_healthy, unhealthy
from kit.visit.hazards_work import not_put_back
from kit.visit.outcome import line
from kit.visit.state import State
from kit.visit.steps.decide import RECOMMENDATIONS

WORSE = 0.1  # a knob moved this far from healthy by the visit counts as harm
HOSE_LOSS = 0.06  # share of the charge that a few connections with gauges may cost
BENT = 0.05  # share of a face that folded fins close: less is nobody's harm
NEVER = ("top_up",)


@criterion
def cured_or_handed_on(case: Case) -> Score:
    """Judge each fault: made good in the visit, or handed on to whoever may mend it.

    Args:
        case: the visit.
    """
    key, given = truth_key(case.replay), _recommended(case)
    scores, said = [], []
    for one in key.faults:
        if not unhealthy(one, case.end.condition):
            scores.append(1.0)
            said.append(line("Made good: {what}.", what=one.title))
        elif set(HANDED_ON.get(one.cure.action, ())) & given:
            scores.append(1.0)
            said.append(line("Handed on: {what}.", what=one.title))
        else:
            scores.append(0.0)
            said.append(line("Neither made good nor handed on: {what}.", what=one.title))
    if not scores:
        return Score(1.0, (line("There was nothing to mend."),))
    return Score(sum(scores) / len(scores), tuple(said))


@criterion
def nothing_made_worse(case: Case) -> Score:
    """Judge whether the machine was left no worse than it was found: bent, wet, loose or off.

    Args:
        case: the visit.
    """
    start, end = case.replay.start.condition, case.end.condition
    said = [
        line("Worse than it was: {what}.", what=f.name.replace("_", " "))
        for f in fields(start)
        if _worsened(f.name, start, end)
    ]
    said += [line(words) for words, done in _HARM if done(case.end)]
    said += not_put_back(case.end)
    if not said:
        return Score(1.0, (line("Nothing was made worse."),))
    return Score(0.5 if len(said) == 1 else 0.0, tuple(said))


@criterion
def recommended_for(case: Case) -> Score:
    """Judge the recommendations by what was found and what was left undone.

    Args:
        case: the visit.
    """
    if not case.did("conclude"):
        return Score(0.0, (line("No recommendations were written down."),))
    key, given = truth_key(case.replay), _recommended(case)
    wanted, wrong = _wanted(case, key), _wrong(case, key)
    missing = [w for w in wanted if not set(w) & given]
    harmful = [w for w in RECOMMENDATIONS if w in wrong and w in given]
    said = [line("Missing: {what}.", what=RECOMMENDATIONS[m[0]]) for m in missing]
    said += [line("Out of place: {what}.", what=RECOMMENDATIONS[h]) for h in harmful]
    share = 0.0 if harmful else 1 - len(missing) / len(wanted)
    return Score(share, tuple(said) or (line("Well recommended."),))


@criterion
def most_important_first(case: Case) -> Score:
    """Judge what was put first: safety and what stops it, then what costs energy, then comfort.

    Args:
        case: the visit.
    """
    done = case.did("conclude")
    first = done[-1].args["first"] if done else None
    if first is None:
        return Score(0.0, (line("No recommendation was named as the most important."),))
    key = truth_key(case.replay)
    wanted, wrong = _wanted(case, key), _wrong(case, key)
    said = line("First you put: {what}.", what=RECOMMENDATIONS[first])
    if first in wrong:
        return Score(0.0, (said,))
    return Score(1.0 if first in wanted[0] else 0.3, (said,))


_HARM: tuple[tuple[str, Callable[[State], bool]], ...] = (
    ("Fins of the indoor coil are bent.", lambda s: s.harm.bent_indoor > BENT),
    ("Fins of the outdoor coil are bent.", lambda s: s.harm.bent_outdoor > BENT),
    ("Dirt was driven deep between the fins outdoors.", lambda s: s.harm.packed),
    ("The wheel is out of balance.", lambda s: s.harm.wheel > 0.0),
    ("A strip that must not be washed was washed.", lambda s: s.harm.strip > 0.0),
    ("The board indoors has died of water.", lambda s: s.harm.indoor_board),
    ("A sealant is in the circuit.", lambda s: s.work.sealant),
    ("The blend in the circuit is no longer what the plate says.", lambda s: s.work.shifted),
)


def _worsened(knob: str, start: Condition, end: Condition) -> bool:
    old, new = getattr(start, knob), getattr(end, knob)
    if old == new or near_healthy(knob, new):
        return False
    if knob == "charge_fraction" and abs(old - new) <= HOSE_LOSS:
        return False
    if isinstance(new, str | bool) or old is None or new is None:
        return True
    healthy = HEALTHY[knob] or 0.0
    return bool(abs(new - healthy) > abs(old - healthy) + WORSE)


def _recommended(case: Case) -> set[str]:
    done = case.did("conclude")
    return set(done[-1].args["recommendations"]) if done else set()


def _wanted(case: Case, key: Key) -> list[tuple[str, ...]]:
    """Return what belongs in the report, most important first; of each group one is enough."""
    left = [one for one in key.faults if unhealthy(one, case.end.condition)]
    wanted = [HANDED_ON[one.cure.action] for one in left if one.cure.action in HANDED_ON]
    if not key.faults:
        special = {"humid-room": ("drier_room",), "too-little-demand": ("set_remote",)}
        wanted += [(*special[w], "leave_refrigerant") for w in key.sound if w in special]
        wanted.append(("leave_refrigerant",))
    names = {one.name for one in key.faults}
    if "outdoor-recirculation" in names:
        wanted.append(("keep_clear",))
    wanted.append(("wash_filter", "yearly_service"))
    return list(dict.fromkeys(wanted))


def _wrong(case: Case, key: Key) -> set[str]:
    """Return what does harm here: money spent on sound parts, or gas on top of a leak."""
    names = {one.name for one in key.faults}
    cures = {one.cure.action for one in key.faults}
    handed = {name for cure in cures for name in HANDED_ON.get(cure, ())}
    wrong = {*NEVER, "replace_unit"}
    dear = ("leak_search", "certified_repair", "replace_part", "new_cable", "electrician")
    wrong |= {name for name in dear if name not in handed}
    if "compressor" in " ".join(names):
        wrong -= {"replace_unit"}
    charge = float(case.end.condition.charge_fraction)
    if names & {"low-charge", "no-charge"} or charge < 1 - HOSE_LOSS:
        wrong |= {"leave_refrigerant"}
        wrong -= {"leak_search", "certified_repair"}
    return wrong
