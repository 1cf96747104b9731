"""The truth key: what was hidden in a visit, as facts by which a rubric's rows apply or not."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from kit.faults import fault
from kit.visit.looks import grade

if TYPE_CHECKING:
    from kit.faults import Fault
    from kit.journal.replay import Replay
    from kit.machine.condition import Condition

# Cures that open the refrigerant circuit or charge it.
CIRCUIT_CURES = (
    "evacuate_and_weigh_in",
    "recover_and_weigh_in",
    "repair_leak_and_weigh_in",
    "replace_compressor",
    "replace_expansion_valve",
    "replace_restricted_part",
    "replace_reversing_valve",
)
CLEANING_CURES = ("clean_filter", "clean_wheel", "wash_indoor_coil", "wash_outdoor_coil")
DRAIN_CURES = ("clear_drain", "relay_drain_hose")
# Faults that gauges help to tell; an open winding, say, is told with a meter.
GAUGE_FAULTS = (
    "air-in-circuit",
    "compressor-not-pumping",
    "leaking-reversing-valve",
    "liquid-line-restriction",
    "low-charge",
    "no-charge",
    "overcharge",
    "valve-stuck-closed",
    "valve-stuck-open",
)
DIRTY = 1  # from this look on (a bloom of dust) there is something to clean
HUMID_RH = 0.6  # from here on a sound unit reads clearly below the trade's 20 °F [CALC]
HOT_OUTDOOR_K = 313.7  # 105 °F: above it capacity falls on a sound unit; common practice
LITTLE_DEMAND_K = 5 / 1.8  # 5 °F: common practice, no source


@dataclass(frozen=True, slots=True)
class Key:
    """What was hidden in a visit.

    Args:
        mode: mode the visit is about.
        faults: faults that a careful visit finds, in the order of the work order.
        slight: faults too slight to be found; naming one is neither asked for nor wrong.
        sound: findings that are true when nothing is wrong; empty when something is.
        facts: names of `FACTS` that hold.
    """

    mode: str
    faults: tuple[Fault, ...]
    slight: tuple[Fault, ...]
    sound: tuple[str, ...]
    facts: frozenset[str]

    @property
    def names(self) -> tuple[str, ...]:
        """Findings that are right here."""
        return tuple(one.name for one in self.faults) or self.sound


def truth_key(done: Replay) -> Key:
    """Return the truth key of a replayed visit.

    Args:
        done: the visit.
    """
    found: list[Fault] = []
    slight: list[Fault] = []
    for hidden in done.order.faults:
        one = fault(hidden.name)
        level = one.level(hidden.severity)
        mildest = min((s.level for s in one.severities if s.found), default=2.0)
        (found if level >= mildest else slight).append(one)
    sound = () if found else _sound(done)
    bare = Key(done.order.mode, tuple(found), tuple(slight), sound, frozenset())
    facts = frozenset(name for name, (_, holds) in FACTS.items() if holds(bare, done))
    return Key(bare.mode, bare.faults, bare.slight, bare.sound, facts)


def _sound(done: Replay) -> tuple[str, ...]:
    """Return why a sound unit may have looked ill; the plain answer is always true."""
    around, why = done.start.around, []
    if float(around.room_rh) >= HUMID_RH and done.order.mode == "cooling":
        why.append("humid-room")
    if float(around.outdoor_db_k) >= HOT_OUTDOOR_K and done.order.mode == "cooling":
        why.append("very-hot-day")
    sign = -1 if done.order.mode == "heating" else 1
    remote = done.order.remote
    if remote is not None:
        gap_k = sign * (float(around.room_db_k) - remote.setpoint_k)
        if gap_k < LITTLE_DEMAND_K or remote.fan != "auto":
            why.append("too-little-demand")
    return (*why, "nothing-wrong")


Holds = Callable[[Key, "Replay"], bool]


def _dirt(*knobs: str) -> Holds:
    def holds(_: Key, done: Replay) -> bool:
        return any(grade(float(getattr(_found(done), knob))) >= DIRTY for knob in knobs)

    return holds


def _cured_by(*cures: str) -> Holds:
    return lambda key, _: any(one.cure.action in cures for one in key.faults)


def _found(done: Replay) -> Condition:
    return done.start.condition


def _drips(_: Key, done: Replay) -> bool:
    return float(_found(done).drain_blockage) > 0.3 or _found(done).drain_slope_fault > 0.25


def _no_split(key: Key, _: Replay) -> bool:
    """Tell whether the compressor cannot work at all."""
    return any(one.name in _STOPPED for one in key.faults)


_STOPPED = (
    "chewed-communication-wire",
    "dead-inverter-board",
    "earthed-winding",
    "locked-rotor",
    "no-charge",
    "open-winding",
)
_INDOOR = ("filter_loading", "indoor_coil_film", "indoor_coil_blockage", "wheel_fouling")
_WASHED = ("indoor_coil_film", "indoor_coil_blockage", "wheel_fouling")
_OUTDOOR = ("outdoor_coil_blockage", "outdoor_coil_film")

# name: (what it says, when it holds). A row of a rubric applies `when` and `unless` these hold.
FACTS: dict[str, tuple[str, Holds]] = {
    "cooling": ("The visit is about cooling", lambda key, _: key.mode == "cooling"),
    "heating": ("The visit is about heating", lambda key, _: key.mode == "heating"),
    "sound": ("Nothing is wrong with the machine", lambda key, _: not key.faults),
    "filter_dirty": ("The filter was dirty", _dirt("filter_loading")),
    "indoor_coil_dirty": ("The indoor coil was dirty", _dirt(*_WASHED[:2])),
    "wheel_dirty": ("The wheel was dirty", _dirt("wheel_fouling")),
    "indoor_wash": ("Coil or wheel indoors needed a wash", _dirt(*_WASHED)),
    "outdoor_dirty": ("The outdoor coil was dirty", _dirt(*_OUTDOOR)),
    "dirty": ("Something was dirty", _dirt(*_INDOOR, *_OUTDOOR)),
    "wash": ("A coil or the wheel needed a wash", _dirt(*_WASHED, *_OUTDOOR)),
    "drain_dirty": ("The drain was not free", _dirt("drain_blockage")),
    "drips": ("Water stains or drops could be seen", _drips),
    "circuit": ("The fault is in the refrigerant circuit", _cured_by(*CIRCUIT_CURES)),
    "gauges_tell": (
        "Gauges tell the fault",
        lambda key, _: any(one.name in GAUGE_FAULTS for one in key.faults),
    ),
    "leak": (
        "Charge was lost through a leak",
        lambda key, _: any(one.cure.action == "repair_leak_and_weigh_in" for one in key.faults),
    ),
    "no_split": ("The compressor cannot work", _no_split),
    "certified": ("The learner is certified", lambda _, done: done.order.certified),
}
