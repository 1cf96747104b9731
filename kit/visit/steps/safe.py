"""Making safe: disconnect, lock and tag, try a start, wear what protects. Proof is by the meter."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from kit.visit import clock, hazards_circuit
from kit.visit.actions import Argument, Effect, action
from kit.visit.outcome import Hazard, Line, line
from kit.visit.places import bus_voltage_v
from kit.visit.state import WORN, State, Supply, noted


def _in(state: State, _: Mapping[str, Any]) -> Line | None:
    return line("The disconnect is out already.") if state.supply.pulled else None


def _out(state: State, _: Mapping[str, Any]) -> Line | None:
    return None if state.supply.pulled else line("The disconnect is in; there is nothing to lock.")


def _pulled_under_load(state: State, _: Mapping[str, Any]) -> Hazard | None:
    if state.asked.mode == "off":
        return None
    text = line("You pull it under load. First off at the remote, let the fan run out, then pull.")
    return Hazard("pulled_under_load", "note", text)


@action(
    "Pull the disconnect",
    "safe",
    "disconnect",
    60,
    needs=(_in,),
    rules=(_pulled_under_load,),
    cautions=("mains", "stored_charge"),
)
def pull_disconnect(state: State) -> Effect:
    """Take the disconnect out; from now the DC bus discharges."""
    state = clock.solved(state)
    supply = Supply(pulled=True, moved_at_s=state.clock_s, bus_then_v=bus_voltage_v(state))
    return Effect(
        clock.with_supply(state, supply),
        (line("The disconnect is out and in your hand. The outdoor unit clicks and is still."),),
    )


@action(
    "Put your lock on", "safe", "disconnect", 30, needs=(
        _out,
        lambda state, _: line("Your lock is on already.") if state.supply.locked else None,
    ), cautions=("mains",),
)  # fmt: skip
def lock(state: State) -> Effect:
    """Put one's own lock on; the key goes into one's own pocket."""
    supply = replace(state.supply, locked=True)
    said = line("Your lock holds the disconnect out. The key is in your pocket.")
    return Effect(replace(state, supply=supply), (said,))


@action(
    "Hang your tag", "safe", "disconnect", 20, needs=(
        _out,
        lambda state, _: line("Your tag hangs there already.") if state.supply.tagged else None,
    ),
)  # fmt: skip
def tag(state: State) -> Effect:
    """Hang a tag with name, date and reason."""
    supply = replace(state.supply, tagged=True)
    said = line("The tag says who works here, since when and why.")
    return Effect(replace(state, supply=supply), (said,))


@action(
    "Try to start it",
    "safe",
    "remote",
    60,
    rules=(hazards_circuit.start_powered,),
    cautions=("rotation",),
)
def try_start(state: State) -> Effect:
    """Press start at the remote, then set it off again."""
    if not state.powered:
        supply = replace(state.supply, tried=True)
        command = replace(state.command, mode="off")
        state = clock.with_command(replace(state, supply=supply), command)
        said = "No beep, no light, no louvre. You set the remote off again."
        return Effect(noted(state, "try_start"), (line(said),))
    state = clock.later(state, 30)
    mode = state.order.mode
    started = clock.with_command(state, replace(state.command, mode=mode))
    started = clock.with_command(clock.later(started, 10), replace(state.command, mode="off"))
    text = line("It beeps and starts. It is not isolated. You set the remote off again.")
    return Effect(started, hazards=(Hazard("started_by_trial", "note", text),))


@action(
    "Put on protective equipment",
    "safe",
    "customer",
    30,
    arguments=(Argument("items", "Items", "choices", WORN),),
)
def wear(state: State, items: list[str]) -> Effect:
    """Put on what protects; it stays on until it is taken off."""
    words = ", ".join(WORN[i] for i in items) or "nothing"
    return Effect(
        replace(state, worn=state.worn | set(items)), (line("You put on: {items}.", items=words),)
    )


@action(
    "Take off protective equipment",
    "safe",
    "customer",
    15,
    arguments=(Argument("items", "Items", "choices", WORN),),
)
def take_off(state: State, items: list[str]) -> Effect:
    """Take off what is no longer needed."""
    words = ", ".join(WORN[i] for i in items) or "nothing"
    return Effect(
        replace(state, worn=state.worn - set(items)), (line("You take off: {items}.", items=words),)
    )
