"""What follows from what an apprentice has seen and written down: trade sense, no hidden truth."""

from __future__ import annotations

import math
from collections.abc import Callable

from tests.apprentices.hands import Hands

BAND_K = 5 / 3  # the card's own give or take
LITTLE_K = 5 / 1.8  # below it a split counts as near zero; common practice, no source
DIRTY = 2  # a look from which on dirt is worth a word
OPEN_OHM = 100.0  # more than this between two terminals is no winding; common practice, no source
EARTHED_OHM = 1e6  # the 1 megohm rule
IDLE_SHARE = 0.125  # of the breaker's rating: less is a fan and a board; common practice
LONG_MIN = 10  # a run from which on a split counts
HUMID_RH = 0.6  # from here on a sound unit gives clearly less than the usual split
DRY_K = 8.0  # a large line this far above the small one boils off too early; common practice
SENSOR_K = 2.5  # a room sensor may be off by its rounding and the air's unevenness
SUPERHEAT_K = 12 / 1.8  # more than a sound unit shows; common practice, no source

# part, what is drawn: what it is called.
SEEN = {
    ("filter", "filter"): "dirty-filter",
    ("indoor_coil", "coil_film"): "film-on-indoor-coil",
    ("indoor_coil", "coil_face"): "blocked-indoor-coil",
    ("wheel", "wheel_blades"): "clogged-blower-wheel",
    ("outdoor_coil", "outdoor_coil"): "dirty-outdoor-coil",
    ("clearance", "clearance"): "outdoor-recirculation",
    ("hose", "hose"): "uphill-drain",
    ("outdoor_wires", "wires"): "chewed-communication-wire",
    ("outdoor_board", "board"): "dead-inverter-board",
    ("outdoor_terminals", "terminals"): "low-supply-voltage",
    ("room_sensor", "sensor"): "displaced-room-sensor",
}
DIRT = ("filter", "indoor_coil", "wheel", "outdoor_coil")
STOPPED = ("chewed-communication-wire", "dead-inverter-board", "open-winding", "earthed-winding")
# What else would look like it, the likeliest first.
ALIKE = {
    "dirty-filter": ("weak-indoor-fan", "blocked-indoor-coil", "clogged-blower-wheel",
                     "iced-indoor-coil"),
    "clogged-blower-wheel": ("weak-indoor-fan", "dirty-filter", "blocked-indoor-coil",
                             "iced-indoor-coil"),
    "film-on-indoor-coil": ("low-charge",),
    "dirty-outdoor-coil": ("weak-outdoor-fan", "failed-outdoor-fan", "outdoor-recirculation",
                           "iced-outdoor-coil"),
    "blocked-drain": ("iced-indoor-coil", "clogged-blower-wheel", "uphill-drain"),
    "partly-blocked-drain": ("uphill-drain",),
    "chewed-communication-wire": ("dead-inverter-board", "open-winding", "earthed-winding"),
    "open-winding": ("earthed-winding", "dead-inverter-board", "chewed-communication-wire"),
    "failed-outdoor-fan": ("dead-inverter-board", "open-winding", "chewed-communication-wire",
                           "dirty-outdoor-coil", "earthed-winding"),
    "displaced-room-sensor": ("coil-sensor-out-of-range",),
    "low-charge": ("liquid-line-restriction", "valve-stuck-closed", "film-on-indoor-coil"),
}  # fmt: skip
SOUND = ("low-charge", "dirty-filter", "film-on-indoor-coil", "dirty-outdoor-coil")
# What hands a fault on that is still there, in the order of its weight.
HAND_ON = {
    "open-winding": "replace_part",
    "earthed-winding": "replace_part",
    "dead-inverter-board": "replace_part",
    "failed-outdoor-fan": "replace_part",
    "chewed-communication-wire": "new_cable",
    "low-charge": "leak_search",
    "low-supply-voltage": "electrician",
    "outdoor-recirculation": "keep_clear",
}


def off_target(h: Hands, when: str) -> float:
    """Return how far the split is from its target [K]; nan when one is missing."""
    split, target = h.sheet.get(("split", when)), h.sheet.get(("target_split", when))
    return math.nan if split is None or target is None else split - target


def no_split(h: Hands) -> bool:
    """Return whether the split as found was near zero."""
    return abs(h.sheet.get(("split", "as_found"), 99.0)) < LITTLE_K


