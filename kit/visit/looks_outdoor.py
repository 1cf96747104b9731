"""Looks at the outdoor unit and the lines."""

from __future__ import annotations

from typing import TYPE_CHECKING

from kit.visit.clock import working_condition
from kit.visit.handwork import ice_share
from kit.visit.look import Look, Seen, by_grade, grade, plain, together
from kit.visit.looks_indoor import OUTDOOR_LEAKS
from kit.visit.outcome import Picture, line

if TYPE_CHECKING:
    from kit.visit.state import State

WORKING = ("cooling", "heating")
FROST_K = 272.65  # half a degree below freezing, so that it shows
_COIL = (
    "The rear face of the outdoor coil is clean.",
    "Some seeds and dust on the rear face.",
    "Fluff and leaves close about a third of the rear face.",
    "The rear face is matted with fluff; little air can get in.",
    "The rear face is one felt blanket with leaves in it.",
)
_ICE = (
    "",
    "Light frost on the lower rows, as is usual in the cold.",
    "Frost and ice close about half of the coil.",
    "Solid ice over most of the coil.",
    "The coil is one block of solid ice, icicles below it.",
)
_OIL = (
    "Both lines are insulated, the wall hole is sealed; nuts and valves are dry.",
    "A faint oily shine at {place}.",
    "A dark, oily smear at {place}.",
    "Oil has run from {place} and dust sticks to it.",
    "Oil drips from {place}; the metal below is black with it.",
)
_AROUND = (
    "Free space behind and in front of the outdoor unit.",
    "A shrub reaches near the fan's grille.",
    "A lattice stands close in front of the outdoor unit and throws part of its air back.",
    "A screen stands close in front of the outdoor unit and throws its air back.",
    "The unit is boxed in on all sides; hot air comes back to its rear face.",
)


def _outdoor_coil(state: State) -> Seen:
    c = state.condition
    seen = by_grade("outdoor_coil", c.outdoor_coil_blockage, _COIL)
    if c.outdoor_coil_film > 0.25:
        seen = together(seen, plain("A greasy film lies on the fins as well."))
    if state.harm.bent_outdoor > 0.0:
        seen = together(seen, plain("Rows of fins lie folded flat against each other."))
    if state.harm.packed:
        seen = together(seen, plain("Held to the light: deep between the fins the felt is packed."))
    ice = grade(ice_share(state, "outdoor"))
    if ice:
        said = line(_ICE[ice])
        seen = together(seen, ((said,), (Picture("outdoor_ice", ice, said),)))
    return seen


def _outdoor_fan(state: State) -> Seen:
    rpm, full = float(state.truth.outdoor_fan_rpm), state.spec.outdoor_fan.full_rpm
    if state.asked.mode not in WORKING:
        return plain("The outdoor fan stands still; its blades are whole.")
    if rpm < 0.05 * full:
        return plain("The outdoor fan stands still.")
    slow = working_condition(state).outdoor_fan_factor < 0.8
    return plain("The outdoor fan turns, but lazily." if slow else "The outdoor fan turns briskly.")


def _pipework(state: State) -> Seen:
    leaks = [leak for leak in state.work.leaks if leak.oily and leak.place in OUTDOOR_LEAKS]
    if leaks:
        lost = 1.0 - state.work.charge_kg / float(state.spec.charge_kg)
        level = max(grade(lost), 1)
        said = line(_OIL[level], place=OUTDOOR_LEAKS[leaks[0].place].title)
        seen: Seen = ((said,), (Picture("pipework", level, said),))
    else:
        seen = by_grade("pipework", 0.0, _OIL)
    return together(seen, plain(*_felt_pipes(state)))


