"""Looks at display, boards, wires, terminals and sensors."""

from __future__ import annotations

from typing import TYPE_CHECKING

from kit.visit.clock import working_condition
from kit.visit.electric_places import sensor_k
from kit.visit.look import Look, Seen, by_grade, plain, together
from kit.visit.outcome import Measure, Picture, line

if TYPE_CHECKING:
    from kit.visit.state import State

WORST_DROP = 0.25  # loss of supply at which a lug looks its worst
_LUG = (
    "Terminals tight, no burn marks, no insects, plugs home.",
    "One supply lug is a shade darker than the others.",
    "One supply lug is brown from heat, and its screw gives a quarter of a turn.",
    "One supply lug is black from heat; the plastic beside it has browned.",
    "One supply lug is burnt; its plastic has melted and smells.",
)
_BOARD = (
    "No burn marks, no nests, no swollen capacitors, terminals tight.",
    "", "", "",
    "A burnt smell, and a brown mark around the power module.",
)  # fmt: skip
_WIRES = (
    "Wires whole from end to end, plugs home, no traces of animals.",
    "", "", "",
    "The signal wire is gnawed to bare copper and parted, and droppings lie about.",
)  # fmt: skip
_ROOM_SENSOR = (
    "The room sensor sits in its clip.",
    "The room sensor sits loosely in its clip.",
    "The room sensor has slipped half out of its clip towards the coil.",
    "The room sensor hangs out of its clip, against the coil's edge.",
    "The room sensor hangs out of its clip and lies on the coil.",
)
_COIL_SENSOR = (
    "The coil sensor is home in its pocket, its plug clean and dry.",
    "The coil sensor is home; a trace of green on one contact of its plug.",
    "The coil sensor is home; its plug is damp and its contacts are green.",
    "The coil sensor is home; water stands in its plug.",
    "The coil sensor is home, but a lead is broken off at its plug.",
)
ROOM_WORST_K = 8.0  # offset of the room sensor at which it has slipped all the way
COIL_WORST_K = 60.0


def _display(state: State) -> Seen:
    if not state.powered:
        return plain("The display is dark.")
    now = working_condition(state)
    if state.float_up:
        return plain("A lamp blinks; by the unit's own label it stands for: water high in the pan.")
    if state.loose.plugs & {"coil_sensor", "ambient_sensor", "discharge_sensor"}:
        return plain("A lamp blinks; by the unit's own label it stands for: a sensor is off.")
    if now.inverter_state != "ok" or now.communication_state != "ok":
        return plain("A lamp blinks in groups; the unit's own label lists what the groups mean.")
    stops = [name for name in state.truth.limits if name.endswith("_stop")]
    if stops:
        said = "A lamp blinks; by the unit's own label it stands for: {stop}."
        words = stops[0].removesuffix("_stop").replace("_", " ")
        return (line(said, stop=words),), ()
    return plain("A steady lamp." if state.asked.mode != "off" else "No lamp: the unit is off.")


def _board_values(state: State) -> Seen:
    if not state.powered:
        return plain("The display is dark.")
    if "room_sensor" in state.loose.plugs:
        room = line("Room sensor: no value.")
    else:
        running = state.asked.mode != "off"
        air = float(state.truth.return_db_k)
        offset = working_condition(state).room_sensor_offset_k if running else 0.0
        felt = air + offset if running else sensor_k(state, "room_sensor")
        room = line("Room sensor: {value}.", value=_whole(felt))
    if "coil_sensor" in state.loose.plugs:
        return (room, line("Coil sensor: no value.")), ()
    felt = sensor_k(state, "coil_sensor")
    coil = line("Coil sensor: {value}.", value=_whole(felt))
    return (room, coil), ()


def _whole(kelvin: float) -> Measure:
    """Return a temperature in whole degrees Celsius, as such displays show it."""
    return Measure(round(kelvin - 273.15) + 273.15, "temperature")


def _board(state: State) -> Seen:
    bad = state.condition.inverter_state != "ok"
    seen = by_grade("board", 1.0 if bad else 0.0, _BOARD)
    if state.condition.communication_state != "ok":
        seen = together(seen, plain("Droppings lie about, and one wire looks gnawed: follow it."))
    if state.dirt.outdoor_board_wet:
        seen = together(seen, plain("Drops of water stand on the board."))
    return together(seen, _plugs_off(state, "outdoor_panels"))


def _plugs_off(state: State, cover: str) -> Seen:
    from kit.visit.handwork import PLUGS

    off = [words for name, (words, needs) in PLUGS.items()
           if needs == cover and name in state.loose.plugs]  # fmt: skip
    return tuple(line("Off, as you left it: {what}.", what=words) for words in off), ()


def _wires(state: State) -> Seen:
    cut = state.condition.communication_state != "ok"
    return by_grade("wires", 1.0 if cut else 0.0, _WIRES)


def _lug(state: State) -> Seen:
    drop = (1.0 - state.condition.supply_voltage_factor) / WORST_DROP
    return by_grade("terminals", drop, _LUG)


def _indoor_terminals(state: State) -> Seen:
    seen = by_grade("terminals", 0.0, _LUG)
    if state.dirt.indoor_board_wet:
        said = line("Drops of water stand on the board and the terminals.")
        seen = ((said,), (Picture("terminals", 2, said),))
    return together(seen, _plugs_off(state, "indoor_casing"))


def _room_sensor(state: State) -> Seen:
    off = abs(state.condition.room_sensor_offset_k) / ROOM_WORST_K
    if "room_sensor" in state.loose.sensors:
        off = 1.0
    return by_grade("sensor", min(off, 1.0), _ROOM_SENSOR)


def _coil_sensor(state: State) -> Seen:
    if "coil_sensor" in state.loose.sensors:
        said = line("The coil sensor hangs out of its pocket.")
        return (said,), (Picture("sensor", 3, said),)
    off = abs(state.condition.coil_sensor_offset_k) / COIL_WORST_K
    return by_grade("sensor", min(off, 1.0), _COIL_SENSOR)


LOOKS: dict[str, Look] = {
    "display": Look("display and lamps", "indoor", "", _display, 15),
    "board_values": Look("sensor values in the unit's own test display", "indoor", "",
                         _board_values, 60),
    "indoor_terminals": Look("board and terminals indoors", "indoor", "indoor_casing",
                             _indoor_terminals),
    "room_sensor": Look("room sensor in its clip", "indoor", "indoor_casing", _room_sensor, 30),
    "coil_sensor": Look("coil sensor in its pocket, and its plug", "indoor", "indoor_casing",
                        _coil_sensor, 30),
    "outdoor_terminals": Look("supply terminals outdoors", "outdoor", "terminal_cover", _lug, 30),
    "outdoor_wires": Look("cable between the units where it enters, and along its run", "outdoor",
                          "terminal_cover", _wires, 90),
    "outdoor_board": Look("board and plugs outdoors", "outdoor", "outdoor_panels", _board),
}  # fmt: skip
