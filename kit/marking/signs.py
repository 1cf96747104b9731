"""How each reading that tells faults apart is taken in a visit: what counts as having looked."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from kit.journal.replay import Step
    from kit.marking.evidence import Case

# Whether one step of a visit shows something.
Way = Callable[["Step"], bool]


def shown(case: Case, reading: str, before: int) -> bool:
    """Return whether a reading had been taken before a line of the journal.

    Args:
        case: the visit.
        reading: name of a reading of `kit.machine.readings`.
        before: only lines before this one.
    """
    steps = [s for s in case.really_done if s.line < before]
    return any(all(any(map(way, steps)) for way in ways) for ways in WAYS.get(reading, ()))


def _look(*parts: str) -> Way:
    return lambda step: step.action == "inspect" and step.args["part"] in parts


def _did(*actions: str) -> Way:
    return lambda step: step.action in actions


def _by_hand(part: str) -> Way:
    return lambda step: step.action == "try_by_hand" and step.args["part"] == part


def _read(quantity: str, *places: str, running: bool | None = None) -> Way:
    """Return a way: a reading of this quantity at one of these places (any when none is named)."""

    def shows(step: Step) -> bool:
        return any(
            r.quantity == quantity and (not places or r.place in places)
            for r in step.outcome.readings
        ) and (running is None or running == _asked(step))

    return shows


def _sheet(item: str) -> Way:
    return lambda step: step.action in ("enter", "record") and step.args.get("item") == item


def _asked(step: Step) -> bool:
    return step.after.asked.mode in ("cooling", "heating")


def _pipe(*places: str) -> Way:
    return _read("pipe_temperature", *places, running=True)


def _turning(step: Step) -> bool:
    """Tell whether the outdoor fan was looked at while it should turn."""
    return _look("outdoor_fan")(step) and _asked(step)


_PORT_RUNNING = _read("port_pressure", running=True)
_PORT_OFF = _read("port_pressure", running=False)
_CURRENT = _read("current", "one_conductor", running=True)
_FAN_OUT = ((_turning,), (_read("rotation", "outdoor_fan_mark"),),
            (_by_hand("outdoor_fan"),), (_read("air_speed", "outdoor_outlet_grid"),))  # fmt: skip
_BUS_LIVE = _read("voltage", "dc_bus", running=True)
_SIGNAL = _read("lowest_voltage", "signal_line")

# reading: alternatives, each a set of things that must all have been seen.
WAYS: Mapping[str, tuple[tuple[Way, ...], ...]] = {
    # Air side.
    "split": ((_sheet("split"),),),
    "airflow": ((_look("outlet"),), (_read("air_speed", "outlet_grid", "outlet_point"),)),
    "indoor_fan_speed": ((_read("rotation", "wheel_mark"),), (_by_hand("wheel"),)),
    "outdoor_airflow": _FAN_OUT,
    "outdoor_fan_speed": _FAN_OUT,
    "outdoor_intake_over_air": (
        (_read("dry_bulb", "outdoor_intake", running=True), _look("clearance")),
        (_read("dry_bulb", "outdoor_intake", running=True), _read("dry_bulb", "outdoor_leaving")),
    ),
    # Refrigerant side.
    "gas_line": ((_pipe("gas_line"),),),
    "discharge_line": ((_pipe("discharge_line"),),),
    "superheat": ((_sheet("superheat"),), (_PORT_RUNNING, _pipe("gas_line"))),
    "subcooling": ((_sheet("subcooling"),), (_PORT_RUNNING, _pipe("liquid_line"))),
    "suction_pressure": ((_PORT_RUNNING,),),
    "discharge_pressure": ((_PORT_RUNNING,),),
    "head_over_coil": ((_PORT_RUNNING, _pipe("outdoor_coil_bend")),),
    "standing_excess": ((_PORT_OFF,),),
    "liquid_line_drop": ((_pipe("liquid_line"), _pipe("after_strainer")),),
    "valve_warming": ((_pipe("before_reversing_valve"), _pipe("after_reversing_valve")),),
    "outdoor_coil_over_air": ((_pipe("outdoor_coil_bend"),),),
    # Electrical.
    "power": ((_CURRENT,),),
    "current": ((_CURRENT,),),
    "start_peak": ((_read("peak_current", "one_conductor_start"),),),
    "supply": ((_read("voltage", "line_1_line_2", running=True),),),
    "bus": ((_BUS_LIVE,), (_look("outdoor_board"),)),
    "bus_after_wait": ((_read("voltage", "dc_bus", running=False),),),
    "signal_swing": ((_SIGNAL,), (_look("outdoor_wires"),)),
    "winding_uv": ((_read("low_resistance", "winding_uv", "winding_vw", "winding_wu"),),),
    "insulation": ((_read("insulation"),), (_read("resistance", "winding_to_earth"),)),
    "room_sensor_error": (
        (_look("room_sensor"),),
        (_read("resistance", "room_sensor_plug", "room_sensor_in_ice"),),
    ),
    "coil_sensor_ratio": ((_read("resistance", "coil_sensor_plug", "coil_sensor_in_ice"),),),
    # Water.
    "drain_flow": ((_look("drain_end"),),),
    "drain_test": ((_did("pour_test"),),),
    # Looks.
    "drain_slope_look": ((_look("hose"),), (_did("measure_fall"),)),
    "filter_look": ((_look("filter"),),),
    "indoor_coil_film_look": ((_look("indoor_coil"),),),
    "indoor_coil_mat_look": ((_look("indoor_coil"),),),
    "ice_look": ((_look("indoor_coil"),), (_look("outlet"), _look("pipework"))),
    "outdoor_ice_look": ((_look("outdoor_coil"),),),
    "wheel_look": ((_look("wheel"),),),
    "outdoor_coil_look": ((_look("outdoor_coil"),),),
    "wire_look": ((_look("outdoor_wires"),),),
    "board_look": ((_look("outdoor_board"),),),
}
