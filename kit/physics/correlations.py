"""Published regressions of measured machines: bands the engine is compared with, never its parts.

Each is evaluated as its source prints it, units converted at the edge of the function.
"""

from __future__ import annotations

from typing import Final, NamedTuple

import numpy as np

from kit.errors import UnknownNameError
from kit.physics import air
from kit.physics._types import Array

_Table = dict[tuple[str, ...], tuple[float, ...]]

# (mode, side, quantity): a1 .. a4 of Y = 1 + (a1 + a2 Tid + a3 Tod + a4 F) F, temperatures in degC
_CHARGE: Final[_Table] = {
    ("cooling", "under", "capacity"): (-0.946, 0.0493, -0.00118, -1.15),
    ("cooling", "under", "power"): (-0.313, 0.0115, 0.00266, -0.116),
    ("cooling", "over", "capacity"): (-0.163, 0.0114, -0.00021, -0.140),
    ("cooling", "over", "power"): (0.219, -0.00501, 0.000989, 0.284),
    ("heating", "under", "capacity"): (-0.0338595, 0.0, 0.0202827, -2.6226343),
    ("heating", "under", "power"): (0.0615649, 0.0, 0.0044554, -0.2598507),
    ("heating", "over", "capacity"): (-0.0029514, 0.0, 0.0007379, -0.0064112),
    ("heating", "over", "power"): (-0.0594134, 0.0, 0.0159205, 1.8872153),
}
_AIRFLOW: Final[_Table] = {
    ("cooling", "capacity"): (0.718664, 0.417974, -0.136638),
    ("cooling", "eir"): (1.143488, -0.139440, -0.004048),
    ("heating", "capacity"): (0.694045, 0.474208, -0.168253),
    ("heating", "eir"): (2.185419, -1.942828, 0.757409),
}
_TEMPERATURE: Final[_Table] = {  # a + b x + c x^2 + d y + e y^2 + f x y, degF
    ("cooling", "capacity"): (
        *(3.717717741, -0.09918866, 0.000964488),
        *(0.005887776, -1.2808e-5, -0.000132822),
    ),
    ("cooling", "eir"): (
        *(-3.400341169, 0.135184783, -0.001037932),
        *(-0.007852322, 0.000183438, -0.000142548),
    ),
    ("heating", "capacity"): (
        *(0.568706266, -0.000747282, -1.03432e-5),
        *(0.00945408, 5.0812e-5, -6.77828e-6),
    ),
    ("heating", "eir"): (
        *(0.722917608, 0.003520184, 0.000143097),
        *(-0.005760341, 0.000141736, -0.000216676),
    ),
}
_FAULTS: Final[_Table] = {  # C1 .. C6
    ("undercharge", "capacity"): (7.7179, -10.765, 3.129, -0.88403, 0.30043, -0.036993),
    ("undercharge", "eir"): (-5.7419, 8.6709, -4.4104, 1.2489, 1.2095, 0.36051),
    ("overcharge", "capacity"): (-0.667351, 0.417386, 0.091732, 0.812637, -0.30102, -0.1014),
    ("overcharge", "eir"): (0.191888, -0.256732, -0.05316, -0.716681, 0.381224, 0.1241),
    ("liquid_line", "capacity"): (-1.0205, -3.2899, 3.66, -1.9118, 0.031398, 0.064409),
    ("liquid_line", "eir"): (1.4031, 3.7922, -5.343, 3.0229, 1.6979, 0.12159),
    ("noncondensable", "capacity"): (-1.952, 3.8946, -1.6685, -0.044405, -0.015189, -0.062296),
    ("noncondensable", "eir"): (2.4648, -3.1898, 1.0582, 0.040316, -0.000329, -0.038164),
    ("condenser_airflow", "capacity"): (-2.2162, 5.6315, -3.1199, 0.22492, -0.76245, -0.072843),
    ("condenser_airflow", "eir"): (-5.9806, 0.9479, 4.3816, -1.0667, 2.9142, 0.090476),
    ("evaporator_airflow", "capacity"): (
        *(-1.680856, 1.955241, 0.013734),
        *(1.944498, -0.958203, -0.367406),
    ),
    ("evaporator_airflow", "eir"): (
        *(1.075997, -1.609711, 0.054396),
        *(-1.58432, 0.803225, 0.356159),
    ),
}


