"""What tests of the work itself share: a visit with a fault, made safe, opened, closed and run."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from kit.machine.surroundings import Surroundings
from kit.visit import clock
from kit.visit.outcome import Outcome
from kit.visit.places import bus_voltage_v
from kit.visit.state import State
from kit.visit.visit import Visit
from kit.visit.work_order import HiddenFault, WorkOrder, load_work_order

DRESS = ("goggles", "cut_gloves", "mask", "insulating_gloves")
COVERS = ("drop_cloth", "wash_bag", "indoor_electrics", "outdoor_electrics")
PROOF = ("known_source", "line_1_line_2", "line_1_earth", "line_2_earth", "dc_bus", "known_source")
WARM = Surroundings(299.15, 0.5, 303.15, 0.45, 120.0)
COLD = Surroundings(293.15, 0.4, 280.15, 0.6, 120.0)
FULL_K = {"cooling": 289.15, "heating": 303.15}


def order_with(
    *faults: tuple[str, float | str], mode: str = "cooling", **changes: Any
) -> WorkOrder:
    """Return a work order with these faults and nothing else wrong."""
    order = load_work_order("spring-check-01")
    around = WARM if mode == "cooling" else COLD
    hidden = tuple(HiddenFault(name, severity) for name, severity in faults)
    return replace(order, mode=mode, faults=hidden, knobs={}, surroundings=around, **changes)


def visit_with(*faults: tuple[str, float | str], mode: str = "cooling", **changes: Any) -> Visit:
    """Return a visit just begun at a machine with these faults."""
    return Visit(order_with(*faults, mode=mode, **changes), seed=7)


def state_of(visit: Visit) -> State:
    """Return the visit's state, brought up to its clock."""
    return clock.solved(visit._state)


def do(visit: Visit, action: str, **args: Any) -> Outcome:
    """Do a step that must be neither refused nor stopped."""
    outcome = visit.step(action, **args)
    assert not outcome.refused, f"{action}: {outcome.why}"
    assert not outcome.stopped, f"{action}: {outcome.text}"
    return outcome


def run(visit: Visit, minutes: float = 15.0) -> None:
    """Ask for all there is and let it run."""
    mode = visit.order.mode
    do(visit, "set_demand", mode=mode, setpoint_k=FULL_K[mode])
    do(visit, "wait", minutes=minutes)


def make_safe(visit: Visit, wait_min: float = 12.0) -> None:
    """Stop it, isolate it, lock it, and prove it dead, dressed for all that may come."""
    do(visit, "set_demand", mode="off")
    do(visit, "wear", items=list(DRESS))
    do(visit, "pull_disconnect")
    do(visit, "lock")
    do(visit, "tag")
    do(visit, "wait", minutes=wait_min)
    do(visit, "open_outdoor", part="terminal_cover")
    if bus_voltage_v(state_of(visit)) > 50.0:  # it keeps its charge
        do(visit, "discharge_bus", how="resistor")
    for place in PROOF:
        do(visit, "read", instrument="multimeter", at=place)


def open_up(visit: Visit) -> None:
    """Take everything off and cover what must stay dry."""
    do(visit, "protect", items=list(COVERS))
    for part in ("front_panel", "filter", "indoor_casing"):
        if part not in visit._state.off:
            do(visit, "open_indoor", part=part)
    do(visit, "open_outdoor", part="outdoor_panels")


def close_up(visit: Visit) -> None:
    """Put everything back and give it its power."""
    for part in ("outdoor_panels", "terminal_cover", "indoor_casing", "filter", "front_panel"):
        if part in visit._state.off:
            do(visit, "refit", part=part)
    do(visit, "unprotect", items=list(COVERS))
    do(visit, "remove_lock")
    do(visit, "restore_power")


def seen(visit: Visit, part: str) -> tuple[str, tuple[tuple[str, int], ...]]:
    """Return the words and the pictures of a look."""
    outcome = do(visit, "inspect", part=part)
    return outcome.text, tuple((p.subject, p.grade) for p in outcome.pictures)


def value(
    visit: Visit, instrument: str, at: str, quantity: str = "", hold_s: float = 15.0
) -> float:
    """Return what an instrument shows."""
    readings = do(visit, "read", instrument=instrument, at=at, hold_s=hold_s).readings
    return next(r.value for r in readings if quantity in ("", r.quantity))


def live(visit: Visit) -> None:
    """Open the way to live tests: somebody qualified stands by, gloves and glasses on."""
    do(visit, "call_supervisor")
    do(visit, "wear", items=["insulating_gloves", "glasses"])
    do(visit, "open_outdoor", part="terminal_cover")
