"""How each reading that tells faults apart is taken in a visit: what counts as having looked."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from kit.journal.replay import Step
    from kit.marking.evidence import Case

# Whether one step of a visit shows a reading.
Way = Callable[["Step"], bool]


def shown(case: Case, reading: str, before: int) -> list[int]:
    """Return the lines of the journal at which a reading could be seen.

    Args:
        case: the visit.
        reading: name of a reading of `kit.machine.readings`.
        before: only lines before this one.
    """
    ways = WAYS.get(reading, ())
    return [
        step.line
        for step in case.steps
        if step.line < before
        and not step.outcome.refused
        and not step.outcome.stopped
        and any(way(step) for way in ways)
    ]


def _look(*parts: str) -> Way:
    return lambda step: step.action == "inspect" and step.args["part"] in parts


def _did(*actions: str) -> Way:
    return lambda step: step.action in actions


def _read(quantity: str, *places: str, running: bool | None = None) -> Way:
    """Return a way: a reading of this quantity at one of these places (any when none is named)."""

    def shows(step: Step) -> bool:
        return any(
            r.quantity == quantity and (not places or r.place in places)
            for r in step.outcome.readings
        ) and (running is None or running == _asked(step))

    return shows


def _entered(item: str) -> Way:
    return lambda step: step.action in ("enter", "record") and step.args.get("item") == item


def _asked(step: Step) -> bool:
    return step.after.asked.mode in ("cooling", "heating")


_PORT_RUNNING = _read("port_pressure", running=True)
_PORT_OFF = _read("port_pressure", running=False)
_BOARD = _look("outdoor_board")
_FAN_OUT = (_look("outdoor_fan"), _read("rotation", "outdoor_fan"))
_SPLIT = (_entered("split"),)

WAYS: Mapping[str, tuple[Way, ...]] = {
    "split": _SPLIT,
    "airflow": (_look("outlet"), _read("air_speed")),
    "gas_line": (_read("pipe_temperature", "gas_line", running=True),),
    "discharge_line": (_read("pipe_temperature", "discharge_line", running=True),),
    "superheat": (_entered("superheat"), _PORT_RUNNING),
    "subcooling": (_entered("subcooling"), _PORT_RUNNING),
    "suction_pressure": (_PORT_RUNNING,),
    "discharge_pressure": (_PORT_RUNNING,),
    "head_over_coil": (_PORT_RUNNING,),
    "standing_excess": (_PORT_OFF,),
    "liquid_line_drop": (_read("pipe_temperature", "liquid_line", "small_line", running=True),),
    "valve_warming": (_read("pipe_temperature", "gas_line", "valve_suction", running=True),),
    "outdoor_coil_over_air": (
        _read("pipe_temperature", "outdoor_coil_bend", running=True),
        _look("outdoor_coil"),
    ),
    "power": (_read("current", "one_conductor", running=True),),
    "current": (_read("current", "one_conductor", running=True),),
    "start_peak": (_read("current", "one_conductor", running=True),),
    "supply": (_read("voltage", "line_1_line_2", running=True),),
    "bus": (_read("voltage", "dc_bus", running=True), _BOARD),
    "bus_after_wait": (_read("voltage", "dc_bus", running=False),),
    "signal_swing": (_read("voltage", "signal"), _BOARD, _look("display")),
    "winding_uv": (_read("resistance"),),
    "insulation": (_read("insulation"),),
    "outdoor_fan_speed": _FAN_OUT,
    "outdoor_airflow": _FAN_OUT,
    "outdoor_intake_over_air": (_read("dry_bulb", "outdoor_intake", running=True),),
    "indoor_fan_speed": (_look("outlet"), _read("rotation", "indoor_wheel")),
    "room_sensor_error": (_look("room_sensor"), _read("resistance", "room_sensor")),
    "coil_sensor_ratio": (_read("resistance", "coil_sensor"), _look("room_sensor")),
    "drain_flow": (_look("drain_end"),),
    "drain_test": (_did("pour_test"),),
    "drain_slope_look": (_look("drain_end"),),
    "filter_look": (_look("filter"),),
    "indoor_coil_film_look": (_look("indoor_coil"),),
    "indoor_coil_mat_look": (_look("indoor_coil"),),
    "ice_look": (_look("indoor_coil"),),
    "outdoor_ice_look": (_look("outdoor_coil"),),
    "wheel_look": (_look("wheel"),),
    "outdoor_coil_look": (_look("outdoor_coil"),),
    "wire_look": (_BOARD,),
    "board_look": (_BOARD,),
}
