"""What was found, on what evidence, and which look-alikes were ruled out."""

from __future__ import annotations

from kit.faults import Fault, fault, registry
from kit.journal.replay import Step
from kit.marking.air import air
from kit.marking.criterion import Score, criterion
from kit.marking.evidence import Case
from kit.marking.key import Key, truth_key
from kit.marking.remedies import unhealthy
from kit.marking.signs import shown
from kit.visit.outcome import line
from kit.visit.steps.decide import NO_FAULTS
from kit.visit.target import BAND_K

# Pairs that a trainer accepts for one another: degrees or neighbours that no tool of a visit
# parts for certain.
ALIKE = (
    ("blocked-drain", "partly-blocked-drain"),
    ("low-charge", "no-charge"),
    ("failed-outdoor-fan", "weak-outdoor-fan"),
    ("film-on-indoor-coil", "blocked-indoor-coil"),
)
ENOUGH_SIGNS = 2  # one measurement is no conclusion; common practice
ENOUGH_RULED_OUT = 2


@criterion
def causes_found(case: Case) -> Score:
    """Judge the findings against what was wrong, or right, with the machine.

    Args:
        case: the visit.
    """
    done = _conclusion(case)
    if done is None:
        return Score(0.0, (line("No findings were written down."),))
    key, given = truth_key(case.replay), list(done.args["findings"])
    if not key.faults:
        return _sound(case, key, given)
    hit = [one for one in key.faults if any(same(one.name, g) for g in given)]
    wrong = [g for g in given if not _true(case, key, g)]
    said = [line("Found: {what}.", what=one.title) for one in hit]
    said += [line("Missed: {what}.", what=one.title) for one in key.faults if one not in hit]
    said += [line("Named, but not there: {what}.", what=_title(w)) for w in wrong]
    return Score(max(0.0, len(hit) / len(key.faults) - 0.5 * len(wrong)), tuple(said))


@criterion
def evidence(case: Case) -> Score:
    """Judge whether the readings that show each cause were taken before the conclusion.

    Args:
        case: the visit.
    """
    done = _conclusion(case)
    if done is None:
        return Score(0.0, (line("No conclusion, so nothing to prove."),))
    key = truth_key(case.replay)
    if not key.faults:
        return _sound_evidence(case, done)
    shares, said = [], []
    for one in key.faults:
        signs = sorted({sign.reading for sign in one.signs})
        seen = [s for s in signs if shown(case, s, done.line)]
        needed = min(ENOUGH_SIGNS, len(signs))
        shares.append(min(len(seen) / needed, 1.0))
        said.append(
            line(
                "{what}: {seen} of {needed} signs looked for.",
                what=one.title,
                seen=min(len(seen), needed),
                needed=needed,
            )
        )
    return Score(sum(shares) / len(shares), tuple(said))


@criterion
def look_alikes_ruled_out(case: Case) -> Score:
    """Judge whether look-alikes were named, each with the reading taken that tells it apart.

    Args:
        case: the visit.
    """
    done = _conclusion(case)
    if done is None:
        return Score(0.0, (line("No conclusion, so nothing was ruled out."),))
    key, named = truth_key(case.replay), done.args["ruled_out"] or []
    there = [n for n in named if _true(case, key, n)]
    if there:
        wrong = line("Ruled out, and yet it is there: {what}.", what=_title(there[0]))
        return Score(0.0, (wrong,))
    if not key.faults:
        return _sound_ruled_out(case, done, named)
    alike = _look_alikes(case, key)
    if not alike:
        return Score(1.0, (line("Nothing looks like it."),))
    # A split that is back on target after the cure rules out all that was not touched.
    restored = _restored(case)
    parted = {
        n for n, by in alike.items() if restored or any(shown(case, r, done.line) for r in by)
    }
    needed = min(ENOUGH_RULED_OUT, len(alike))
    good = [n for n in named if n in parted]
    said = [line("Ruled out with a reading: {what}.", what=_title(n)) for n in good]
    said += [
        line("Named, but no reading parts them: {what}.", what=_title(n))
        for n in named
        if n in alike and n not in parted
    ]
    if len(good) < needed:
        said.append(line("{seen} of {needed} look-alikes ruled out.", seen=len(good),
                         needed=needed))  # fmt: skip
    share = 0.4 * min(len(parted) / needed, 1.0) + 0.6 * min(len(good) / needed, 1.0)
    return Score(share, tuple(said))


