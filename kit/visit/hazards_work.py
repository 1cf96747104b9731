"""Hazards of handwork: hands near what turns, the ladder, protections put out of action."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from kit.visit import hazards
from kit.visit.outcome import Hazard, Line, line
from kit.visit.state import State

Args = Mapping[str, Any]
LADDERS = {
    "right": "One in four on firm ground, tied at its head, nobody on its top rungs",
    "steep": "Steep, close to the wall",
    "loose_ground": "On the wet slope beside the step",
    "top_rung": "Short, so that you stand on its top rung",
}


def out_of_reach(state: State) -> Line | None:
    """Return why the outdoor unit cannot be reached, or None."""
    if state.order.fitted.ladder and not state.loose.ladder:
        return line("The outdoor unit hangs too high. Set a ladder first.")
    return None


def ladder_need(state: State, _: Args) -> Line | None:
    """Return a need: a ladder where the outdoor unit hangs high."""
    return out_of_reach(state)


def ladder_wrong(state: State, _: Args) -> Hazard | None:
    """Critical: work from a ladder that is about to slip or tip."""
    if not state.order.fitted.ladder or state.loose.ladder in ("", "right"):
        return None
    return Hazard(
        "ladder_misuse",
        "critical",
        line(
            "Your trainer calls you down: the ladder stands so that you would fall. {how}.",
            how=LADDERS[state.loose.ladder],
        ),
    )


def _outdoors(args: Args) -> bool:
    from kit.visit.repairs import PARTS

    return PARTS[args["part"]].where == "outdoor"


def ladder_for_part(state: State, args: Args) -> Line | None:
    """Return a need: a ladder, when the part sits in an outdoor unit that hangs high."""
    return out_of_reach(state) if _outdoors(args) else None


def ladder_wrong_for_part(state: State, args: Args) -> Hazard | None:
    """Critical: the same for a part outdoors."""
    return ladder_wrong(state, args) if _outdoors(args) else None


def hand_in(state: State, args: Args) -> Hazard | None:
    """Critical: a hand goes to wheel, fan or terminals that are not safe."""
    if args["part"] in ("wheel", "outdoor_fan"):
        return hazards.work_on_live(state, args)
    return hazards.work_unproved(state, args)


def protection_defeated(_: State, args: Args) -> Hazard | None:
    """Critical: a protection is put out of action, whatever the reason."""
    return Hazard(
        "protection_defeated",
        "critical",
        line(
            "Your trainer takes the wire out of your hand: never bridge a protection ({what}). "
            "Find out why it acts.",
            what=PROTECTIONS[args["what"]].lower(),
        ),
    )


PROTECTIONS = {
    "float_switch": "Float switch",
    "pressure_switch": "Pressure switch",
    "thermistor": "Sensor, with a fixed resistor",
    "fuse": "Fuse, with a bigger one",
}


def struck(state: State, code: str) -> State:
    """Return the state after a trainer held the learner back: what had broken stays broken.

    Args:
        state: the visit.
        code: code of the hazard.
    """
    if code != "probe_in_wheel":
        return state
    harm = replace(state.harm, wheel=max(state.harm.wheel, STRUCK))
    return replace(state, harm=harm)


STRUCK = 0.6  # how far a broken blade throws the wheel out of balance; common practice, no source


def left_open(state: State, _: Args) -> Hazard | None:
    """Near miss: the site is left with a cover off or held by two screws."""
    off = [part for part in hazards.COVERS if part in state.off]
    loose = [part for part in hazards.COVERS if part in state.loose.few_screws]
    if not off and not loose:
        return None
    from kit.visit.state import PARTS

    said = "You leave live parts open: the {part} is off." if off else (
        "You leave the {part} on a few screws: it can come off over live parts.")  # fmt: skip
    return Hazard("left_open", "near_miss", line(said, part=PARTS[(off or loose)[0]]))


def not_put_back(state: State) -> list[Line]:
    """Return what a last look finds off, out or loose."""
    from kit.visit.handwork import PLUGS, SENSORS
    from kit.visit.state import PARTS

    off = [PLUGS[p][0] for p in PLUGS if p in state.loose.plugs]
    off += [SENSORS[s] for s in SENSORS if s in state.loose.sensors]
    loose = [PARTS[p] for p in PARTS if p in state.loose.few_screws]
    lines = [line("Not put back: {what}.", what=", ".join(off))] if off else []
    return lines + (
        [line("Screws left over; they belong to: {what}.", what=", ".join(loose))] if loose else []
    )


def plugs_left(state: State, _: Args) -> Hazard | None:
    """Note: power comes back with a plug off or a sensor hanging."""
    if not state.loose.plugs and not state.loose.sensors:
        return None
    from kit.visit.handwork import PLUGS, SENSORS

    words = [PLUGS[p][0] for p in PLUGS if p in state.loose.plugs]
    words += [SENSORS[s] for s in SENSORS if s in state.loose.sensors]
    return Hazard("left_off", "note", line("Not put back: {what}.", what=words[0]))
