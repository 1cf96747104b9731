"""Places for meters: windings, insulation, sensors, coils, the signal line; and more for probes."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from kit.visit import clock, streams
from kit.visit.handwork import PLUGS, SENSORS, TOUCHING
from kit.visit.outcome import Line, line
from kit.visit.places import CLAMP_WARMTH, ICE_POINT_K, PLACES, Place

if TYPE_CHECKING:
    from collections.abc import Callable

    from kit.visit.places import Values
    from kit.visit.state import State

# A pair of test leads: 0.1 to 0.5 ohm, from memory.
LEADS_OHM = (0.15, 0.45)
# What a board that hangs on the leads adds beside a winding; common practice, no source.
BOARD_OHM = 60.0
SHORTED_MODULE_OHM = 0.3
BOARD_TO_EARTH_OHM = 0.35e6
REVERSING_COIL_OHM, VALVE_COIL_OHM = 1600.0, 46.0  # 1 to 2.5 kohm, 40 to 50 ohm: from memory
FAN_CONTROL_V = 15.0  # from memory
OUTDOOR_OUTLET_OF_FACE = 0.45  # the fan's opening over the coil's face; common practice, no source
DISPLACED_K = 1.0

WINDINGS = ("winding_uv", "winding_vw", "winding_wu")
SENSOR_PLUGS = {
    "room_sensor_plug": "room_sensor",
    "coil_sensor_plug": "coil_sensor",
    "room_sensor_in_ice": "room_sensor",
    "coil_sensor_in_ice": "coil_sensor",
    "ambient_sensor_plug": "ambient_sensor",
    "discharge_sensor_plug": "discharge_sensor",
}
COILS = ("reversing_coil", "valve_coil")
INSULATION = ("windings_to_earth",)
# Where a meter touches parts that must be proved dead first, and where it is meant to be live.
DEAD_TESTS = (*WINDINGS, *SENSOR_PLUGS, *COILS, *INSULATION, "winding_to_earth")
LIVE_TESTS = ("signal_line", "fan_plug_supply", "fan_plug_control")


def _place(
    name: str, title: str, medium: str, part: str, needs: str = ""
) -> Callable[[Callable[[State], Values]], Callable[[State], Values]]:
    def keep(values: Callable[[State], Values]) -> Callable[[State], Values]:
        PLACES[name] = Place(title, medium, part, values, needs)
        return values

    return keep


def out_of_reach(state: State, name: str) -> Line | None:
    """Return why a place cannot be measured now, beyond a cover in the way, or None."""
    if name.endswith("_in_ice") and SENSOR_PLUGS[name] not in state.loose.sensors:
        return line("First take it out: {part}.", part=SENSORS[SENSOR_PLUGS[name]])
    return None


def leads_ohm(state: State) -> float:
    """Return the resistance of the meter's own leads [ohm]."""
    low, high = LEADS_OHM
    return low + (high - low) * streams.uniform(state.seed, "test leads")


def sensor_k(state: State, which: str) -> float:
    """Return the temperature for which a sensor's resistance stands [K].

    Args:
        state: the visit, solved up to its clock.
        which: "room_sensor", "coil_sensor", "ambient_sensor" or "discharge_sensor".
    """
    t, c = state.truth, state.condition
    coil_k = float(t.indoor_coil_surface_k)
    if which == "ambient_sensor":
        return state.around.outdoor_db_k
    if which == "discharge_sensor":
        return float(t.discharge_line_k)
    if which == "coil_sensor":
        out = which in state.loose.sensors
        return (float(t.return_db_k) if out else coil_k) + c.coil_sensor_offset_k
    air_k = float(t.return_db_k)
    if which not in state.loose.sensors and abs(c.room_sensor_offset_k) <= DISPLACED_K:
        return air_k + c.room_sensor_offset_k
    return air_k + TOUCHING * (coil_k - air_k)  # it takes the temperature of what it lies against


def _case(state: State, name: str) -> float:
    """Return a reading of the machine as it now is, what hands did to it included."""
    from kit.machine import readings

    condition = clock.working_condition(state)
    mode = state.asked.mode
    return float(
        readings.reading(name).take(
            readings.Case(state.truth, state.spec, condition, state.around, mode)
        )
    )


def _beside(one: float, other: float) -> float:
    if math.isinf(one):
        return other
    return one if math.isinf(other) else one * other / (one + other)


def _winding(pair: int) -> Callable[[State], Values]:
    def values(state: State) -> Values:
        from kit.physics import electrics

        phase = electrics.copper_resistance_ohm(
            0.5 * state.spec.winding_ohm, state.around.outdoor_db_k
        )
        ohm = float(electrics.winding_pairs_ohm(state.condition.compressor_state, phase)[pair])
        if "compressor_leads" not in state.loose.plugs:
            shorted = pair == 0 and state.condition.inverter_state != "ok"
            ohm = _beside(ohm, SHORTED_MODULE_OHM if shorted else BOARD_OHM)
        return {"low_resistance": ohm + leads_ohm(state)}

    return values


