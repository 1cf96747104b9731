"""The closed refrigerant circuit as seven equations in seven unknowns, solved together.

Unknowns: evaporating and condensing pressure (logarithms), the valve's place (opening, then lack or
excess of superheat once it has run out of travel), the condenser's outlet (subcooling, then
flash gas), the cold coil's surface (between evaporating temperature, 0, and air, 1), the indoor intake, and the compressor's speed. Equations:
valve flow = compressor flow; heat of the condenser; heat of the evaporator; heat through the wet
surface; refrigerant mass; the jet that falls back into the intake; speed that demand asks for and
the protections leave. Nothing here knows of faults: only of the numbers they change.
"""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import Any

import numpy as np

from kit.physics import air, charge, coil, compressor, valve
from kit.physics.refrigerant import Refrigerant, mean_void

UNKNOWNS = 7
SPEED_SCALE = 60.0  # rps for which the speed unknown is 1
MISSING_GAIN = 2.5  # transfer units of superheat missing per unit of valve place below its lowest
WET_GAIN = 0.6  # vapour quality lost per transfer unit of missing superheat
# Liquid share of the suction flow at which the accumulator is two thirds full: common practice.
ACCUMULATOR_WETNESS = 0.06
FLASH_GAIN = 0.5  # vapour quality at the condenser's outlet per share of coil missing for liquid
MOST_FLASH = 0.95
MOST_LIQUID = 0.9
FAN_BAND_K = 3.0  # from slowest to full outdoor fan: common practice, no source
FAN_SLOWEST = 0.03
AIR_BLANKET = 1.2  # loss of condensing conductance per share of air: common practice, no source


@dataclass(frozen=True, slots=True)
class Circuit:
    """Inputs of the equations, arrays of shape (n, 1) or floats; SI.

    `cool` is 1 in cooling and 0 in heating: the indoor coil then is the condenser.
    Areas, volumes and conductances belong to the evaporating (`e_`) and condensing (`c_`) coil of
    the mode. Limits are pairs start/end: from start the speed falls, at end it is at its lowest.
    """

    refrigerant: Refrigerant
    cool: Any
    p_atm: Any
    room_k: Any
    room_w: Any
    outdoor_k: Any
    outdoor_w: Any
    recirculation: Any  # share of outdoor discharge drawn in again
    jet: Any  # share of indoor discharge drawn in again
    bypass: Any  # share of the wheel's flow that misses the coil
    fan_heat_w: Any
    i_mass: Any  # dry air through the indoor unit [kg/s]
    e_mass: Any  # dry air over the evaporating coil [kg/s]
    c_mass: Any
    e_air: Any  # air-side conductance [W/K]
    e_ref: Any  # refrigerant-side conductance at design flow [W/K]
    c_air: Any
    c_ref: Any
    e_volume: Any  # [m3]
    c_volume: Any
    small_line_m3: Any
    gas_line_m3: Any
    shell_m3: Any
    oil_kg: Any
    accumulator_m3: Any
    charge_kg: Any
    air_kg: Any
    design_kg_s: Any
    swept_m3: Any
    best_efficiency: Any
    leak: Any
    valve_leak: Any  # reversing valve
    suction_k: Any  # suction line: dp = k m**2 / rho [1/m4]
    valve_m2: Any
    restriction_m2: Any
    valve_low: Any
    valve_high: Any
    superheat_target_k: Any
    speed_low: Any
    speed_asked: Any
    speed_full: Any
    discharge_limit: Any  # (start, end) [K]
    condensing_limit: Any
    freeze_limit: Any
    current_limit: Any  # compressor input [W]
    coil_sensor_offset_k: Any
    lnp_floor: Any  # suction below which the machine is stopped, a little lower [ln Pa]
    lnp_ceiling: Any  # condensing pressure beyond which it is stopped, a little higher [ln Pa]
    fan_hold_k: Any  # condensing (cooling) or evaporating temperature that the outdoor fan defends [K]
    demand_gain: Any  # speed lost per kelvin of colder (or, heating, warmer) intake than room [1/(s K)]

    def take(self, rows: Any) -> Circuit:
        """Return the circuit of some rows."""
        out = {}
        for f in fields(self):
            v = getattr(self, f.name)
            if isinstance(v, tuple):
                v = tuple(p[rows] if isinstance(p, np.ndarray) and p.ndim else p for p in v)
            elif isinstance(v, np.ndarray) and v.ndim:
                v = v[rows]
            out[f.name] = v
        return Circuit(**out)


def _ease(x: Any, start: Any, end: Any) -> Any:
    """Fall from 1 at start to 0 at end."""
    return np.minimum(np.maximum((end - x) / (end - start), 0.0), 1.0)