def drips(h: Hands) -> bool:
    """Return whether water was told of or seen, and the drain looks narrow."""
    told = "“Yes" in h.told.get("ask:drip", "") or "“Some" in h.told.get("ask:drip", "")
    return (told or h.says("wall", "stains", "runs down")) and h.grade("drain_end") >= DIRTY


def codes(h: Hands) -> bool:
    """Return whether a lamp was told of or seen to blink."""
    told = h.told.get("ask:codes", "")
    return h.says("display", "A lamp blinks") or ("“Yes" in told or "lamp blinks" in told)


def short_of_gas(h: Hands) -> bool:
    """Return whether the split is low though all is clean, and the large line is far too warm."""
    superheat = h.sheet.get(("superheat", "as_found"))
    if superheat is not None:
        return superheat > SUPERHEAT_K
    gas, small = h.sheet.get(("gas_line", "as_found")), h.sheet.get(("small_line", "as_found"))
    last = off_target(h, "as_left")
    low = (off_target(h, "as_found") if math.isnan(last) else last) < -BAND_K
    if gas is None or small is None:
        return low and all_clean(h)
    return low and gas - small > DRY_K


def causes(h: Hands) -> list[str]:
    """Return what was found, by looks and by the meter."""
    found = [name for (part, what), name in SEEN.items() if h.grade(part, what) >= DIRTY]
    if h.grade("drain_end") >= DIRTY:
        shut = h.says("drain_end", "closed and dry")
        found.append("blocked-drain" if shut else "partly-blocked-drain")
    if h.grade("indoor_coil", "coil_ice") >= DIRTY:
        found.append("iced-indoor-coil")
    if h.says("by_hand:outdoor_fan", "hardly turns"):
        found.append("failed-outdoor-fan")
    if any(ohm > OPEN_OHM for ohm in h.ohms):
        found.append("open-winding")
    if h.insulation_ohm < EARTHED_OHM:
        found.append("earthed-winding")
    if short_of_gas(h) and "displaced-room-sensor" not in found:
        found.append("low-charge")
    return found


def why_sound(h: Hands) -> list[str]:
    """Return why a unit in which nothing was found may have looked ill."""
    why = []
    db = h.sheet.get(("return_dry_bulb", "as_found"))
    if h.humidity >= HUMID_RH and h.mode == "cooling":
        why.append("humid-room")
    if db is not None and h.setting[1] != "auto":
        why.append("too-little-demand")
    return [*why, "nothing-wrong"]


Test = Callable[[Hands], bool]


def _clean(part: str, what: str) -> Test:
    """Return a test: looked at, and spotless."""
    return lambda h: part in h.told and h.grade(part, what) == 0


def _on_target(h: Hands) -> bool:
    """Tell whether a split that is right speaks for the circuit."""
    last = off_target(h, "as_left")
    return (off_target(h, "as_found") if math.isnan(last) else last) >= -BAND_K


def _fan_brisk(h: Hands) -> bool:
    return h.says("outdoor_fan", "briskly")


CLEARED: dict[str, Test] = {
    "dirty-filter": _clean("filter", "filter"),
    "blocked-indoor-coil": lambda h: "indoor_coil" in h.told and h.grade("indoor_coil") == 0,
    "film-on-indoor-coil": _clean("indoor_coil", "coil_film"),
    "iced-indoor-coil": _clean("indoor_coil", "coil_ice"),
    "clogged-blower-wheel": _clean("wheel", "wheel_blades"),
    "dirty-outdoor-coil": _clean("outdoor_coil", "outdoor_coil"),
    "iced-outdoor-coil": _clean("outdoor_coil", "outdoor_ice"),
    "outdoor-recirculation": _clean("clearance", "clearance"),
    "uphill-drain": _clean("hose", "hose"),
    "dead-inverter-board": _clean("outdoor_board", "board"),
    "chewed-communication-wire": _clean("outdoor_wires", "wires"),
    "weak-indoor-fan": lambda h: (
        h.says("by_hand:wheel", "runs free", "heavy with dirt")
        and not h.says("by_hand:wheel", "drags")
    ),
    "weak-outdoor-fan": _fan_brisk,
    "failed-outdoor-fan": _fan_brisk,
    "open-winding": lambda h: len(h.ohms) == 3 and max(h.ohms) < OPEN_OHM,
    "earthed-winding": lambda h: EARTHED_OHM <= h.insulation_ohm < math.inf,
    "coil-sensor-out-of-range": lambda h: h.coil_sensor_sound,
    "low-charge": _on_target,
    "liquid-line-restriction": _on_target,
    "valve-stuck-closed": _on_target,
}


