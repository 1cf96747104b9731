"""What is seen, heard or smelt when something is looked at; it follows from the condition."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from kit.visit.outcome import Line, Picture, line
from kit.visit.places import icy

if TYPE_CHECKING:
    from kit.visit.state import State

_STEPS = (0.06, 0.25, 0.5, 0.75)


def grade(severity: float) -> int:
    """Return how bad something looks, 0 (clean) to 4.

    Args:
        severity: 0 (healthy) to 1 (worst) [-].
    """
    return sum(severity >= step for step in _STEPS)


@dataclass(frozen=True, slots=True)
class Look:
    """One thing to look at.

    Args:
        title: words for it.
        part: part of the site.
        needs: cover or part that must be off; "" when it can be seen at once.
        see: what is seen.
        takes_s: time for a look [s].
    """

    title: str
    part: str
    needs: str
    see: Callable[[State], tuple[tuple[Line, ...], tuple[Picture, ...]]]
    takes_s: float = 60.0


def _filter(state: State) -> tuple[tuple[Line, ...], tuple[Picture, ...]]:
    look = _by_grade("filter", state.condition.filter_loading, _FILTER)
    if state.dirt.filter_water > 0.1:
        return (*look[0], line("It is dripping wet.")), look[1]
    return look


_FILTER = (
    "The mesh is clean; light comes through all of it.",
    "A thin grey bloom on the mesh; light still comes through.",
    "Grey fluff over half of the mesh.",
    "A grey mat over nearly all of the mesh.",
    "Thick felt: no light comes through the filter at all.",
)
_COIL = (
    "Both faces of the coil are bright and clean.",
    "A little dust on the leading edges of the fins.",
    "Fluff between the fins in patches, also on the rear slab.",
    "Most of the coil face is matted with fluff; the rear slab is as bad.",
    "The coil face is a felt blanket; hardly a fin can be seen.",
)
_FILM = (
    "",
    "The fins feel faintly greasy.",
    "A dull, greasy film lies on the fins and smells musty.",
    "A grey slime coats the fins; it smells of mould.",
    "Thick slime from top to bottom; it smells strongly of mould.",
)
_WHEEL = (
    "The blades of the wheel are clean, with sharp edges.",
    "A dust line on the leading edges of the blades.",
    "The hollows of the blades are a third full of packed dust.",
    "The hollows of the blades are packed; black specks lie in the outlet.",
    "The wheel is packed to a roller; the blades can hardly be told apart.",
)
_OUTDOOR = (
    "The rear face of the outdoor coil is clean.",
    "Some seeds and dust on the rear face.",
    "Fluff and leaves close about a third of the rear face.",
    "The rear face is matted with fluff; little air can get in.",
    "The rear face is one felt blanket with leaves in it.",
)
_PAN = (
    "The pan is clean and empty.",
    "A thin film of slime in the pan.",
    "Slime in the pan and around the mouth of the drain.",
    "Standing water in the pan, and slime over the mouth of the drain.",
    "The pan is full to its edge; the mouth of the drain cannot be seen for slime.",
)
_DRAIN = (
    "The end of the drain hose is open and wet.",
    "A little slime hangs out of the end of the drain hose.",
    "Slime narrows the end of the drain hose; drops come slowly.",
    "The end of the drain hose is nearly closed by slime.",
    "The end of the drain hose is closed and dry.",
)


def _indoor_coil(state: State) -> tuple[tuple[Line, ...], tuple[Picture, ...]]:
    c = state.condition
    lines, pictures = _by_grade("coil_face", c.indoor_coil_blockage, _COIL)
    film = _FILM[grade(c.indoor_coil_film)]
    if film:
        lines = (*lines, line(film))
    if icy(state):
        lines = (*lines, line("Ice covers part of the coil."))
    return lines, pictures


def _wheel(state: State) -> tuple[tuple[Line, ...], tuple[Picture, ...]]:
    return _by_grade("wheel_blades", state.condition.wheel_fouling, _WHEEL)


def _outdoor_coil(state: State) -> tuple[tuple[Line, ...], tuple[Picture, ...]]:
    c = state.condition
    lines, pictures = _by_grade("outdoor_coil", c.outdoor_coil_blockage, _OUTDOOR)
    if c.outdoor_coil_film > 0.25:
        lines = (*lines, line("A greasy film lies on the fins as well."))
    return lines, pictures


def _pan(state: State) -> tuple[tuple[Line, ...], tuple[Picture, ...]]:
    slime = max(state.condition.drain_blockage, state.dirt.pan_slime)
    return _by_grade("pan", slime, _PAN)


def _drain_end(state: State) -> tuple[tuple[Line, ...], tuple[Picture, ...]]:
    lines, pictures = _by_grade("drain", state.condition.drain_blockage, _DRAIN)
    if state.condition.drain_slope_fault > 0.25:
        lines = (*lines, line("On its way the hose sags and runs uphill for a hand's width."))
    return lines, pictures


def _display(state: State) -> tuple[tuple[Line, ...], tuple[Picture, ...]]:
    if not state.powered:
        return (line("The display is dark."),), ()
    if state.condition.inverter_state != "ok" or state.condition.communication_state != "ok":
        said = "A lamp blinks in groups; the unit's own label lists what the groups mean."
        return (line(said),), ()
    stops = [name for name in state.truth.limits if name.endswith("_stop")]
    if stops:
        said = "A lamp blinks; by the unit's own label it stands for: {stop}."
        return (line(said, stop=stops[0].removesuffix("_stop").replace("_", " ")),), ()
    said = "A steady lamp." if state.asked.mode != "off" else "No lamp: the unit is off."
    return (line(said),), ()


def _outlet(state: State) -> tuple[tuple[Line, ...], tuple[Picture, ...]]:
    share = float(state.truth.airflow_m3_s) / float(state.spec.indoor.airflow_m3_s)
    if share < 0.02:
        return (line("No air comes out of the outlet."),), ()
    steps = ((0.35, "Hardly any air comes out."), (0.6, "The throw is weak."))
    said = next((words for limit, words in steps if share < limit), "A good throw of air.")
    lines = [line(said)]
    if state.condition.wheel_fouling > 0.4:
        lines.append(line("It flutters, and now and then a drop or a black speck comes with it."))
    return tuple(lines), ()


def _wall(state: State) -> tuple[tuple[Line, ...], tuple[Picture, ...]]:
    if float(state.truth.overflow_kg) > 0.01:
        return (line("Water runs down the wall below the unit."),), ()
    if state.condition.drain_blockage > 0.3:
        return (line("Old water stains on the wall below the unit."),), ()
    return (line("The wall below the unit is dry and clean."),), ()


def _board(state: State) -> tuple[tuple[Line, ...], tuple[Picture, ...]]:
    bad = state.condition.inverter_state != "ok"
    said = "A burnt smell, and a brown mark around the power module." if bad else _BOARD_GOOD
    lines = [line(said)]
    if state.condition.communication_state != "ok":
        lines.append(line("The signal wire is gnawed to bare copper, and droppings lie about."))
    if state.dirt.outdoor_board_wet:
        lines.append(line("Drops of water stand on the board."))
    return tuple(lines), (Picture("board", 4 if bad else 0, lines[0]),)


_BOARD_GOOD = "No burn marks, no nests, no swollen capacitors, terminals tight, wires whole."


def _terminals(state: State) -> tuple[tuple[Line, ...], tuple[Picture, ...]]:
    if state.dirt.indoor_board_wet:
        return (line("Drops of water stand on the board and the terminals."),), ()
    if state.condition.supply_voltage_factor < 0.93:
        return (line("One supply terminal is brown from heat, and its screw is loose."),), ()
    return (line("Terminals tight, no burn marks, no insects, plugs home."),), ()


def _outdoor_fan(state: State) -> tuple[tuple[Line, ...], tuple[Picture, ...]]:
    rpm, full = float(state.truth.outdoor_fan_rpm), state.spec.outdoor_fan.full_rpm
    if state.asked.mode in ("off", "fan"):
        return (line("The outdoor fan stands still; turned by hand it runs free."),), ()
    if rpm < 0.05 * full:
        return (line("The outdoor fan stands still."),), ()
    slow = state.condition.outdoor_fan_factor < 0.8
    said = "The outdoor fan turns, but lazily." if slow else "The outdoor fan turns briskly."
    return (line(said),), ()


def _pipework(state: State) -> tuple[tuple[Line, ...], tuple[Picture, ...]]:
    c = state.condition
    lines = [line("Both lines are insulated, the wall hole is sealed.")]
    if c.charge_fraction < 0.9:
        lines = [line("A dark, oily smear sits at a flare nut of the gas line.")]
    if icy(state):
        lines.append(line("Frost on the small line."))
    elif state.truth.running and state.asked.mode == "cooling":
        lines.append(line("Both lines are cold and sweat, as they do when the valve is outside."))
    return tuple(lines), ()


def _clearance(state: State) -> tuple[tuple[Line, ...], tuple[Picture, ...]]:
    if state.condition.outdoor_recirculation > 0.15:
        said = "A screen stands close in front of the outdoor unit and throws its air back."
        return (line(said),), ()
    return (line("Free space behind and in front of the outdoor unit; feet bolted, level."),), ()


def _room_sensor(state: State) -> tuple[tuple[Line, ...], tuple[Picture, ...]]:
    if abs(state.condition.room_sensor_offset_k) > 1.0:
        return (line("The room sensor hangs out of its clip, against the coil's cold edge."),), ()
    return (line("Room sensor in its clip, coil sensor home in its pocket."),), ()


def _by_grade(
    subject: str, severity: float, words: tuple[str, ...]
) -> tuple[tuple[Line, ...], tuple[Picture, ...]]:
    level = grade(severity)
    said = line(words[level])
    return (said,), (Picture(subject, level, said),)


LOOKS: dict[str, Look] = {
    "display": Look("display and lamps", "indoor", "", _display, 15),
    "outlet": Look("air from the outlet (by hand and ear)", "indoor", "", _outlet, 20),
    "wall": Look("wall and floor below the indoor unit", "indoor", "", _wall, 20),
    "filter": Look("air filter", "indoor", "front_panel", _filter, 30),
    "indoor_coil": Look("indoor coil, front and rear, with a light", "indoor", "filter",
                        _indoor_coil),
    "wheel": Look("blower wheel, with a light", "indoor", "front_panel", _wheel),
    "pan": Look("drain pan", "indoor", "indoor_casing", _pan),
    "indoor_terminals": Look("board and terminals indoors", "indoor", "indoor_casing", _terminals),
    "room_sensor": Look("sensors in their clip and pocket", "indoor", "indoor_casing",
                        _room_sensor),
    "drain_end": Look("end of the drain hose", "drain", "", _drain_end, 60),
    "outdoor_coil": Look("rear face of the outdoor coil", "outdoor", "", _outdoor_coil),
    "outdoor_fan": Look("outdoor fan", "outdoor", "", _outdoor_fan, 30),
    "clearance": Look("space around the outdoor unit, its feet", "outdoor", "", _clearance, 30),
    "pipework": Look("lines, insulation, flares, caps", "outdoor", "", _pipework, 60),
    "outdoor_board": Look("board, wires and terminals outdoors", "outdoor", "outdoor_panels",
                          _board),
}  # fmt: skip
