"""Hazards of testing: who may test live, what must be dead, and what a test does to electronics."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from kit.visit.electric_places import DEAD_TESTS, INSULATION, LIVE_TESTS, SENSOR_PLUGS, WINDINGS
from kit.visit.hazards import PAIRS, may_test_live, qualified, work_unproved
from kit.visit.outcome import Hazard, line
from kit.visit.state import State

Args = Mapping[str, Any]


def dead_test(state: State, args: Args) -> Hazard | None:
    """Critical: a meter goes to windings, coils or plugs that were not proved dead."""
    return work_unproved(state, args) if args["at"] in DEAD_TESTS else None


def live_test_unqualified(state: State, args: Args) -> Hazard | None:
    """Critical: a test at live terminals by somebody who may not."""
    at_live = args["at"] in (*PAIRS, "dc_bus", *LIVE_TESTS)
    if not (at_live and state.powered) or qualified(state):
        return None
    return Hazard(
        "live_test_unqualified",
        "critical",
        line(
            "Your trainer holds your arm: live tests are for a qualified person, or for you with "
            "one standing by. Call your supervisor first."
        ),
    )


def live_line_bare(state: State, args: Args) -> Hazard | None:
    """Near miss: a qualified hand at a live line without gloves and glasses."""
    if args["at"] not in LIVE_TESTS or not state.powered or may_test_live(state):
        return None
    text = line("A live test, and no insulating gloves or nothing before your eyes.")
    return Hazard("bare_electrical_test", "near_miss", text)


def leads_on(state: State, args: Args) -> Hazard | None:
    """Note: windings measured with the board on them; the figure is then the board's as well."""
    if args["at"] not in (*WINDINGS, "winding_to_earth"):
        return None
    if "compressor_leads" in state.loose.plugs:
        return None
    text = line("The leads are still on the board: you measure board and windings together.")
    return Hazard("leads_on", "note", text)


def through_board(state: State, args: Args) -> Hazard | None:
    """Near miss: an insulation test through electronics, which does not outlive it."""
    if args["at"] not in INSULATION or "compressor_leads" in state.loose.plugs:
        return None
    text = line("Five hundred volts go through the board: the leads are still on it.")
    return Hazard("tested_through_board", "near_miss", text)


def plug_on(state: State, args: Args) -> Hazard | None:
    """Note: a sensor measured with its plug in, so the board's own resistor counts with it."""
    which = SENSOR_PLUGS.get(args["at"])
    if which is None or which in state.loose.plugs:
        return None
    text = line("The plug is still in: the board's own resistor counts with the sensor's.")
    return Hazard("plug_on", "note", text)


METER_RULES = (
    live_test_unqualified, live_line_bare, dead_test, leads_on, through_board, plug_on,
)  # fmt: skip
