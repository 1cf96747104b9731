"""Passing of time: the machine is brought up to the clock only when somebody looks or acts."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

from kit import machine
from kit.machine.condition import Condition
from kit.machine.surroundings import SURROUNDINGS_RANGES, Command
from kit.visit import circuit_time, circuit_work, handwork
from kit.visit.outcome import Trace
from kit.visit.places import PLACES
from kit.visit.state import Dirt, Probe, State, Supply

CHUNK_S = 30.0  # longest piece solved at once while the machine runs
IDLE_S = 120.0  # ... and while it stands in weather that changes
WEATHER_STEP_K = 0.1
RUN_DRY_S = 1800.0  # a wet filter dries so fast in the air stream; common practice, no source
HANG_DRY_S = 1200.0  # ... and so fast in the shade after shaking; the same
WET_MESH = 0.6  # share of the mesh closed by a film of water; the same


def working_condition(state: State) -> Condition:
    """Return the condition the machine runs in now, with what work adds to or takes from it."""
    base = handwork.handled(circuit_work.iced(state.condition, state.work), state)
    loading = base.filter_loading
    recirculation = base.outdoor_recirculation
    if "filter" in state.off:
        loading = 0.0
    elif state.dirt.filter_water > 0:
        loading += (1 - loading) * WET_MESH * state.dirt.filter_water
    if "outdoor_panels" in state.off:
        recirculation = max(recirculation, 0.4)
    if loading == base.filter_loading and recirculation == base.outdoor_recirculation:
        return base
    return replace(base, filter_loading=loading, outdoor_recirculation=recirculation)


def later(state: State, seconds: float) -> State:
    """Return the state with the clock moved on; nothing is solved yet."""
    return replace(state, clock_s=round(state.clock_s + seconds, 3))


def solved(state: State) -> State:
    """Return the state with the machine and the probes brought up to the clock."""
    while state.clock_s > state.solved_s:
        left = state.clock_s - state.solved_s
        busy = state.asked.mode != "off"
        longest = CHUNK_S if busy else IDLE_S if state.order.drift_k_s else left
        state = _piece(state, min(left, longest))
    return state


def watched(state: State, seconds: float) -> tuple[State, tuple[Trace, ...]]:
    """Return the state some time later, and what instruments left in place showed meanwhile."""
    from kit.visit.measuring import displayed

    if not state.probes:
        return later(state, seconds), ()
    points: dict[tuple[str, str, str], list[tuple[float, float]]] = {}
    end = round(state.clock_s + seconds, 3)
    step = CHUNK_S if state.asked.mode != "off" else 4 * CHUNK_S
    while state.clock_s < end:
        state = solved(later(state, min(step, end - state.clock_s)))
        for probe in state.probes:
            for quantity, value in displayed(state, probe, round(state.clock_s)):
                key = (probe.instrument, quantity, probe.place)
                points.setdefault(key, []).append((state.clock_s, value))
    return state, tuple(_trace(key, rows) for key, rows in points.items())


def with_condition(state: State, **knobs: Any) -> State:
    """Return the state with knobs of the machine turned from now on."""
    state = solved(state)
    return replace(state, condition=replace(state.condition, **knobs))


def with_command(state: State, command: Command) -> State:
    """Return the state with the remote asking for something else from now on."""
    state = solved(state)
    if command == state.command:
        return state
    return replace(state, command=command, demand_since_s=state.clock_s)


def with_supply(state: State, supply: Supply) -> State:
    """Return the state with another isolation from now on."""
    state = solved(state)
    return replace(state, supply=supply, demand_since_s=state.clock_s)


def with_off(state: State, off: frozenset[str]) -> State:
    """Return the state with other covers and parts off from now on."""
    return replace(solved(state), off=off)


def with_loose(state: State, **changes: Any) -> State:
    """Return the state with other things off, out or loose from now on."""
    state = solved(state)
    return replace(state, loose=replace(state.loose, **changes))


def with_harm(state: State, **changes: Any) -> State:
    """Return the state with other damage from now on."""
    state = solved(state)
    return replace(state, harm=replace(state.harm, **changes))


def with_dirt(state: State, **traces: Any) -> State:
    """Return the state with other traces of work from now on."""
    state = solved(state)
    return replace(state, dirt=replace(state.dirt, **traces))


def _weather(state: State) -> State:
    """Let the air outdoors follow the hour of the day, in steps a probe can just tell."""
    if state.order.drift_k_s == 0.0:
        return state
    low, high = SURROUNDINGS_RANGES["outdoor_db_k"]
    warmer = round(state.order.drift_k_s * state.solved_s / WEATHER_STEP_K) * WEATHER_STEP_K
    outdoor = min(max(state.order.surroundings.outdoor_db_k + warmer, low), high)
    if outdoor == state.around.outdoor_db_k:
        return state
    return replace(state, around=replace(state.around, outdoor_db_k=outdoor))


def _piece(state: State, dt_s: float) -> State:
    state = _weather(state)
    truth = machine.advance(
        state.truth, state.spec, working_condition(state), state.around, state.asked, dt_s
    )
    after = replace(state, truth=truth, solved_s=round(state.solved_s + dt_s, 3))
    if state.clock_s - after.solved_s < 1e-6:
        after = replace(after, solved_s=state.clock_s)
    if not truth.running:
        after = replace(after, running_since_s=after.solved_s)
    after = replace(after, dirt=_dried(after, dt_s))
    after = circuit_time.passed(after, dt_s)
    return replace(after, probes=tuple(_followed(after, p, dt_s) for p in after.probes))


def _dried(state: State, dt_s: float) -> Dirt:
    if state.dirt.filter_water == 0.0:
        return state.dirt
    hanging = "filter" in state.off
    if not hanging and state.asked.mode == "off":
        return state.dirt
    water = state.dirt.filter_water * math.exp(-dt_s / (HANG_DRY_S if hanging else RUN_DRY_S))
    return replace(state.dirt, filter_water=water if water > 0.02 else 0.0)


def _followed(state: State, probe: Probe, dt_s: float) -> Probe:
    """Let the sensing element follow the medium, which moved in a straight line meanwhile."""
    from kit.visit.instruments import instrument
    from kit.visit.measuring import wanted

    tool = instrument(probe.instrument)
    now = wanted(tool, PLACES[probe.place].values(state))
    before, old = dict(probe.target), dict(probe.element)
    element = []
    for scale in tool.scales:
        if scale.quantity not in now:
            continue
        target = now[scale.quantity]
        if scale.lag_s == 0 or dt_s > 20 * scale.lag_s:
            element.append((scale.quantity, target))
            continue
        start = before.get(scale.quantity, target)
        behind = (target - start) / dt_s * scale.lag_s
        begin = old.get(scale.quantity, start) - start + behind
        element.append((scale.quantity, target - behind + begin * math.exp(-dt_s / scale.lag_s)))
    return replace(probe, element=tuple(element), target=tuple(now.items()))


def _trace(key: tuple[str, str, str], rows: list[tuple[float, float]]) -> Trace:
    from kit.visit.instruments import instrument

    name, quantity, place = key
    kind = instrument(name).scale(quantity).kind
    return Trace(name, quantity, kind, place, tuple(r[0] for r in rows), tuple(r[1] for r in rows))
