"""Things done or not done, and when."""

from __future__ import annotations

from kit.marking.criterion import Score, criterion, together
from kit.marking.events import in_order
from kit.marking.evidence import Case
from kit.visit.actions import registry
from kit.visit.looks import LOOKS
from kit.visit.outcome import Line, Measure, line
from kit.visit.sheet import ITEMS
from kit.visit.state import PROTECTION
from kit.visit.steps.finish import EXPLAIN
from kit.visit.topics import TOPICS


@criterion
def did_all(case: Case, actions: list[str]) -> Score:
    """Judge whether actions were done, in whatever order.

    Args:
        case: the visit.
        actions: their names.
    """
    missing = [a for a in actions if not case.did(a)]
    said = tuple(line("Not done: {what}.", what=registry()[a].title) for a in missing)
    return Score(1 - len(missing) / len(actions), said or (line("Done."),))


@criterion
def did_none(case: Case, actions: list[str]) -> Score:
    """Judge whether actions were left alone.

    Args:
        case: the visit.
        actions: their names.
    """
    done = [a for a in actions if case.did(a)]
    said = tuple(line("Done without need: {what}.", what=registry()[a].title) for a in done)
    return Score(0.0 if done else 1.0, said or (line("Left alone, as it should be."),))


@criterion
def in_sequence(case: Case, first: str, then: str) -> Score:
    """Judge whether one event came before another; both must have come.

    Args:
        case: the visit.
        first: name of the event that must come first.
        then: name of the event that must come after.
    """
    from kit.marking.events import EVENTS

    came = EVENTS[first](case) is not None and EVENTS[then](case) is not None
    good = came and in_order(case, first, then)
    words = "In the right order." if good else "Not in that order." if came else "Not done."
    return Score(1.0 if good else 0.0, (line(words),))


@criterion
def asked(case: Case, topics: list[str], before_cleaning: bool = True) -> Score:
    """Judge whether the customer was asked.

    Args:
        case: the visit.
        topics: what about.
        before_cleaning: whether it must have been before any cleaning.
    """
    latest = case.first_cleaning if before_cleaning else case.after_all
    missing = [t for t in topics if not any(s.line < latest for s in case.did("ask", topic=t))]
    said = tuple(line("Not asked: {what}.", what=TOPICS[t].title) for t in missing)
    return Score(1 - len(missing) / len(topics), said or (line("Asked."),))


@criterion
def inspected(case: Case, parts: list[str], before_cleaning: bool = False) -> Score:
    """Judge whether parts were looked at.

    Args:
        case: the visit.
        parts: what must be looked at.
        before_cleaning: whether it must have been before any cleaning.
    """
    latest = case.first_cleaning if before_cleaning else case.after_all
    missing = [p for p in parts if not any(s.line < latest for s in case.did("inspect", part=p))]
    said = tuple(line("Not looked at: {what}.", what=LOOKS[p].title) for p in missing)
    return Score(1 - len(missing) / len(parts), said or (line("Looked at."),))


@criterion
def used_method(case: Case, action: str, methods: list[str]) -> Score:
    """Judge how a piece of work was done; the worst try counts.

    Args:
        case: the visit.
        action: name of the action.
        methods: methods that are right.
    """
    done = case.did(action)
    if not done:
        return Score(0.0, (line("Not done: {what}.", what=registry()[action].title),))
    labels = registry()[action].arguments[0].choices
    wrong = [s.args["method"] for s in done if s.args["method"] not in methods]
    if wrong:
        return Score(0.0, (line("Done wrongly: {how}.", how=labels[wrong[0]]),))
    return Score(1.0, (line("Done: {how}.", how=labels[done[-1].args["method"]]),))


@criterion
def cured(case: Case, knobs: list[str], at_most: float = 0.1) -> Score:
    """Judge what the machine was left with, of the dirt it was found or made dirty with.

    Args:
        case: the visit.
        knobs: knobs of the machine that must be near healthy.
        at_most: how much may be left [0..1].
    """
    left = [k for k in knobs if getattr(case.end.condition, k) > at_most]
    found = {k for k in knobs if getattr(case.replay.start.condition, k) > at_most} | set(left)
    words = "Clean at the end." if not left else "Not clean at the end."
    return Score(1 - len(left) / max(len(found), 1), (line(words),))


@criterion
def cleaned(
    case: Case, action: str, methods: list[str], knobs: list[str], at_most: float = 0.1
) -> Score:
    """Judge a cleaning by how it was done and by what was left at the end, half each.

    Args:
        case: the visit.
        action: name of the work.
        methods: methods that are right.
        knobs: knobs of the machine that must be near healthy.
        at_most: how much may be left [0..1].
    """
    return together([used_method(case, action, methods), cured(case, knobs, at_most)])


