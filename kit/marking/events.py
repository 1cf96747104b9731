"""Events of a visit that a rubric can put in order."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from kit.visit.hazards import COVERS, proof_gap

if TYPE_CHECKING:
    from kit.marking.evidence import Case

# Each gives the line of the journal where the event happened, or None when it did not.
Event = Callable[["Case"], "int | None"]


def _first(*actions: str) -> Event:
    def event(case: Case) -> int | None:
        return min((s.line for a in actions for s in case.did(a)), default=None)

    return event


def _last(*actions: str) -> Event:
    def event(case: Case) -> int | None:
        return max((s.line for a in actions for s in case.did(a)), default=None)

    return event


def _cleaning(case: Case) -> int | None:
    return case.first_cleaning if case.first_cleaning < case.after_all else None


def _baseline(case: Case) -> int | None:
    """Both air temperatures as found were written down."""
    entering = case.entry("return_dry_bulb", "as_found")
    leaving = case.entry("supply_dry_bulb", "as_found")
    if entering is None or leaving is None:
        return None
    taken = [e.taken.line for e in (entering, leaving) if e.taken is not None]
    return max([entering.step.line, leaving.step.line, *taken])


def _locked(case: Case) -> int | None:
    return next((s.line for s in case.steps if s.after.isolated), None)


def _cover(case: Case) -> int | None:
    tries = [s for s in case.steps if s.action in ("open_indoor", "open_outdoor")]
    return next((s.line for s in tries if s.args["part"] in COVERS), None)


def _proved(case: Case) -> int | None:
    return next(
        (s.line for s in case.steps if s.after.supply.pulled and proof_gap(s.after) is None), None
    )


def _wash(case: Case) -> int | None:
    return _last("wash_indoor_coil", "clean_wheel")(case)


def _recheck(case: Case) -> int | None:
    entry = case.entry("supply_dry_bulb", "as_left")
    return None if entry is None or entry.taken is None else entry.taken.line


def _closed_up(case: Case) -> int | None:
    """The last part went back on."""
    if case.end.off:
        return None
    return _last("refit")(case)


def _gate(case: Case) -> int | None:
    return _first("decide")(case)


def _first_work(case: Case) -> int | None:
    """Hand, tool or water first went in, or was held back on its way in."""
    tries = [s.line for s in case.steps if s.action in HANDS_IN and not s.outcome.refused]
    return min(tries, default=None)


# Work for which the machine must be proved dead.
HANDS_IN = ("wash_indoor_coil", "clean_wheel", "clear_drain", "wash_outdoor_coil", "unplug",
            "pull_sensor", "reseat_sensor", "change_part", "dry_board")  # fmt: skip

EVENTS: dict[str, Event] = {
    "baseline": _baseline,
    "gate": _gate,
    "cleaning": _cleaning,
    "locked": _locked,
    "cover_opened": _cover,
    "proved_dead": _proved,
    "wash": _wash,
    "outdoor_wash": _last("wash_outdoor_coil"),
    "pour_test": _last("pour_test"),
    "closed_up": _closed_up,
    "power_back": _last("restore_power"),
    "recheck": _recheck,
    "gauges": _first("attach_gauges"),
    "protected": _first("protect"),
    "first_work": _first_work,
    "first_wash": _first("wash_indoor_coil", "clean_wheel"),
    "handed_over": _last("hand_over"),
}


def in_order(case: Case, first: str, then: str, optional: bool = False) -> bool:
    """Return whether an event came before another; true when the other never came.

    Args:
        case: the visit.
        first: name of what must come first.
        then: name of what must come after it.
        optional: whether the first may also be left out altogether.
    """
    after = EVENTS[then](case)
    before = EVENTS[first](case)
    if after is None or before is None:
        return after is None or optional
    return before < after
