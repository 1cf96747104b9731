"""Rows of datasets/published: reading them, and what the kit computes for each.

A row names a function of the kit, its inputs with their units, the published value and how far
off it may be. `python -m tests.published_report` prints the largest deviation of each source.
"""

import csv
import importlib
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from kit import library
from kit.physics import air, refrigerant

PSI = 6894.757293168
ATMOSPHERE = 101_325.0
COLUMNS = (
    "id",
    "function",
    "inputs",
    "expected",
    "unit",
    "tolerance",
    "kind",
    "why",
    "source",
    "page",
    "status",
)
STATUSES = ("seen", "from memory", "calculated")

# unit: (factor to SI, SI value of its zero)
UNITS = {
    "": (1.0, 0.0),
    "%": (0.01, 0.0),
    "K": (1.0, 0.0),
    "degF diff": (1.0 / 1.8, 0.0),
    "degC": (1.0, 273.15),
    "degF": (1.0 / 1.8, 459.67 / 1.8),
    "Pa": (1.0, 0.0),
    "kPa": (1e3, 0.0),
    "MPa": (1e6, 0.0),
    "bar": (1e5, 0.0),
    "psia": (PSI, 0.0),
    "psig": (PSI, ATMOSPHERE),
    "psi": (PSI, 0.0),
    "inHg": (3386.389, 0.0),
    "micron": (0.133322, 0.0),
    "kg/kg": (1.0, 0.0),
    "g/kg": (1e-3, 0.0),
    "J/kg": (1.0, 0.0),
    "kJ/kg": (1e3, 0.0),
    "kJ/(kg K)": (1e3, 0.0),
    "kg/m3": (1.0, 0.0),
    "m3/kg": (1.0, 0.0),
    "dm3/kg": (1e-3, 0.0),
    "m": (1.0, 0.0),
    "mm": (1e-3, 0.0),
    "L": (1e-3, 0.0),
    "g": (1e-3, 0.0),
    "kg": (1.0, 0.0),
    "g/m": (1e-3, 0.0),
    "m3/s": (1.0, 0.0),
    "scfm": (4.719474e-4, 0.0),
    "kg/s": (1.0, 0.0),
    "lb/h": (0.45359237 / 3600.0, 0.0),
    "W": (1.0, 0.0),
    "kW": (1e3, 0.0),
    "Btu/h": (0.29307107, 0.0),
    "ohm": (1.0, 0.0),
    "kohm": (1e3, 0.0),
    "min": (60.0, 0.0),
    "h": (3600.0, 0.0),
    "s": (1.0, 0.0),
    "Pa m3/s": (1.0, 0.0),
    "1/s": (1.0, 0.0),
    "cfm/ton": (1.0, 0.0),
}


@dataclass(frozen=True, slots=True)
class Row:
    """One published check."""

    file: str
    id: str
    function: str
    inputs: str
    expected: float
    unit: str
    tolerance: float
    kind: str
    why: str
    source: str
    page: str
    status: str

    def computed(self) -> float:
        """Return what the kit gives, in the row's unit."""
        name, _, part = self.function.partition(":")
        result = _function(name)(**arguments(self.inputs))
        value = float(getattr(result, part) if part else result)
        factor, zero = UNITS[self.unit]
        return (value - zero) / factor

    def allowed(self) -> float:
        """Return the largest deviation allowed, in the row's unit."""
        return self.tolerance * (abs(self.expected) if self.kind == "rel" else 1.0)


def files() -> list[Path]:
    """Return the published tables."""
    return sorted(library.datasets("published").glob("*.csv"))


def rows() -> list[Row]:
    """Return every published check."""
    found = []
    for path in files():
        with path.open(encoding="utf-8", newline="") as handle:
            for line in csv.DictReader(handle):
                numbers = {key: float(line[key]) for key in ("expected", "tolerance")}
                found.append(Row(file=path.stem, **{**line, **numbers}))
    return found


