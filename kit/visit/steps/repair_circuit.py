"""Changing a part of the refrigerant circuit oneself, once it is empty and all is dead."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any

from kit.visit import clock, hazards, hazards_circuit, hazards_work
from kit.visit.actions import Argument, Effect, action
from kit.visit.outcome import Hazard, Line, line
from kit.visit.repairs import PARTS, fitted, swapped
from kit.visit.state import PARTS as COVERS
from kit.visit.state import State, noted
from kit.visit.steps.gauges_recover import stopped
from kit.visit.steps.gauges_repair import opened

CIRCUIT = {name: part.title for name, part in PARTS.items() if part.circuit}
Rule = Callable[[State, Mapping[str, Any]], Hazard | None]


def _brazing(rule: Rule) -> Rule:
    """Return a rule of the repair, judged as it is for a part that is brazed in."""
    return lambda state, args: rule(state, {**args, "method": "replace_part"})


def _at_hand(state: State, args: Mapping[str, Any]) -> Line | None:
    part = args["part"]
    if part not in state.parts.at_hand:
        return line("There is none in the van: {part}. Order it first.", part=PARTS[part].title)
    closed = [cover for cover in PARTS[part].covers if cover not in state.off]
    if closed:
        return line("You cannot get at it: the {part} is on.", part=COVERS[closed[0]])
    return hazards_work.out_of_reach(state)


@action(
    "Change a part of the circuit",
    "gauges",
    "outdoor",
    0,
    arguments=(
        Argument("part", "Part", "choice", CIRCUIT),
        Argument("nitrogen_flow", "A little nitrogen flows while it is brazed", "flag",
                 required=False, default=False),
    ),
    needs=(_at_hand, stopped),
    rules=(
        hazards.work_unproved, hazards.charged, hazards_circuit.unqualified,
        _brazing(hazards_circuit.opened_full), _brazing(hazards_circuit.torch),
        hazards_circuit.flammable(), hazards_work.ladder_wrong,
    ),
    cautions=("refrigerant", "pressure", "flammable", "stored_charge"),
)  # fmt: skip
def change_circuit_part(state: State, part: str, nitrogen_flow: bool) -> Effect:
    """Cut one part out and braze another in; test, evacuation and charge are still to come."""
    found = swapped(state, part)
    state = clock.solved(state)
    state = opened(state, nitrogen_flow, PARTS[part].takes_s)
    state = clock.solved(clock.later(state, PARTS[part].takes_s))
    state = replace(state, condition=fitted(state.condition, PARTS[part]))
    hand = tuple(p for p in state.parts.at_hand if p != part)
    parts = replace(state.parts, at_hand=hand, fitted=(*state.parts.fitted, part))
    said = line(
        "The new one is in and brazed: {part}. The circuit holds {gas} now.",
        part=PARTS[part].title,
        gas="nitrogen" if nitrogen_flow else "air",
    )
    return Effect(noted(replace(state, parts=parts), f"change:{part}"), (said,), hazards=found)
