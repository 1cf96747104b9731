"""Looks at the indoor unit, its drain and the wall below it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from kit.visit.circuit_tools import LEAK_PLACES
from kit.visit.clock import working_condition
from kit.visit.handwork import ice_share
from kit.visit.look import Look, Seen, by_grade, grade, plain, together
from kit.visit.outcome import Picture, line

if TYPE_CHECKING:
    from kit.visit.state import State

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
_ICE = (
    "",
    "Rime on a few fins.",
    "Ice covers part of the coil.",
    "White ice over most of the coil; hardly any air gets through.",
    "The coil is one block of ice from edge to edge.",
)
_WHEEL = (
    "The blades of the wheel are clean, with sharp edges.",
    "A dust line on the leading edges of the blades.",
    "The hollows of the blades are a third full of packed dust.",
    "The hollows of the blades are packed; black specks lie in the outlet.",
    "The wheel is packed to a roller; the blades can hardly be told apart.",
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
    "The end of the drain hose is all but closed by slime; now and then a drop.",
)
_SHUT = 0.98  # from here on not a drop comes out
_HOSE = (
    "The level says: the hose falls all the way, more than an eighth of an inch a foot.",
    "The hose falls all the way, but in one place the level's bubble hardly leaves its marks.",
    "Half way the hose sags; water stands in the sag.",
    "For a hand's width the hose runs uphill; water stands before it.",
    "The hose leaves the wall higher than it leaves the unit: it runs uphill.",
)
STRIPS = {
    "none": "No further strip is fitted behind the mesh.",
    "carbon": "Behind the mesh sits a black strip of carbon; its frame says: replace, never wash.",
    "electret": "Behind the mesh sits a pleated, charged strip; its frame says: never wash.",
}


def _filter(state: State) -> Seen:
    seen = by_grade("filter", state.condition.filter_loading, _FILTER)
    if state.dirt.filter_water > 0.1:
        seen = together(seen, plain("It is dripping wet."))
    if state.order.fitted.strip != "none":
        seen = together(seen, plain(STRIPS[state.order.fitted.strip]))
        if state.harm.strip > 0.0:
            seen = together(seen, plain("The strip is limp and matted: it has been washed."))
    return seen


def _indoor_coil(state: State) -> Seen:
    c = state.condition
    seen = by_grade("coil_face", c.indoor_coil_blockage, _COIL)
    film, ice = grade(c.indoor_coil_film), grade(ice_share(state, "indoor"))
    if film:
        said = line(_FILM[film])
        seen = together(seen, ((said,), (Picture("coil_film", film, said),)))
    if ice:
        said = line(_ICE[ice])
        seen = together(seen, ((said,), (Picture("coil_ice", ice, said),)))
    if state.harm.bent_indoor > 0.0:
        seen = together(seen, plain("Rows of fins lie folded flat against each other."))
    if any(leak.oily and leak.place == "indoor_coil" for leak in state.work.leaks):
        seen = together(seen, plain("A dark, oily smear on the bends at one end of the coil."))
    return seen


def _wheel(state: State) -> Seen:
    seen = by_grade("wheel_blades", state.condition.wheel_fouling, _WHEEL)
    if state.harm.wheel > 0.0:
        seen = together(seen, plain("Some blades are bent, one is cracked."))
    return seen


def _pan(state: State) -> Seen:
    slime = max(state.condition.drain_blockage, state.dirt.pan_slime)
    return by_grade("pan", slime, _PAN)


def _drain_end(state: State) -> Seen:
    seen = by_grade("drain", state.condition.drain_blockage, _DRAIN)
    if state.condition.drain_blockage >= _SHUT:
        said = line("The end of the drain hose is closed and dry.")
        seen = ((said,), (Picture("drain", 4, said),))
    if state.condition.drain_slope_fault > 0.25:
        seen = together(seen, plain("On its way the hose sags; look at its whole run."))
    return seen


def _hose(state: State) -> Seen:
    return by_grade("hose", state.condition.drain_slope_fault, _HOSE)


def _outlet(state: State) -> Seen:
    t = state.truth
    share = float(t.airflow_m3_s) / float(state.spec.indoor.airflow_m3_s)
    if share < 0.02:
        return plain("No air comes out of the outlet.")
    steps = ((0.35, "Hardly any air comes out."), (0.6, "The throw is weak."))
    said = [next((words for limit, words in steps if share < limit), "A good throw of air.")]
    if state.asked.mode in ("cooling", "heating"):
        said.append(_felt(state))
    if state.condition.wheel_fouling > 0.4:
        said.append("It flutters, and now and then a drop or a black speck comes with it.")
    if state.condition.indoor_coil_film > 0.25 or state.condition.wheel_fouling > 0.6:
        said.append("It smells musty.")
    return plain(*said)


def _felt(state: State) -> str:
    """Return what a hand in the outlet feels."""
    warmer = float(state.truth.supply_db_k) - float(state.truth.room_db_k)
    if state.asked.mode == "heating":
        if warmer < -1.5:
            return "It is cold, though heat is asked for."
        return "It is no warmer than the room." if warmer < 2.5 else (
            "It is lukewarm." if warmer < 8.0 else "It is warm.")  # fmt: skip
    if warmer > 1.5:
        return "It is warm, though cooling is asked for."
    return "It is no cooler than the room." if warmer > -2.5 else (
        "It is hardly cool." if warmer > -7.0 else "It is cold.")  # fmt: skip


def _wall(state: State) -> Seen:
    if float(state.truth.overflow_kg) > 0.01:
        return plain("Water runs down the wall below the unit.")
    if state.condition.drain_blockage > 0.3 or state.condition.drain_slope_fault > 0.5:
        return plain("Old water stains on the wall below the unit.")
    return plain("The wall below the unit is dry and clean.")


def _louvre(state: State) -> Seen:
    if not state.powered or state.asked.mode == "off":
        return plain("The louvre lies shut; its shafts and vanes are whole.")
    return plain("The louvre goes through its sweep without a stop; all vanes follow.")


def _mounting(state: State) -> Seen:
    if "indoor_casing" in state.loose.few_screws:
        return plain("The casing stands off at one corner: screws are missing.")
    return plain(
        "The back plate is tight. The level lies even, with a hair's fall to the drain side.",
        "The sleeve in the wall is sealed; no warm air comes out of the wall.",
    )


def _listen(state: State) -> Seen:
    now = working_condition(state)
    if float(state.truth.indoor_fan_rpm) <= 1.0:
        return plain("The indoor unit is silent.")
    said = []
    if now.wheel_fouling > 0.4:
        said.append("A flutter, like a cloth in the wind.")
    if state.harm.wheel > 0.0:
        said.append("The wheel thumps at every turn and the casing shakes.")
    if state.loose.few_screws & {"indoor_casing", "front_panel"}:
        said.append("A cover buzzes.")
    if now.indoor_fan_factor < 0.85 and state.harm.wheel == 0.0:
        said.append("It is very quiet: the wheel turns slowly.")
    if now.filter_loading > 0.6:
        said.append("A thin whistle at the filter.")
    if now.drain_blockage > 0.4 and float(state.truth.pan_water_kg) > 0.05:
        said.append("Now and then a gurgle from the drain.")
    return plain(*(said or ["An even rush of air, nothing else."]))


def _float_device(state: State) -> Seen:
    if state.order.fitted.drain == "gravity":
        return plain("No float and no pump: the water runs out by its own weight.")
    if state.order.fitted.drain == "pump":
        return plain("A small pump lifts the water; its cup holds a finger of it.")
    return plain("A float switch sits in the drain line; its wires are whole.")


LOOKS: dict[str, Look] = {
    "outlet": Look("air from the outlet (by hand and nose)", "indoor", "", _outlet, 20),
    "listen_indoor": Look("sound of the indoor unit", "indoor", "", _listen, 20),
    "louvre": Look("louvre and vanes", "indoor", "", _louvre, 30),
    "mounting": Look("back plate, level, sleeve in the wall", "indoor", "", _mounting, 60),
    "wall": Look("wall and floor below the indoor unit", "indoor", "", _wall, 20),
    "filter": Look("air filter", "indoor", "front_panel", _filter, 30),
    "indoor_coil": Look("indoor coil, front and rear, with a light", "indoor", "filter",
                        _indoor_coil),
    "wheel": Look("blower wheel, with a light", "indoor", "front_panel", _wheel),
    "pan": Look("drain pan", "indoor", "indoor_casing", _pan),
    "drain_end": Look("end of the drain hose", "drain", "", _drain_end, 60),
    "hose": Look("run of the drain hose, with a level", "drain", "", _hose, 120),
    "float_device": Look("float or pump at the drain", "drain", "", _float_device, 30),
}  # fmt: skip

# Where oil would show, for the looks at the pipes.
OUTDOOR_LEAKS = {name: place for name, place in LEAK_PLACES.items() if place.part == "outdoor"}
