"""Hands-on checks and meters' helpers: by hand, plugs, sensors, tables, the ice bath."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from kit.visit import clock, hazards, hazards_work, measuring
from kit.visit.actions import Argument, Effect, action
from kit.visit.handwork import PLUGS, SENSORS
from kit.visit.instruments import instrument, instrument_names
from kit.visit.outcome import Hazard, Line, Measure, line
from kit.visit.places import ICE_POINT_K
from kit.visit.state import PARTS, State, noted

# name: (words, cover that must be off, part of the site)
BY_HAND = {
    "wheel": ("Blower wheel: turn it, feel its bearing, set screw and balance", "indoor_casing"),
    "indoor_terminals": ("Terminals and plugs indoors: screws to their torque", "indoor_casing"),
    "outdoor_fan": ("Outdoor fan: turn it, feel its bearing and its play", "outdoor_panels"),
    "outdoor_terminals": ("Terminals and plugs outdoors: screws to their torque", "terminal_cover"),
}
ICE_PLACES = ("ice_bath", "pipe_ice_bath")
SENSOR_TOLERANCE = 0.05  # 5 to 10 % off the table: change it; from memory
DRAGS = 0.85  # share of its full speed below which a motor is felt to drag; common practice


def _covered(part: str) -> Line | None:
    return line("You cannot get at it: the {part} is on.", part=PARTS[part])


def _reach_by_hand(state: State, args: Mapping[str, Any]) -> Line | None:
    cover = BY_HAND[args["part"]][1]
    if cover not in state.off:
        return _covered(cover)
    return None if cover == "indoor_casing" else hazards_work.out_of_reach(state)


def _ladder_by_hand(state: State, args: Mapping[str, Any]) -> Hazard | None:
    indoors = BY_HAND[args["part"]][1] == "indoor_casing"
    return None if indoors else hazards_work.ladder_wrong(state, args)


@action("Try by hand", "indoor", "indoor", 120,
        arguments=(Argument("part", "What", "choice", {n: w for n, (w, _) in BY_HAND.items()}),),
        needs=(_reach_by_hand,), rules=(hazards_work.hand_in, _ladder_by_hand),
        cautions=("mains", "rotation", "sharp_fins"))  # fmt: skip
def try_by_hand(state: State, part: str) -> Effect:
    """Turn, wiggle and feel."""
    state = clock.solved(state)
    said = _FELT[part](state)
    return Effect(noted(state, f"by_hand:{part}"), tuple(line(one) for one in said))


def _wheel(state: State) -> list[str]:
    said = []
    if state.harm.wheel > 0.0:
        said.append("Turned, the wheel always stops with the same blades down: out of balance.")
    if state.condition.wheel_fouling > 0.5:
        said.append("It is heavy with dirt and swings back to its heavy side.")
    if state.condition.indoor_fan_factor < DRAGS:
        said.append("It drags: given a push, it stops at once. The bearing is dry.")
    return said or ["It runs free and long, without play; the set screw is tight."]


def _outdoor_fan(state: State) -> list[str]:
    factor = state.condition.outdoor_fan_factor
    if factor < 0.1:
        return ["It grates and hardly turns; the motor has a scorched smell."]
    if factor < DRAGS:
        return ["It drags: given a push, it stops at once, and its shaft has play."]
    return ["It runs free, without play; blades and nut are sound."]


def _indoor_terminals(state: State) -> list[str]:
    wet = ["They are wet."] if state.dirt.indoor_board_wet else []
    return [*wet, "Every screw holds its torque, no wire moves."]


def _outdoor_terminals(state: State) -> list[str]:
    if state.condition.supply_voltage_factor < 0.96:
        return [
            "One supply lug takes a quarter of a turn and stays as brown as it was.",
            "What heated it lies towards the panel.",
        ]
    return ["Every screw holds its torque, no wire moves."]


_FELT = {
    "wheel": _wheel,
    "outdoor_fan": _outdoor_fan,
    "indoor_terminals": _indoor_terminals,
    "outdoor_terminals": _outdoor_terminals,
}


def _plug_reached(state: State, args: Mapping[str, Any]) -> Line | None:
    cover = PLUGS[args["what"]][1]
    if cover not in state.off:
        return _covered(cover)
    return None if cover == "indoor_casing" else hazards_work.out_of_reach(state)


def _plug_charged(state: State, args: Mapping[str, Any]) -> Hazard | None:
    outdoors = PLUGS[args["what"]][1] == "outdoor_panels"
    return hazards.charged(state, args) if outdoors else None


def _plug_argument() -> Argument:
    return Argument("what", "What", "choice", {name: words for name, (words, _) in PLUGS.items()})


@action("Pull a plug or take leads off", "outdoor", "outdoor", 90, arguments=(_plug_argument(),),
        needs=(_plug_reached, lambda state, args: line("That is off already.")
               if args["what"] in state.loose.plugs else None),
        rules=(hazards.work_unproved, _plug_charged),
        cautions=("mains", "stored_charge"))  # fmt: skip
def unplug(state: State, what: str) -> Effect:
    """Take a plug off, marked, so that it goes back where it was."""
    state = clock.with_loose(state, plugs=state.loose.plugs | {what})
    return Effect(noted(state, f"unplug:{what}"), (line("Off: {what}.", what=PLUGS[what][0]),))


@action("Put a plug or leads back", "outdoor", "outdoor", 90, arguments=(_plug_argument(),),
        needs=(_plug_reached, lambda state, args: None if args["what"] in state.loose.plugs
               else line("That is on.")),
        rules=(hazards.work_unproved, _plug_charged),
        cautions=("mains", "stored_charge"))  # fmt: skip
def plug_in(state: State, what: str) -> Effect:
    """Put a plug back home."""
    state = clock.with_loose(state, plugs=state.loose.plugs - {what})
    return Effect(state, (line("Home and latched: {what}.", what=PLUGS[what][0]),))


def _casing_off(state: State, _: Mapping[str, Any]) -> Line | None:
    return None if "indoor_casing" in state.off else _covered("indoor_casing")


def _sensor_argument() -> Argument:
    return Argument("sensor", "Sensor", "choice", SENSORS)


@action("Take a sensor out of its clip or pocket", "indoor", "indoor", 60,
        arguments=(_sensor_argument(),),
        needs=(_casing_off, lambda state, args: line("It is out already.")
               if args["sensor"] in state.loose.sensors else None),
        rules=(hazards.work_unproved,), cautions=("mains", "sharp_fins"))  # fmt: skip
def pull_sensor(state: State, sensor: str) -> Effect:
    """Take a sensor out, to hold its tip into ice and water."""
    state = clock.with_loose(state, sensors=state.loose.sensors | {sensor})
    return Effect(state, (line("Out: {what}. Its tip hangs free.", what=SENSORS[sensor]),))


@action("Put a sensor where it belongs", "indoor", "indoor", 120, arguments=(_sensor_argument(),),
        needs=(_casing_off,), rules=(hazards.work_unproved,),
        cautions=("mains", "sharp_fins"))  # fmt: skip
def reseat_sensor(state: State, sensor: str) -> Effect:
    """Press a sensor home; one that had slipped then feels again what it should."""
    state = clock.with_loose(state, sensors=state.loose.sensors - {sensor})
    if sensor == "room_sensor":
        state = clock.with_condition(state, room_sensor_offset_k=0.0)
    return Effect(noted(state, f"reseat:{sensor}"), (line("Home: {what}.", what=SENSORS[sensor]),))


@action("Look up a sensor on the unit's table", "measure", "job_sheet", 45,
        arguments=(Argument("temperature_k", "Temperature", "number", measure="temperature",
                            low=233.15, high=393.15),))  # fmt: skip
def look_up_sensor(state: State, temperature_k: float) -> Effect:
    """Find the resistance that a sound sensor has at a temperature."""
    from kit.physics import thermistor

    spec = state.spec
    ohm = float(
        thermistor.ntc_resistance_ohm(temperature_k, spec.thermistor_ohm, spec.thermistor_beta_k)
    )
    said = line(
        "At {at} the table says {ohm}; a sound sensor is within {band} of it.",
        at=Measure(temperature_k, "temperature"),
        ohm=Measure(round(ohm, 1), "sensor_resistance"),
        band=Measure(SENSOR_TOLERANCE, "fraction"),
    )
    return Effect(noted(state, "look_up_sensor"), (said,))


def _adjustable() -> dict[str, str]:
    return {
        name: instrument(name).title
        for name in instrument_names()
        if instrument(name).medium in ("air", "pipe")
        and {s.quantity for s in instrument(name).scales} & {"dry_bulb", "pipe_temperature"}
    }


def _in_ice(state: State, args: Mapping[str, Any]) -> Line | None:
    probe = state.probe(args["instrument"])
    if probe is None or probe.place not in ICE_PLACES:
        return line("First hold it in a cup of ice and water, and wait until it is still.")
    return None


@action("Set a probe right in the ice bath", "measure", "instruments", 30,
        arguments=(Argument("instrument", "Instrument", "choice", _adjustable()),),
        needs=(_in_ice,))  # fmt: skip
def adjust_probe(state: State, instrument: str) -> Effect:
    """Set a probe's correction so that it shows the ice point now; set too early, it is wrong."""
    state = clock.solved(state)
    probe = state.probe(instrument)
    lines: list[Line] = []
    trims = state.trims
    for quantity, value in measuring.displayed(state, probe, 500_000):  # type: ignore[arg-type]
        if quantity not in ("dry_bulb", "pipe_temperature"):
            continue
        old = measuring.trimmed(state, instrument, quantity)
        trims = tuple(t for t in trims if t[:2] != (instrument, quantity))
        trims += ((instrument, quantity, round(old + ICE_POINT_K - value, 6)),)
        by = Measure(ICE_POINT_K - value, "temperature_difference")
        lines.append(line("You set it by {by}; it now shows the ice point.", by=by))
    said = tuple(lines) or (line("Its display shows no figure."),)
    return Effect(noted(replace(state, trims=trims), "adjust_probe"), said)