for _pair, _name in enumerate(WINDINGS):
    _words = f"compressor terminals {_name[-2].upper()} and {_name[-1].upper()}"
    PLACES[_name] = Place(_words, "terminals", "outdoor", _winding(_pair), "outdoor_panels")


def _insulation_ohm(state: State) -> float:
    from kit.physics import electrics

    ohm = float(
        electrics.insulation_ohm(state.condition.compressor_state, state.around.outdoor_db_k)
    )
    if "compressor_leads" not in state.loose.plugs:
        ohm = _beside(ohm, BOARD_TO_EARTH_OHM)
    return ohm


@_place("winding_to_earth", "a compressor terminal and bare metal of the case", "terminals",
        "outdoor", "outdoor_panels")  # fmt: skip
def _winding_to_earth(state: State) -> Values:
    return {"resistance": _insulation_ohm(state)}


@_place("windings_to_earth", "the compressor's windings and earth", "insulation", "outdoor",
        "outdoor_panels")  # fmt: skip
def _windings_to_earth(state: State) -> Values:
    return {"insulation": _insulation_ohm(state)}


@_place("leads_together", "its own leads held together", "terminals", "instruments")
def _leads_together(state: State) -> Values:
    return {"low_resistance": leads_ohm(state)}


def _sensor(which: str, in_ice: bool) -> Callable[[State], Values]:
    def values(state: State) -> Values:
        from kit.physics import thermistor

        kelvin = sensor_k(state, which)
        if in_ice:
            drift = state.condition.coil_sensor_offset_k if which == "coil_sensor" else 0.0
            kelvin = ICE_POINT_K + drift
        spec = state.spec
        ohm = float(
            thermistor.ntc_resistance_ohm(kelvin, spec.thermistor_ohm, spec.thermistor_beta_k)
        )
        if which not in state.loose.plugs:
            ohm = _beside(ohm, spec.thermistor_ohm)  # the board's own resistor beside it
        return {"resistance": ohm + leads_ohm(state)}

    return values


_TITLES = {
    "room_sensor_plug": "the plug of the room sensor",
    "coil_sensor_plug": "the plug of the coil sensor",
    "room_sensor_in_ice": "the plug of the room sensor, its tip in ice and water",
    "coil_sensor_in_ice": "the plug of the coil sensor, its tip in ice and water",
    "ambient_sensor_plug": "the plug of the outdoor air sensor",
    "discharge_sensor_plug": "the plug of the discharge sensor",
}
for _name, _which in SENSOR_PLUGS.items():
    _cover = PLUGS[_which][1]
    _part = "indoor" if _cover == "indoor_casing" else "outdoor"
    PLACES[_name] = Place(
        _TITLES[_name], "terminals", _part, _sensor(_which, _name.endswith("_in_ice")), _cover
    )


def _copper(ohm: float, state: State) -> float:
    from kit.physics import electrics

    return float(electrics.copper_resistance_ohm(ohm, state.around.outdoor_db_k))


@_place("reversing_coil", "the coil of the reversing valve", "terminals", "outdoor",
        "outdoor_panels")  # fmt: skip
def _reversing_coil(state: State) -> Values:
    return {"resistance": _copper(REVERSING_COIL_OHM, state) + leads_ohm(state)}


@_place("valve_coil", "one winding of the expansion valve's coil", "terminals", "outdoor",
        "outdoor_panels")  # fmt: skip
def _valve_coil(state: State) -> Values:
    return {"low_resistance": _copper(VALVE_COIL_OHM, state) + leads_ohm(state)}


@_place("signal_line", "the signal line, lowest and highest while you watch", "terminals",
        "outdoor", "terminal_cover")  # fmt: skip
def _signal_line(state: State) -> Values:
    from kit.physics import electrics

    if not state.powered:
        return {"lowest_voltage": 0.0, "highest_voltage": 0.0}
    now = clock.working_condition(state)
    sender = "ok" if now.inverter_state == "ok" else "dead"
    low, high = electrics.signal_levels_v(now.communication_state, sender)
    return {"lowest_voltage": low, "highest_voltage": high}


@_place("fan_plug_supply", "the outdoor fan's supply at the edge of the board", "terminals",
        "outdoor", "terminal_cover")  # fmt: skip
def _fan_plug_supply(state: State) -> Values:
    from kit.visit.places import bus_voltage_v

    return {"voltage": bus_voltage_v(state)}


