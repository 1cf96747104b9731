"""Care that is neither washing nor a part: fins, ice, hose, air path, float, ladder, drying."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from kit.machine.surroundings import Command
from kit.visit import clock, hazards, hazards_work
from kit.visit.actions import Argument, Effect, action
from kit.visit.handwork import float_sound, ice_share, unbent, with_bent
from kit.visit.outcome import Hazard, Line, Measure, line
from kit.visit.state import PARTS, State, noted

SIDES = {"indoor": "Indoor coil", "outdoor": "Outdoor coil"}
THAWS = {
    "fan": "Fan only at the remote, until it has run off",
    "warm_water": "Lukewarm water, gently",
    "hot_air": "Hot-air gun",
    "chip": "Chip it off",
}
AIR_PATHS = {
    "move": "Move away what stands there",
    "baffle": "Fit a baffle that parts leaving air from entering air",
}
# Common practice, no source, except that combing restores capacity to within 1 % (ASME
# IMECE2007-43009, p. 869, seen in an excerpt).
COMBED = 0.1  # share of folded fins that combing leaves folded
THAW_STEP_S, THAW_LONGEST_S = 300.0, 14400.0
CHIPPED, SCORCHED = 0.3, 0.4  # fins folded by chipping; a wheel's balance lost to heat
DRY_S = 1800.0


def _fins_reached(state: State, args: Mapping[str, Any]) -> Line | None:
    if args["side"] == "outdoor":
        return hazards_work.out_of_reach(state)
    for part in ("filter", "indoor_casing"):
        if part not in state.off:
            return line("You cannot get at it: the {part} is on.", part=PARTS[part])
    return None


def _fins_safe(state: State, args: Mapping[str, Any]) -> Hazard | None:
    if args["side"] == "indoor":
        return hazards.work_unproved(state, args)
    return hazards_work.ladder_wrong(state, args) or hazards.work_on_live(state, args)


@action("Comb the fins", "outdoor", "outdoor", 1500,
        arguments=(Argument("side", "Which", "choice", SIDES),),
        needs=(_fins_reached,), rules=(_fins_safe, hazards.hands_bare),
        cautions=("sharp_fins",))  # fmt: skip
def comb_fins(state: State, side: str) -> Effect:
    """Straighten folded fins with a comb of their pitch."""
    knob, field = f"{side}_coil_blockage", f"bent_{side}"
    bent = getattr(state.harm, field)
    if bent == 0.0:
        return Effect(state, (line("Hardly a fin is folded; there was little to comb."),))
    dirt = unbent(getattr(state.condition, knob), bent)
    state = clock.with_condition(state, **{knob: with_bent(dirt, COMBED * bent)})
    state = clock.with_harm(state, **{field: COMBED * bent})
    return Effect(noted(state, f"comb:{side}"), (line("Row by row the fins stand up again."),))


def _thaw_can(state: State, args: Mapping[str, Any]) -> Line | None:
    side, how = args["side"], args["how"]
    if ice_share(clock.solved(state), side) < 0.02:
        return line("There is no ice on it.")
    if how != "fan":
        return _fins_reached(state, args)
    if side == "outdoor":
        return line("The outdoor fan does not turn with the remote on fan only.")
    return None if state.powered else line("The unit has no power.")


def _thaw_safe(state: State, args: Mapping[str, Any]) -> Hazard | None:
    return None if args["how"] == "fan" else _fins_safe(state, args)


def _torch(state: State, args: Mapping[str, Any]) -> Hazard | None:
    if args["how"] != "hot_air" or state.spec.refrigerant == "R-410A":
        return None
    text = line("A glowing heater at a coil full of mildly flammable refrigerant.")
    return Hazard("heat_near_refrigerant", "near_miss", text)


@action("Thaw ice", "run", "indoor", 0,
        arguments=(Argument("side", "Where", "choice", SIDES),
                   Argument("how", "How", "choice", THAWS)),
        needs=(_thaw_can,), rules=(_thaw_safe, _torch), cautions=("water",))  # fmt: skip
def thaw(state: State, side: str, how: str) -> Effect:
    """Melt all of the ice; what melts runs into the pan."""
    if how == "fan":
        return _fanned(state)
    state = clock.solved(clock.later(state, 2400 if how == "warm_water" else 1200))
    knob = f"{side}_coil_ice"
    gone = 0.0 if getattr(state.condition, knob) else 1e-6  # a changed knob resets the mass of ice
    state = clock.with_condition(state, **{knob: gone})
    said = "The ice slides off in plates and is gone."
    found: tuple[Hazard, ...] = ()
    if how == "chip":
        bent = max(getattr(state.harm, f"bent_{side}"), CHIPPED)
        blocked = with_bent(getattr(state.condition, f"{side}_coil_blockage"), CHIPPED)
        state = clock.with_condition(state, **{f"{side}_coil_blockage": blocked})
        state = clock.with_harm(state, **{f"bent_{side}": bent})
        said = "The ice is off, and rows of fins with it lie folded flat."
        text = line("A tube under the ice was a hair away from your chisel.")
        found = (Hazard("chipped_ice", "near_miss", text),)
    if how == "hot_air" and side == "indoor":
        state = clock.with_harm(state, wheel=max(state.harm.wheel, SCORCHED))
        said = "The ice runs off. The plastic of the wheel has gone soft in one place."
    return Effect(noted(state, f"thaw:{side}"), (line(said),), hazards=found)


def _fanned(state: State) -> Effect:
    state = clock.with_command(state, replace(state.command, mode="fan"))
    end = state.clock_s + THAW_LONGEST_S
    while ice_share(state, "indoor") > 0.005 and state.clock_s < end:
        state = clock.solved(clock.later(state, THAW_STEP_S))
    if state.condition.indoor_coil_ice > 0.0:
        state = clock.with_condition(state, indoor_coil_ice=0.0)
    said = line("It drips and trickles, then it is silent: the coil is free of ice.")
    return Effect(noted(state, "thaw:indoor"), (said,))


@action("Lay the drain hose anew, with fall all the way", "indoor", "drain", 1500)
def relay_hose(state: State) -> Effect:
    """Lay the hose so that it falls all the way, without a sag."""
    state = clock.with_condition(state, drain_slope_fault=0.0)
    said = line("The hose falls all the way, clipped every arm's length.")
    return Effect(noted(state, "relay_hose"), (said,))


@action("Free the outdoor unit's air path", "outdoor", "outdoor", 1200,
        arguments=(Argument("how", "How", "choice", AIR_PATHS),),
        needs=(hazards_work.ladder_need,), rules=(hazards_work.ladder_wrong,),
        cautions=("height",))  # fmt: skip
def clear_air_path(state: State, how: str) -> Effect:
    """Let the leaving air go where it is not drawn in again."""
    left = 0.0 if how == "move" else 0.1 * state.condition.outdoor_recirculation
    state = clock.with_condition(state, outdoor_recirculation=left)
    said = line("Before the fan an arm's length and more is free; warm air no longer comes back.")
    return Effect(noted(state, "clear_air_path"), (said,))


@action("Dry a board that got wet", "indoor", "indoor", DRY_S,
        arguments=(Argument("where", "Where", "choice",
                            {"indoor": "Indoors", "outdoor": "Outdoors"}),),
        rules=(hazards.work_unproved,), cautions=("mains", "water"))  # fmt: skip
def dry_board(state: State, where: str) -> Effect:
    """Dab and blow a board dry before power comes near it again."""
    field, cover = f"{where}_board_wet", "indoor_casing" if where == "indoor" else "outdoor_panels"
    if cover not in state.off:
        return Effect(state, reason=line("You cannot get at it: the {part} is on.",
                                         part=PARTS[cover]))  # fmt: skip
    if not getattr(state.dirt, field):
        return Effect(state, (line("It is dry."),))
    state = clock.with_dirt(state, **{field: False})
    return Effect(noted(state, f"dry:{where}"), (line("Dabbed and blown dry, plugs as well."),))


def _float_there(state: State, _: Mapping[str, Any]) -> Line | None:
    if state.order.fitted.drain == "gravity":
        return line("No float and no pump are fitted.")
    if not state.powered:
        return line("Without power neither a float nor a pump can show what it does.")
    if state.order.fitted.drain == "float_switch" and state.asked.mode == "off":
        return line("The unit must run, so that you can see it stop.")
    return None


@action("Lift the float", "indoor", "drain", 90, needs=(_float_there,),
        cautions=("rotation",))  # fmt: skip
def lift_float(state: State) -> Effect:
    """Lift the float as water would: the unit must stop, or the pump must start."""
    state = clock.solved(state)
    if not float_sound(state):
        pump = state.order.fitted.drain == "pump"
        said = "The pump stays silent." if pump else "Nothing happens: the unit runs on."
        return Effect(noted(state, "lift_float:nothing"), (line(said),))
    if state.order.fitted.drain == "pump":
        said = "The pump starts and its cup is empty in a moment."
        return Effect(noted(state, "lift_float:pump"), (line(said),))
    command = state.command
    state = clock.with_command(state, replace(command, mode="off"))
    state = clock.with_command(clock.later(state, 20), Command(
        command.mode, command.setpoint_k, command.fan))  # fmt: skip
    said = "The unit stops at once and a lamp blinks. Let go, it starts again after its delay."
    return Effect(noted(state, "lift_float:stops"), (line(said),))


@action("Bridge a protection", "run", "outdoor", 120,
        arguments=(Argument("what", "Which", "choice", hazards_work.PROTECTIONS),),
        rules=(hazards_work.protection_defeated,), cautions=("mains",))  # fmt: skip
def bridge_protection(state: State, what: str) -> Effect:
    """Never done: a trainer holds the learner back whatever the state."""
    return Effect(state, (line("{what}: bridged.", what=hazards_work.PROTECTIONS[what]),))


@action("Set the ladder", "safe", "outdoor", 240,
        arguments=(Argument("how", "How", "choice", hazards_work.LADDERS),),
        needs=(lambda state, _: None if state.order.fitted.ladder
               else line("No ladder is needed here."),),
        cautions=("height",))  # fmt: skip
def set_ladder(state: State, how: str) -> Effect:
    """Set a ladder at the outdoor unit."""
    said = line("It stands: {how}.", how=hazards_work.LADDERS[how].lower())
    return Effect(clock.with_loose(state, ladder=how), (said,))


@action("Measure the fall of the drain hose with a level", "indoor", "drain", 240)
def measure_fall(state: State) -> Effect:
    """Lay a level along the hose's worst length and read the fall."""
    state = clock.solved(state)
    fall_m = LENGTH_M * (GOOD_FALL - state.condition.drain_slope_fault * (GOOD_FALL + RISE))
    said = "Over {length} it falls by {fall}." if fall_m >= 0 else (
        "Over {length} it climbs by {fall}.")  # fmt: skip
    lines = (
        line(said, length=Measure(LENGTH_M, "length"),
             fall=Measure(round(abs(fall_m), 3), "small_length")),
        line("Codes ask for {least} over that length.",
             least=Measure(round(LEAST_FALL * LENGTH_M, 4), "small_length")),
    )  # fmt: skip
    return Effect(noted(state, "measure_fall"), lines)


LENGTH_M = 1.0
GOOD_FALL, RISE = 0.02, 0.03  # fall of a well-laid hose and climb of the worst; common practice
# One eighth of an inch a foot: International Mechanical Code 307 as adopted (seen in excerpts).
LEAST_FALL = 1 / 96
