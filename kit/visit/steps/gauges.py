"""Gauges: only with a reason, by a certified person or under direct supervision."""

from __future__ import annotations

from dataclasses import replace

from kit.visit import clock, hazards, measuring
from kit.visit.actions import Effect, action
from kit.visit.outcome import line
from kit.visit.state import State, noted

HOSE_LOSS_KG = 0.012  # lost at each connection, low-loss fittings; from memory


@action("Call your supervisor to stand by", "gauges", "customer", 600)
def call_supervisor(state: State) -> Effect:
    """Have a certified person stand by."""
    said = line("A certified colleague comes and stands by while you work on the circuit.")
    return Effect(noted(replace(state, supervised=True), "call_supervisor"), (said,))


@action(
    "Attach the gauges",
    "gauges",
    "outdoor",
    240,
    needs=(lambda state, _: line("They are on already.") if state.gauges_on else None,),
    rules=(hazards.gauges_unqualified,),
    cautions=("refrigerant", "pressure", "flammable"),
)
def attach_gauges(state: State) -> Effect:
    """Attach a hose to the port of the gas line; each time a little charge is lost."""
    state = clock.solved(state)
    charge = float(state.spec.charge_kg)
    lost = min(HOSE_LOSS_KG / charge, state.condition.charge_fraction)
    state = clock.with_condition(state, charge_fraction=state.condition.charge_fraction - lost)
    said = line("The hose is on the port of the gas line. A short hiss: some charge is lost.")
    return Effect(noted(replace(state, gauges_on=True), "attach_gauges"), (said,))


@action(
    "Take the gauges off",
    "gauges",
    "outdoor",
    120,
    needs=(lambda state, _: None if state.gauges_on else line("No gauges are attached."),),
    cautions=("pressure",),
)
def remove_gauges(state: State) -> Effect:
    """Take the hose off and cap the port."""
    state = measuring.lifted(clock.solved(state), "gauges")
    said = line("The hose is off, core and cap are tight.")
    return Effect(replace(state, gauges_on=False), (said,))
