"""The indoor unit: protect, open, wash, clear and test the drain."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from kit.visit import clock, cures, handwork, hazards
from kit.visit.actions import Argument, Effect, action
from kit.visit.outcome import Hazard, Line, Measure, line
from kit.visit.places import pour_test_s
from kit.visit.state import PARTS, PROTECTION, State, noted

INDOOR_OFF = {name: PARTS[name] for name in ("front_panel", "filter", "indoor_casing")}
# What must be off before something else comes off.
BEFORE_OFF = {"filter": "front_panel", "indoor_casing": "front_panel"}


def needs_off(part: str) -> Any:
    """Return a need: this part must be off."""

    def need(state: State, _: Mapping[str, Any]) -> Line | None:
        if part in state.off:
            return None
        return line("You cannot get at it: the {part} is on.", part=PARTS[part])

    return need


def can_come_off(state: State, args: Mapping[str, Any]) -> Line | None:
    """Return why a part cannot be taken off, or None."""
    part = args["part"]
    if part in state.off:
        return line("The {part} is off already.", part=PARTS[part])
    before = BEFORE_OFF.get(part)
    if before and before not in state.off:
        return line("First the {part}.", part=PARTS[before])
    return None


def can_go_on(state: State, args: Mapping[str, Any]) -> Line | None:
    """Return why a part cannot be put back, or None."""
    part = args["part"]
    if part not in state.off:
        return line("The {part} is on.", part=PARTS[part])
    blocking = [p for p, b in BEFORE_OFF.items() if b == part and p in state.off]
    if blocking:
        return line("First the {part}.", part=PARTS[blocking[0]])
    return None


@action(
    "Protect the room or the unit",
    "indoor",
    "indoor",
    180,
    arguments=(Argument("items", "With", "choices", PROTECTION),),
    cautions=("water",),
)
def protect(state: State, items: list[str]) -> Effect:
    """Cover what must stay dry and clean."""
    words = ", ".join(PROTECTION[i] for i in items) or "nothing"
    state = replace(state, protected=state.protected | set(items))
    return Effect(state, (line("In place: {items}.", items=words),))


@action(
    "Take the protection away",
    "finish",
    "indoor",
    120,
    arguments=(Argument("items", "What", "choices", PROTECTION),),
)
def unprotect(state: State, items: list[str]) -> Effect:
    """Take away what was covered."""
    words = ", ".join(PROTECTION[i] for i in items) or "nothing"
    state = replace(state, protected=state.protected - set(items))
    return Effect(state, (line("Taken away: {items}.", items=words),))


@action(
    "Open or take off (indoor unit)",
    "indoor",
    "indoor",
    120,
    arguments=(Argument("part", "Part", "choice", INDOOR_OFF),),
    needs=(can_come_off,),
    rules=(hazards.cover_off_live, hazards.untagged),
    cautions=("mains", "rotation", "mould"),
)
def open_indoor(state: State, part: str) -> Effect:
    """Take something off the indoor unit."""
    state = clock.with_off(state, state.off | {part})
    return Effect(state, (line("Off now: {part}.", part=PARTS[part]),))


@action(
    "Clean the filter",
    "indoor",
    "indoor",
    300,
    arguments=(Argument("method", "How", "choice", cures.FILTER_METHODS),),
    needs=(needs_off("filter"),),
    rules=(hazards.lungs_bare,),
    cautions=("mould",),
)
def clean_filter(state: State, method: str) -> Effect:
    """Clean the filter; washed, it is wet and dries in the shade while other work goes on."""
    state = clock.solved(state)
    strip = state.order.fitted.strip
    state = replace(state, condition=cures.filter_cleaned(state.condition, method, strip))
    wet = method in ("vacuum_and_rinse", "wash_all")
    if wet:
        state = clock.with_dirt(state, filter_water=1.0)
    said = "Light comes through the mesh. It hangs in the shade, dripping." if wet else _HALF
    if method == "wash_all" and strip != "none":
        state = clock.with_harm(state, strip=1.0)
        said = "The mesh is clean. The strip is limp, and grey water runs out of it."
    return Effect(noted(state, "clean_filter"), (line(said),))


_HALF = "The loose fluff is off; grease still greys the mesh."


def _wetted(state: State, cover: str) -> tuple[Hazard, ...]:
    if cover in state.protected:
        return ()
    text = line("Spray runs over board and terminals that nothing covers.")
    return (Hazard("electrics_sprayed", "near_miss", text),)


def _soaked(state: State) -> tuple[Hazard, ...]:
    missing = [p for p in ("wash_bag", "drop_cloth") if p not in state.protected]
    if not missing:
        return ()
    what = " and no ".join(PROTECTION[p] for p in missing)
    return (Hazard("room_soaked", "note", line("No {what}: dirty water on wall and floor.",
                                               what=what)),)  # fmt: skip


def _fins_washed(state: State, method: str) -> State:
    """Return the state with the coil washed; folded fins stay folded."""
    bent, c = state.harm.bent_indoor, state.condition
    if method == "lance":
        state = clock.with_harm(state, bent_indoor=max(bent, cures.BENT["indoor"]))
        return replace(state, condition=cures.indoor_coil_cleaned(c, method))
    dirt = replace(c, indoor_coil_blockage=handwork.unbent(c.indoor_coil_blockage, bent))
    c = cures.indoor_coil_cleaned(dirt, method)
    blocked = handwork.with_bent(c.indoor_coil_blockage, bent)
    return replace(state, condition=replace(c, indoor_coil_blockage=blocked))


@action(
    "Wash the indoor coil",
    "indoor",
    "indoor",
    1200,
    arguments=(Argument("method", "How", "choice", cures.INDOOR_METHODS),),
    needs=(needs_off("filter"), needs_off("indoor_casing")),
    rules=(hazards.work_unproved, hazards.acid_indoors, hazards.eyes_bare, hazards.lungs_bare,
           hazards.hands_bare, hazards.untagged),
    cautions=("chemicals", "water", "sharp_fins", "mould"),
)  # fmt: skip
def wash_indoor_coil(state: State, method: str) -> Effect:
    """Wash the indoor coil, both slabs; what comes off goes into the pan and the drain."""
    found = (*_wetted(state, "indoor_electrics"), *_soaked(state))
    state = clock.solved(state)
    state = _fins_washed(state, method)
    wet = "indoor_electrics" not in state.protected or state.dirt.indoor_board_wet
    state = clock.with_dirt(state, indoor_board_wet=wet, pan_slime=0.5)
    said = {
        "along_fins": "Grey water runs, then clear. The fins shine, front and rear.",
        "rinse": "The fluff is gone; the fins are still dull and greasy.",
        "lance": "The jet folds rows of fins flat against each other.",
    }[method]
    return Effect(noted(state, "wash_indoor_coil"), (line(said),), hazards=found)


@action(
    "Clean the blower wheel",
    "indoor",
    "indoor",
    1200,
    arguments=(Argument("method", "How", "choice", cures.WHEEL_METHODS),),
    needs=(needs_off("indoor_casing"),),
    rules=(hazards.work_unproved, hazards.eyes_bare, hazards.lungs_bare, hazards.hands_bare,
           hazards.untagged),
    cautions=("rotation", "chemicals", "sharp_fins", "mould"),
)  # fmt: skip
def clean_wheel(state: State, method: str) -> Effect:
    """Clean the wheel; what comes off goes into the pan and the drain."""
    found = (*_wetted(state, "indoor_electrics"), *_soaked(state))
    state = clock.solved(state)
    state = replace(state, condition=cures.wheel_cleaned(state.condition, method))
    wet = "indoor_electrics" not in state.protected or state.dirt.indoor_board_wet
    state = clock.with_dirt(state, indoor_board_wet=wet, pan_slime=0.5)
    said = {
        "brush_and_rinse": "Clots of black fluff fall into the bag. The blades are sharp again.",
        "spray": "The edges look cleaner; the hollows are still packed.",
        "scrape": "The dirt is off. A blade cracks, others are bent.",
    }[method]
    if method == "scrape":
        state = clock.with_harm(state, wheel=max(state.harm.wheel, cures.SCRAPED))
    return Effect(noted(state, "clean_wheel"), (line(said),), hazards=found)


@action(
    "Clear the drain",
    "indoor",
    "drain",
    600,
    arguments=(Argument("method", "How", "choice", cures.DRAIN_METHODS),),
    needs=(needs_off("indoor_casing"),),
    rules=(hazards.work_unproved, hazards.blown_drain, hazards.eyes_bare),
    cautions=("mould", "chemicals"),
)
def clear_drain(state: State, method: str) -> Effect:
    """Clear pan and drain."""
    state = clock.solved(state)
    state = replace(state, condition=cures.drain_cleared(state.condition, method))
    if method in ("suck", "wipe"):
        state = clock.with_dirt(state, pan_slime=0.0)
    said = {
        "suck": "A plug of slime comes out with a slurp; water follows freely.",
        "wipe": "The pan shines; what sits in the hose sits there still.",
        "blow": "A bang in the wall, and slime on the ceiling of the pan.",
        "caustic": "It fizzes and smells; the metal of the pan turns dull.",
    }[method]
    return Effect(noted(state, "clear_drain"), (line(said),))


@action(
    "Pour water into the pan",
    "indoor",
    "drain",
    120,
    arguments=(
        Argument("litres", "How much (litres)", "number", low=0.25, high=3.0, required=False,
                 default=1.5),
    ),
    needs=(needs_off("front_panel"),),
    rules=(hazards.work_on_live,),
    cautions=("water",),
)  # fmt: skip
def pour_test(state: State, litres: float) -> Effect:
    """Pour slowly into the pan and watch the end of the hose and the level in the pan."""
    seconds = pour_test_s(state, litres)
    poured = line("You pour {much} into the pan.", much=Measure(litres / 1000, "volume"))
    if seconds > 900:
        lines = (poured, line("It climbs to the edge of the pan. You stop and bail it out."))
        return Effect(noted(clock.later(state, 120), "pour_test:backs_up"), lines)
    seconds = float(round(seconds))  # a watch
    took = Measure(seconds, "time")
    if seconds > 75 * litres:
        said = "It comes out at the end of the hose in a thin string; the pan is empty after {t}."
        result = "slow"
    else:
        said = "It runs out at the end of the hose at once; the pan is empty after {t}."
        result = "free"
    state = noted(clock.later(state, seconds), f"pour_test:{result}")
    return Effect(state, (poured, line(said, t=took)))
