"""The pressure test with nitrogen: in steps, held, corrected for temperature."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from kit.visit import circuit_work, clock, hazards_circuit, hazards_gas
from kit.visit.actions import Argument, Effect, action
from kit.visit.circuit_tools import GASES, REGULATORS
from kit.visit.outcome import Line, Measure, line
from kit.visit.state import State, noted
from kit.visit.steps.gauges import off_port
from kit.visit.steps.gauges_recover import stopped, valves_open

WARMED_K_PA = 8.0 / 3e6  # gas shoved in fast comes in warmer; common practice, no source


def _clear(state: State, args: Mapping[str, Any]) -> Line | None:
    if state.work.rig is not None:
        return line("The vacuum pump is connected. Take it off first.")
    if hazards_circuit.refrigerant_inside(state):
        return line("There is refrigerant in the circuit; nitrogen would spoil it. Recover first.")
    if args["to_pa"] is not None and args["to_pa"] <= circuit_work.gauge_pa(state):
        return line("The pressure is that high already.")
    return None


@action(
    "Put test pressure on",
    "gauges",
    "outdoor",
    180,
    arguments=(
        Argument("gas", "Gas", "choice", GASES),
        Argument("regulator", "Through", "choice", REGULATORS),
        Argument("to_pa", "Up to", "number", measure="gauge_pressure", low=1e4, high=2e7),
    ),
    needs=(off_port, stopped, valves_open, _clear),
    rules=(
        hazards_circuit.unqualified, hazards_gas.test_gas, hazards_gas.test_steps,
        hazards_gas.bare_at_test,
    ),
    cautions=("pressure",),
)  # fmt: skip
def pressurise(state: State, gas: str, regulator: str, to_pa: float) -> Effect:
    """Fill with nitrogen up to a pressure; the gas comes in warm and cools while one waits."""
    from kit.physics.evacuation import R_NITROGEN

    del gas, regulator  # anything else was stopped
    state = clock.solved(state)
    work = state.work
    rise = to_pa - circuit_work.gauge_pa(state)
    over = work.over_k + WARMED_K_PA * rise
    v = circuit_work.vessel_of(replace(state, work=replace(work, over_k=over)))
    from kit.physics import evacuation

    missing = v.p_atm_pa + to_pa - evacuation.pressure_pa(work.gases, v)
    nitrogen = work.gases.nitrogen_kg + missing * v.volume_m3 / (R_NITROGEN * v.t_k)
    state = circuit_work.with_work(
        state, work,
        gases=replace(work.gases, nitrogen_kg=nitrogen),
        over_k=over, held_pa=hazards_gas.held_pa(state), set_pa=to_pa, set_at_s=state.clock_s,
    )  # fmt: skip
    said = line(
        "Nitrogen flows in until the gauge stands at {to}; the cylinder is shut.",
        to=Measure(to_pa, "gauge_pressure"),
    )
    return Effect(noted(state, "pressurise"), (said,))
