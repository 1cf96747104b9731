"""Tools for the refrigerant circuit, and where a circuit can leak: plain tables.

Sizes and ratings are typical of the trade: common practice, no source, unless a source is named.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from kit.physics.evacuation import Path, Pump, tube

# Highest pressure a nameplate of each refrigerant's class usually allows on the high side
# [Pa gauge]; from memory, the plate of the unit decides.
RATED_PA = {"R-32": 4.15e6, "R-410A": 4.15e6, "R-454B": 4.15e6}
# Tightening torque of flare nuts, 1/4, 3/8 and 1/2 inch [N m]; from memory, the label decides.
FLARE_TORQUE_NM = {"1/4": (14.0, 18.0), "3/8": (34.0, 42.0), "1/2": (49.0, 61.0)}


@dataclass(frozen=True, slots=True)
class LeakPlace:
    """A place where a circuit can leak.

    Args:
        title: words for it.
        part: part of the site.
        side: "gas" or "small" (the line it belongs to), or "outdoor_coil".
        cure: "new_flare", "replace_part" or "new_core".
    """

    title: str
    part: str
    side: str
    cure: str


LEAK_PLACES: dict[str, LeakPlace] = {
    "gas_flare_outdoor": LeakPlace(
        "the flare nut of the large line at the outdoor unit", "outdoor", "gas", "new_flare"
    ),
    "small_flare_outdoor": LeakPlace(
        "the flare nut of the small line at the outdoor unit", "outdoor", "small", "new_flare"
    ),
    "gas_flare_indoor": LeakPlace(
        "the flare nut of the large line behind the indoor unit", "indoor", "gas", "new_flare"
    ),
    "small_flare_indoor": LeakPlace(
        "the flare nut of the small line behind the indoor unit", "indoor", "small", "new_flare"
    ),
    "port_core": LeakPlace("the core of the service port", "outdoor", "gas", "new_core"),
    "valve_stems": LeakPlace("the stems of the service valves", "outdoor", "small", "replace_part"),
    "indoor_coil": LeakPlace("the bends of the indoor coil", "indoor", "gas", "replace_part"),
    "outdoor_coil": LeakPlace(
        "the bends of the outdoor coil", "outdoor", "outdoor_coil", "replace_part"
    ),
}


@dataclass(frozen=True, slots=True)
class GaugeSet:
    """Gauges with their hoses; the name of a set is that of its instrument.

    Args:
        title: words for it.
        rated_pa: highest working pressure of gauges and hoses [Pa gauge].
        for_refrigerants: what its scales and hoses are made for.
        for_flammable: whether it is made for flammable refrigerants.
        spurt_kg: lost at the fitting each time it goes on or comes off [kg].
    """

    title: str
    rated_pa: float
    for_refrigerants: tuple[str, ...]
    for_flammable: bool
    spurt_kg: float


GAUGE_SETS: dict[str, GaugeSet] = {
    "gauges": GaugeSet(
        "Digital gauges, low-loss hoses rated 800 psig (5.5 MPa), fit for mildly flammable gas",
        5.5e6, ("R-32", "R-410A", "R-454B"), True, 0.2e-3,
    ),
    "gauges_dial": GaugeSet(
        "Dial gauges with the R-410A scale, low-loss hoses rated 800 psig (5.5 MPa)",
        5.5e6, ("R-410A",), False, 0.2e-3,
    ),
    "gauges_old": GaugeSet(
        "Older dial gauges with the R-22 scale, plain hoses rated 500 psig (3.4 MPa)",
        3.4e6, ("R-22",), False, 3.0e-3,
    ),
}  # fmt: skip
HOSE_M3 = 1.5 * math.pi / 4 * 0.0048**2  # one hose, 1.5 m of quarter-inch bore
GAUGES_M3 = HOSE_M3 + 20e-6  # hose and the passages of the gauges
CONDENSED_SHARE = 0.5  # of a hose filled with liquid where hot gas meets cold hose

PURGES = {
    "vacuum": "Draw the hose empty with the vacuum pump first",
    "puff": "Blow the hose through with a puff of refrigerant",
    "none": "Screw it on as it is",
}
PUMP_HOSES: dict[str, tuple[str, Path]] = {
    "wide": ("Short hose of three-eighths bore", tube(0.0095, 0.9)),
    "narrow": ("Charging hose of quarter-inch bore", tube(0.0048, 1.5)),
}
CORE: Path = tube(0.001, 0.01)  # what an open valve core is worth as a tube
PUMPS: dict[str, Pump] = {"fresh": Pump(1.6e-3, 3.0), "old": Pump(1.6e-3, 90.0)}
PUMP_OIL = {"fresh": "Change the pump's oil first", "old": "Run it with the oil that is in it"}
RECOVERY_M3_S = 7e-5  # vapour a small recovery machine draws through the port

GASES = {
    "nitrogen": "Dry nitrogen",
    "compressed_air": "Compressed air",
    "oxygen": "Oxygen",
}
REGULATORS = {
    "relief": "Regulator and relief valve",
    "no_relief": "Regulator without relief valve",
    "none": "Straight from the cylinder",
}
PHASES_IN = {"liquid": "As liquid", "vapour": "As vapour"}
SUPPLIES = ("R-32", "R-410A", "R-454B", "R-22")
SUPPLY_GROSS_KG = 14.0  # supply cylinder with what is in it, as it comes off the van


@dataclass(frozen=True, slots=True)
class Cylinder:
    """A cylinder that recovered refrigerant can go into.

    Args:
        title: words for it.
        water_capacity_kg: stamped on its collar [kg].
        holds_kg: refrigerant in it [kg].
        other: whether that is another refrigerant.
        refillable: False for a one-way cylinder.
        tare_kg: its own weight [kg].
    """

    title: str
    water_capacity_kg: float
    holds_kg: float = 0.0
    other: bool = False
    refillable: bool = True
    tare_kg: float = 10.0


CYLINDERS: dict[str, Cylinder] = {
    "own": Cylinder("Recovery cylinder marked for this refrigerant, in test date", 12.0, 2.1),
    "nearly_full": Cylinder(
        "Recovery cylinder marked for this refrigerant, quite heavy", 12.0, 9.1
    ),
    "other": Cylinder("Recovery cylinder marked for another refrigerant", 12.0, 3.4, other=True),
    "one_way": Cylinder("Empty one-way supply cylinder", 13.0, 0.3, refillable=False, tare_kg=3.0),
}
