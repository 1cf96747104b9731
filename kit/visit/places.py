"""Where an instrument can be held, and what is there to be measured."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from kit.visit import circuit_work, handwork
from kit.visit.outcome import Line, line

if TYPE_CHECKING:
    from kit.visit.state import State

Values = Mapping[str, float]
ICE_POINT_K = 273.15
# The outlet's share of the coil's face, and how uneven its flow is: common practice, no source.
OUTLET_OF_FACE = 0.22
NO_LOAD_DROP = 0.12  # share of the loaded drop that fans and board alone cause; common practice
CLAMP_WARMTH = 0.06  # share of the air's warmth in an uninsulated clamp's reading: common practice
METAL_SHINE = 0.55  # share of the surroundings in an infrared reading of bare copper: the same


@dataclass(frozen=True, slots=True)
class Place:
    """One place.

    Args:
        title: words for it, to follow "at".
        medium: kind of instrument that can be held there.
        part: part of the site.
        values: what is there: quantity to value [SI].
        needs: part that must be off to reach it; "" when it is free.
    """

    title: str
    medium: str
    part: str
    values: Callable[[State], Values]
    needs: str = ""


PLACES: dict[str, Place] = {}


def _place(
    name: str, title: str, medium: str, part: str, needs: str = ""
) -> Callable[[Callable[[State], Values]], Callable[[State], Values]]:
    def keep(values: Callable[[State], Values]) -> Callable[[State], Values]:
        PLACES[name] = Place(title, medium, part, values, needs)
        return values

    return keep


_BY_MEDIUM = {
    "conductor": ("mains",),
    "terminals": ("mains",),
    "insulation": ("mains", "stored_charge"),
    "turning": ("rotation",),
    "pipe": ("hot",),
    "port": ("refrigerant", "pressure", "flammable"),
}
_BY_PLACE = {
    "supply": ("rotation",),
    "supply_left": ("rotation",),
    "supply_right": ("rotation",),
    "supply_touching": ("rotation",),
    "supply_deep": ("rotation",),
    "dc_bus": ("stored_charge",),
}


def cautions_at(name: str) -> tuple[str, ...]:
    """Return the codes of the usual cautions for holding an instrument at a place."""
    if name == "known_source":
        return ()
    return (*_BY_MEDIUM.get(PLACES[name].medium, ()), *_BY_PLACE.get(name, ()))


def places_for(medium: str) -> list[str]:
    """Return the places where an instrument of this kind can be held, in order."""
    return [name for name, place in PLACES.items() if place.medium == medium]


def out_of_reach(state: State, name: str) -> Line | None:
    """Return why a place cannot be reached now, or None."""
    from kit.visit.state import PARTS

    needs = PLACES[name].needs
    if needs and needs not in state.off:
        return line("You cannot reach that: the {part} is on.", part=PARTS[needs])
    if PLACES[name].medium == "port" and not state.gauges_on:
        return line("No gauges are attached.")
    return None


def _pressure_pa(state: State) -> float:
    from kit.physics import air

    return float(air.pressure_pa(state.around.altitude_m))


class _Air(Mapping[str, float]):
    """Quantities of moist air, each worked out when an instrument asks for it."""

    def __init__(self, db_k: float, w: float, p_pa: float) -> None:
        self._db_k, self._w, self._p_pa = db_k, w, p_pa

    def __getitem__(self, quantity: str) -> float:
        from kit.physics import air

        if quantity == "dry_bulb":
            return self._db_k
        w = min(self._w, float(air.saturation_humidity_ratio(self._db_k, self._p_pa)))
        if quantity == "relative_humidity":
            return min(float(air.relative_humidity(self._db_k, w, self._p_pa)), 1.0)
        if quantity == "wet_bulb":
            return float(air.wet_bulb_k(self._db_k, w, self._p_pa))
        raise KeyError(quantity)

    def __contains__(self, quantity: object) -> bool:
        return quantity in ("dry_bulb", "relative_humidity", "wet_bulb")

    def __iter__(self) -> Iterator[str]:
        return iter(("dry_bulb", "relative_humidity", "wet_bulb"))

    def __len__(self) -> int:
        return 3


def _air(state: State, db_k: float, w: float) -> Values:
    return _Air(db_k, w, _pressure_pa(state))


def _mixed(state: State, share: float, db_k: float, w: float) -> Values:
    """Give supply air with a share of other air drawn into it."""
    t = state.truth
    return _air(
        state,
        (1 - share) * float(t.supply_db_k) + share * db_k,
        (1 - share) * float(t.supply_w) + share * w,
    )


def _outdoor_w(state: State) -> float:
    from kit.physics import air

    around = state.around
    p = _pressure_pa(state)
    return float(air.humidity_ratio(around.outdoor_db_k, around.outdoor_rh, p))


@_place("return_grille", "the return grille, in the air stream", "air", "indoor")
def _return_grille(state: State) -> Values:
    return _air(state, float(state.truth.return_db_k), float(state.truth.return_w))


@_place("return_wall", "the wall above the indoor unit", "air", "indoor")
def _return_wall(state: State) -> Values:
    # A warm wall and still air: common practice, no source.
    t = state.truth
    mean = 0.5 * (float(t.return_db_k) + float(t.room_db_k)) + 0.8
    return _air(state, mean, 0.5 * (float(t.return_w) + float(t.room_w)))


@_place("room_centre", "the middle of the room", "air", "room")
def _room_centre(state: State) -> Values:
    return _air(state, float(state.truth.room_db_k), float(state.truth.room_w))


@_place("supply", "the supply outlet, middle third, just inside the louvre", "air", "indoor")
def _supply(state: State) -> Values:
    return _mixed(state, 0.0, 0.0, 0.0)


@_place("supply_left", "the left end of the supply outlet", "air", "indoor")
def _supply_left(state: State) -> Values:
    return _mixed(state, 0.05, float(state.truth.room_db_k), float(state.truth.room_w))


@_place("supply_right", "the right end of the supply outlet", "air", "indoor")
def _supply_right(state: State) -> Values:
    return _mixed(state, 0.03, float(state.truth.room_db_k), float(state.truth.room_w))


@_place("supply_in_front", "an arm's length in front of the supply outlet", "air", "indoor")
def _supply_in_front(state: State) -> Values:
    # A jet has drawn in about as much room air at this distance: common practice, no source.
    return _mixed(state, 0.45, float(state.truth.room_db_k), float(state.truth.room_w))


@_place("supply_touching", "the supply outlet, touching wet metal", "air", "indoor")
def _supply_touching(state: State) -> Values:
    t = state.truth
    return _mixed(state, 0.5, float(t.indoor_coil_surface_k), float(t.supply_w))


@_place("supply_deep", "the supply outlet, as deep as it goes", "air", "indoor")
def _supply_deep(state: State) -> Values:
    t = state.truth
    return _mixed(state, 0.15, float(t.indoor_coil_surface_k), float(t.supply_w))


@_place("outdoor_intake", "the outdoor unit's intake, in the shade", "air", "outdoor")
def _outdoor_intake(state: State) -> Values:
    above = _reading(state, "outdoor_intake_over_air") if state.truth.running else 0.0
    return _air(state, state.around.outdoor_db_k + above, _outdoor_w(state))


@_place("outdoor_sun", "the outdoor unit's side, in the sun", "air", "outdoor")
def _outdoor_sun(state: State) -> Values:
    return _air(state, state.around.outdoor_db_k + state.order.sun_k, _outdoor_w(state))


@_place("ice_bath", "a cup of ice and water", "air", "instruments")
def _ice_bath(_: State) -> Values:
    return {"dry_bulb": ICE_POINT_K, "wet_bulb": ICE_POINT_K}


def _clamped(pipe_k: float, around_k: float) -> Values:
    return {"pipe_temperature": pipe_k + CLAMP_WARMTH * (around_k - pipe_k)}


@_place("gas_line", "the large service line at the outdoor unit", "pipe", "outdoor")
def _gas_line(state: State) -> Values:
    t = state.truth
    heating = state.asked.mode == "heating"
    pipe = t.discharge_line_k if heating else t.suction_line_k
    return _clamped(float(pipe), state.around.outdoor_db_k)


@_place("small_line", "the small service line at the outdoor unit", "pipe", "outdoor")
def _small_line(state: State) -> Values:
    t = state.truth
    heating = state.asked.mode == "heating"
    pipe = t.liquid_line_k if heating else t.valve_outlet_k
    return _clamped(float(pipe), state.around.outdoor_db_k)


@_place("small_line_bare", "the bare copper of the small line", "surface", "outdoor")
def _small_line_bare(state: State) -> Values:
    pipe = float(state.truth.valve_outlet_k)
    return {"surface_temperature": pipe + METAL_SHINE * (state.around.outdoor_db_k - pipe)}


@_place("louvre_surface", "the louvre", "surface", "indoor")
def _louvre_surface(state: State) -> Values:
    t = state.truth
    return {"surface_temperature": 0.7 * float(t.supply_db_k) + 0.3 * float(t.room_db_k)}


@_place("one_conductor", "one supply conductor at the disconnect", "conductor", "disconnect")
def _one_conductor(state: State) -> Values:
    return {"current": float(state.truth.current_a) if state.powered else 0.0}


@_place("whole_cable", "the whole supply cable at the disconnect", "conductor", "disconnect")
def _whole_cable(_: State) -> Values:
    return {"current": 0.0}  # what goes in comes back: the fields cancel


@_place("known_source", "a known source (proving unit)", "terminals", "instruments")
def _known_source(_: State) -> Values:
    return {"voltage": 240.0}


@_place("line_1_line_2", "line 1 and line 2", "terminals", "outdoor", "terminal_cover")
def _line_1_line_2(state: State) -> Values:
    return {"voltage": line_voltage_v(state)}


@_place("line_1_earth", "line 1 and earth", "terminals", "outdoor", "terminal_cover")
def _line_1_earth(state: State) -> Values:
    split_phase = state.spec.supply_v > 150
    return {"voltage": line_voltage_v(state) * (0.5 if split_phase else 1.0)}


@_place("line_2_earth", "line 2 and earth", "terminals", "outdoor", "terminal_cover")
def _line_2_earth(state: State) -> Values:
    split_phase = state.spec.supply_v > 150
    return {"voltage": line_voltage_v(state) * (0.5 if split_phase else 0.0)}


@_place("dc_bus", "DC bus plus and minus", "terminals", "outdoor", "terminal_cover")
def _dc_bus(state: State) -> Values:
    return {"voltage": bus_voltage_v(state)}


def _outlet_speed(state: State) -> float:
    return float(state.truth.airflow_m3_s) / (OUTLET_OF_FACE * state.spec.indoor.face_m2)


@_place("outlet_grid", "a grid of nine points over the outlet", "outlet", "indoor")
def _outlet_grid(state: State) -> Values:
    return {"air_speed": _outlet_speed(state)}


@_place("outlet_point", "one point of the outlet", "outlet", "indoor")
def _outlet_point(state: State) -> Values:
    from kit.visit import streams

    # One point of a cross-flow outlet is 15 to 30 % off: common practice, no source.
    return {"air_speed": _outlet_speed(state) * (1 + 0.2 * streams.bell(state.seed, "outlet"))}


@_place("gas_port", "the service port on the gas line", "port", "outdoor")
def _gas_port(state: State) -> Values:
    return {"port_pressure": circuit_work.gauge_pa(state)}


def line_voltage_v(state: State) -> float:
    """Return the voltage between the supply conductors at the terminals [V]."""
    if not state.powered:
        return 0.0
    factor = float(state.condition.supply_voltage_factor)
    if not state.truth.running:  # a bad joint drops little while little flows through it
        factor = 1.0 + NO_LOAD_DROP * (factor - 1.0)
    return float(state.spec.supply_v) * factor


def bus_voltage_v(state: State) -> float:
    """Return the voltage of the DC bus now [V DC]."""
    from kit.physics import electrics

    if state.powered:
        return _reading(state, "bus")
    bleed = float("inf") if state.condition.bleed_resistor_open else state.spec.bus_bleed_ohm
    elapsed = state.clock_s - state.supply.moved_at_s
    farads = state.spec.bus_capacitance_f
    return float(electrics.bus_after_v(state.supply.bus_then_v, elapsed, farads, bleed))


def _reading(state: State, name: str) -> float:
    """Return what a careful hand with a perfect instrument would read of the machine now."""
    from kit.machine import readings

    condition = handwork.handled(state.condition, state)
    case = readings.Case(state.truth, state.spec, condition, state.around, state.asked.mode)
    return float(readings.reading(name).take(case))


def pour_test_s(state: State, litres: float) -> float:
    """Return how long that much water takes to run out of the pan [s]; endless when it is shut.

    Args:
        state: the visit.
        litres: water poured [L].
    """
    return litres * _reading(state, "drain_test")


def icy(state: State) -> bool:
    """Return whether ice or frost can be seen on the coil or the small line."""
    return float(state.truth.frost_kg) > 0.05 or handwork.ice_share(state, "indoor") > 0.1
