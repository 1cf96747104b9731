"""From the evaporator's outlet through the compressor to the condenser's inlet."""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np

from kit.physics import charge, compressor
from kit.physics.circuit import Circuit
from kit.physics.evaporation import Suction
from kit.physics.refrigerant import Sat

KEPT = 1.0 - compressor.SHELL_LOSS_SHARE  # share of the input that leaves with the refrigerant
LEAST_RATIO = 1.02
LEAST_LIFT_J_KG = 500.0
SUCTION_LOSS_MOST = 0.4  # share of the evaporating pressure that the line may take
SLIP_ROUNDS = 8  # of the hot gas that comes round through a leaking reversing valve
HOTTEST = 2.0  # absolute temperature at the suction port over that at the evaporator


class Compression(NamedTuple):
    """Flow and work of the compressor; pressures [Pa], flow [kg/s], input [W], enthalpies [J/kg].

    `flow_kg_s` goes through the coils; what slips in the reversing valve is delivered besides.
    """

    suction_pa: Any
    air_pa: Any
    flow_kg_s: Any
    input_w: Any
    h_in: Any
    h_out: Any


def compression(
    c: Circuit, e: Sat, k: Sat, lnp: tuple[Any, Any], out: Suction, speed: Any, fade: Any
) -> Compression:
    """Return what the compressor moves and takes.

    Args:
        c: the circuit.
        e: saturation at the evaporating pressure [SI].
        k: saturation at the condensing pressure [SI].
        lnp: logarithms of both pressures [ln Pa].
        out: refrigerant at the evaporator's outlet [SI].
        speed: shaft speed [1/s].
        fade: share of the flow that is left beyond a protection [-].

    Returns:
        Flow and work [SI].

    Source: volumetric and overall efficiency as in `compressor`; Darcy's law in the suction line;
        air in the circuit adds its pressure (Dalton).
    """
    p_e, p_c = np.exp(lnp[0]), np.exp(lnp[1])
    rough = c.swept_m3 * speed * out.rho * 0.9
    drop = np.minimum(c.suction_k * rough * rough / out.rho, SUCTION_LOSS_MOST * p_e)
    p_air = 0.0
    if c.has_air:
        p_air = charge.air_pressure_pa(c.air_kg, 0.5 * c.c_volume + c.shell_m3, k.t_dew_k)
    suction = p_e - drop
    ratio = np.maximum((p_c + p_air) / suction, LEAST_RATIO)
    s_in = out.s + drop / (out.rho * e.t_dew_k)
    h_ideal = c.refrigerant.vapour_ps(lnp[1], s_in - k.s_v)
    lift = np.maximum(h_ideal - out.h, LEAST_LIFT_J_KG) + p_air / k.rho_v
    work = lift / compressor.overall_efficiency(c.best_efficiency, speed, ratio)
    work = work * (1.0 + compressor.LEAK_WORK * c.leak)
    h_in, rho_in = out.h, out.rho
    if c.has_slip:
        h_in, rho_in, work = _slip(c, e, lnp[0], out, work)
    delivered = fade * compressor.delivered_kg_s(
        c.swept_m3,
        speed,
        rho_in * (suction / p_e),
        compressor.volumetric_efficiency(speed, ratio),
        c.leak,
    )
    return Compression(
        suction_pa=suction,
        air_pa=p_air,
        flow_kg_s=delivered * (1.0 - c.valve_leak),
        input_w=delivered * work,
        h_in=h_in,
        h_out=h_in + KEPT * work,
    )


def _slip(c: Circuit, e: Sat, lnp_e: Any, out: Suction, work: Any) -> tuple[Any, Any, Any]:
    """Return enthalpy, density and work with hot gas slipping to the suction side."""
    slips = c.valve_leak > 0.0
    share = c.valve_leak / (1.0 - c.valve_leak)
    h_in, rho = out.h, out.rho
    hotter: Any = 1.0
    for _ in range(SLIP_ROUNDS):
        h_in = out.h + share * KEPT * work * hotter
        hot = c.refrigerant.vapour_ph(lnp_e, h_in - e.h_v)
        rise = hot.t / (e.t_dew_k + out.superheat_k)
        hotter = np.where(slips, np.minimum(np.maximum(rise, 1.0), HOTTEST), 1.0)
        rho = np.where(slips, np.maximum(hot.rho, out.rho / HOTTEST), out.rho)
    return h_in, rho, work * hotter