def _felt_pipes(state: State) -> list[str]:
    """Return what hand and eye tell of the pipes while it runs."""
    t = state.truth
    if not t.running or state.asked.mode != "cooling":
        return []
    said = []
    if float(t.valve_outlet_k) < FROST_K:
        said.append("Frost on the small line.")
    if float(t.liquid_line_drop_k) > 2.0:
        said.append("Behind the grille one pipe turns cold at a single point before the valve.")
    if float(t.superheat_k) > 12.0:
        said.append("The large line is dry and hardly cold; the small one is cold.")
    elif float(t.superheat_k) < 1.5:
        said.append("The large line is wet with sweat right up to the compressor.")
    elif not said:
        said.append("Both lines are cold and sweat, as they do when the valve is outside.")
    return said


def _clearance(state: State) -> Seen:
    return by_grade("clearance", state.condition.outdoor_recirculation, _AROUND)


def _feet(state: State) -> Seen:
    said = ["Feet bolted, pads sound, the unit stands level; the holes of its base are open."]
    if ice_share(state, "outdoor") > 0.5:
        said = ["Feet bolted, pads sound; the base is full of ice and its holes are closed by it."]
    return plain(*said)


def _panels(state: State) -> Seen:
    loose = state.loose.few_screws & {"outdoor_panels", "terminal_cover"}
    if loose:
        return plain("Screws are missing; a panel stands off and shakes when you touch it.")
    if "outdoor_panels" in state.off:
        return plain("The panels are off; their screws lie apart, short ones by themselves.")
    return plain("All panels sit flush, every screw is in.")


def _listen(state: State) -> Seen:
    rattle = ["A panel rattles."] if "outdoor_panels" in state.loose.few_screws else []
    if not state.powered or state.asked.mode not in WORKING:
        return plain("Outdoors all is silent.")
    now, limits = working_condition(state), state.truth.limits
    if not state.truth.running:
        return plain(_standing(now.inverter_state, now.communication_state, now.compressor_state,
                               "high_pressure_stop" in limits), *rattle)  # fmt: skip
    said = []
    if now.compressor_leak > 0.3:
        said.append("The compressor runs, soft and hollow, without its usual note.")
    if now.reversing_valve_leak > 0.3:
        said.append("A hiss inside, where the reversing valve sits.")
    if now.outdoor_fan_factor < 0.8:
        said.append("Little rush of air: the fan is quieter than the compressor.")
    if now.outdoor_coil_blockage > 0.6:
        said.append("The fan labours.")
    return plain(*(said or ["An even hum and a rush of air."]), *rattle)


def _standing(inverter: str, line_state: str, compressor: str, hot: bool) -> str:
    """Return what is heard of a unit that is asked to run and does not."""
    if inverter != "ok":
        return "Nothing: no click, no fan, no hum."
    if line_state != "ok":
        return "Nothing starts, though a lamp glows on the board."
    if compressor == "locked_rotor":
        return "A short hum, a click, silence; some minutes later the same again."
    if compressor == "earthed_winding":
        return "A click, and at the same moment it gives up; some minutes later the same again."
    if compressor == "open_winding":
        return "A faint ticking, no hum, and it gives up; some minutes later the same again."
    if hot:
        return "It is silent now; warm air stands around it. It ran for a while and gave up."
    return "The outdoor unit is silent."


LOOKS: dict[str, Look] = {
    "outdoor_coil": Look("rear face of the outdoor coil", "outdoor", "", _outdoor_coil),
    "outdoor_fan": Look("outdoor fan", "outdoor", "", _outdoor_fan, 30),
    "listen_outdoor": Look("sound of the outdoor unit", "outdoor", "", _listen, 30),
    "clearance": Look("space around the outdoor unit", "outdoor", "", _clearance, 30),
    "outdoor_feet": Look("feet, pads and base of the outdoor unit", "outdoor", "", _feet, 30),
    "outdoor_covers": Look("panels and screws of the outdoor unit", "outdoor", "", _panels, 30),
    "pipework": Look("lines, insulation, flares, caps", "outdoor", "", _pipework, 60),
}  # fmt: skip