def _pick(kind: str, table: _Table, *key: str) -> tuple[float, ...]:
    if key not in table:
        raise UnknownNameError(kind, " ".join(key), sorted(" ".join(k) for k in table))
    return table[key]


def charge_ratio(
    mode: str, quantity: str, deviation: float, indoor_db_k: Array, outdoor_db_k: Array
) -> Array:
    """Return capacity or power over its value at the correct charge, fixed-speed TXV machine.

    Args:
        mode: "cooling" or "heating".
        quantity: "capacity" or "power".
        deviation: (charge - correct)/correct [-], -0.3 to 0.3.
        indoor_db_k: indoor dry-bulb [K].
        outdoor_db_k: outdoor dry-bulb [K].

    Returns:
        Ratio [-].

    Raises:
        UnknownNameError: no such mode and quantity.

    Source: Domanski, Henderson and Payne, NIST TN 1848 (2014); coefficients as in
        NREL/OpenStudio-HPXML HPXMLtoOpenStudio/resources/hvac.rb, commit 003e67ff.
    """
    side = "under" if deviation <= 0.0 else "over"
    a = _pick("charge correlation", _CHARGE, mode, side, quantity)
    t_in, t_out = indoor_db_k - air.ZERO_C_K, outdoor_db_k - air.ZERO_C_K
    return 1.0 + (a[0] + a[1] * t_in + a[2] * t_out + a[3] * deviation) * deviation


def airflow_ratio(mode: str, quantity: str, flow_ratio: Array) -> Array:
    """Return capacity or EIR over its value at rated indoor airflow, single-speed heat pump.

    Args:
        mode: "cooling" or "heating".
        quantity: "capacity" or "eir" (input over capacity).
        flow_ratio: indoor airflow over rated [-], 0.5 to 1.2.

    Returns:
        Ratio [-].

    Raises:
        UnknownNameError: no such mode and quantity.

    Source: Cutler et al., NREL/TP-5500-56354 (2013); coefficients as in
        NREL/OpenStudio-HPXML, commit 003e67ff.
    """
    a = _pick("airflow correlation", _AIRFLOW, mode, quantity)
    return a[0] + flow_ratio * (a[1] + flow_ratio * a[2])


def temperature_ratio(mode: str, quantity: str, indoor_k: Array, outdoor_db_k: Array) -> Array:
    """Return capacity or EIR over its rated value by temperature, single-speed heat pump.

    Args:
        mode: "cooling" or "heating".
        quantity: "capacity" or "eir".
        indoor_k: indoor wet-bulb in cooling, dry-bulb in heating [K].
        outdoor_db_k: outdoor dry-bulb [K].

    Returns:
        Ratio [-].

    Raises:
        UnknownNameError: no such mode and quantity.

    Source: Cutler et al., NREL/TP-5500-56354 (2013); coefficients as in
        NREL/OpenStudio-HPXML, commit 003e67ff.
    """
    a = _pick("temperature curve", _TEMPERATURE, mode, quantity)
    x, y = _fahrenheit(indoor_k), _fahrenheit(outdoor_db_k)
    return a[0] + a[1] * x + a[2] * x * x + a[3] * y + a[4] * y * y + a[5] * x * y


def _fahrenheit(t_k: Array) -> Array:
    return (t_k - air.ZERO_C_K) * 1.8 + 32.0