def arguments(text: str) -> dict[str, float | str]:
    """Return `k=v unit;k=v` as keyword arguments in SI; what is no number stays a word."""
    found: dict[str, float | str] = {}
    for item in filter(None, text.split(";")):
        key, _, value = item.partition("=")
        number, _, unit = value.strip().partition(" ")
        try:
            factor, zero = UNITS[unit]
            found[key.strip()] = float(number) * factor + zero
        except (KeyError, ValueError):
            found[key.strip()] = value.strip()
    return found


def _function(name: str):
    if name in ALIASES:
        return ALIASES[name]
    module, _, attribute = name.rpartition(".")
    return getattr(importlib.import_module(module), attribute)


def _sat(name, t_k, side, field):
    fluid = refrigerant.load(name)
    lnp = fluid.lnp_dew(t_k) if side == "dew" else fluid.lnp_bubble(t_k)
    return getattr(fluid.sat(lnp), field)


def _wet_bulb_from_rh(db_k, rh, p_pa):
    return air.wet_bulb_k(db_k, air.humidity_ratio(db_k, rh, p_pa), p_pa)


def _from_wet_bulb(function):
    def call(db_k, wb_k, p_pa):
        w = air.humidity_ratio_from_wet_bulb(db_k, wb_k, p_pa)
        return {
            "enthalpy": lambda: air.enthalpy_j_kg(db_k, w),
            "dew_point": lambda: air.dew_point_k(w, p_pa),
            "rh": lambda: air.relative_humidity(db_k, w, p_pa),
            "volume": lambda: air.specific_volume_m3_kg(db_k, w, p_pa),
            "w": lambda: w,
        }[function]()

    return call


def _from_dew_point(function):
    def call(db_k, dew_k, p_pa):
        w = air.saturation_humidity_ratio(dew_k, p_pa)
        return {
            "rh": lambda: air.relative_humidity(db_k, w, p_pa),
            "wet_bulb": lambda: air.wet_bulb_k(db_k, w, p_pa),
        }[function]()

    return call


def _sensible_heating_w(airflow_m3_s, wet_k, leaving_k, p_pa):
    w = air.saturation_humidity_ratio(wet_k, p_pa)
    flow = airflow_m3_s / air.specific_volume_m3_kg(wet_k, w, p_pa)
    return flow * (air.enthalpy_j_kg(leaving_k, w) - air.enthalpy_j_kg(wet_k, w))


def _cooling_coil(airflow_m3_s, db_k, rh, leaving_k, p_pa):
    """Return (refrigeration, condensate) of air cooled to saturation; condensate leaves as cold."""
    w = air.humidity_ratio(db_k, rh, p_pa)
    flow = airflow_m3_s / air.specific_volume_m3_kg(db_k, w, p_pa)
    out_w = air.saturation_humidity_ratio(leaving_k, p_pa)
    drained = flow * (w - out_w)
    drop = air.enthalpy_j_kg(db_k, w) - air.enthalpy_j_kg(leaving_k, out_w)
    return flow * drop - drained * air.CP_WATER * (leaving_k - 273.15), drained


def _mixed(first_m3_s, first_db_k, first_wb_k, second_m3_s, second_db_k, second_rh, p_pa):
    """Return dry bulb, wet bulb and humidity ratio of two mixed streams."""
    w1 = air.humidity_ratio_from_wet_bulb(first_db_k, first_wb_k, p_pa)
    w2 = air.humidity_ratio(second_db_k, second_rh, p_pa)
    m1 = first_m3_s / air.specific_volume_m3_kg(first_db_k, w1, p_pa)
    m2 = second_m3_s / air.specific_volume_m3_kg(second_db_k, w2, p_pa)
    w = (m1 * w1 + m2 * w2) / (m1 + m2)
    h1, h2 = air.enthalpy_j_kg(first_db_k, w1), air.enthalpy_j_kg(second_db_k, w2)
    db = air.dry_bulb_from_enthalpy_k((m1 * h1 + m2 * h2) / (m1 + m2), w)
    return db, air.wet_bulb_k(db, w, p_pa), w


def _mean_two_phase_density(name, t_k):
    fluid = refrigerant.load(name)
    sat = fluid.sat(fluid.lnp_dew(t_k))
    void = refrigerant.mean_void(0.0, 1.0, sat.rho_l, sat.rho_v)
    return void * sat.rho_v + (1.0 - void) * sat.rho_l


