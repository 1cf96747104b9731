"""Changing parts: what is in the van, what is ordered, and what others come to do."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from kit.faults import fault
from kit.visit import clock, hazards, hazards_work
from kit.visit.actions import Argument, Effect, action
from kit.visit.outcome import Hazard, Line, line
from kit.visit.repairs import NO_PART, PARTS, fitted, swapped
from kit.visit.state import PARTS as COVERS
from kit.visit.state import State, noted

BACK_S = 1800.0  # another day: on the clock only the way in and the unpacking count
ORDERED = {name: part.title for name, part in PARTS.items() if not part.in_van}
OTHERS = {
    **{name: part.title for name, part in PARTS.items() if part.circuit},
    **{name: words for name, (words, _) in NO_PART.items()},
}


def _part_argument(choices: Mapping[str, str]) -> Argument:
    return Argument("part", "Part", "choice", choices)


@action("Order a part and recommend that it is changed", "decide", "job_sheet", 240,
        arguments=(_part_argument(ORDERED),),
        needs=(lambda state, args: line("It is ordered already.")
               if args["part"] in state.parts.ordered else None,))  # fmt: skip
def order_part(state: State, part: str) -> Effect:
    """Order a part; the machine stays as it is."""
    parts = replace(state.parts, ordered=(*state.parts.ordered, part))
    said = line("Ordered and written on the sheet: {part}.", part=PARTS[part].title)
    found = swapped(state, part)
    return Effect(noted(replace(state, parts=parts), f"order:{part}"), (said,), hazards=found)


def _ordered(state: State, _: Mapping[str, Any]) -> Line | None:
    return None if state.parts.ordered else line("Nothing is ordered.")


@action("Come back another day with what was ordered", "decide", "job_sheet", BACK_S,
        needs=(_ordered,))  # fmt: skip
def fetch_parts(state: State) -> Effect:
    """Come back with the parts; what was open, off or locked was left so."""
    here = (*state.parts.at_hand, *state.parts.ordered)
    words = ", ".join(PARTS[p].title for p in state.parts.ordered)
    parts = replace(state.parts, ordered=(), at_hand=here)
    said = line("Another day. You have brought: {parts}.", parts=words)
    return Effect(noted(replace(state, parts=parts), "fetch_parts"), (said,))


def _at_hand(state: State, args: Mapping[str, Any]) -> Line | None:
    name = args["part"]
    part = PARTS[name]
    if name == "float_device" and state.order.fitted.drain == "gravity":
        return line("No float and no pump are fitted.")
    if name == "filter_strip" and state.order.fitted.strip == "none":
        return line("No strip is fitted.")
    if not part.in_van and name not in state.parts.at_hand:
        return line("There is none in the van: {part}. Order it first.", part=part.title)
    closed = [cover for cover in part.covers if cover not in state.off]
    if closed:
        return line("You cannot get at it: the {part} is on.", part=COVERS[closed[0]])
    return None


def _fit_rule(state: State, args: Mapping[str, Any]) -> Hazard | None:
    """Critical where the part sits among live or turning parts and the machine is not safe."""
    if args["part"] == "filter_strip":
        return hazards.cover_off_live(state, {"part": "filter"})
    return hazards.work_unproved(state, args)


def _bus_rule(state: State, args: Mapping[str, Any]) -> Hazard | None:
    return hazards.charged(state, args) if PARTS[args["part"]].where == "outdoor" else None


@action("Change a part", "outdoor", "outdoor", 0,
        arguments=(_part_argument({n: p.title for n, p in PARTS.items() if not p.circuit}),),
        needs=(_at_hand, hazards_work.ladder_for_part),
        rules=(_fit_rule, _bus_rule, hazards.untagged, hazards_work.ladder_wrong_for_part),
        cautions=("mains", "stored_charge"))  # fmt: skip
def change_part(state: State, part: str) -> Effect:
    """Put a new part in; whether it was the right one shows in the next reading."""
    found = swapped(state, part)
    state = clock.solved(clock.later(state, PARTS[part].takes_s))
    state = replace(state, condition=fitted(state.condition, PARTS[part]))
    hand = tuple(p for p in state.parts.at_hand if p != part)
    parts = replace(state.parts, at_hand=hand, fitted=(*state.parts.fitted, part))
    state = _with_new(replace(state, parts=parts), part)
    said = line("The new one is in: {part}. The old one lies in the box.", part=PARTS[part].title)
    return Effect(noted(state, f"change:{part}"), (said,), hazards=found)


def _with_new(state: State, part: str) -> State:
    """Return the state with what a new part sets right besides the machine's knobs."""
    harm, dirt = state.harm, state.dirt
    if part == "blower_wheel":
        harm = replace(harm, wheel=0.0)
    if part == "indoor_board":
        harm, dirt = replace(harm, indoor_board=False), replace(dirt, indoor_board_wet=False)
    if part == "inverter_board":
        dirt = replace(dirt, outdoor_board_wet=False)
    if part == "filter_strip" and harm.strip > 0.0:
        harm = replace(harm, strip=0.0)
        state = replace(state, condition=replace(state.condition, filter_loading=0.0))
    sensors = state.loose.sensors - {part}  # a new sensor is put where it belongs
    return replace(state, harm=harm, dirt=dirt, loose=replace(state.loose, sensors=sensors))


def _others_can(state: State, args: Mapping[str, Any]) -> Line | None:
    work, here = args["work"], (*state.parts.ordered, *state.parts.at_hand)
    if work not in NO_PART and work not in here:
        return line("First order it: {part}.", part=PARTS[work].title)
    if state.gauges_on:
        return line("First take your gauges off.")
    return None


@action("Have it done by those who may", "decide", "customer", 7200,
        arguments=(Argument("work", "Work on", "choice", OTHERS),), needs=(_others_can,),
        cautions=("refrigerant",))  # fmt: skip
def have_done(state: State, work: str) -> Effect:
    """Have an electrician or a certified crew come on another day and do their part."""
    found = swapped(state, work)
    state = clock.solved(state)
    if work == "supply":
        state = replace(state, condition=fault("low-supply-voltage").cure.done(state.condition))
        said = line("The electrician finds a burnt joint between panel and unit and renews it.")
    elif work == "charge":
        state = _circuit_done(state, "")
        said = line(
            "A certified crew searches, recovers, mends, tests with nitrogen, evacuates, and "
            "weighs the charge in."
        )
    else:
        state = _circuit_done(state, work)
        said = line(
            "A certified crew recovers the charge, changes the {part}, tests with nitrogen, "
            "evacuates, and weighs the charge in.",
            part=PARTS[work].title,
        )
    return Effect(noted(state, f"have_done:{work}"), (said,), hazards=found)


def _circuit_done(state: State, name: str) -> State:
    """Return the state after a crew opened the circuit, closed it tight and charged it right.

    Args:
        state: the visit, solved up to its clock.
        name: part that was changed; "" for none.
    """
    from kit.visit.circuit_facts import NO_FACTS
    from kit.visit.circuit_work import first_work

    condition = fitted(state.condition, PARTS[name]) if name else state.condition
    condition = replace(condition, charge_fraction=1.0, noncondensable_kg=0.0)
    sound = replace(state.order, faults=(), circuit=NO_FACTS)
    work = first_work(sound, state.spec, condition, state.around)
    rest = {key: tuple(p for p in getattr(state.parts, key) if p != name)
            for key in ("ordered", "at_hand")}  # fmt: skip
    done = (*state.parts.fitted, name) if name else state.parts.fitted
    parts = replace(state.parts, **rest, fitted=done)
    return replace(state, condition=condition, work=work, parts=parts)
