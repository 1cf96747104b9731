"""Putting back, restoring power, handing over."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from kit.visit import clock, hazards, hazards_circuit, hazards_more, hazards_work
from kit.visit.actions import Argument, Effect, action
from kit.visit.outcome import Hazard, Line, line
from kit.visit.places import bus_voltage_v
from kit.visit.state import PARTS, PROTECTION, State, Supply, noted
from kit.visit.steps.indoor import can_go_on

EXPLAIN = {
    "what_was_done": "What was found and what was done",
    "before_after": "The readings before and after, side by side",
    "filter_care": "How and how often to wash the filter",
    "recommendations": "What is recommended, the most important first",
    "defects": "Safety defects, or that there are none",
    "next_visit": "When the next visit is due",
}


@action(
    "Put back",
    "finish",
    "indoor",
    180,
    arguments=(Argument("part", "Part", "choice", PARTS),),
    needs=(can_go_on,),
    rules=(hazards.cover_off_live,),
)
def refit(state: State, part: str) -> Effect:
    """Put a part back with all its screws."""
    state = clock.with_off(state, state.off - {part})
    state = clock.with_loose(state, few_screws=state.loose.few_screws - {part})
    if part == "filter" and state.dirt.filter_water > 0.1:
        said = line("You push the filter in wet. A film of water closes much of the mesh.")
        return Effect(noted(state, "refit_wet"), (said,))
    return Effect(state, (line("Back in place, every screw of it: {part}.", part=PARTS[part]),))


@action("Count screws and tools, look into every corner", "finish", "indoor", 120)
def check_reassembly(state: State) -> Effect:
    """Look whether all is back and nothing is left inside."""
    missing = [PARTS[p] for p in PARTS if p in state.off]
    left = [PROTECTION[p] for p in PROTECTION if p in state.protected]
    lines = [line("Still off: {what}.", what=", ".join(missing))] if missing else []
    lines += [line("Still in place: {what}.", what=", ".join(left))] if left else []
    lines += hazards_work.not_put_back(state)
    said = tuple(lines) or (line("All screws used, no tool inside, louvre free."),)
    return Effect(noted(state, "check_reassembly"), said)


def _locked(state: State, _: Mapping[str, Any]) -> Line | None:
    return None if state.supply.locked or state.supply.tagged else line("No lock of yours is on.")


@action("Take your lock and tag off", "finish", "disconnect", 40, needs=(_locked,),
        cautions=("mains",))  # fmt: skip
def remove_lock(state: State) -> Effect:
    """Take off one's own lock and tag, nobody else's."""
    supply = replace(state.supply, locked=False, tagged=False)
    said = [line("You take off your own lock and tag.")]
    if hazards_more.other_lock_on(state):
        whose = state.order.people.other_lock
        said.append(line("Another lock still hangs on the disconnect: {whose}.", whose=whose))
    if state.order.people.person_at_unit:
        said.append(line("Somebody is at the unit: {who}.", who=state.order.people.person_at_unit))
    return Effect(replace(state, supply=supply), tuple(said))


def _restorable(state: State, _: Mapping[str, Any]) -> Line | None:
    if not state.supply.pulled:
        return line("The disconnect is in already.")
    if state.supply.locked:
        return line("Your lock is still on.")
    return None


@action(
    "Push the disconnect in",
    "finish",
    "disconnect",
    60,
    needs=(_restorable, hazards_more.other_lock),
    rules=(hazards.restored_unsafe, hazards_more.restored_with_person,
           hazards_circuit.start_by_power, hazards_work.plugs_left),
    cautions=("mains", "rotation"),
)
def restore_power(state: State) -> Effect:
    """Give the machine its power back; what got wet fails now, and a start may come by itself."""
    found = _surprises(state)
    state = clock.with_supply(state, Supply(moved_at_s=state.clock_s))
    state = replace(state, supply=replace(state.supply, bus_then_v=bus_voltage_v(state)))
    lines = [line("The disconnect is in. A click outdoors, a beep indoors.")]
    if state.dirt.outdoor_board_wet:
        state = clock.with_condition(state, inverter_state="dead")
        lines = [line("A bang outdoors and a smell of burning. Water was on the board.")]
    elif _burns_new_board(state):
        state = clock.with_condition(state, inverter_state="dead")
        lines = [line("A bang outdoors: the new board is gone as well. Look what burns them.")]
    if state.dirt.indoor_board_wet:
        state = clock.with_harm(state, indoor_board=True)
        lines.append(line("The lamp indoors flickers and blinks. Water was on its board."))
    return Effect(noted(state, "restore_power"), tuple(lines), hazards=found)


def _burns_new_board(state: State) -> bool:
    """Return whether a board is switched on to a compressor burnt through to its shell."""
    new = "inverter_board" in state.parts.fitted
    leads_on = "compressor_leads" not in state.loose.plugs
    return new and leads_on and state.condition.compressor_state == "earthed_winding"


def _surprises(state: State) -> tuple[Hazard, ...]:
    found = []
    if state.command.mode != "off":
        text = line("The remote was left on: wheel and fan start by themselves.")
        found.append(Hazard("starts_by_itself", "near_miss", text))
    if "wash_bag" in state.protected:
        text = line("The wash bag still hangs over the outlet.")
        found.append(Hazard("bag_left", "note", text))
    if "filter" in state.off:
        text = line("The filter is not in: all dust goes into the clean coil.")
        found.append(Hazard("filter_left_out", "note", text))
    return tuple(found)


@action(
    "Hand over to the customer",
    "finish",
    "customer",
    300,
    arguments=(Argument("explain", "Explain", "choices", EXPLAIN),),
    needs=(
        lambda state, _: (
            None
            if state.has_done("conclude")
            else line("First write down what you found and what you recommend.")
        ),
    ),
    rules=(hazards_work.left_open,),
)
def hand_over(state: State, explain: list[str]) -> Effect:
    """Explain, have it signed, leave; the visit ends here."""
    said = tuple(line("You explain: {what}.", what=EXPLAIN[e]) for e in explain)
    end = line("The customer signs. The visit is over.")
    return Effect(replace(state, closed=True), (*said, end))
