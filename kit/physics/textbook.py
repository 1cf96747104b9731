"""Textbook relations that a technician's check or a published example rests on; all pure functions.

The engine does not solve with them (its coils, lines and compressor have modules of their own):
they state what a handbook would compute from readings, so that an answer can be checked and the
engine compared. Scalars or arrays throughout.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final, NamedTuple

import numpy as np

from kit.errors import UnknownNameError
from kit.physics import air, refrigerant
from kit.physics._types import Array


class AirDuty(NamedTuple):
    """Duty of a coil by the air-enthalpy method [W], and the condensate [kg/s]."""

    total_w: Array
    sensible_w: Array
    latent_w: Array
    condensate_kg_s: Array


def air_enthalpy_duty(
    dry_air_kg_s: Array, in_db_k: Array, in_w: Array, out_db_k: Array, out_w: Array
) -> AirDuty:
    """Return a coil's duty from the states of the air before and after it.

    Args:
        dry_air_kg_s: flow of dry air [kg/s].
        in_db_k: entering dry-bulb [K].
        in_w: entering humidity ratio [kg/kg].
        out_db_k: leaving dry-bulb [K].
        out_w: leaving humidity ratio [kg/kg].

    Returns:
        Total, sensible and latent duty [W] and condensate [kg/s], positive for cooling.

    Source: ANSI/ASHRAE Standard 37, indoor air enthalpy method (from memory); the specific heat
        is that of the leaving air, where the flow is measured.
    """
    total = dry_air_kg_s * (air.enthalpy_j_kg(in_db_k, in_w) - air.enthalpy_j_kg(out_db_k, out_w))
    sensible = dry_air_kg_s * air.specific_heat_j_kgk(out_w) * (in_db_k - out_db_k)
    return AirDuty(total, sensible, total - sensible, dry_air_kg_s * (in_w - out_w))


def dry_air_flow_kg_s(airflow_m3_s: Array, db_k: Array, w: Array, p_pa: Array) -> Array:
    """Return the flow of dry air that a volume flow of moist air carries.

    Args:
        airflow_m3_s: volume flow at this state [m3/s].
        db_k: dry-bulb [K].
        w: humidity ratio [kg/kg].
        p_pa: barometric pressure [Pa].

    Returns:
        Dry air [kg/s].

    Source: definition of specific volume, ASHRAE Handbook - Fundamentals ch. 1.
    """
    return airflow_m3_s / air.specific_volume_m3_kg(db_k, w, p_pa)


def target_split_k(return_db_k: Array, return_wb_k: Array) -> Array:
    """Return the temperature split expected of a ducted unit at the usual airflow, in cooling.

    Args:
        return_db_k: return dry-bulb [K], 294 to 302 (70 to 84 degF).
        return_wb_k: return wet-bulb [K], 283 to 294 (50 to 70 degF).

    Returns:
        Split [K].

    Source: four terms fitted to cells of the target temperature split table of California's
        Title 24 reference appendix RA3.2 (cells from memory, fit within 0.06 degF).
    """
    db = (return_db_k - air.ZERO_C_K) * 1.8 + 32.0 - 75.0
    wb = (return_wb_k - air.ZERO_C_K) * 1.8 + 32.0 - 62.0
    return (19.265 + 0.54468 * db - 0.63269 * wb - 0.022792 * wb * wb) / 1.8


class IdealCycle(NamedTuple):
    """Ideal vapour-compression cycle: q and w [J/kg], COP [-], discharge temperature [K]."""

    refrigerating_effect_j_kg: Array
    work_j_kg: Array
    cop: Array
    discharge_k: Array


def ideal_cycle(
    name: str,
    evaporating_k: Array,
    condensing_k: Array,
    superheat_k: Array,
    subcooling_k: Array,
    isentropic_efficiency: Array = 1.0,
) -> IdealCycle:
    """Return the vapour-compression cycle without pressure drops.

    Both saturation temperatures are dew temperatures; subcooling is counted from bubble.

    Args:
        name: refrigerant, such as "R-32".
        evaporating_k: dew temperature in the evaporator [K].
        condensing_k: dew temperature in the condenser [K].
        superheat_k: superheat at the compressor [K], 0 to 40.
        subcooling_k: subcooling at the valve [K], 0 to 40.
        isentropic_efficiency: of the compression [-], 0.3 to 1.

    Returns:
        Refrigerating effect, work, COP and discharge temperature.

    Raises:
        UnknownNameError: no such refrigerant.

    Source: textbook cycle on this kit's property tables.
    """
    fluid = refrigerant.load(name)
    low, high = fluid.lnp_dew(evaporating_k), fluid.lnp_dew(condensing_k)
    suction, sat = fluid.vapour_pt(low, superheat_k), fluid.sat(high)
    ideal_h = fluid.vapour_ps(high, suction.s - sat.s_v)
    work = (ideal_h - suction.h) / isentropic_efficiency
    effect = suction.h - fluid.liquid(high, subcooling_k).h
    discharge_k = fluid.vapour_ph(high, suction.h + work - sat.h_v).t
    return IdealCycle(effect, work, effect / work, discharge_k)


def refrigerant_duty_w(
    name: str,
    flow_kg_s: Array,
    vapour_pa: Array,
    vapour_k: Array,
    liquid_pa: Array,
    liquid_k: Array,
) -> Array:
    """Return the duty between superheated vapour and subcooled liquid of a measured flow.

    Args:
        name: refrigerant, such as "R-410A".
        flow_kg_s: refrigerant flow [kg/s].
        vapour_pa: pressure at the vapour end [Pa].
        vapour_k: temperature at the vapour end [K], above dew.
        liquid_pa: pressure at the liquid end [Pa].
        liquid_k: temperature at the liquid end [K], below bubble.

    Returns:
        Duty [W].

    Raises:
        UnknownNameError: no such refrigerant.

    Source: energy balance on this kit's property tables.
    """
    fluid = refrigerant.load(name)
    lnp = np.log(vapour_pa)
    vapour = fluid.vapour_pt(lnp, vapour_k - fluid.sat(lnp).t_dew_k)
    return flow_kg_s * (vapour.h - fluid.h_liquid(liquid_k, np.log(liquid_pa)))


def line_charge_kg_m(name: str, outside_m: Array, wall_m: Array, liquid_k: Array) -> Array:
    """Return the refrigerant that one metre of liquid line holds.

    Args:
        name: refrigerant, such as "R-32".
        outside_m: outside diameter of the tube [m].
        wall_m: wall thickness [m].
        liquid_k: temperature of the liquid [K].

    Returns:
        Mass [kg/m].

    Raises:
        UnknownNameError: no such refrigerant.

    Source: volume times density of saturated liquid on this kit's property tables.
    """
    bore = outside_m - 2.0 * wall_m
    return np.pi / 4.0 * bore * bore * refrigerant.load(name).rho_liquid(liquid_k)


def closed_gas_pressure_pa(p_pa: Array, t_k: Array, new_t_k: Array) -> Array:
    """Return the pressure of a shut-in gas after its temperature has changed.

    Args:
        p_pa: pressure at first [Pa absolute].
        t_k: temperature at first [K].
        new_t_k: temperature afterwards [K].

    Returns:
        Pressure afterwards [Pa absolute].

    Source: ideal gas at constant volume.
    """
    return p_pa * new_t_k / t_k


def water_boiling_k(p_pa: Array) -> Array:
    """Return the temperature at which water boils, or ice sublimes, under a pressure.

    Args:
        p_pa: pressure of the vapour [Pa absolute], 1 to 100000.

    Returns:
        Temperature [K].

    Source: ASHRAE Handbook - Fundamentals ch. 1, eqs. 5 and 6, inverted.
    """
    return air.dew_point_k(air.MOLAR_MASS_RATIO, 2.0 * p_pa)


def leak_rate_pa_m3_s(volume_m3: Array, rise_pa: Array, elapsed_s: Array) -> Array:
    """Return the leak that a steady pressure rise in an evacuated circuit means.

    Args:
        volume_m3: inner volume [m3].
        rise_pa: rise of pressure [Pa].
        elapsed_s: time it took [s].

    Returns:
        Leak rate [Pa m3/s].

    Source: rate-of-rise method, V dp/dt.
    """
    return volume_m3 * rise_pa / elapsed_s


def air_left_fraction(
    pulled_pa: Sequence[float], broken_to_pa: float = air.STANDARD_PRESSURE_PA
) -> float:
    """Return the share of the first air that repeated evacuation with dry nitrogen leaves.

    Args:
        pulled_pa: pressures reached, one an evacuation [Pa absolute].
        broken_to_pa: pressure that nitrogen brings it back to in between [Pa absolute].

    Returns:
        Share of the air left [0..1].

    Source: perfect mixing, each evacuation keeps p/p0.
    """
    return float(np.prod(np.asarray(pulled_pa) / broken_to_pa))


# kind and class: (limit [K], limit as a share of the temperature in degC); IEC 60584 and ASTM E230
_THERMOCOUPLES: Final = {
    ("T", "IEC 1"): (0.5, 0.004),
    ("T", "IEC 2"): (1.0, 0.0075),
    ("K", "IEC 1"): (1.5, 0.004),
    ("K", "IEC 2"): (2.5, 0.0075),
    ("T", "ASTM standard"): (1.0, 0.0075),
    ("T", "ASTM special"): (0.5, 0.004),
    ("K", "ASTM standard"): (2.2, 0.0075),
    ("K", "ASTM special"): (1.1, 0.004),
}


def thermocouple_limit_k(kind: str, accuracy_class: str, t_k: Array) -> Array:
    """Return the largest error of a sound thermocouple of its class.

    Args:
        kind: "T" or "K".
        accuracy_class: "IEC 1", "IEC 2", "ASTM standard" or "ASTM special".
        t_k: temperature measured [K], 233 and above.

    Returns:
        Limit of error, plus or minus [K].

    Raises:
        UnknownNameError: no such kind and class.

    Source: IEC 60584 (read at picopolska.pl and therncway.net), ASTM E230 (scribd 351458932).
    """
    known = {f"{k} {c}": limits for (k, c), limits in _THERMOCOUPLES.items()}
    wanted = f"{kind} {accuracy_class}"
    if wanted not in known:
        raise UnknownNameError("thermocouple class", wanted, sorted(known))
    flat, share = known[wanted]
    return np.maximum(flat, share * np.abs(t_k - air.ZERO_C_K))


# grade: error as a share of span in the outer quarters and in the middle half; ASME B40.100
_GAUGE_GRADES: Final = {
    "2A": (0.005, 0.005),
    "1A": (0.01, 0.01),
    "A": (0.02, 0.01),
    "B": (0.03, 0.02),
    "D": (0.05, 0.05),
}


def gauge_limit_pa(grade: str, span_pa: Array, reading_fraction: Array) -> Array:
    """Return the largest error of a sound dial gauge of its grade.

    Args:
        grade: "2A", "1A", "A", "B" or "D".
        span_pa: span of the scale [Pa].
        reading_fraction: where on the scale the pointer stands [0..1].

    Returns:
        Limit of error, plus or minus [Pa].

    Raises:
        UnknownNameError: no such grade.

    Source: ASME B40.100; grade A read at instrumart.com, the others from memory.
    """
    if grade not in _GAUGE_GRADES:
        raise UnknownNameError("gauge grade", grade, sorted(_GAUGE_GRADES))
    outer, middle = _GAUGE_GRADES[grade]
    in_middle = (reading_fraction >= 0.25) & (reading_fraction <= 0.75)
    return span_pa * np.where(in_middle, middle, outer)
