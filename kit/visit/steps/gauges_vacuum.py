"""Evacuation: pump, hoses, cores, the valve shut for the decay test, breaking the vacuum."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from kit.visit import circuit_work, clock, hazards_circuit, hazards_gas, measuring
from kit.visit.actions import Argument, Effect, action
from kit.visit.circuit_tools import PUMP_HOSES, PUMP_OIL
from kit.visit.circuit_work import Rig
from kit.visit.outcome import Line, line
from kit.visit.state import State, noted
from kit.visit.steps.gauges import off_port
from kit.visit.steps.gauges_recover import stopped, valves_open

BROKEN_WITH = {"nitrogen": "Dry nitrogen", "air": "Air, by opening the hose"}


def _no_pump(state: State, _: Mapping[str, Any]) -> Line | None:
    return line("The pump is connected already.") if state.work.rig is not None else None


def _pump(state: State, _: Mapping[str, Any]) -> Line | None:
    return None if state.work.rig is not None else line("No vacuum pump is connected.")


def _runs(state: State, _: Mapping[str, Any]) -> Line | None:
    rig = state.work.rig
    return None if rig is not None and rig.runs else line("The pump does not run.")


def _rests(state: State, _: Mapping[str, Any]) -> Line | None:
    rig = state.work.rig
    return line("The pump runs.") if rig is not None and rig.runs else None


def _test_gas_out(state: State, _: Mapping[str, Any]) -> Line | None:
    if circuit_work.gas_only(state) and circuit_work.gauge_pa(state) > 20e3:
        return line("Test pressure is still on. Let the nitrogen out first.")
    return None


@action(
    "Connect the vacuum pump",
    "gauges",
    "outdoor",
    300,
    arguments=(
        Argument("hose", "Hose", "choice", {name: pair[0] for name, pair in PUMP_HOSES.items()}),
        Argument("cores_out", "Valve core out, with the core tool", "flag"),
        Argument("oil", "Pump oil", "choice", PUMP_OIL, required=False, default="old"),
    ),
    needs=(off_port, _no_pump, stopped, valves_open),
    rules=(hazards_circuit.unqualified,),
    cautions=("refrigerant", "pressure"),
)
def connect_pump(state: State, hose: str, cores_out: bool, oil: str) -> Effect:
    """Connect the pump; its valve stays shut until it runs."""
    state = clock.solved(clock.later(state, 300.0 if oil == "fresh" else 0.0))
    state = circuit_work.with_work(state, state.work, rig=Rig(hose, cores_out, oil))
    core = "the core is out in its tool" if cores_out else "the core is in"
    said = line("The pump hangs on the {hose}; {core}.", hose=PUMP_HOSES[hose][0].lower(),
                core=core)  # fmt: skip
    return Effect(noted(state, "connect_pump"), (said,))


@action(
    "Start the vacuum pump, its valve open",
    "gauges",
    "outdoor",
    30,
    needs=(_pump, _rests, _test_gas_out),
    rules=(hazards_circuit.unqualified, hazards_gas.pump_on_pressure, hazards_circuit.flammable()),
    cautions=("refrigerant", "rotation"),
)
def start_pump(state: State) -> Effect:
    """Let it draw; it goes on while time passes."""
    state = clock.solved(state)
    rig = replace(state.work.rig, runs=True, valve_open=True)  # type: ignore[type-var]
    state = circuit_work.with_work(state, state.work, rig=rig, over_k=0.0, set_pa=0.0)
    return Effect(noted(state, "start_pump"), (line("The pump gurgles, then hums."),))


@action(
    "Stop the vacuum pump",
    "gauges",
    "outdoor",
    30,
    arguments=(
        Argument("valve_shut", "First shut the valve to the circuit", "flag", required=False,
                 default=True),
    ),
    needs=(_runs,),
    cautions=("pressure",),
)  # fmt: skip
def stop_pump(state: State, valve_shut: bool) -> Effect:
    """Shut the valve at the core tool, then stop the pump: from now the decay test runs."""
    state = clock.solved(state)
    rig = replace(state.work.rig, runs=False, valve_open=False)  # type: ignore[type-var]
    state = circuit_work.with_work(state, state.work, rig=rig)
    if valve_shut:
        said = line("The valve at the core tool is shut, then the pump is off. It is quiet.")
        return Effect(noted(state, "stop_pump"), (said,))
    said = line("The pump stops; air hisses back through it into the circuit.")
    return Effect(noted(_filled(state, "air"), "stop_pump"), (said,))


def _in_vacuum(state: State, _: Mapping[str, Any]) -> Line | None:
    return None if hazards_circuit.evacuated(state) else line("There is no vacuum to break.")


@action(
    "Break the vacuum",
    "gauges",
    "outdoor",
    120,
    arguments=(Argument("gas", "With", "choice", BROKEN_WITH),),
    needs=(off_port, _in_vacuum, _rests),
    rules=(hazards_gas.air_let_in,),
    cautions=("pressure",),
)
def break_vacuum(state: State, gas: str) -> Effect:
    """Fill up to the air's pressure: nitrogen between two evacuations carries moisture along."""
    state = _filled(clock.solved(state), gas)
    said = line("{gas} flows in up to the air's pressure.", gas=BROKEN_WITH[gas].split(",")[0])
    return Effect(noted(state, f"break_vacuum:{gas}"), (said,))


@action(
    "Take the vacuum pump off",
    "gauges",
    "outdoor",
    120,
    needs=(_pump, _rests),
    cautions=("pressure",),
)
def disconnect_pump(state: State) -> Effect:
    """Take pump and core tool off behind the shut valve; the core goes back in."""
    state = measuring.lifted(clock.solved(state), "vacuum_gauge")
    state = circuit_work.with_work(state, state.work, rig=None)
    said = line("The core is back in through its tool, the pump is off. Nothing hissed.")
    return Effect(noted(state, "disconnect_pump"), (said,))


def _filled(state: State, gas: str) -> State:
    """Return the state with the circuit filled up to the air's pressure."""
    from kit.physics import evacuation

    work, v = state.work, circuit_work.vessel_of(state)
    g = work.gases
    room = max(v.p_atm_pa - evacuation.pressure_pa(g, v), 0.0) * v.volume_m3 / v.t_k
    if gas == "nitrogen":
        gases = replace(g, nitrogen_kg=g.nitrogen_kg + room / evacuation.R_NITROGEN)
    else:
        air = room / evacuation.R_AIR
        gases = replace(g, air_kg=g.air_kg + air, vapour_kg=g.vapour_kg + air * v.outdoor_w)
    return circuit_work.with_work(state, work, gases=gases)
