"""The remote, and waiting."""

from __future__ import annotations

from kit.machine.surroundings import Command
from kit.visit import clock, hazards_circuit
from kit.visit.actions import Argument, Effect, action
from kit.visit.outcome import Measure, line
from kit.visit.state import State

FANS = {
    "auto": "Auto",
    "quiet": "Quiet",
    "low": "Low",
    "medium": "Medium",
    "high": "High",
}
MODES = {"cooling": "Cooling", "heating": "Heating", "fan": "Fan only", "off": "Off"}


@action(
    "Set the remote",
    "run",
    "remote",
    15,
    arguments=(
        Argument("mode", "Mode", "choice", MODES),
        Argument(
            "setpoint_k", "Set temperature", "number", measure="temperature",
            low=289.15, high=305.15, required=False,
        ),
        Argument("fan", "Fan", "choice", FANS, required=False, default="auto"),
    ),
    rules=(hazards_circuit.start_powered,),
    cautions=("rotation",),
)  # fmt: skip
def set_demand(state: State, mode: str, setpoint_k: float | None, fan: str) -> Effect:
    """Ask for a mode, a temperature and a fan speed."""
    setpoint = state.command.setpoint_k if setpoint_k is None else setpoint_k
    state = clock.with_command(state, Command(mode=mode, setpoint_k=setpoint, fan=fan))
    if not state.powered:
        return Effect(state, (line("You set the remote. The unit stays dark: it has no power."),))
    if mode == "off":
        return Effect(state, (line("The louvre closes and the fan runs out."),))
    said = line(
        "The remote shows {mode}, {setpoint}, fan {fan}. The louvre opens.",
        mode=MODES[mode],
        setpoint=Measure(setpoint, "temperature"),
        fan=FANS[fan],
    )
    return Effect(state, (said,))


@action(
    "Wait",
    "run",
    "clock",
    0,
    arguments=(Argument("minutes", "Minutes", "number", measure="", low=0.25, high=240.0),),
)
def wait(state: State, minutes: float) -> Effect:
    """Let time pass; instruments left in place go on showing what they measure."""
    state, traces = clock.watched(state, minutes * 60.0)
    said = line("{minutes} minutes pass.", minutes=round(minutes, 2))
    return Effect(state, (said,), traces=traces)