@criterion
def covered_at_wash(case: Case, actions: list[str], protection: list[str]) -> Score:
    """Judge what was protected during whichever of several washes were done.

    Args:
        case: the visit.
        actions: names of the work; at least one must have been done.
        protection: protection that must be in place.
    """
    done = [step for action in actions for step in case.did(action)]
    if not done:
        return Score(0.0, (line("That work was not done."),))
    missing = [i for i in protection if any(i not in s.before.protected for s in done)]
    said = tuple(line("Not in place: {what}.", what=PROTECTION[i]) for i in missing)
    return Score(1 - len(missing) / len(protection), said or (line("All in place."),))


@criterion
def filter_done(case: Case) -> Score:
    """Judge whether the filter was washed from the clean side and went back dry, half each.

    Args:
        case: the visit.
    """
    return together([used_method(case, "clean_filter", ["vacuum_and_rinse"]), filter_dry(case)])


@criterion
def poured_and_written(case: Case) -> Score:
    """Judge the drain test: done, and its result written down as left, whatever it was.

    Args:
        case: the visit.
    """
    results = [n for n, _ in case.end.done if n.startswith("pour_test:")]
    if not results:
        return Score(0.0, (line("No water was poured into the pan."),))
    result = results[-1].removeprefix("pour_test:")
    said = [line("The last pour: {what}.", what=ITEMS["pour_test"].words[result])]
    entry = case.entry("pour_test", "as_left")
    written = entry is not None and entry.written.value == result
    if not written:
        said.append(line("The result is not on the job sheet, as left."))
    return Score(1.0 if written else 0.6, tuple(said))


@criterion
def pour_tested(case: Case) -> Score:
    """Judge the drain test: after the last wash, running freely, and written down so.

    Args:
        case: the visit.
    """
    tests = case.did("pour_test")
    if not tests:
        return Score(0.0, (line("No water was poured into the pan."),))
    results = [n for n, _ in case.end.done if n.startswith("pour_test:")]
    free = results[-1] == "pour_test:free"
    entry = case.entry("pour_test", "as_left")
    written = entry is not None and entry.written.value == results[-1].removeprefix("pour_test:")
    said = [line("The last pour ran freely." if free else "The last pour did not run freely.")]
    if not written:
        said.append(line("The result is not on the job sheet, as left."))
    return Score((0.6 if free else 0.0) + (0.4 if written else 0.0), tuple(said))


@criterion
def filter_dry(case: Case) -> Score:
    """Judge whether the filter went back, and dry.

    Args:
        case: the visit.
    """
    if not case.did("refit", part="filter"):
        return Score(0.0, (line("The filter did not go back."),))
    wet = case.end.has_done("refit_wet")
    words = "The filter went back wet." if wet else "The filter went back dry."
    return Score(0.0 if wet else 1.0, (line(words),))


@criterion
def closed_up(case: Case) -> Score:
    """Judge whether all parts were back and counted before power came back.

    Args:
        case: the visit.
    """
    power = case.did("restore_power")
    if not power:
        return Score(0.0, (line("Power was never restored."),))
    said: list[Line] = []
    if power[-1].before.off:
        said.append(line("Something was still off when power came back."))
    if power[-1].before.protected:
        said.append(line("A cover for the wash was still in place when power came back."))
    if not any(s.line < power[-1].line for s in case.did("check_reassembly")):
        said.append(line("Screws and tools were not counted."))
    return Score(max(0.0, 1 - len(said) / 2), tuple(said) or (line("All back and counted."),))


@criterion
def handed_over(case: Case, explain: list[str]) -> Score:
    """Judge the hand-over.

    Args:
        case: the visit.
        explain: what must be explained.
    """
    done = case.did("hand_over")
    if not done:
        return Score(0.0, (line("The visit was not handed over."),))
    missing = [e for e in explain if e not in done[-1].args["explain"]]
    said = tuple(line("Not explained: {what}.", what=EXPLAIN[m]) for m in missing)
    return Score(1 - len(missing) / len(explain), said or (line("Explained."),))


@criterion
def within_time(case: Case) -> Score:
    """Judge the time taken against what the work order allows.

    Args:
        case: the visit.
    """
    took, allowed = case.end.clock_s, case.replay.order.allowed_min * 60
    said = line("Took {took} of {allowed}.", took=Measure(took, "time"),
                allowed=Measure(allowed, "time"))  # fmt: skip
    return Score(1.0 if took <= allowed else 0.5 if took <= 1.25 * allowed else 0.0, (said,))