def fault_ratio(
    fault: str,
    quantity: str,
    level: Array,
    indoor_wb_k: Array,
    outdoor_db_k: Array,
    rated_cop: Array,
) -> Array:
    """Return capacity or EIR over its faultless value, packaged and split machines in cooling.

    Args:
        fault: "undercharge", "overcharge", "liquid_line", "noncondensable", "condenser_airflow"
            or "evaporator_airflow".
        quantity: "capacity" or "eir".
        level: severity, positive [-]; 0 to 0.3 (airflow 0 to 0.5, air in the circuit 0 to 0.6).
        indoor_wb_k: indoor wet-bulb [K], 285.95 to 297.05.
        outdoor_db_k: outdoor dry-bulb [K], 291.45 to 319.25.
        rated_cop: COP at the rated point [-], 3.74 to 4.69.

    Returns:
        Ratio [-].

    Raises:
        UnknownNameError: no such fault and quantity.

    Source: Cheung and Braun, NREL/SR-5500-65030; coefficients as in
        NREL/OpenStudio-fault-measure-gem, commit f4d92fc7.
    """
    c = _pick("fault correlation", _FAULTS, fault, quantity)
    wet = (indoor_wb_k - air.ZERO_C_K) / 273.15 + 1.0
    out = (outdoor_db_k - air.ZERO_C_K) / 273.15 + 1.0
    inner = c[0] + c[1] * wet + c[2] * out + level * (c[3] + c[4] * level) + c[5] * rated_cop
    return 1.0 + level * inner


def outdoor_fan_eir_ratio(fan_share: Array, level: Array) -> Array:
    """Return EIR over its faultless value for an outdoor fan motor that wastes power.

    Args:
        fan_share: outdoor fan's share of the total input [0..1].
        level: loss of motor efficiency [0..1), 0 when healthy.

    Returns:
        Ratio [-].

    Source: Cheung and Braun, NREL/SR-5500-65030, as in OpenStudio-fault-measure-gem f4d92fc7.
    """
    return 1.0 + fan_share * level / (1.0 - level)


class RotaryEfficiency(NamedTuple):
    """Efficiencies of a rotary inverter compressor [-]."""

    volumetric: Array
    isentropic: Array
    mechanical: Array
    overall: Array


def rotary_efficiency(
    speed_rps: Array, pressure_ratio: Array, suction_k: Array
) -> RotaryEfficiency:
    """Return the efficiencies of a family of rotary inverter compressors.

    Args:
        speed_rps: shaft speed [1/s], 30 to 120.
        pressure_ratio: discharge over suction pressure [-], 1.5 to 8.
        suction_k: suction temperature [K].

    Returns:
        Volumetric, isentropic, mechanical and overall (isentropic times mechanical) efficiency.

    Source: Engelpracht (thesis), as in RWTH-EBC/vclibpy, commit 606de54d.
    """
    n, r = speed_rps, pressure_ratio
    p = (r - 4.54069) / 1.63495
    t = (suction_k - 263.864) / 8.43797
    s = (n - 64.4107) / 20.8138
    volumetric = (
        0.80179 - 0.0521 * p + 3.21616e-4 * t * p - 0.00494 * t + 0.04981 * s - 0.0219 * s * s
    )
    isentropic = 0.5816 + 0.002604 * n - 1.515e-7 * n**3 - 0.00473 * r**2
    mechanical = (
        *(0.2199, -0.0193 * r, 0.02503 * n, 8.817e-5 * r * n, -0.001345 * r**2),
        *(-3.382e-4 * n**2, 1.584e-5 * r**2 * n, -1.083e-6 * r * n**2),
        *(-5.321e-8 * r**2 * n**2, 1.976e-6 * n**3, 4.053e-9 * r * n**3, -4.292e-9 * n**4),
    )
    mech = sum(mechanical)
    return RotaryEfficiency(volumetric, isentropic, mech, isentropic * mech)


class FrostFactors(NamedTuple):
    """What frost costs a heat pump: coil temperature [K], dW [kg/kg], then fractions [-]."""

    coil_k: Array
    excess_moisture: Array
    time_fraction: Array
    capacity: Array
    power: Array


