"""The visit as a pure function: (state, action, arguments) to (state, outcome)."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from kit import machine
from kit.machine.surroundings import Command
from kit.visit import clock, hazards_work
from kit.visit.actions import Action, Argument, Effect, find_action, registry
from kit.visit.cautions import caution
from kit.visit.circuit_work import first_work
from kit.visit.outcome import ActionInfo, Hazard, Line, Outcome, line
from kit.visit.places import cautions_at
from kit.visit.state import State
from kit.visit.work_order import WorkOrder

REFUSED_S = 10.0  # time lost on something that turns out impossible
# Only what is said decides whether these are possible, so they are always offered.
_ARGUMENTS_DECIDE = ("place", "read", "record", "look_up_target", "look_up_saturation")
STOPPED_S = 60.0  # time lost when a trainer holds the learner back


def first_state(order: WorkOrder, seed: int) -> State:
    """Return the visit as the learner arrives: the unit stands, soaked at the room's air.

    Args:
        order: the work order.
        seed: what the instruments' streams are drawn from.
    """
    spec = machine.load_spec(order.machine)
    condition = order.condition()
    truth = machine.settle(spec, condition, order.surroundings, Command(mode="off"))
    work = first_work(order, spec, condition, order.surroundings)
    remote = order.remote or Command(mode="off")
    return State(order, spec, seed, truth, condition, order.surroundings, remote, work=work)


def transition(state: State, name: str, given: Mapping[str, Any]) -> tuple[State, Outcome]:
    """Do one action.

    Args:
        state: the visit before.
        name: name of the action.
        given: its arguments.

    Returns:
        The visit after, and what the learner saw. A refused or stopped action costs time and
        changes nothing else; only a probe that struck the wheel has harmed it.

    Raises:
        UnknownNameError: unknown action, argument or choice; nothing has happened then.
        KitError: a missing argument, or one of the wrong kind or size; nothing has happened.
    """
    act = find_action(name)
    args = act.parsed(given)
    before = replace(state, count=state.count + 1)
    reason = _impossible(before, act, args)
    if reason is not None:
        after = clock.later(before, REFUSED_S)
        return _ended(before, after, act, args, Effect(after, reason=reason))
    if act.rules:
        before = clock.solved(before)
    hazards = tuple(h for h in (rule(before, args) for rule in act.rules) if h is not None)
    held = next((h for h in hazards if h.level == "critical"), None)
    if held is not None:
        after = hazards_work.struck(clock.later(before, STOPPED_S), held.code)
        return _ended(before, after, act, args, Effect(after), (held,), stopped=True)
    effect = act.do(clock.later(before, act.takes_s), **args)
    return _ended(before, effect.state, act, args, effect, hazards)


def _impossible(state: State, act: Action, args: Mapping[str, Any]) -> Line | None:
    if state.closed:
        return line("The visit is over; the customer has signed.")
    for need in act.needs:
        reason = need(state, args)
        if reason is not None:
            return reason
    return None


def _ended(
    before: State,
    after: State,
    act: Action,
    args: Mapping[str, Any],
    effect: Effect,
    hazards: tuple[Hazard, ...] = (),
    stopped: bool = False,
) -> tuple[State, Outcome]:
    return after, Outcome(
        number=after.count,
        action=act.name,
        args=dict(args),
        lines=effect.lines,
        readings=effect.readings,
        traces=effect.traces,
        cautions=tuple(caution(code) for code in (*act.cautions, *_at(args))),
        hazards=(*hazards, *effect.hazards),
        pictures=effect.pictures,
        elapsed_s=round(after.clock_s - before.clock_s, 3),
        clock_s=after.clock_s,
        reason=effect.reason,
        stopped=stopped,
    )


def _at(args: Mapping[str, Any]) -> tuple[str, ...]:
    return cautions_at(args["at"]) if "at" in args else ()


def offered(state: State, everything: bool = False) -> tuple[ActionInfo, ...]:
    """Return what can be done now, in the order of the work.

    An action whose possibility hangs on its arguments is offered; some choices are then refused.

    Args:
        state: the visit.
        everything: also what cannot be done now, with the reason.
    """
    infos = []
    for act in registry().values():
        reason = _unavailable(state, act)
        if reason is None or everything:
            infos.append(
                ActionInfo(
                    act.name,
                    act.title,
                    act.phase,
                    act.part,
                    tuple(argument.info() for argument in act.arguments),
                    act.takes_s,
                    reason is None,
                    "" if reason is None else reason.render(),
                    tuple(caution(code) for code in act.cautions),
                    reason,
                )
            )
    return tuple(infos)


def _unavailable(state: State, act: Action) -> Line | None:
    if not any(argument.required for argument in act.arguments):
        return _impossible(state, act, {a.name: a.default for a in act.arguments})
    if state.closed:
        return line("The visit is over; the customer has signed.")
    reason = None
    for args in _samples(act):
        reason = _impossible(state, act, args)
        if reason is None:
            return None
    return reason


def _samples(act: Action) -> list[dict[str, Any]]:
    """Give arguments to try an action's needs with: each choice of its first argument."""
    first = act.arguments[0]
    if act.name in _ARGUMENTS_DECIDE:
        return []
    if first.kind != "choice":
        return [_filler(act)]
    return [{**_filler(act), first.name: value} for value in first.choices]


def _filler(act: Action) -> dict[str, Any]:
    return {a.name: _fill(a) for a in act.arguments}


def _fill(argument: Argument) -> Any:
    if argument.default is not None or not argument.required:
        return argument.default
    return [] if argument.kind == "choices" else next(iter(argument.choices), None)
