"""What tests of the refrigerant circuit share: an order that needs it, and quick ways into it."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from typing import Any

from kit.visit import circuit_work, clock
from kit.visit.outcome import Outcome
from kit.visit.state import State, Supply
from kit.visit.transition import first_state, transition
from kit.visit.visit import Visit
from kit.visit.work_order import WorkOrder, load_work_order
from tests.visit.handy import do

CARE = ("ignition_clear", "detector_on", "aired")
WEAR = frozenset({"goggles", "cut_gloves"})
LEAK = "gas_flare_outdoor"
SEED = 7


@cache
def order(**changes: Any) -> WorkOrder:
    """Return the work order that asks for work on the circuit, with some fields changed."""
    return replace(load_work_order("low-charge-01"), **changes)


@cache
def careful(**changes: Any) -> State:
    """Return a visit whose learner is supervised, dressed and has taken every precaution."""
    state = first_state(order(**changes), SEED)
    work = replace(state.work, care=frozenset(CARE))
    return replace(state, supervised=True, worn=WEAR, work=work)


@cache
def on_gauges(**changes: Any) -> State:
    """Return the same with gauges attached and the disconnect out and locked."""
    state, _ = transition(careful(**changes), "attach_gauges", {})
    return replace(state, supply=Supply(pulled=True, locked=True, tagged=True))


@cache
def recovered() -> State:
    """Return the same after recovery to 0 gauge."""
    return after(on_gauges(), "recover", cylinder="own")


@cache
def mended() -> State:
    """Return the same after a new flare where it leaked."""
    return after(recovered(), "repair_leak", where=LEAK, method="new_flare", nitrogen_flow=True)


@cache
def in_vacuum() -> State:
    """Return the same well evacuated, the pump shut off but connected."""
    state = after(mended(), "connect_pump", hose="wide", cores_out=True, oil="fresh")
    state = after(after(state, "start_pump"), "wait", minutes=15)
    return after(state, "stop_pump")


def after(state: State, action: str, **args: Any) -> State:
    """Return the state after an action that must be neither refused nor stopped."""
    following, outcome = transition(state, action, args)
    assert not outcome.refused, outcome.why
    assert not outcome.stopped, outcome.text
    return clock.solved(following)


def tried(state: State, action: str, **args: Any) -> Outcome:
    """Return what an attempt comes to."""
    return transition(state, action, args)[1]


def met(state: State, action: str, **args: Any) -> dict[str, str]:
    """Return the hazards of an action, code to level."""
    return {hazard.code: hazard.level for hazard in tried(state, action, **args).hazards}


def gap_kg(state: State) -> float:
    """Return what is missing in the balance of refrigerant [kg]."""
    return state.work.ledger.gap_kg(state.work.charge_kg)


def microns(state: State) -> float:
    """Return the pressure of the circuit in microns."""
    return circuit_work.port_pa(state) / 0.1333224


def begin(visit: Visit) -> None:
    """Take somebody certified along, dress, take precautions and attach the gauges."""
    do(visit, "call_supervisor")
    do(visit, "wear", items=sorted(WEAR))
    do(visit, "take_precautions", measures=list(CARE))
    do(visit, "attach_gauges")


def isolate(visit: Visit) -> None:
    """Switch it off, pull the disconnect, lock and tag it."""
    do(visit, "set_demand", mode="off")
    do(visit, "wait", minutes=3)
    for action in ("pull_disconnect", "lock", "tag"):
        do(visit, action)


def mend(visit: Visit, where: str = LEAK, **how: Any) -> None:
    """Recover and make a new flare."""
    do(visit, "recover", cylinder="own")
    do(visit, "repair_leak", where=where, method="new_flare", **{"nitrogen_flow": True, **how})


def press(visit: Visit, minutes: float = 30.0) -> tuple[float, float]:
    """Put nitrogen on in steps, hold it, and return both readings [Pa gauge]."""
    for pressure in (350e3, 1.03e6, 3.5e6):
        do(visit, "pressurise", gas="nitrogen", regulator="relief", to_pa=pressure)
        do(visit, "wait", minutes=3)
    do(visit, "wait", minutes=30)
    first = read(visit, "gauges", "gas_port")
    do(visit, "wait", minutes=minutes)
    last = read(visit, "gauges", "gas_port")
    do(visit, "let_out")
    return first, last


def evacuate(visit: Visit, minutes: float = 20.0, **how: Any) -> None:
    """Connect the pump, let it draw, shut it off for the decay test."""
    do(visit, "connect_pump", **{"hose": "wide", "cores_out": True, "oil": "fresh", **how})
    do(visit, "place", instrument="vacuum_gauge", at="vacuum_far")
    do(visit, "start_pump")
    do(visit, "wait", minutes=minutes)
    do(visit, "stop_pump")


def charge(visit: Visit, mass_kg: float, **how: Any) -> None:
    """Weigh in, take everything off and cap it."""
    do(visit, "set_up_scale", tare=how.pop("tare", "hose_filled"))
    do(visit, "weigh_in", **{"refrigerant": "R-32", "phase": "liquid", "mass_kg": mass_kg, **how})
    if visit._state.work.rig is not None:
        do(visit, "disconnect_pump")
    do(visit, "remove_gauges")
    if visit._state.work.caps_off:
        do(visit, "refit_caps")


def power_up(visit: Visit) -> None:
    """Take one's lock off and give the unit its power back."""
    do(visit, "remove_lock")
    do(visit, "restore_power")


def read(visit: Visit, tool: str, place: str, hold_s: float = 60.0) -> float:
    """Return what an instrument shows [SI]."""
    outcome = do(visit, "read", instrument=tool, at=place, hold_s=hold_s)
    assert outcome.readings, outcome.text
    return outcome.readings[-1].value