def _void_at(name, t_k, x):
    fluid = refrigerant.load(name)
    sat = fluid.sat(fluid.lnp_dew(t_k))
    return refrigerant.zivi_void(x, sat.rho_l, sat.rho_v)


def _mean_void_at(name, t_k):
    fluid = refrigerant.load(name)
    sat = fluid.sat(fluid.lnp_dew(t_k))
    return refrigerant.mean_void(0.0, 1.0, sat.rho_l, sat.rho_v)


def _saturation_k(name, p_pa, side):
    sat = refrigerant.load(name).sat(np.log(p_pa))
    return sat.t_dew_k if side == "dew" else sat.t_bubble_k


def _air_side_w(airflow_scfm, in_db_k, in_dew_k, out_db_k, out_dew_k, p_pa, part):
    """Return an air-side duty from a standard airflow (0.075 lb/ft3 of dry air)."""
    from kit.physics import textbook

    flow = airflow_scfm * 1.2014
    duty = textbook.air_enthalpy_duty(
        flow,
        in_db_k,
        air.saturation_humidity_ratio(in_dew_k, p_pa),
        out_db_k,
        air.saturation_humidity_ratio(out_dew_k, p_pa),
    )
    return duty.sensible_w / duty.total_w if part == "shr" else getattr(duty, part)


def _net_evaporator_w(name, flow_kg_s, exit_pa, exit_k, liquid_pa, liquid_k, fan_w):
    from kit.physics import textbook

    return (
        textbook.refrigerant_duty_w(name, flow_kg_s, exit_pa, exit_k, liquid_pa, liquid_k) - fan_w
    )


def _gauge_error_k(name, grade, span_pa, reading_fraction, t_k):
    """Return the saturation temperature error that a gauge's class allows, mean of up and down."""
    from kit.physics import textbook

    fluid = refrigerant.load(name)
    p_pa = np.exp(fluid.lnp_dew(t_k))
    error = float(textbook.gauge_limit_pa(grade, span_pa, np.asarray(reading_fraction)))
    return (_saturation_k(name, p_pa + error, "dew") - _saturation_k(name, p_pa - error, "dew")) / 2


def _nitrogen_psi_per_f(p_pa, t_k):
    from kit.physics import textbook

    return textbook.closed_gas_pressure_pa(p_pa, t_k, t_k + 1.0 / 1.8) - p_pa


def _tube_viscous_m3_s(bore_m, length_m, p_pa):
    from kit.physics import evacuation

    return evacuation.tube(bore_m, length_m).viscous_m3_s_pa * p_pa


def _tube_molecular_m3_s(bore_m, length_m):
    from kit.physics import evacuation

    return evacuation.tube(bore_m, length_m).molecular_m3_s


def _overflow_s(volume_m3, drained_kg_s):
    return volume_m3 * 1000.0 / drained_kg_s


