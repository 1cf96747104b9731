"""Where on the picture each action is offered, and under which heading: one table, no order.

Actions stand by the part that is touched and by kind of work, then in the order of the alphabet,
so that a list never tells what would be wise to do next.
"""

from __future__ import annotations

# Spots of the picture, with their labels.
SPOTS: dict[str, str] = {
    "room": "Room",
    "customer": "Customer",
    "remote": "Remote",
    "indoor": "Indoor unit",
    "drain": "Drain end",
    "disconnect": "Disconnect",
    "outdoor": "Outdoor unit",
    "line_set": "Lines and valves",
    "instruments": "Instruments",
    "job_sheet": "Job sheet",
}
# Kinds of work, in the order in which they stand at every spot at every time.
GROUPS: dict[str, str] = {
    "look": "Look and ask",
    "papers": "Papers and tables",
    "write": "Write down",
    "measure": "Measure",
    "run": "Run and stop",
    "decide": "Decide",
    "safe": "Stay safe",
    "open": "Take off and put back",
    "care": "Clean and put right",
    "gauges": "Gauges and valves",
    "leak": "Leaks and repair",
    "test": "Test pressure",
    "recovery": "Recovery",
    "vacuum": "Vacuum",
    "charge": "Charge",
    "over": "Hand over",
}
_GROUP_OF_PHASE = {
    "before": "look",
    "run": "run",
    "measure": "measure",
    "decide": "decide",
    "safe": "safe",
    "indoor": "care",
    "outdoor": "care",
    "gauges": "gauges",
    "finish": "open",
}
_GROUP_OF = {
    "read_work_order": "papers",
    "read_nameplate": "look",
    "read_data_sheet": "papers",
    "look_up_sensor": "papers",
    "look_up_target": "papers",
    "look_up_saturation": "papers",
    "record": "write",
    "enter": "write",
    "agree_scope": "look",
    "hand_over": "over",
    "measure_outlet": "look",
    "measure_fall": "look",
    "measure_lines": "look",
    "check_reassembly": "look",
    "try_by_hand": "look",
    "pour_test": "care",
    "thaw": "care",
    "bridge_protection": "care",
    "try_start": "run",
    "set_ladder": "safe",
    "protect": "safe",
    "unprotect": "safe",
    "clear_people": "safe",
    "remove_lock": "safe",
    "restore_power": "safe",
    "call_owner": "safe",
    "cut_lock": "safe",
    "take_precautions": "safe",
    "call_supervisor": "safe",
    "open_indoor": "open",
    "open_outdoor": "open",
    "unplug": "open",
    "plug_in": "open",
    "pull_sensor": "open",
    "reseat_sensor": "open",
    "search_leak": "leak",
    "repair_leak": "leak",
    "change_circuit_part": "leak",
    "pressurise": "test",
    "recover": "recovery",
    "let_out": "recovery",
    "connect_pump": "vacuum",
    "start_pump": "vacuum",
    "stop_pump": "vacuum",
    "break_vacuum": "vacuum",
    "disconnect_pump": "vacuum",
    "set_up_scale": "charge",
    "weigh_in": "charge",
    "top_up": "charge",
}
# What is done with the bag or the telephone, wherever one stands.
_SPOT_OF = {"wear": "room", "take_off": "room", "call_supervisor": "room"}
# Done at two spots with the same hands: offered at both.
_ALSO_AT = {"protect": "outdoor", "unprotect": "outdoor"}
# Actions whose first argument says at which spot they are done.
SPREAD = (
    "inspect", "refit", "refit_loosely", "add_screws", "thaw", "comb_fins", "dry_board",
    "try_by_hand", "unplug", "plug_in", "change_part",
)  # fmt: skip
_SPOT_OF_CHOICE = {
    "terminal_cover": "outdoor",
    "outdoor_panels": "outdoor",
    "outdoor": "outdoor",
    "outdoor_fan": "outdoor",
    "outdoor_terminals": "outdoor",
    "compressor_leads": "outdoor",
    "ambient_sensor": "outdoor",
    "discharge_sensor": "outdoor",
    "valve_coil": "outdoor",
    "reversing_coil": "outdoor",
    "outdoor_fan_motor": "outdoor",
    "inverter_board": "outdoor",
    "signal_cable": "line_set",
    "float_device": "drain",
}
# Looks that are taken elsewhere than the visit keeps them.
_SPOT_OF_LOOK = {"pipework": "line_set", "outdoor_wires": "line_set"}


def group(action: str, phase: str) -> str:
    """Return the kind of work an action is.

    Args:
        action: its name.
        phase: its phase in the visit.
    """
    return _GROUP_OF.get(action) or _GROUP_OF_PHASE.get(phase, "care")


def spots(action: str, phase: str, part: str) -> tuple[str, ...]:
    """Return the spots where an action is offered that is not spread by its choices.

    Args:
        action: its name.
        phase: its phase in the visit.
        part: the part of the site that the visit names.
    """
    at = _SPOT_OF.get(action, part)
    if phase == "gauges" and at == "outdoor":
        at = "line_set"
    return (at, _ALSO_AT[action]) if action in _ALSO_AT else (at,)


def choice_spot(action: str, value: str) -> str:
    """Return the spot where one choice of a spread action is done.

    Args:
        action: its name.
        value: the choice of its first argument.
    """
    if action == "inspect":
        from kit.visit.looks import LOOKS

        return _SPOT_OF_LOOK.get(value) or LOOKS[value].part
    return _SPOT_OF_CHOICE.get(value, "indoor")
