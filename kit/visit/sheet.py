"""The job sheet: which lines it has, what may stand in them, and which readings support them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from kit.visit.circuit_tools import CYLINDERS, LEAK_PLACES

WHEN = {"as_found": "As found", "as_left": "As left"}


@dataclass(frozen=True, slots=True)
class Item:
    """One line of the job sheet.

    Args:
        title: its label.
        kind: kind of quantity for units; "" for words.
        quantity: quantity of the readings that can support it; "" when none can.
        places: places of those readings.
        words: what may be written, when it is words.
        computed: whether the learner works it out instead of reading it.
        low: lowest number that makes sense [SI].
        high: highest number that makes sense [SI].
    """

    title: str
    kind: str = ""
    quantity: str = ""
    places: tuple[str, ...] = ()
    words: Mapping[str, str] = field(default_factory=dict)
    computed: bool = False
    low: float = -1e6
    high: float = 1e7


_SUPPLY = ("supply", "supply_left", "supply_right", "supply_in_front", "supply_touching",
           "supply_deep")  # fmt: skip
_RETURN = ("return_grille", "return_wall", "room_centre")
_OUTDOOR = ("outdoor_intake", "outdoor_sun")
_CYLINDERS = tuple(f"cylinder_{name}" for name in CYLINDERS)

ITEMS: dict[str, Item] = {
    "return_dry_bulb": Item("Entering air, dry bulb", "temperature", "dry_bulb", _RETURN,
                            low=250, high=340),
    "return_wet_bulb": Item("Entering air, wet bulb", "temperature", "wet_bulb", _RETURN,
                            low=250, high=340),
    "return_humidity": Item("Entering air, relative humidity", "relative_humidity",
                            "relative_humidity", _RETURN, low=0, high=1),
    "supply_dry_bulb": Item("Leaving air, dry bulb", "temperature", "dry_bulb", _SUPPLY,
                            low=230, high=380),
    "supply_wet_bulb": Item("Leaving air, wet bulb", "temperature", "wet_bulb", _SUPPLY,
                            low=230, high=340),
    "supply_humidity": Item("Leaving air, relative humidity", "relative_humidity",
                            "relative_humidity", _SUPPLY, low=0, high=1),
    "outdoor_dry_bulb": Item("Outdoor air", "temperature", "dry_bulb", _OUTDOOR,
                             low=230, high=340),
    "gas_line": Item("Large line, temperature", "temperature", "pipe_temperature", ("gas_line",),
                     low=200, high=420),
    "small_line": Item("Small line, temperature", "temperature", "pipe_temperature",
                       ("small_line",), low=200, high=420),
    "air_speed": Item("Air speed at the outlet", "speed", "air_speed",
                      ("outlet_grid", "outlet_point"), low=0, high=30),
    "current": Item("Running current", "current", "current", ("one_conductor", "whole_cable"),
                    low=0, high=400),
    "voltage": Item("Supply voltage", "voltage", "voltage", ("line_1_line_2",), low=0, high=1000),
    "port_pressure": Item("Pressure at the gas port", "gauge_pressure", "port_pressure",
                          ("gas_port",)),
    "standing_pressure": Item("Standing pressure", "gauge_pressure", "port_pressure",
                              ("gas_port",), low=-2e5, high=6e6),
    "nitrogen_start": Item("Test pressure, at the start", "gauge_pressure", "port_pressure",
                           ("gas_port",), low=-2e5, high=6e6),
    "nitrogen_end": Item("Test pressure, at the end", "gauge_pressure", "port_pressure",
                         ("gas_port",), low=-2e5, high=6e6),
    "vacuum_reached": Item("Vacuum reached", "vacuum", "vacuum",
                           ("vacuum_far", "vacuum_at_pump"), low=0, high=2e5),
    "vacuum_after_hold": Item("Vacuum after the decay test", "vacuum", "vacuum",
                              ("vacuum_far", "vacuum_at_pump"), low=0, high=2e5),
    "cylinder_before": Item("Recovery cylinder before", "small_mass", "mass", _CYLINDERS,
                            low=0, high=60),
    "cylinder_after": Item("Recovery cylinder after", "small_mass", "mass", _CYLINDERS,
                           low=0, high=60),
    "leak_found": Item("Leak found at", words={
        **{name: place.title for name, place in LEAK_PLACES.items()}, "none": "None found"}),
    "refrigerant": Item("Refrigerant on the nameplate", words={
        "R-32": "R-32", "R-410A": "R-410A", "R-454B": "R-454B"}),
    "codes": Item("Codes or lamps, by customer and display", words={
        "none": "None", "shown": "Shown"}),
    "filter": Item("Filter", words={
        "clean": "Clean", "dirty": "Dirty", "washed": "Washed and refitted",
        "replaced": "Replaced"}),
    "indoor_coil": Item("Indoor coil", words={
        "clean": "Clean", "dirty": "Dirty", "iced": "Iced", "washed": "Washed"}),
    "wheel": Item("Blower wheel", words={
        "clean": "Clean", "dirty": "Dirty", "washed": "Cleaned"}),
    "outdoor_coil": Item("Outdoor coil", words={
        "clean": "Clean", "dirty": "Dirty", "washed": "Washed"}),
    "electrical": Item("Board and terminals", words={
        "sound": "Sound", "defect": "Defect seen"}),
    "voltage_no_load": Item("Supply voltage, compressor off", "voltage", "voltage",
                            ("line_1_line_2",), low=0, high=1000),
    "start_current": Item("Highest current at a start", "current", "peak_current",
                          ("one_conductor_start",), low=0, high=400),
    "bus_voltage": Item("DC bus", "voltage", "voltage", ("dc_bus",), low=0, high=1000),
    "signal": Item("Signal line", words={
        "swings": "Swings", "steady": "Stands still, not at zero", "zero": "Zero"}),
    "windings": Item("Compressor windings, three pairs", words={
        "equal": "Equal", "unequal": "Unequal", "open": "One or more open"}),
    "insulation": Item("Windings to earth", "insulation", "insulation", ("windings_to_earth",),
                       low=0, high=1e12),
    "room_sensor": Item("Room sensor", "sensor_resistance", "resistance",
                        ("room_sensor_plug", "room_sensor_in_ice"), low=0, high=1e8),
    "coil_sensor": Item("Coil sensor", "sensor_resistance", "resistance",
                        ("coil_sensor_plug", "coil_sensor_in_ice"), low=0, high=1e8),
    "wheel_speed": Item("Speed of the blower wheel", "rotation", "rotation", ("wheel_mark",),
                        low=0, high=200),
    "outdoor_fan_speed": Item("Speed of the outdoor fan", "rotation", "rotation",
                              ("outdoor_fan_mark",), low=0, high=200),
    "cable": Item("Cable between the units", words={"sound": "Sound", "defect": "Defect seen"}),
    "mounting": Item("Mounting and level", words={"sound": "Sound", "defect": "Defect seen"}),
    "drain_fall": Item("Fall of the drain hose", words={
        "good": "Falls all the way", "poor": "Sags or climbs"}),
    "float": Item("Float or pump at the drain", words={
        "acts": "Acts", "dead": "Does not act", "none": "None fitted"}),
    "pour_test": Item("Drain, pour test", words={
        "free": "Runs freely", "slow": "Runs slowly", "backs_up": "Backs up"}),
    "proved_dead": Item("Proved dead, DC bus included", words={"yes": "Yes", "no": "No"}),
    "split": Item("Split (difference of entering and leaving air)", "temperature_difference",
                  computed=True, low=-60, high=60),
    "target_split": Item("Target split for this air", "temperature_difference", computed=True,
                         low=-60, high=60),
    "airflow": Item("Airflow of the indoor unit", "airflow", computed=True, low=0, high=2),
    "capacity": Item("Capacity by air enthalpy", "heat_flow", computed=True, low=-3e4, high=3e4),
    "superheat": Item("Superheat", "temperature_difference", computed=True, low=-60, high=90),
    "subcooling": Item("Subcooling", "temperature_difference", computed=True, low=-60, high=90),
    "standing_saturation": Item("Saturation pressure at the coldest part", "gauge_pressure",
                                computed=True, low=-2e5, high=6e6),
    "nitrogen_expected": Item("Test pressure expected at the end's temperature",
                              "gauge_pressure", computed=True, low=-2e5, high=6e6),
    "recovered": Item("Refrigerant recovered", "small_mass", computed=True, low=0, high=10),
    "charge_to_weigh": Item("Charge to weigh in, line set included", "small_mass",
                            computed=True, low=0, high=10),
}  # fmt: skip


def items(computed: bool) -> dict[str, Item]:
    """Return the lines that are worked out, or those that are written down.

    Args:
        computed: which of the two.
    """
    return {name: item for name, item in ITEMS.items() if item.computed is computed}
