"""Hazards of other people and of shortcuts: their locks and hands, a shorted bus, cleaners.

Each rule judges the state before the act.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from kit.visit.hazards import work_on_live
from kit.visit.outcome import Hazard, Line, line
from kit.visit.places import bus_voltage_v
from kit.visit.state import State

Args = Mapping[str, Any]


def other_lock_on(state: State) -> bool:
    """Return whether another person's lock holds the disconnect out now."""
    whose = state.order.people.other_lock
    return bool(whose) and state.supply.pulled and not state.has_done("call_owner")


def other_lock(state: State, _: Args) -> Line | None:
    """Return a need: no lock of anybody else on the disconnect."""
    if not other_lock_on(state):
        return None
    said = "Another lock still holds the disconnect out: {whose}. Only its owner takes it off."
    return line(said, whose=state.order.people.other_lock)


def other_lock_removed(state: State, _: Args) -> Hazard | None:
    """Critical: a lock that belongs to somebody else is taken off."""
    if not other_lock_on(state):
        return None
    text = line(
        "Your trainer takes the cutter: that lock is another person's life ({whose}). Only its "
        "owner takes it off, whatever the hurry.",
        whose=state.order.people.other_lock,
    )
    return Hazard("other_lock_removed", "critical", text)


def restored_with_person(state: State, _: Args) -> Hazard | None:
    """Critical: power comes back while somebody is at work at the unit."""
    who = state.order.people.person_at_unit
    since = state.supply.moved_at_s
    if not who or any(name == "clear_people" and at >= since for name, at in state.done):
        return None
    text = line(
        "Your trainer keeps hold of the disconnect: somebody is at the unit ({who}). Look, call "
        "out, and wait until all are clear.",
        who=who,
    )
    return Hazard("restored_with_person", "critical", text)


def bus_shorted(_: State, args: Args) -> Hazard | None:
    """Critical: the DC bus is shorted with a tool, charged or not; nobody knows before."""
    if args["how"] != "tool":
        return None
    text = line(
        "Your trainer pulls the screwdriver away: a shorted bus throws molten metal and kills the "
        "board. Wait, measure, and use a resistor made for it."
    )
    return Hazard("bus_shorted", "critical", text)


def bus_live(state: State, args: Args) -> Hazard | None:
    """Critical: the bus is discharged while the mains feed it."""
    return work_on_live(state, args)


def bus_bare(state: State, _: Args) -> Hazard | None:
    """Near miss: a charged bus is touched without gloves and glasses."""
    eyes = state.worn & {"goggles", "glasses"}
    if bus_voltage_v(state) < 1.0 or ("insulating_gloves" in state.worn and eyes):
        return None
    text = line("The bus may hold charge, and you wear no insulating gloves or no glasses.")
    return Hazard("bare_electrical_test", "near_miss", text)


def mixed_chemicals(_: State, __: Args) -> Hazard | None:
    """Critical: two cleaners are poured together."""
    text = line(
        "Your trainer takes the bottles: acid and bleach give chlorine, acid and caustic boil "
        "over. One cleaner at a time, by its data sheet."
    )
    return Hazard("mixed_chemicals", "critical", text)