def frost_factors(outdoor_db_k: Array, outdoor_w: Array, p_pa: Array) -> FrostFactors:
    """Return the share of time in defrost and what it leaves of capacity and power.

    Args:
        outdoor_db_k: outdoor dry-bulb [K], below 278.
        outdoor_w: outdoor humidity ratio [kg/kg].
        p_pa: barometric pressure [Pa].

    Returns:
        Coil temperature, moisture above saturation there, defrost time fraction, and factors on
        heating capacity and power with defrost by time.

    Source: EnergyPlus/EPRI frost model, as in bigladder/resdx models/nrel.py, commit c671051c.
    """
    coil = 0.82 * (outdoor_db_k - air.ZERO_C_K) - 8.589 + air.ZERO_C_K
    excess = np.maximum(1e-6, outdoor_w - air.saturation_humidity_ratio(coil, p_pa))
    return FrostFactors(
        coil,
        excess,
        1.0 / (1.0 + 0.01446 / excess),
        0.909 - 107.33 * excess,
        0.9 - 36.45 * excess,
    )


def defrost_derate(outdoor_db_k: Array) -> Array:
    """Return the loss of heating capacity by defrost, one table of NIST TN 1848.

    Args:
        outdoor_db_k: outdoor dry-bulb [K], 244 to 276.

    Returns:
        Loss [fraction].

    Source: NIST TN 1848, as in bigladder/resdx models (carrier_defrost), commit c671051c.
    """
    t_f = _fahrenheit(outdoor_db_k)
    return np.interp(t_f, (-20.0, 17.0, 27.0, 37.0), (0.075, 0.085, 0.11, 0.09))


def sensible_heat_ratio(
    return_db_k: Array, return_wb_k: Array, outdoor_db_k: Array, cfm_per_ton: Array
) -> Array:
    """Return the sensible heat ratio expected of a residential unit in cooling, at most 1.

    Args:
        return_db_k: return dry-bulb [K].
        return_wb_k: return wet-bulb [K].
        outdoor_db_k: outdoor dry-bulb [K].
        cfm_per_ton: airflow in the source's own unit [cfm/ton], 150 to 450.

    Returns:
        Sensible heat ratio [-].

    Source: California Title 24 ACM regression, as in bigladder/resdx models/title24.py c671051c.
    """
    db, wb, od = (_fahrenheit(t) for t in (return_db_k, return_wb_k, outdoor_db_k))
    v = cfm_per_ton
    shr = (
        *(0.0242020 * db, -0.0592153 * wb, 0.0012651 * od, 0.0016375 * v),
        *(-0.0000165 * wb * v, 0.0002021 * wb * wb, 1.5085285),
    )
    return np.minimum(sum(shr), 1.0)


def capacity_fraction(
    return_db_k: Array, return_wb_k: Array, outdoor_db_k: Array, cfm_per_ton: Array
) -> Array:
    """Return cooling capacity over rated, expected of a residential unit; wet or dry coil.

    Args:
        return_db_k: return dry-bulb [K].
        return_wb_k: return wet-bulb [K].
        outdoor_db_k: outdoor dry-bulb [K].
        cfm_per_ton: airflow in the source's own unit [cfm/ton], 150 to 450.

    Returns:
        Fraction of the rated capacity [-]; the dry form where the sensible heat ratio is 1.

    Source: California Title 24 ACM regression, as in bigladder/resdx models/title24.py c671051c.
    """
    db, wb, od = (_fahrenheit(t) for t in (return_db_k, return_wb_k, outdoor_db_k))
    v = cfm_per_ton
    wet = (
        *(0.0096459 * wb, 0.0025369 * od, 0.0001715 * v, -0.0000959 * wb * od),
        *(0.00000818 * wb * v, -0.00000755 * od * v, 0.0001057 * wb * wb),
        *(-53.5423 / v, 0.38156715),
    )
    dry = (
        *(0.0094831 * db, -0.0006006 * od, -0.0001489 * v, -0.0000326 * db * od),
        *(0.0000119 * db * v, -0.00000505 * od * v, -52.56174 / v, 0.4307516),
    )
    is_dry = sensible_heat_ratio(return_db_k, return_wb_k, outdoor_db_k, cfm_per_ton) >= 1.0
    return np.where(is_dry, sum(dry), sum(wet))
