"""Parts that can be changed, what each one cures, and what speaks for changing it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any

from kit.faults import fault
from kit.visit.hazards import PAIRS
from kit.visit.outcome import Hazard, line

if TYPE_CHECKING:
    from kit.machine.condition import Condition
    from kit.visit.outcome import Reading
    from kit.visit.state import State

OPEN_OHM = 100.0  # more than this between two terminals is no winding; common practice, no source
UNEQUAL = 0.1  # pairs of a sound motor agree within 5 to 10 %: from memory
EARTHED_OHM = 1e6  # least insulation: the 1 megohm rule (reagle.org, testing earth resistance)
SENSOR_OFF = 0.05  # a sensor this far off its table is changed: 5 to 10 %, from memory
SAFE_V = 50.0  # common practice, no source
NEAR_S = 900.0  # two readings that belong together; the same
WAITED_S = 540.0  # the usual wait, give or take a minute; the same
SLOW = 0.85  # of its full speed, below which a fan counts as slow; common practice, no source


@dataclass(frozen=True, slots=True)
class Part:
    """A part that can be changed.

    Args:
        title: words for it.
        where: part of the site.
        covers: what must be off.
        cures: names of faults whose cure a new one is.
        restores: further knobs it sets, by name.
        takes_s: time to change it [s].
        in_van: whether one is carried in the van; else it is ordered first.
        circuit: whether the refrigerant circuit must be opened for it.
        grounds: whether what was measured and seen so far speaks for changing it.
    """

    title: str
    where: str
    covers: tuple[str, ...]
    cures: tuple[str, ...]
    grounds: Callable[[State], bool]
    restores: Mapping[str, Any] = field(default_factory=dict)
    takes_s: float = 1800.0
    in_van: bool = False
    circuit: bool = False


def fitted(condition: Condition, part: Part) -> Condition:
    """Return the condition with a new part in place of the old one.

    Args:
        condition: the machine before.
        part: the part.
    """
    for name in part.cures:
        condition = fault(name).cure.done(condition)
    return replace(condition, **part.restores) if part.restores else condition


def _read(state: State, *places: str) -> list[Reading]:
    return [reading for reading in state.readings if reading.place in places]


def _low_ohms(state: State) -> dict[str, float]:
    """Return the last figure of each pair of windings, the leads taken off where they are known."""
    from kit.visit.electric_places import WINDINGS

    leads = [r.value for r in _read(state, "leads_together")]
    off = leads[-1] if leads else 0.0
    return {r.place: r.value - off for r in _read(state, *WINDINGS)}


def _compressor(state: State) -> bool:
    pairs = list(_low_ohms(state).values())
    unequal = len(pairs) == 3 and max(pairs) > (1.0 + UNEQUAL) * min(pairs)
    open_one = any(ohm > OPEN_OHM for ohm in pairs)
    earthed = any(r.value < EARTHED_OHM for r in _read(state, "windings_to_earth"))
    surges = any(
        r.value > state.spec.current_limit_a[0] for r in _read(state, "one_conductor_start")
    )
    weak = bool(_read(state, "gas_port")) and bool(_read(state, "after_reversing_valve"))
    return open_one or unequal or earthed or surges or weak


def _board(state: State) -> bool:
    steady_high = any(
        r.quantity == "lowest_voltage" and r.value > 10.0 for r in _read(state, "signal_line")
    )
    burnt = state.has_done("inspect:outdoor_board") and state.condition.inverter_state != "ok"
    return steady_high or burnt or any(_bus_odd(state, r) for r in _read(state, "dc_bus"))


def _bus_odd(state: State, bus: Reading) -> bool:
    """Return whether a bus was dead with mains on, or charged long after they were off."""
    near = [r.value for r in _read(state, PAIRS[0]) if abs(r.at_s - bus.at_s) <= NEAR_S]
    dead_live = bus.value < SAFE_V and any(volts > SAFE_V for volts in near)
    waited = state.supply.pulled and bus.at_s - state.supply.moved_at_s >= WAITED_S
    return dead_live or (waited and bus.value >= SAFE_V)


def _cable(state: State) -> bool:
    dead = any(
        r.quantity == "highest_voltage" and r.value < 5.0 for r in _read(state, "signal_line")
    )
    cut = state.condition.communication_state != "ok"
    return dead or (cut and state.has_done("inspect:outdoor_wires"))


def _slow(place: str, look: str, factor: str, full: Callable[[State], float]) -> Any:
    def grounds(state: State) -> bool:
        turned = any(60.0 * r.value < SLOW * full(state) for r in _read(state, place))
        weak = getattr(state.condition, factor) < SLOW
        return turned or (weak and (state.has_done(f"by_hand:{look}")))

    return grounds


def _sensor(which: str) -> Callable[[State], bool]:
    def grounds(state: State) -> bool:
        from kit.physics import thermistor
        from kit.visit.places import ICE_POINT_K

        spec = state.spec
        table = float(
            thermistor.ntc_resistance_ohm(ICE_POINT_K, spec.thermistor_ohm, spec.thermistor_beta_k)
        )
        iced = _read(state, f"{which}_in_ice")
        if any(abs(r.value / table - 1.0) > SENSOR_OFF for r in iced):
            return True
        warm = float(
            thermistor.ntc_resistance_ohm(
                state.around.room_db_k, spec.thermistor_ohm, spec.thermistor_beta_k
            )
        )
        plug = _read(state, f"{which}_plug")
        return any(abs(r.value / warm - 1.0) > 2 * SENSOR_OFF for r in plug)

    return grounds


def _clamped(*places: str) -> Callable[[State], bool]:
    """Return whether every one of these places was measured, gauges among them."""
    return lambda state: all(_read(state, place) for place in places)


def supply_grounds(state: State) -> bool:
    """Return whether a voltage under load was measured that is too low for the machine.

    Args:
        state: the visit.

    Source: less than 90 % of the rated voltage at the terminals: common practice, no source
        (service ranges of ANSI C84.1, seen at second hand).
    """
    low = 0.95 * float(state.spec.supply_v)
    return any(50.0 < r.value < low for r in _read(state, PAIRS[0]))


def charge_grounds(state: State) -> bool:
    """Return whether gauges or a leak search gave a reason to open the circuit.

    Args:
        state: the visit.
    """
    return bool(_read(state, "gas_port")) or state.has_done("search_leak")


PARTS: dict[str, Part] = {
    "room_sensor": Part(
        "room sensor", "indoor", ("indoor_casing",), ("displaced-room-sensor",),
        _sensor("room_sensor"), takes_s=900, in_van=True,
    ),
    "coil_sensor": Part(
        "coil sensor", "indoor", ("indoor_casing",), ("coil-sensor-out-of-range",),
        _sensor("coil_sensor"), takes_s=900, in_van=True,
    ),
    "signal_cable": Part(
        "cable between the units, its whole run", "outdoor", ("terminal_cover", "indoor_casing"),
        ("chewed-communication-wire",), _cable, takes_s=5400, in_van=True,
    ),
    "indoor_fan_motor": Part(
        "blower motor", "indoor", ("indoor_casing",), ("weak-indoor-fan",),
        _slow("wheel_mark", "wheel", "indoor_fan_factor",
              lambda s: s.spec.indoor_fan.full_rpm), takes_s=5400,
    ),
    "blower_wheel": Part(
        "blower wheel", "indoor", ("indoor_casing",), ("clogged-blower-wheel",),
        lambda s: s.harm.wheel > 0.0, takes_s=4500,
    ),
    "indoor_board": Part(
        "indoor board", "indoor", ("indoor_casing",), (), lambda s: s.harm.indoor_board,
        takes_s=2700,
    ),
    "outdoor_fan_motor": Part(
        "outdoor fan motor", "outdoor", ("outdoor_panels",),
        ("failed-outdoor-fan", "weak-outdoor-fan"),
        _slow("outdoor_fan_mark", "outdoor_fan", "outdoor_fan_factor",
              lambda s: s.spec.outdoor_fan.full_rpm), takes_s=2700,
    ),
    "inverter_board": Part(
        "inverter board", "outdoor", ("outdoor_panels",),
        ("dead-inverter-board", "open-bleed-resistor"), _board, takes_s=3600,
    ),
    "compressor": Part(
        "compressor", "outdoor", ("outdoor_panels",),
        ("open-winding", "locked-rotor", "earthed-winding", "compressor-not-pumping"),
        _compressor, takes_s=14400, circuit=True,
    ),
    "reversing_valve": Part(
        "reversing valve", "outdoor", ("outdoor_panels",),
        ("stuck-reversing-valve", "leaking-reversing-valve"),
        lambda s: _clamped("before_reversing_valve", "after_reversing_valve")(s)
        or _clamped("reversing_coil")(s), takes_s=12600, circuit=True,
    ),
    "expansion_valve": Part(
        "expansion valve", "outdoor", ("outdoor_panels",),
        ("valve-stuck-open", "valve-stuck-closed"),
        lambda s: _clamped("gas_port")(s) and _clamped("valve_coil")(s), takes_s=10800,
        circuit=True,
    ),
    "strainer": Part(
        "strainer in the liquid line", "outdoor", ("outdoor_panels",),
        ("liquid-line-restriction",), _clamped("liquid_line", "after_strainer"), takes_s=9000,
        circuit=True,
    ),
    "filter_strip": Part(
        "strip behind the filter's mesh", "indoor", ("filter",), (),
        lambda s: s.order.fitted.strip != "none", takes_s=120, in_van=True,
    ),
    "float_device": Part(
        "float switch or pump at the drain", "drain", (), (),
        lambda s: s.has_done("lift_float:nothing"), takes_s=1800, in_van=True,
    ),
}  # fmt: skip

# Work on no single part: (words, what speaks for it).
NO_PART: dict[str, tuple[str, Callable[[State], bool]]] = {
    "supply": ("supply to the unit", supply_grounds),
    "charge": ("leak, evacuation and charge", charge_grounds),
}


def swapped(state: State, name: str) -> tuple[Hazard, ...]:
    """Note: something is changed or ordered though nothing measured or seen speaks for it.

    Args:
        state: the visit.
        name: a key of `PARTS` or of `NO_PART`.
    """
    words, grounds = NO_PART.get(name) or (PARTS[name].title, PARTS[name].grounds)
    if grounds(state):
        return ()
    text = line("Nothing you measured or saw so far speaks for it: {part}.", part=words)
    return (Hazard("part_swapped", "note", text),)
