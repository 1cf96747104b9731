"""Other people's locks and hands before power comes back, and shortcuts that a trainer stops."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

from kit.visit import clock, hazards_more
from kit.visit.actions import Argument, Effect, action
from kit.visit.outcome import line
from kit.visit.places import bus_voltage_v
from kit.visit.state import State, noted
from kit.visit.steps.indoor import needs_off

if TYPE_CHECKING:
    from collections.abc import Mapping

    from kit.visit.outcome import Line

DISCHARGE = {
    "resistor": "Through a resistor made for it, and wait",
    "tool": "Short it with a screwdriver",
}
OWNER_S = 900.0  # the other trade finishes, looks and takes the lock off; invented for the demo
LEFT_V = 2.0  # what a discharge resistor leaves on the bus; common practice, no source


@action(
    "Discharge the DC bus",
    "safe",
    "outdoor",
    90,
    arguments=(Argument("how", "How", "choice", DISCHARGE),),
    needs=(needs_off("terminal_cover"),),
    rules=(hazards_more.bus_live, hazards_more.bus_shorted, hazards_more.bus_bare),
    cautions=("stored_charge",),
)
def discharge_bus(state: State, how: str) -> Effect:
    """Take the charge off the bus with a resistor; measuring it afterwards is still needed."""
    del how  # the other way was stopped
    state = clock.solved(state)
    left = min(LEFT_V, bus_voltage_v(state))
    supply = replace(state.supply, moved_at_s=state.clock_s, bus_then_v=left)
    state = replace(state, supply=supply)
    said = line("The resistor gets warm and cools again. Measure before you touch anything.")
    return Effect(noted(state, "discharge_bus"), (said,))


@action("Pour two cleaners together to make them stronger", "indoor", "indoor", 60,
        rules=(hazards_more.mixed_chemicals,), cautions=("chemicals",))  # fmt: skip
def mix_cleaners(state: State) -> Effect:
    """Mix cleaners; a trainer stops this every time."""
    return Effect(state)


def _other(state: State, _: Mapping[str, Any]) -> Line | None:
    if hazards_more.other_lock_on(state):
        return None
    return line("No lock of anybody else hangs there.")


@action("Ask the owner of the other lock to finish and take it off", "finish", "disconnect",
        OWNER_S, needs=(_other,))  # fmt: skip
def call_owner(state: State) -> Effect:
    """Wait for the other person to finish, look round and take their own lock off."""
    said = line("{whose}: finished, all clear, and the lock is in its owner's hand.",
                whose=state.order.people.other_lock)  # fmt: skip
    return Effect(noted(state, "call_owner"), (said,))


@action("Cut the other lock off", "finish", "disconnect", 120, needs=(_other,),
        rules=(hazards_more.other_lock_removed,), cautions=("mains",))  # fmt: skip
def cut_lock(state: State) -> Effect:
    """Take off a lock that is not one's own; a trainer stops this every time."""
    return Effect(state)


@action("Look that nobody is at the unit, and call out that power comes back", "finish",
        "disconnect", 60)  # fmt: skip
def clear_people(state: State) -> Effect:
    """Walk once round both units and call out."""
    who = state.order.people.person_at_unit
    if not who:
        return Effect(noted(state, "clear_people"), (line("Nobody is there. You call out."),))
    said = line("You call out and wait: {who}. Now all are clear.", who=who)
    return Effect(noted(state, "clear_people"), (said,))
