"""Evacuation of a circuit: pump and hoses, gases that leave, water that boils away, leaks.

The circuit is one volume at one temperature. Gas flows to the pump through tubes in series; water
lies free in a wet spot, which its own boiling cools, and dissolved in the compressor's oil.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Final

from kit.physics import air, leak
from kit.physics._types import Array

R_AIR: Final = air.GAS_CONSTANT_DRY_AIR
R_NITROGEN: Final = leak.GAS_CONSTANT / leak.MOLAR_MASS_KG_MOL["nitrogen"]
R_VAPOUR: Final = R_AIR / air.MOLAR_MASS_RATIO
STEP_S: Final = 2.0

# Water. Solubility in ester oil near 2000 ppm: from memory; the rest common practice, no source.
OIL_HOLDS: Final = 0.002  # water an ester oil dissolves when saturated, share of its mass [-]
OIL_RELEASE_S: Final = 100.0  # time in which the gas space comes level with water in the oil
FREE_EVAPORATION_KG_S_PA: Final = 2e-8  # free water, per pascal below its saturation
FREE_FEW_KG: Final = 5e-5  # below this the wetted surface shrinks
WET_W_K: Final = 0.15  # heat that reaches the wet spot per kelvin
WET_J_K: Final = 60.0  # water and copper there


@dataclass(frozen=True, slots=True)
class Path:
    """Tubes between circuit and pump, air near 20 degC.

    Args:
        viscous_m3_s_pa: conductance per pascal of mean pressure while molecules meet each other.
        molecular_m3_s: conductance when they meet only walls [m3/s].
    """

    viscous_m3_s_pa: float
    molecular_m3_s: float


@dataclass(frozen=True, slots=True)
class Pump:
    """A vacuum pump.

    Args:
        speed_m3_s: volume it takes in [m3/s].
        ultimate_pa: lowest pressure it reaches, blanked off [Pa].
    """

    speed_m3_s: float
    ultimate_pa: float


@dataclass(frozen=True, slots=True)
class Gases:
    """What is in the circuit besides liquid refrigerant.

    Args:
        air_kg: dry air [kg].
        nitrogen_kg: nitrogen [kg].
        refrigerant_kg: refrigerant, its share in the oil included [kg].
        vapour_kg: water vapour [kg].
        water_kg: water, free and in the oil [kg].
        wet_k: temperature of the wet spot [K].
    """

    air_kg: float = 0.0
    nitrogen_kg: float = 0.0
    refrigerant_kg: float = 0.0
    vapour_kg: float = 0.0
    water_kg: float = 0.0
    wet_k: float = 293.15


@dataclass(frozen=True, slots=True)
class Vessel:
    """The circuit as a vessel.

    Args:
        volume_m3: its volume [m3].
        t_k: its temperature [K].
        oil_kg: oil in it [kg].
        free_share: share of the refrigerant that is not in the oil [0..1].
        molar_mass_kg_mol: of the refrigerant [kg/mol].
        bore_m: width of each hole that is open to the air [m].
        p_atm_pa: pressure of the air around [Pa].
        outdoor_w: humidity ratio of that air [kg/kg].
    """

    volume_m3: float
    t_k: float
    oil_kg: float
    free_share: float
    molar_mass_kg_mol: float
    bore_m: tuple[float, ...] = ()
    p_atm_pa: float = air.STANDARD_PRESSURE_PA
    outdoor_w: float = 0.01


def tube(bore_m: float, length_m: float, t_k: float = 293.15) -> Path:
    """Return the conductance of a round tube.

    Args:
        bore_m: inner diameter [m].
        length_m: length [m].
        t_k: temperature of the air in it [K].

    Returns:
        Its conductance by mean pressure, and without it [m3/(s Pa)], [m3/s].

    Source: pi d^4 p/(128 eta L) and pi v d^3/(12 L), for air at 20 degC the 135 d^4 p/L and
        12.1 d^3/L of vacuum practice (L/s, cm, mbar); the sum of both is the usual estimate in
        between (pfeiffer-vacuum.com, vacuum technology, 1.2).
    """
    thermal = math.sqrt(8.0 * leak.GAS_CONSTANT * t_k / (math.pi * leak.MOLAR_MASS_KG_MOL["air"]))
    viscous = math.pi * bore_m**4 / (128.0 * leak.VISCOSITY_PA_S["air"] * length_m)
    return Path(viscous, math.pi * thermal * bore_m**3 / (12.0 * length_m))


def in_series(paths: tuple[Path, ...]) -> Path:
    """Return tubes one behind the other as one.

    Args:
        paths: the tubes, each with its conductances [m3/(s Pa)], [m3/s].

    Returns:
        Conductances of all together [m3/(s Pa)], [m3/s].

    Source: resistances add (textbook); exact where one kind of flow rules throughout.
    """
    return Path(
        1.0 / sum(1.0 / path.viscous_m3_s_pa for path in paths),
        1.0 / sum(1.0 / path.molecular_m3_s for path in paths),
    )


def inlet_pressure_pa(unit_pa: float, path: Path, pump: Pump) -> float:
    """Return the pressure at the pump while it draws from a circuit.

    Args:
        unit_pa: pressure in the circuit [Pa].
        path: tubes between.
        pump: the pump.

    Returns:
        Pressure at its inlet, never above the circuit's while it draws [Pa].

    Source: what flows through the tubes is what the pump takes, C (p1 - p2) = S (p2 - p0).
    """
    half = 0.5 * path.viscous_m3_s_pa
    linear = path.molecular_m3_s + pump.speed_m3_s
    known = half * unit_pa**2 + path.molecular_m3_s * unit_pa + pump.speed_m3_s * pump.ultimate_pa
    return 2.0 * known / (linear + math.sqrt(linear**2 + 4.0 * half * known))


def speed_at_unit_m3_s(unit_pa: float, path: Path, pump: Pump) -> float:
    """Return the volume that the circuit loses to the pump.

    Args:
        unit_pa: pressure in the circuit [Pa].
        path: tubes between.
        pump: the pump.

    Returns:
        Volume flow at the circuit's pressure [m3/s]; 0 once the pump can do no better.

    Source: S (p2 - p0)/p1.
    """
    inlet = inlet_pressure_pa(unit_pa, path, pump)
    flow = pump.speed_m3_s * (inlet - pump.ultimate_pa)
    return max(flow, 0.0) / max(unit_pa, 1e-6)


def pressure_pa(gases: Gases, vessel: Vessel) -> float:
    """Return the pressure in a circuit that holds gas only.

    Args:
        gases: what is in it.
        vessel: the circuit.

    Returns:
        Absolute pressure [Pa].

    Source: ideal gases, partial pressures add (Dalton).
    """
    r_refrigerant = leak.GAS_CONSTANT / vessel.molar_mass_kg_mol
    moles = (
        gases.air_kg * R_AIR
        + gases.nitrogen_kg * R_NITROGEN
        + gases.vapour_kg * R_VAPOUR
        + gases.refrigerant_kg * vessel.free_share * r_refrigerant
    )
    return moles * vessel.t_k / vessel.volume_m3


def dissolved_kg(water_kg: Array, oil_kg: Array) -> Array:
    """Return how much of the water the oil holds; what is beyond lies free.

    Args:
        water_kg: water in the circuit [kg].
        oil_kg: oil in it [kg].

    Returns:
        Water in the oil [kg].

    Source: solubility of water in ester oil near 2000 ppm, from memory.
    """
    return min(water_kg, OIL_HOLDS * oil_kg)


def resting_vapour_pa(water_kg: float, vessel: Vessel) -> float:
    """Return where a decay test levels when nothing leaks: the vapour over what water is left.

    Args:
        water_kg: water and its vapour in the circuit [kg].
        vessel: the circuit.

    Returns:
        Partial pressure [Pa]: saturation while free water is left, less over moist oil.

    Source: Henry's law for water in the oil, its activity the share of saturation.
    """
    saturation = float(air.saturation_pressure_pa(vessel.t_k))
    room = vessel.volume_m3 / (R_VAPOUR * vessel.t_k)
    holds = OIL_HOLDS * vessel.oil_kg
    share = water_kg / (holds + saturation * room)
    return saturation * min(share, 1.0)


def later(
    gases: Gases, vessel: Vessel, seconds: float, path: Path | None = None, pump: Pump | None = None
) -> Gases:
    """Return what is in the circuit some time later.

    Args:
        gases: what is in it now.
        vessel: the circuit.
        seconds: time to pass [s].
        path: tubes to the pump; None when it is shut off.
        pump: the pump; None when it is shut off.

    Returns:
        What is in it then [kg], [K].

    Source: mass balances of each gas, stepped; heat balance of the wet spot.
    """
    left = seconds
    while left > 1e-9:
        step = min(left, STEP_S)
        gases = _stepped(gases, vessel, step, path, pump)
        left -= step
    return gases


def _stepped(g: Gases, v: Vessel, dt: float, path: Path | None, pump: Pump | None) -> Gases:
    total = pressure_pa(g, v)
    drawn = 0.0 if path is None or pump is None else speed_at_unit_m3_s(total, path, pump)
    stays = math.exp(-drawn * dt / v.volume_m3)
    refrigerant_stays = math.exp(-drawn * v.free_share * dt / v.volume_m3)
    g = _leaked(g, v, total, dt)
    g = replace(
        g,
        air_kg=g.air_kg * stays,
        nitrogen_kg=g.nitrogen_kg * stays,
        refrigerant_kg=g.refrigerant_kg * refrigerant_stays,
    )
    return _dried(g, v, drawn, dt)


def _leaked(g: Gases, v: Vessel, total_pa: float, dt: float) -> Gases:
    """Let air in, or gas out, through the holes."""
    if not v.bore_m:
        return g
    viscosity = leak.VISCOSITY_PA_S["air" if total_pa < v.p_atm_pa else "nitrogen"]
    flow = sum(leak.throughput_pa_m3_s(bore, v.p_atm_pa, total_pa, viscosity) for bore in v.bore_m)
    if flow >= 0.0:
        # Near the end air comes in no faster than it can level the pressures.
        level = max(v.p_atm_pa - total_pa, 0.0) * v.volume_m3
        came = min(flow * dt, level) / (R_AIR * v.t_k)
        return replace(g, air_kg=g.air_kg + came, vapour_kg=g.vapour_kg + came * v.outdoor_w)
    stays = math.exp(flow * dt / (total_pa * v.volume_m3))
    return replace(
        g,
        air_kg=g.air_kg * stays,
        nitrogen_kg=g.nitrogen_kg * stays,
        refrigerant_kg=g.refrigerant_kg * (1.0 - v.free_share * (1.0 - stays)),
        vapour_kg=g.vapour_kg * stays,
    )


def _dried(g: Gases, v: Vessel, drawn_m3_s: float, dt: float) -> Gases:
    """Let water evaporate into the gas and vapour leave with it; the wet spot cools and warms."""
    if g.water_kg <= 0.0 and g.vapour_kg <= 0.0:
        return g
    held = dissolved_kg(g.water_kg, v.oil_kg)
    free = g.water_kg - held
    per_pa = R_VAPOUR * v.t_k / v.volume_m3
    from_free = FREE_EVAPORATION_KG_S_PA * free / (free + FREE_FEW_KG)
    from_oil = 1.0 / (per_pa * OIL_RELEASE_S)
    wet_pa = float(air.saturation_pressure_pa(g.wet_k))
    oil_pa = float(air.saturation_pressure_pa(v.t_k)) * held / max(OIL_HOLDS * v.oil_kg, 1e-9)
    offered = from_free * wet_pa + from_oil * oil_pa
    losing = (from_free + from_oil) * per_pa + drawn_m3_s / v.volume_m3
    fade = math.exp(-losing * dt)
    vapour = offered / losing + (g.vapour_kg - offered / losing) * fade
    mean = offered / losing + (g.vapour_kg - offered / losing) * (1.0 - fade) / (losing * dt)
    evaporated = offered * dt - (from_free + from_oil) * per_pa * mean * dt
    if evaporated > g.water_kg:
        vapour, evaporated = vapour - (evaporated - g.water_kg), g.water_kg
    boiled = from_free * (wet_pa - per_pa * mean) * dt
    heat = WET_W_K * (v.t_k - g.wet_k) * dt - air.H_FG * boiled
    return replace(
        g,
        vapour_kg=max(vapour, 0.0),
        water_kg=g.water_kg - evaporated,
        wet_k=g.wet_k + heat / WET_J_K,
    )