def same(one: str, other: str) -> bool:
    """Return whether two findings count as the same.

    Args:
        one: name of a finding.
        other: name of a finding.
    """
    return one == other or any(one in pair and other in pair for pair in ALIKE)


# Signs that many faults share; alone they part nothing.
SHARED = ("split", "power", "current", "airflow", "outdoor_airflow", "suction_pressure",
          "discharge_pressure")  # fmt: skip


def _look_alikes(case: Case, key: Key) -> dict[str, set[str]]:
    """Return what reads like the faults that are there, each with the readings that part it.

    Being alike is mutual. What is there as well cannot be ruled out.
    """
    alike: dict[str, set[str]] = {}
    mine = {one.name for one in key.faults}
    signs = {sign.reading for one in key.faults for sign in one.signs}
    for one in registry().values():
        for pair in one.look_alikes:
            names = {one.name, pair.fault}
            if len(names & mine) != 1:
                continue
            (other,) = names - mine
            if _true(case, key, other):
                continue
            own = {sign.reading for sign in fault(other).signs} - signs - set(SHARED)
            alike.setdefault(other, set()).update({pair.reading}, own)
    return alike


def _restored(case: Case) -> bool:
    before, after = air(case, "as_found"), air(case, "as_left")
    was, now = before.split_k - before.target_k, after.split_k - after.target_k
    return abs(was) > BAND_K and abs(now) <= BAND_K


def _conclusion(case: Case) -> Step | None:
    done = case.did("conclude")
    return done[-1] if done else None


def _true(case: Case, key: Key, name: str) -> bool:
    """Return whether a finding is true: hidden by the author, or dirt that is there anyway."""
    if any(same(name, one) for one in (*key.names, *(s.name for s in key.slight))):
        return True
    return name not in NO_FAULTS and unhealthy(fault(name), case.replay.start.condition)


def _title(name: str) -> str:
    return NO_FAULTS.get(name) or fault(name).title


def _sound(case: Case, key: Key, given: list[str]) -> Score:
    wrong = [g for g in given if g not in key.sound and not _true(case, key, g)]
    right = [g for g in given if g in key.sound]
    said = [line("Named, but not there: {what}.", what=_title(w)) for w in wrong]
    if not right:
        said.append(line("The machine is sound, and you did not say so."))
        return Score(0.0, tuple(said))
    if wrong:
        return Score(0.0, tuple(said))
    special = [one for one in key.sound if one != "nothing-wrong"]
    if special and not set(special) & set(right):
        said.append(line("Sound, yes; what made it look ill you did not say."))
        return Score(0.6, tuple(said))
    return Score(1.0, (line("The machine is sound, and you said so."),))


def _sound_evidence(case: Case, done: Step) -> Score:
    wanted = ("split", "target_split")
    lacking = [
        item
        for item in wanted
        if not any(case.entry(item, when, done.line) for when in ("as_found", "as_left"))
    ]
    if lacking:
        said = line("That it is sound shows in a split held against its target; one is missing.")
        return Score(1 - len(lacking) / 2, (said,))
    return Score(1.0, (line("Split and target side by side show that it is sound."),))


def _sound_ruled_out(case: Case, done: Step, named: list[str]) -> Score:
    faults = [n for n in named if n not in NO_FAULTS]
    grounds = [n for n in faults if _parted_when_sound(case, fault(n), done.line)]
    said = [line("Ruled out with a reading: {what}.", what=_title(n)) for n in grounds]
    if not grounds:
        said.append(line("Say what it could have been, and which reading speaks against it."))
    return Score(min(len(grounds) / ENOUGH_RULED_OUT, 1.0), tuple(said))


def _parted_when_sound(case: Case, one: Fault, before: int) -> bool:
    return any(shown(case, sign.reading, before) for sign in one.signs)
