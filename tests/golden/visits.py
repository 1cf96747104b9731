"""The golden visits: short, on several machines, in both modes, with several faults.

Each has a work order beside this file and a journal made from it (`python -m tests.golden.make`).
"""

from __future__ import annotations

from typing import Any

Step = tuple[str, dict[str, Any]]

SEED = 20261125
LEARNER = "golden"


def read(instrument: str, at: str, hold_s: float | None = None) -> Step:
    """Return the step that reads an instrument."""
    hold = {} if hold_s is None else {"hold_s": hold_s}
    return "read", {"instrument": instrument, "at": at, **hold}


def demand(mode: str, setpoint_k: float, fan: str = "auto") -> Step:
    """Return the step that sets the remote."""
    return "set_demand", {"mode": mode, "setpoint_k": setpoint_k, "fan": fan}


def wait(minutes: float) -> Step:
    """Return the step that waits."""
    return "wait", {"minutes": minutes}


def inspect(*parts: str) -> list[Step]:
    """Return the steps that look at parts."""
    return [("inspect", {"part": part}) for part in parts]


ISOLATE: list[Step] = [
    ("set_demand", {"mode": "off"}),
    ("pull_disconnect", {}),
    ("lock", {}),
    ("tag", {}),
    ("try_start", {}),
    ("wear", {"items": ["glasses", "insulating_gloves"]}),
    ("open_outdoor", {"part": "terminal_cover"}),
    read("multimeter", "known_source"),
    read("multimeter", "line_1_line_2"),
    read("multimeter", "line_1_earth"),
    read("multimeter", "line_2_earth"),
    wait(6),
    read("multimeter", "dc_bus"),
    read("multimeter", "known_source"),
]