def ruled_out(h: Hands, found: list[str]) -> list[str]:
    """Return look-alikes of what was found that a look or a reading spoke against."""
    alike = [other for one in found for other in ALIKE.get(one, SOUND)]
    return [
        one
        for one in dict.fromkeys(alike)
        if one not in found and one in CLEARED and CLEARED[one](h)
    ]


def recommendations(h: Hands, found: list[str], mended: set[str]) -> list[str]:
    """Return what to recommend, the most important first."""
    left = [HAND_ON[one] for one in found if one in HAND_ON and one not in mended]
    if "leak_search" in left:
        left.append("certified_repair")
    if "humid-room" in found:
        left.append("drier_room")
    if "too-little-demand" in found:
        left.append("set_remote")
    if "nothing-wrong" in found:
        left.append("leave_refrigerant")
    usual = ["wash_filter", "yearly_service"]
    if "dirty-outdoor-coil" in found:
        usual.append("keep_clear")
    return list(dict.fromkeys([*left, *usual]))


def reasons(h: Hands) -> list[str]:
    """Return the reasons, beside the split, that were measured or seen by now."""
    dirty = [part for part in DIRT if h.grade(part) >= DIRTY]
    shown = codes(h)
    asked = "ask:codes" in h.told or "display" in h.told
    measured = h.current_a is not None and h.breaker_a > 0.0
    runs = measured and (h.current_a or 0.0) > IDLE_SHARE * h.breaker_a
    holds = {
        "humidity_counted": not math.isnan(off_target(h, "as_found")),
        "demand_full": h.ran_min >= LONG_MIN,
        "dirt_seen": any(part in dirty for part in DIRT[:3]),
        "outdoor_dirt_seen": "outdoor_coil" in dirty,
        "drip": drips(h),
        "codes": asked and shown,
        "no_codes": asked and not shown,
        "compressor_runs": runs,
        "no_current": measured and not runs,
        "air_side_clean": all_clean(h),
    }
    return [name for name, true in holds.items() if true]


def all_clean(h: Hands) -> bool:
    """Return whether filter, coils and wheel were all looked at and are clean."""
    return all(part in h.told and h.grade(part) < DIRTY for part in DIRT)


def gate(h: Hands) -> tuple[str, list[str]]:
    """Return the decision at the gate and the reasons that were measured or seen."""
    off, why = off_target(h, "as_found"), reasons(h)
    dirty = any(h.grade(part) >= DIRTY for part in DIRT)
    if no_split(h):
        return "other_cause", ["split_near_zero", *why]
    if math.isnan(off):
        return "clean_first", why
    if off < -BAND_K:
        choice = "clean_first"
        if all_clean(h):
            choice = "other_cause" if h.sensor_off or codes(h) else "gauges_first"
        return choice, ["split_below_target", *why]
    if off > BAND_K:
        return ("clean_first" if dirty else "other_cause"), ["split_above_target", *why]
    return ("clean_first" if dirty or drips(h) else "no_further"), ["split_on_target", *why]


def last(h: Hands, left: bool) -> tuple[str, list[str]]:
    """Return the decision after the recheck and its reasons.

    Args:
        h: the apprentice.
        left: whether something was found that only others can mend.
    """
    off = off_target(h, "as_left")
    split = h.sheet.get(("split", "as_left"))
    if split is not None and abs(split) < LITTLE_K:
        return "other_cause", ["split_near_zero"]
    if math.isnan(off):
        return "no_further", ["last_gauges"]
    if left:
        return "other_cause", ["humidity_counted", "demand_full"]
    if off < -BAND_K:
        return "gauges_now", ["split_below_target", "humidity_counted", "demand_full"]
    if off > BAND_K:
        return "other_cause", ["split_above_target", "humidity_counted", "demand_full"]
    return "no_further", ["split_restored", "split_on_target", "humidity_counted"]