def evaluate(x: Any, c: Circuit, full: bool = False) -> Any:
    """Return the seven scaled residuals, or with `full` the whole state.

    Args:
        x: unknowns [7, n, k]: ln Pa, ln Pa, -, -, -, K, speed/60.
        c: the circuit.
        full: return a dict of named states instead of residuals.

    Returns:
        Array [7, n, k] of scaled residuals, or dict of arrays [n, k] in SI.

    Source: energy and mass balances; coil, compressor, valve and inventory as in their modules.
    """
    lnpe, lnpc, place, outlet, warmth, intake, speed60 = x
    ref = c.refrigerant
    # Beyond what the protections allow, pressure stays and the lack of balance is carried on: the
    # path stays smooth, and the end state says which protection stops the machine.
    starved = np.maximum(c.lnp_floor - lnpe, 0.0)
    choked = np.maximum(lnpc - c.lnp_ceiling, 0.0)
    lnpe, lnpc = np.maximum(lnpe, c.lnp_floor), np.minimum(lnpc, c.lnp_ceiling)
    e = ref.sat(lnpe)
    k = ref.sat(lnpc)
    pe, pc = np.exp(lnpe), np.exp(lnpc)
    speed = speed60 * SPEED_SCALE
    warm = 1.0 - c.cool
    e_fg = e.h_v - e.h_l
    k_fg = k.h_v - k.h_l

    # Outdoor intake: discharge drawn in again mixes with fresh air.
    # The outdoor fan slows before condensing falls to (or evaporating climbs to) the room's level.
    margin = c.cool * (k.t_dew_k - c.fan_hold_k) + warm * (c.fan_hold_k - e.t_dew_k)
    breeze = np.minimum(np.maximum(margin / FAN_BAND_K, FAN_SLOWEST), 1.0)
    c_breeze, e_breeze = c.cool * breeze + warm, c.cool + warm * breeze
    c_mass, e_mass = c.c_mass * c_breeze, c.e_mass * e_breeze
    c_air, e_air = c.c_air * c_breeze**coil.AIR_EXPONENT, c.e_air * e_breeze**coil.AIR_EXPONENT
    c_rate, e_rate = 1006.0 * c_mass, 1006.0 * e_mass
    out_ref_k = c.cool * k.t_dew_k + warm * e.t_dew_k
    out_k = c.outdoor_k + c.recirculation * (out_ref_k - c.outdoor_k)
    e_in = c.cool * intake + warm * out_k
    c_in = c.cool * out_k + warm * intake

    surface = e.t_dew_k + warmth * np.maximum(e_in - e.t_dew_k, 0.3)

    eps = coil.effectiveness(e_air, e_rate)
    g_dry = e_rate * coil.effectiveness(coil.series(e_air, 0.2 * c.e_ref), e_rate)

    # Valve place -> superheat or wet outlet of the evaporator.
    dt_e = np.maximum(e_in - e.t_dew_k, 0.3)
    target = np.minimum(c.superheat_target_k, 0.6 * dt_e)
    m_rough = 0.85 * c.swept_m3 * speed * e.rho_v
    units = (
        -np.log1p(-target / dt_e)
        + np.maximum(place - c.valve_high, 0.0) * g_dry / (m_rough * e.cp_v)
        - MISSING_GAIN * np.maximum(c.valve_low - place, 0.0)
    )
    dry_units = np.maximum(units, 0.0)
    superheat = dt_e * -np.expm1(-dry_units)
    wet = np.minimum(WET_GAIN * np.maximum(-units, 0.0), 0.9)
    opening = np.minimum(np.maximum(place, c.valve_low), c.valve_high)
    vapour = ref.vapour_pt(lnpe, superheat)
    h1 = vapour.h - wet * e_fg
    rho1 = 1.0 / ((1.0 - wet) / vapour.rho + wet / e.rho_l)
    s1 = vapour.s - wet * e_fg / e.t_dew_k

    # Compressor.
    m0 = c.swept_m3 * speed * rho1 * 0.9
    suction_drop = np.minimum(c.suction_k * m0 * m0 / rho1, 0.4 * pe)
    ps = pe - suction_drop
    p_air = 0.0
    c_vapour_m3 = c.c_volume * 0.5 + c.shell_m3
    if np.any(c.air_kg > 0.0):
        p_air = charge.air_pressure_pa(c.air_kg, c_vapour_m3, k.t_dew_k)
    ratio = np.maximum((pc + p_air) / ps, 1.02)
    eta_v = compressor.volumetric_efficiency(speed, ratio)
    eta = compressor.overall_efficiency(c.best_efficiency, speed, ratio)
    s_in = s1 + suction_drop / (rho1 * e.t_dew_k)
    h2s = ref.vapour_ps(lnpc, s_in - k.s_v)
    lift = np.maximum(h2s - h1, 500.0) + p_air / k.rho_v
    work = lift / eta * (1.0 + compressor.LEAK_WORK * c.leak)
    h_in, rho_in = h1, rho1 * (ps / pe)
    keep = 1.0 - compressor.SHELL_LOSS_SHARE
    if np.any(c.valve_leak > 0.0):  # hot gas slips to the suction side in the reversing valve
        slip = c.valve_leak / (1.0 - c.valve_leak)
        work0 = work
        for _ in range(8):
            h_in = h1 + slip * keep * work
            hot = ref.vapour_ph(lnpe, h_in - e.h_v)
            rho_in = np.where(c.valve_leak > 0.0, hot.rho, rho1) * (ps / pe)
            hotter = np.maximum(hot.t / (e.t_dew_k + superheat), 1.0)
            work = np.where(c.valve_leak > 0.0, work0 * hotter, work0)  # others must not notice
    delivered = compressor.delivered_kg_s(c.swept_m3, speed, rho_in, eta_v, c.leak)
    m = delivered * (1.0 - c.valve_leak)
    input_w = delivered * work
    h2 = h_in + keep * work

    # Condenser: desuperheating, two-phase, subcooled.
    gas = ref.vapour_ph(lnpc, h2 - k.h_v)
    t2 = np.maximum(gas.t, k.t_dew_k)
    over = np.maximum(h2 - k.h_v, 0.0)
    dt_d = np.maximum(k.t_dew_k - c_in, 0.3)
    z = np.maximum((t2 - k.t_dew_k) / dt_d, 1e-9)
    c_inner = c.c_ref * (m / c.design_kg_s) ** coil.REFRIGERANT_EXPONENT
    if np.any(c.air_kg > 0.0):
        c_inner = c_inner / (1.0 + AIR_BLANKET * p_air / (p_air + pc) * 10.0)
    slow = coil.series(c_air, 0.25 * c.c_ref)
    g_slow = c_rate * coil.effectiveness(slow, c_rate)
    g_tp = c_rate * coil.effectiveness(coil.series(c_air, c_inner), c_rate)
    f_hot = over * m * np.log1p(z) / (z * g_slow * dt_d)
    dt_b = np.maximum(k.t_bubble_k - c_in, 0.3)
    f_cold = np.minimum(np.maximum(outlet, 0.0), MOST_LIQUID)
    cold_units = f_cold * g_slow / (m * k.cp_l)
    subcooling = dt_b * -np.expm1(-cold_units)
    flash = np.minimum(FLASH_GAIN * np.maximum(-outlet, 0.0), MOST_FLASH)
    lean = np.maximum(-outlet - MOST_FLASH / FLASH_GAIN, 0.0)  # too little refrigerant to condense
    brimful = np.maximum(outlet - MOST_LIQUID, 0.0)  # condenser full of liquid
    f_tp = 1.0 - f_hot - f_cold
    liquid = ref.liquid(lnpc, subcooling)
    h3 = np.where(flash > 0.0, k.h_l + flash * k_fg, liquid.h)
    h_tp_in, h_tp_out = np.minimum(h2, k.h_v), k.h_l + flash * k_fg
    c_mean = 0.5 * (k.t_dew_k + k.t_bubble_k)
    c_scale = c.design_kg_s * 2.5e5
    r_cond = (m * (h_tp_in - h_tp_out) - f_tp * g_tp * (c_mean - c_in)) / c_scale - choked

    # Evaporator: two-phase, superheated; wet surface by the enthalpy method.
    e_inner = c.e_ref * (m / c.design_kg_s) ** coil.REFRIGERANT_EXPONENT
    cp_dry = (vapour.h - e.h_v) / np.maximum(superheat, 0.05)
    f_dry = dry_units * m * cp_dry / g_dry
    f_wet = 1.0 - f_dry
    x4 = (h3 - e.h_l) / e_fg
    e_mean = e.t_dew_k - 0.5 * (e.t_dew_k - e.t_bubble_k) * (1.0 - x4)
    contact = eps * f_wet
    w_excess0 = np.maximum(c.room_w - air.saturation_humidity_ratio(surface, c.p_atm), 0.0)
    jet_gain = c.jet / (1.0 - c.jet)
    dry_share = jet_gain * (1.0 - c.bypass) * c.cool
    intake_w = c.room_w - dry_share * contact * w_excess0 / (1.0 + dry_share * contact)
    e_w = c.cool * intake_w + warm * c.outdoor_w
    sensible, latent, moisture = coil.surface_flux(e_rate, eps, e_mass, e_in, e_w, surface, c.p_atm)
    flux = sensible + latent
    q_tp = m * (e.h_v - wet * e_fg - h3)
    r_evap = (q_tp - f_wet * flux) / c_scale
    r_surface = (e_inner * (surface - e_mean) - flux) / c_scale

    # Valve.
    rho_l3 = liquid.rho
    rho3 = np.where(flash > 0.0, 1.0 / (flash / k.rho_v + (1.0 - flash) / k.rho_l), rho_l3)
    drop = np.maximum(pc - pe, 2e3)
    m_valve = valve.orifice_kg_s(c.valve_m2 * opening, c.restriction_m2, rho3, drop)
    r_valve = np.log(m_valve / m) + starved

    # Inventory.
    c_void = mean_void(flash, 1.0, k.rho_l, k.rho_v)
    c_rho = k.rho_l - c_void * (k.rho_l - k.rho_v)
    e_void = mean_void(np.minimum(np.maximum(x4, 0.0), 0.95), 1.0 - wet, e.rho_l, e.rho_v)
    e_rho = e.rho_l - e_void * (e.rho_l - e.rho_v)
    x4c = np.minimum(np.maximum(x4, 1e-3), 1.0)
    void4 = x4c / (x4c + (1.0 - x4c) * (e.rho_v / e.rho_l) ** (2.0 / 3.0))
    rho4 = e.rho_l - void4 * (e.rho_l - e.rho_v)
    void3 = flash / (flash + (1.0 - flash) * (k.rho_v / k.rho_l) ** (2.0 / 3.0))
    rho_small = c.cool * rho4 + warm * (rho_l3 - void3 * (rho_l3 - k.rho_v))
    rho_gas = c.cool * rho1 + warm * gas.rho
    m_c = c.c_volume * (f_hot * 0.5 * (gas.rho + k.rho_v) + f_tp * c_rho + f_cold * rho_l3)
    m_e = c.e_volume * (f_wet * e_rho + f_dry * rho1)
    m_rest = (
        c.small_line_m3 * rho_small
        + c.gas_line_m3 * rho_gas
        + c.shell_m3 * gas.rho
        + c.oil_kg * charge.OIL_SOLUBILITY
        + c.accumulator_m3 * e.rho_l * -np.expm1(-wet / ACCUMULATOR_WETNESS)
    )
    held = m_c + m_e + m_rest
    r_charge = (held - c.charge_kg) / c.charge_kg - lean + brimful

    # Intake: the jet that falls back, bypass and fan heat included.
    q_dry = m * (vapour.h - e.h_v)
    q_evap = f_wet * flux + q_dry
    q_cond = m * (h2 - h3)
    i_rate = 1006.0 * c.i_mass + 1860.0 * c.i_mass * c.room_w
    air_drop = (c.cool * (f_wet * sensible + q_dry - c.fan_heat_w) - warm * (q_cond + c.fan_heat_w)) / i_rate
    r_intake = (intake - c.room_k + jet_gain * air_drop) / 10.0

    # Speed: what demand asks for, less what the protections take.
    coil_sensor = 0.5 * (surface + e_mean) + c.coil_sensor_offset_k
    freeze = 1.0 - c.cool * (1.0 - _ease(-coil_sensor, -c.freeze_limit[0], -c.freeze_limit[1]))
    hot = _ease(t2, *c.discharge_limit)
    high = _ease(k.t_dew_k, *c.condensing_limit)
    load = _ease(input_w, *c.current_limit)
    asked = c.speed_asked - c.demand_gain * np.abs(c.room_k - intake)
    asked = np.minimum(np.maximum(asked, c.speed_low), c.speed_full)
    wanted = c.speed_low + (asked - c.speed_low) * freeze * hot * high * load
    r_speed = (speed - wanted) / SPEED_SCALE
    if not full:
        return np.stack([r_valve, r_cond, r_evap, r_surface, r_charge, r_intake, r_speed])
    return {
        name: value
        for name, value in locals().items()
        if name not in ("x", "c", "full", "ref", "e", "k", "vapour", "gas")
    } | {
        "e_dew": e.t_dew_k,
        "c_bubble": k.t_bubble_k,
        "c_dew": k.t_dew_k,
        "t2": t2,
        "e_bubble": e.t_bubble_k,
        "pd": pc + p_air,
        "shell_loss_w": input_w * compressor.SHELL_LOSS_SHARE,
        "suction_line_k": np.maximum(ref.vapour_ph(lnpe, h_in - e.h_v).t, e.t_dew_k),
    }