@_place("fan_plug_control", "the outdoor fan's control supply at the edge of the board",
        "terminals", "outdoor", "terminal_cover")  # fmt: skip
def _fan_plug_control(state: State) -> Values:
    sound = state.powered and clock.working_condition(state).inverter_state == "ok"
    return {"voltage": FAN_CONTROL_V if sound else 0.0}


@_place("one_conductor_start", "one supply conductor, peak hold over a start", "conductor",
        "disconnect")  # fmt: skip
def _one_conductor_start(state: State) -> Values:
    if state.asked.mode not in ("cooling", "heating"):
        return {"peak_current": float(state.truth.current_a) if state.powered else 0.0}
    return {"peak_current": _case(state, "start_peak")}


@_place("outdoor_fan_mark", "a mark on the outdoor fan, through the grille", "turning", "outdoor")
def _outdoor_fan_mark(state: State) -> Values:
    return {"rotation": float(state.truth.outdoor_fan_rpm) / 60.0}


@_place("wheel_mark", "a mark on the blower wheel, through the outlet", "turning", "indoor")
def _wheel_mark(state: State) -> Values:
    return {"rotation": float(state.truth.indoor_fan_rpm) / 60.0}


@_place("outdoor_outlet_grid", "a grid of points over the outdoor fan's grille", "outlet",
        "outdoor")  # fmt: skip
def _outdoor_outlet_grid(state: State) -> Values:
    area = OUTDOOR_OUTLET_OF_FACE * state.spec.outdoor.face_m2
    return {"air_speed": float(state.truth.outdoor_airflow_m3_s) / area}


def _pipe(kelvin: Callable[[State], float]) -> Callable[[State], Values]:
    def values(state: State) -> Values:
        pipe = kelvin(state)
        return {"pipe_temperature": pipe + CLAMP_WARMTH * (state.around.outdoor_db_k - pipe)}

    return values


def _evaporator_exit_k(state: State) -> float:
    t = state.truth
    return float(t.evaporating_k + t.superheat_k if t.running else t.suction_line_k)


# Clamps put on with the panels off stay there when these are back.
for _name, _words, _kelvin in (
    ("discharge_line", "the discharge line at the compressor",
     lambda s: float(s.truth.discharge_line_k)),
    ("liquid_line", "the liquid line before the strainer", lambda s: float(s.truth.liquid_line_k)),
    ("after_strainer", "the liquid line behind the strainer",
     lambda s: float(s.truth.liquid_line_k - s.truth.liquid_line_drop_k)),
    ("before_reversing_valve", "the suction pipe where it enters the reversing valve",
     _evaporator_exit_k),
    ("after_reversing_valve", "the suction pipe where it leaves the reversing valve",
     lambda s: float(s.truth.suction_line_k)),
):  # fmt: skip
    PLACES[_name] = Place(_words, "pipe", "outdoor", _pipe(_kelvin), "outdoor_panels")


@_place("outdoor_coil_bend", "a bend in the middle of the outdoor coil", "pipe", "outdoor",
        "outdoor_panels")  # fmt: skip
def _outdoor_coil_bend(state: State) -> Values:
    outdoor = state.around.outdoor_db_k
    if state.asked.mode == "cooling" and state.truth.running:
        pipe = outdoor + _case(state, "outdoor_coil_over_air")
    else:
        pipe = float(state.truth.outdoor_coil_surface_k)
    return {"pipe_temperature": pipe + CLAMP_WARMTH * (outdoor - pipe)}


@_place("pipe_ice_bath", "a cup of ice and water, clamp and all", "pipe", "instruments")
def _pipe_ice_bath(_: State) -> Values:
    return {"pipe_temperature": ICE_POINT_K}


@_place("small_line_taped", "matt tape on the small line", "surface", "outdoor")
def _small_line_taped(state: State) -> Values:
    t = state.truth
    pipe = t.liquid_line_k if state.asked.mode == "heating" else t.valve_outlet_k
    return {"surface_temperature": float(pipe)}


@_place("outlet_aimed", "the outlet, aimed at the air", "surface", "indoor")
def _outlet_aimed(state: State) -> Values:
    # It sees no air, only what lies behind: a share of each is common practice, no source.
    t = state.truth
    return {"surface_temperature": 0.4 * float(t.supply_db_k) + 0.6 * float(t.room_db_k)}


@_place("outdoor_leaving", "the air that leaves the outdoor fan", "air", "outdoor")
def _outdoor_leaving(state: State) -> Values:
    from kit.physics import air
    from kit.visit.places import _air

    around = state.around
    p = float(air.pressure_pa(around.altitude_m))
    w = float(air.humidity_ratio(around.outdoor_db_k, around.outdoor_rh, p))
    return _air(state, float(state.truth.outdoor_supply_k), w)