VISITS: dict[str, list[Step]] = {
    "sound-cooling": [
        ("read_work_order", {}),
        ("hazard_walk", {}),
        ("ask", {"topic": "what"}),
        ("ask", {"topic": "drip"}),
        demand("cooling", 291.15),
        ("place", {"instrument": "air_probe", "at": "supply"}),
        ("place", {"instrument": "hygrometer", "at": "return_grille"}),
        wait(2),
        read("air_probe", "supply"),
        wait(10),
        read("air_probe", "supply"),
        read("hygrometer", "return_grille", 120),
        read("psychrometer", "return_grille", 180),
        read("air_probe_b", "outdoor_intake", 120),
        ("record", {"item": "supply_dry_bulb", "when": "as_found", "reading": 2}),
        ("look_up_target", {"return_db_k": 299.15, "return_rh": 0.5}),
        read("clamp_meter", "one_conductor"),
        read("infrared", "louvre_surface"),
        read("infrared", "small_line_bare"),
        ("decide", {"choice": "no_further", "reasons": ["split_on_target"]}),
        ("conclude", {"findings": [], "recommendations": ["leave_refrigerant"]}),
        ("hand_over", {"explain": ["what_was_done"]}),
    ],
    "frosted-heating": [
        *inspect("outdoor_coil", "filter"),
        demand("heating", 303.15, "high"),
        ("place", {"instrument": "pipe_clamp", "at": "gas_line"}),
        ("place", {"instrument": "air_probe", "at": "supply"}),
        wait(45),
        read("pipe_clamp", "gas_line"),
        read("air_probe", "supply"),
        read("air_probe_b", "outdoor_leaving", 60),
        wait(30),
        *inspect("outdoor_coil"),
        read("clamp_meter", "one_conductor"),
    ],
    "low-charge": [
        demand("cooling", 291.15, "high"),
        wait(12),
        read("pipe_clamp", "gas_line", 120),
        read("pipe_clamp_b", "small_line", 120),
        ("call_supervisor", {}),
        ("wear", {"items": ["glasses", "cut_gloves"]}),
        ("take_precautions", {"measures": ["ignition_clear", "detector_on", "aired"]}),
        ("attach_gauges", {"gauge_set": "gauges", "purge": "puff"}),
        wait(8),
        read("gauges", "gas_port", 30),
        ("look_up_saturation", {"refrigerant": "R-454B", "pressure_pa": 600000.0}),
        read("leak_detector", "sniff_gas_flare_outdoor", 30),
        read("leak_detector_old", "sniff_gas_flare_outdoor", 30),
        ("search_leak", {"where": "gas_flare_outdoor", "method": "bubbles"}),
        ("top_up", {"refrigerant": "R-454B", "phase": "liquid", "seconds": 20}),
        wait(8),
        read("gauges", "gas_port", 30),
        ("remove_gauges", {"cap": True}),
    ],
    "clogged-wheel": [
        *inspect("outlet", "wheel"),
        demand("cooling", 293.15, "medium"),
        wait(10),
        read("anemometer", "outlet_grid", 60),
        read("anemometer", "outlet_point", 30),
        ("measure_outlet", {}),
        read("tachometer", "wheel_mark"),
        read("air_probe", "supply", 150),
        read("air_probe_b", "return_grille", 150),
        *ISOLATE,
        ("wear", {"items": ["goggles", "cut_gloves"]}),
        ("protect", {"items": ["drop_cloth", "wash_bag", "indoor_electrics"]}),
        ("open_indoor", {"part": "front_panel"}),
        *inspect("filter"),
        ("open_indoor", {"part": "filter"}),
        ("open_indoor", {"part": "indoor_casing"}),
        *inspect("indoor_coil", "wheel"),
        ("clean_filter", {"method": "vacuum_and_rinse"}),
        ("wash_indoor_coil", {"method": "along_fins"}),
        ("clean_wheel", {"method": "brush_and_rinse"}),
        ("refit", {"part": "indoor_casing"}),
        ("refit", {"part": "filter"}),
        ("refit", {"part": "front_panel"}),
        ("unprotect", {"items": ["wash_bag", "indoor_electrics", "drop_cloth"]}),
        ("refit", {"part": "terminal_cover"}),
        ("remove_lock", {}),
        ("restore_power", {}),
        demand("cooling", 293.15, "medium"),
        wait(10),
        read("anemometer", "outlet_grid", 60),
        read("air_probe", "supply", 150),
    ],
    "locked-rotor": [
        demand("cooling", 291.15),
        read("clamp_meter", "one_conductor_start", 30),
        wait(5),
        *ISOLATE,
        ("open_outdoor", {"part": "outdoor_panels"}),
        *inspect("outdoor_board", "outdoor_wires"),
        ("unplug", {"what": "compressor_leads"}),
        read("multimeter", "leads_together"),
        read("multimeter", "winding_uv"),
        read("multimeter", "winding_vw"),
        read("multimeter", "winding_wu"),
        read("multimeter", "winding_to_earth"),
        read("insulation_tester", "windings_to_earth", 60),
        read("multimeter", "signal_line"),
    ],
    "blocked-drain": [
        demand("cooling", 291.15),
        wait(60),
        *inspect("drain_end", "wall"),
        ("measure_fall", {}),
        *ISOLATE,
        ("open_indoor", {"part": "front_panel"}),
        ("open_indoor", {"part": "filter"}),
        ("open_indoor", {"part": "indoor_casing"}),
        ("wear", {"items": ["goggles", "cut_gloves"]}),
        ("protect", {"items": ["drop_cloth"]}),
        *inspect("pan", "indoor_coil"),
        ("pour_test", {"litres": 1.0}),
        ("clear_drain", {"method": "suck"}),
        ("pour_test", {"litres": 1.0}),
    ],
    "sensor-out": [
        demand("cooling", 293.15),
        wait(15),
        read("air_probe", "supply", 60),
        *ISOLATE,
        ("open_indoor", {"part": "front_panel"}),
        ("open_indoor", {"part": "filter"}),
        ("open_indoor", {"part": "indoor_casing"}),
        ("unplug", {"what": "room_sensor"}),
        ("unplug", {"what": "coil_sensor"}),
        read("multimeter", "room_sensor_plug"),
        read("multimeter", "coil_sensor_plug"),
        ("look_up_sensor", {"temperature_k": 298.15}),
        ("reseat_sensor", {"sensor": "room_sensor"}),
        ("place", {"instrument": "air_probe", "at": "ice_bath"}),
        wait(10),
        read("air_probe", "ice_bath", 60),
        ("adjust_probe", {"instrument": "air_probe"}),
        read("air_probe", "ice_bath", 60),
        read("multimeter", "winding_uv"),
        read("multimeter", "reversing_coil"),
    ],
    "opened-circuit": [
        demand("cooling", 291.15, "high"),
        wait(15),
        read("tachometer", "outdoor_fan_mark"),
        read("pipe_clamp", "small_line", 120),
        ("set_demand", {"mode": "off"}),
        ("pull_disconnect", {}),
        ("wear", {"items": ["glasses", "cut_gloves"]}),
        ("take_precautions", {"measures": ["ignition_clear", "detector_on", "aired"]}),
        ("attach_gauges", {"gauge_set": "gauges_dial", "purge": "vacuum"}),
        wait(20),
        read("gauges_dial", "gas_port", 30),
        ("set_up_scale", {"tare": "hose_filled", "hose": "purged"}),
        read("charging_scale", "cylinder_own"),
        ("recover", {"cylinder": "own", "until_pa": -50000.0}),
        read("charging_scale", "cylinder_own"),
        ("pressurise", {"gas": "nitrogen", "regulator": "relief", "to_pa": 500000.0}),
        ("pressurise", {"gas": "nitrogen", "regulator": "relief", "to_pa": 2500000.0}),
        wait(30),
        read("gauges_dial", "gas_port", 30),
        ("let_out", {}),
        ("let_out", {}),
        ("connect_pump", {"hose": "wide", "cores_out": True, "oil": "fresh"}),
        ("place", {"instrument": "vacuum_gauge", "at": "vacuum_far"}),
        ("start_pump", {}),
        wait(40),
        read("vacuum_gauge", "vacuum_far", 30),
        ("stop_pump", {"valve_shut": True}),
        wait(15),
        read("vacuum_gauge", "vacuum_far", 30),
        ("weigh_in", {"refrigerant": "R-32", "phase": "liquid", "mass_kg": 0.9}),
        ("disconnect_pump", {}),
        ("remove_gauges", {"cap": True}),
        ("restore_power", {}),
        demand("cooling", 291.15, "high"),
        wait(12),
        read("pipe_clamp", "gas_line", 120),
    ],
    "weak-heating": [
        demand("heating", 301.15, "low"),
        wait(3),
        read("air_probe", "supply", 30),
        wait(20),
        read("air_probe", "supply", 60),
        read("hygrometer", "room_centre", 60),
        read("clamp_meter", "one_conductor"),
        read("clamp_meter", "whole_cable"),
        read("pipe_clamp", "gas_line", 120),
        ("set_demand", {"mode": "off"}),
        wait(5),
        demand("heating", 301.15, "low"),
        wait(5),
        read("air_probe", "supply", 60),
    ],
}
