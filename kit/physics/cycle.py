"""The closed refrigerant circuit as six equations in six unknowns, solved together.

Unknowns `x`: how far evaporating lies below the air that heat is taken from, and condensing above
the air that it is given to [K]; the valve's place (opening, then superheat in excess or missing
once it has run out of travel) [-]; the evaporating coil's surface between refrigerant, 0, and air,
1 [-]; the indoor intake [K]; the share of the asked speed that the protections leave [-].
Equations: valve flow = compressor flow; refrigerant mass; heat of the evaporator; heat through its
surface; the jet that falls back into the intake; the speed. The condenser follows from its inlet.
Nothing here knows of faults: only of the numbers they change.
"""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np

from kit.physics import valve
from kit.physics.airside import AirSide, air_side
from kit.physics.circuit import Circuit
from kit.physics.compression import Compression, compression
from kit.physics.condensation import Condensation, condensation
from kit.physics.evaporation import Evaporation, Suction, evaporation, suction
from kit.physics.inventory import held_kg
from kit.physics.refrigerant import Sat

UNKNOWNS = 6
RESIDUAL_J_KG = 2.5e5  # heat balances are scaled by the design flow times this
INTAKE_SCALE_K = 10.0
ROUGH_FILLING = 0.85
LEAST_DROP_PA = 2e3  # over the valve
# Beyond what the protections allow the pressures stay where they are. Below the lowest suction the
# valve is let off the flow it lacks; above the highest head the compressor's flow fades and the
# charge may be too small. The path stays smooth, and the end state says which protection stops.
LACK_K = 20.0  # per e-fold
FADE_K = 40.0 / 3.0
OVERFULL_K = 40.0


class Cycle(NamedTuple):
    """Everything at one point: saturation at both pressures, air, parts, speed, and residuals.

    `starved_k` and `choked_k` say how far the circuit would go beyond its lowest evaporating and
    its highest condensing temperature; `held_back` is what freezing, discharge temperature,
    condensing and input leave of the speed, each [0..1].
    """

    residual: Any
    lnp_e: Any
    lnp_c: Any
    evaporating: Sat
    condensing: Sat
    starved_k: Any
    choked_k: Any
    side: AirSide
    suction: Suction
    compression: Compression
    condensation: Condensation
    evaporation: Evaporation
    valve_inlet_rho: Any
    held_kg: Any
    intake_k: Any
    speed: Any
    held_back: Any

    @property
    def discharge_pa(self) -> Any:
        """Return the discharge pressure, that of air in the circuit included [Pa]."""
        return np.exp(self.lnp_c) + self.compression.air_pa


def evaluate(x: Any, c: Circuit) -> Cycle:
    """Return the circuit's state and residuals at given unknowns.

    Args:
        x: unknowns [6, n, k] as in the module's text [K, K, -, -, K, -].
        c: the circuit.

    Returns:
        State [SI] with scaled residuals [6, n, k].

    Source: energy and mass balances; the parts as in their modules.
    """
    below, above, place, warmth, intake, leave = x
    ref = c.refrigerant
    e_k, c_k = c.source_k - below, c.sink_k + above
    starved = np.maximum(c.floor_k - e_k, 0.0)
    choked = np.maximum(c_k - c.ceiling_k, 0.0)
    lnp_e = ref.lnp_dew(np.maximum(e_k, c.floor_k))
    lnp_c = ref.lnp_dew(np.minimum(c_k, c.ceiling_k))
    e, k = ref.sat(lnp_e), ref.sat(lnp_c)
    speed = _speed(c, intake, leave)
    fade = np.exp(choked * (-1.0 / FADE_K))
    side = air_side(c, e.t_dew_k, k.t_dew_k, intake)
    rough = (ROUGH_FILLING * c.swept_m3) * speed * e.rho_v * fade
    out = suction(c, e, lnp_e, side, place, warmth, rough)
    gas = compression(c, e, k, (lnp_e, lnp_c), out, speed, fade)
    condensed = condensation(c, k, lnp_c, side, gas)
    evaporated = evaporation(c, e, side, out, gas.flow_kg_s, condensed.h_out)
    flash = condensed.flash
    inlet = 1.0 / (flash / k.rho_v + (1.0 - flash) / condensed.liquid_rho)
    drop = np.maximum(np.exp(lnp_c) - np.exp(lnp_e), LEAST_DROP_PA)
    passed = valve.orifice_kg_s(c.valve_m2 * out.opening, c.restriction_m2, inlet, drop)
    held = held_kg(c, e, k, out, evaporated, condensed)
    held_back = protections(c, k, out, gas, condensed, evaporated)
    per_w = 1.0 / (c.design_kg_s * RESIDUAL_J_KG)
    residual = np.empty(np.broadcast_shapes(x.shape, (UNKNOWNS, *np.shape(passed))))
    residual[0] = np.log(passed / gas.flow_kg_s) + starved * (1.0 / LACK_K)
    residual[1] = held / c.charge_kg - 1.0 + choked * (1.0 / OVERFULL_K)
    residual[2] = evaporated.lack_w * per_w
    residual[3] = evaporated.surface_lack_w * per_w
    residual[4] = (
        intake - c.room_k + c.jet_gain * _fall(c, evaporated, condensed)
    ) / INTAKE_SCALE_K
    residual[5] = leave - held_back.prod(axis=0)
    return Cycle(
        residual,
        lnp_e,
        lnp_c,
        e,
        k,
        starved,
        choked,
        side,
        out,
        gas,
        condensed,
        evaporated,
        inlet,
        held,
        intake,
        speed,
        held_back,
    )


def _speed(c: Circuit, intake: Any, leave: Any) -> Any:
    """Return the speed: what demand asks for at the intake, as far as the protections leave it."""
    asked = c.speed_asked - c.demand_gain * np.abs(c.room_k - intake)
    asked = np.minimum(np.maximum(asked, c.speed_low), c.speed_full)
    return c.speed_low + (asked - c.speed_low) * np.minimum(np.maximum(leave, 0.0), 1.0)


def _fall(c: Circuit, evaporated: Evaporation, condensed: Condensation) -> Any:
    """Return how far the air through the indoor unit cools [K]."""
    cooling = c.cool * (evaporated.sensible_w - c.fan_heat_w)
    heating = (1.0 - c.cool) * (condensed.q_w + c.fan_heat_w)
    return (cooling - heating) / c.i_rate


def protections(
    c: Circuit,
    k: Sat,
    out: Suction,
    gas: Compression,
    condensed: Condensation,
    evaporated: Evaporation,
) -> Any:
    """Return what each protection leaves of the asked speed.

    Args:
        c: the circuit.
        k: saturation at the condensing pressure [SI].
        out: refrigerant at the evaporator's outlet [SI].
        gas: what the compressor delivers [SI].
        condensed: the condensing coil [SI].
        evaporated: the evaporating coil [SI].

    Returns:
        Shares [0..1] of freezing, discharge temperature, condensing temperature, compressor input,
        first axis.

    Source: generic inverter behaviour, common practice, no source.
    """
    sensor = 0.5 * (out.surface_k + evaporated.mean_k) + c.coil_sensor_offset_k
    seen = np.stack(np.broadcast_arrays(-sensor, condensed.discharge_k, k.t_dew_k, gas.input_w))
    return np.minimum(np.maximum((c.limit_end - seen) * c.limit_per, 0.0), 1.0)
