"""The condensing coil: desuperheating, two-phase and subcooled faces, worked out from its inlet."""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np

from kit.physics import coil
from kit.physics.airside import AirSide
from kit.physics.circuit import Circuit
from kit.physics.compression import Compression
from kit.physics.refrigerant import Sat

AIR_BLANKET = 12.0  # resistance that air adds inside, per share of pressure: common practice
LEAST_PULL_K = 0.3  # refrigerant over air that single-phase faces are reckoned with at least
LEAST_PULL_TWO_PHASE_K = 1e-3


class Condensation(NamedTuple):
    """State of the condensing coil: faces sum to 1; `flash` is the vapour's share at the outlet."""

    discharge_k: Any
    hot_face: Any
    two_phase_face: Any
    cold_face: Any
    flash: Any
    subcooling_k: Any
    h_out: Any
    q_w: Any
    gas_rho: Any
    liquid_rho: Any


def condensation(c: Circuit, k: Sat, lnp: Any, side: AirSide, gas: Compression) -> Condensation:
    """Return the condensing coil's state and heat.

    From the inlet onward the vapour gives off its superheat, then condenses, and what face is left
    subcools. Where the face is too small, vapour leaves with the liquid; where it does not even
    take the superheat, or the air is warmer than the dew point, gas leaves.

    Args:
        c: the circuit.
        k: saturation at the condensing pressure [SI].
        lnp: logarithm of that pressure [ln Pa].
        side: the air [SI].
        gas: what the compressor delivers [SI].

    Returns:
        Faces [-], outlet and heat [SI].

    Source: effectiveness-NTU by zones against air of one entering temperature, textbook.
    """
    flow = gas.flow_kg_s
    hot = c.refrigerant.vapour_ph(lnp, gas.h_out - k.h_v)
    discharge = np.maximum(hot.t, k.t_dew_k)
    over = np.maximum(gas.h_out - k.h_v, 0.0)
    latent = k.h_v - k.h_l
    inner = c.c_ref * (flow / c.design_kg_s) ** coil.REFRIGERANT_EXPONENT
    if c.has_air:
        blanket = gas.air_pa / (gas.air_pa + np.exp(lnp))
        inner = inner / (1.0 + AIR_BLANKET * blanket)
    two_phase_w_k = side.c_rate * coil.effectiveness(coil.series(side.c_air, inner), side.c_rate)
    hot_face = _desuperheating(k, side, flow, discharge, over)
    left = 1.0 - hot_face
    pull = 0.5 * (k.t_dew_k + k.t_bubble_k) - side.c_in_k
    taken = two_phase_w_k * np.maximum(pull, LEAST_PULL_TWO_PHASE_K) / flow  # J/kg over a full face
    to_condense = gas.h_out - over - k.h_l
    two_phase_face = np.minimum(to_condense / taken, left)
    cold_face = left - two_phase_face
    flash = np.maximum((to_condense - left * taken) / latent, 0.0)
    units = cold_face * side.c_slow_w_k / (flow * k.cp_l)
    subcooling = np.maximum(k.t_bubble_k - side.c_in_k, LEAST_PULL_K) * -np.expm1(-units)
    liquid = c.refrigerant.liquid(lnp, subcooling)
    h_out = liquid.h + flash * latent
    if not (hot_face.max() < 1.0 and pull.min() > 0.0):  # also where a row has no value
        h_out = h_out + _gas_left(k, side, flow, discharge, over, gas.h_out, two_phase_w_k)
    return Condensation(
        discharge_k=discharge,
        hot_face=hot_face,
        two_phase_face=two_phase_face,
        cold_face=cold_face,
        flash=np.minimum(flash, 1.0),
        subcooling_k=subcooling,
        h_out=h_out,
        q_w=flow * (gas.h_out - h_out),
        gas_rho=hot.rho,
        liquid_rho=liquid.rho,
    )


def _desuperheating(k: Sat, side: AirSide, flow: Any, discharge: Any, over: Any) -> Any:
    """Return the share of the face that takes the vapour's superheat, 1 where all is too little."""
    pull = np.maximum(k.t_dew_k - side.c_in_k, LEAST_PULL_K)
    z = np.maximum((discharge - k.t_dew_k) / pull, 1e-9)
    return np.minimum(over * flow * np.log1p(z) / (z * side.c_slow_w_k * pull), 1.0)


def _gas_left(
    k: Sat, side: AirSide, flow: Any, discharge: Any, over: Any, h_in: Any, two_phase_w_k: Any
) -> Any:
    """Return the superheat that leaves a coil in which nothing condenses [J/kg]."""
    cp = np.minimum(np.maximum(over, 1.0) / np.maximum(discharge - k.t_dew_k, 5e-4), 3000.0)
    leaving = side.c_in_k + (discharge - side.c_in_k) * np.exp(-side.c_slow_w_k / (flow * cp))
    excess = cp * np.maximum(leaving - k.t_dew_k, 0.0)
    pull = 0.5 * (k.t_dew_k + k.t_bubble_k) - side.c_in_k
    boiled = two_phase_w_k * np.maximum(-pull, 0.0) / flow  # liquid that came along boils first
    return np.maximum(excess - np.maximum(k.h_v - h_in - boiled, 0.0), 0.0)