# Published quantities that are one or two of the kit's functions put together.
ALIASES = {
    "saturation": _sat,
    "saturation_pressure_pa": lambda name, t_k, side: np.exp(
        getattr(refrigerant.load(name), f"lnp_{side}")(t_k)
    ),
    "saturation_k": _saturation_k,
    "latent_heat_j_kg": lambda name, t_k: (
        _sat(name, t_k, "dew", "h_v") - _sat(name, t_k, "bubble", "h_l")
    ),
    "liquid_enthalpy_above_0c": lambda name, t_k: (
        _sat(name, t_k, "bubble", "h_l") - _sat(name, 273.15, "bubble", "h_l")
    ),
    "entropy_of_evaporation": lambda name, t_k: (
        _sat(name, t_k, "dew", "s_v") - _sat(name, t_k, "bubble", "s_l")
    ),
    "vapour_volume_m3_kg": lambda name, t_k: 1.0 / _sat(name, t_k, "dew", "rho_v"),
    "glide_k": lambda name, p_pa: (
        _saturation_k(name, p_pa, "dew") - _saturation_k(name, p_pa, "bubble")
    ),
    "superheat_k": lambda name, p_pa, t_k: t_k - _saturation_k(name, p_pa, "dew"),
    "subcooling_k": lambda name, p_pa, t_k: _saturation_k(name, p_pa, "bubble") - t_k,
    "molar_mass_kg_mol": lambda name: refrigerant.load(name).molar_mass_kg_mol,
    "wet_bulb_from_rh": _wet_bulb_from_rh,
    "wet_bulb_state_enthalpy": _from_wet_bulb("enthalpy"),
    "wet_bulb_state_dew_point": _from_wet_bulb("dew_point"),
    "wet_bulb_state_rh": _from_wet_bulb("rh"),
    "wet_bulb_state_volume": _from_wet_bulb("volume"),
    "wet_bulb_state_w": _from_wet_bulb("w"),
    "dew_point_state_rh": _from_dew_point("rh"),
    "dew_point_state_wet_bulb": _from_dew_point("wet_bulb"),
    "rh_state_enthalpy": lambda db_k, rh, p_pa: air.enthalpy_j_kg(
        db_k, air.humidity_ratio(db_k, rh, p_pa)
    ),
    "rh_state_volume": lambda db_k, rh, p_pa: air.specific_volume_m3_kg(
        db_k, air.humidity_ratio(db_k, rh, p_pa), p_pa
    ),
    "sensible_heating_w": _sensible_heating_w,
    "cooling_coil_w": lambda **state: _cooling_coil(**state)[0],
    "cooling_coil_condensate_kg_s": lambda **state: _cooling_coil(**state)[1],
    "mixed_dry_bulb_k": lambda **streams: _mixed(**streams)[0],
    "mixed_wet_bulb_k": lambda **streams: _mixed(**streams)[1],
    "mixed_humidity_ratio": lambda **streams: _mixed(**streams)[2],
    "void_at": _void_at,
    "mean_void_at": _mean_void_at,
    "mean_two_phase_density": _mean_two_phase_density,
    "air_side": _air_side_w,
    "net_evaporator_w": _net_evaporator_w,
    "gauge_error_k": _gauge_error_k,
    "nitrogen_psi_per_f": _nitrogen_psi_per_f,
    "tube_viscous_m3_s": _tube_viscous_m3_s,
    "tube_molecular_m3_s": _tube_molecular_m3_s,
    "overflow_s": _overflow_s,
    "charge_cop_ratio": lambda **case: (
        _function("kit.physics.correlations.charge_ratio")(quantity="capacity", **case)
        / _function("kit.physics.correlations.charge_ratio")(quantity="power", **case)
    ),
    "airflow_power_ratio": lambda mode, flow_ratio: (
        _function("kit.physics.correlations.airflow_ratio")(mode, "capacity", flow_ratio)
        * _function("kit.physics.correlations.airflow_ratio")(mode, "eir", flow_ratio)
    ),
    "heating_air_rise_ratio": lambda flow_ratio: (
        _function("kit.physics.correlations.airflow_ratio")("heating", "capacity", flow_ratio)
        / flow_ratio
    ),
    "air_left_fraction": lambda **pulled: _function("kit.physics.textbook.air_left_fraction")(
        list(pulled.values())
    ),
    "trapped_air_kg": lambda volume_m3, p_pa, t_k: (
        p_pa * volume_m3 / (_function("kit.physics.charge.air_pressure_pa")(1.0, 1.0, t_k))
    ),
    "wet_coil_frost": lambda db_k, wb_k, p_pa: _function("kit.physics.correlations.frost_factors")(
        db_k, air.humidity_ratio_from_wet_bulb(db_k, wb_k, p_pa), p_pa
    ),
    "standing_pressure_pa": lambda name, t_k, mass_kg, volume_m3: _function(
        "kit.physics.charge.standing_pressure_pa"
    )(refrigerant.load(name), mass_kg, volume_m3, t_k),
    "ntc_series_error_k": lambda series_ohm, t_k, beta_k: (
        _function("kit.physics.thermistor.ntc_temperature_k")(
            _function("kit.physics.thermistor.ntc_resistance_ohm")(t_k, 1e4, beta_k) + series_ohm,
            1e4,
            beta_k,
        )
        - t_k
    ),
}
