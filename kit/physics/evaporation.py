"""The evaporating coil: the vapour it sends to the compressor, and its heat from the air."""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np

from kit.physics import air, coil
from kit.physics.airside import AirSide
from kit.physics.circuit import Circuit
from kit.physics.refrigerant import Sat

LEAST_PULL_K = 0.3  # air over refrigerant that the coil's superheat is reckoned with at least
TARGET_SHARE = 0.6  # of that, the highest superheat a valve can hold: common practice, no source
# Parameters of the path beyond the valve's travel; no result depends on them.
MISSING_GAIN = 2.5  # transfer units of superheat missing per unit of place below the lowest opening
WET_GAIN = 0.08  # vapour quality lost per transfer unit of missing superheat
WETTEST = 0.9


class Suction(NamedTuple):
    """Refrigerant at the evaporator's outlet, and the valve that answers for it; SI.

    `wet` is the liquid's share of the flow; `dry_units` the transfer units of the superheating
    face; `surface_k` the effective temperature of the coil's surface; `warmer_k` the air over the
    refrigerant, and `pull_k` the same as superheat is reckoned with.
    """

    surface_k: Any
    warmer_k: Any
    pull_k: Any
    superheat_k: Any
    wet: Any
    dry_units: Any
    opening: Any
    vapour_h: Any
    h: Any
    rho: Any
    s: Any


class Evaporation(NamedTuple):
    """Heat balance of the evaporating coil; SI.

    `lack_w` is boiling that the air does not feed, `surface_lack_w` heat that passes the surface on
    one side only: both are zero in a steady state.
    """

    lack_w: Any
    surface_lack_w: Any
    q_w: Any
    wet_face: Any
    dry_face: Any
    quality_in: Any
    mean_k: Any
    sensible_w: Any
    latent_w: Any
    moisture_kg_s: Any
    indoor_w: Any


def suction(
    c: Circuit, e: Sat, lnp: Any, side: AirSide, place: Any, warmth: Any, swept_kg_s: Any
) -> Suction:
    """Return the refrigerant at the evaporator's outlet.

    While the valve has travel left it holds the superheat's target, and `place` is its opening.
    Above its highest opening, `place` is superheat in excess; below its lowest, superheat and then
    vapour that are missing.

    Args:
        c: the circuit.
        e: saturation at the evaporating pressure [SI].
        lnp: logarithm of that pressure [ln Pa].
        side: the air [SI].
        place: the valve's place [-].
        warmth: coil surface between the refrigerant, 0, and the air, 1 [-].
        swept_kg_s: rough flow of the compressor [kg/s].

    Returns:
        State at the outlet [SI].

    Source: effectiveness-NTU of a fluid against air of one temperature, textbook; the valve's
        control common practice, no source.
    """
    warmer = side.e_in_k - e.t_dew_k
    pull = _at_least(warmer, LEAST_PULL_K)
    target = np.minimum(c.superheat_target_k, TARGET_SHARE * pull)
    beyond = np.sinh(np.maximum(place - c.valve_high, 0.0))
    units = (
        beyond * side.e_dry_w_k / (swept_kg_s * e.cp_v)
        - np.log1p(-target / pull)
        - MISSING_GAIN * np.maximum(c.valve_low - place, 0.0)
    )
    dry_units = np.maximum(units, 0.0)
    superheat = pull * -np.expm1(-dry_units)
    wet = WETTEST * -np.expm1(np.minimum(units, 0.0) * (WET_GAIN / WETTEST))
    vapour = c.refrigerant.vapour_pt(lnp, superheat)
    missing = wet * (e.h_v - e.h_l)
    return Suction(
        surface_k=e.t_dew_k + warmth * pull,
        warmer_k=warmer,
        pull_k=pull,
        superheat_k=superheat,
        wet=wet,
        dry_units=dry_units,
        opening=np.minimum(np.maximum(place, c.valve_low), c.valve_high),
        vapour_h=vapour.h,
        h=vapour.h - missing,
        rho=1.0 / ((1.0 - wet) / vapour.rho + wet / e.rho_l),
        s=vapour.s - missing / e.t_dew_k,
    )


def _at_least(x: Any, floor: float) -> Any:
    """Return x, not below a floor, with a corner rounded over the floor's own width."""
    near = floor - np.minimum(np.abs(x - floor), floor)
    return np.maximum(x, floor) + near * near * (0.25 / floor)


def evaporation(
    c: Circuit, e: Sat, side: AirSide, out: Suction, flow_kg_s: Any, h_in: Any
) -> Evaporation:
    """Return the heat balance of the evaporating coil.

    Args:
        c: the circuit.
        e: saturation at the evaporating pressure [SI].
        side: the air [SI].
        out: refrigerant at the outlet [SI].
        flow_kg_s: refrigerant [kg/s].
        h_in: enthalpy of the refrigerant that enters [J/kg].

    Returns:
        Heat [W] and faces [-].

    Source: enthalpy method with one surface temperature, as in `coil.surface_flux`; zones as in
        the textbook evaporator model.
    """
    warm = 1.0 - c.cool
    to_vapour = out.vapour_h - e.h_v
    cp_dry = to_vapour / np.maximum(out.superheat_k, 0.05)
    dry_face = out.dry_units * flow_kg_s * cp_dry / side.e_dry_w_k
    wet_face, gas_w = 1.0 - dry_face, 0.0
    if not (wet_face.min() >= 0.0 and out.warmer_k.min() >= 0.0):  # also where a row has no value
        wet_face, dry_face, gas_w = _gas(side, out, dry_face)
    latent_heat = e.h_v - e.h_l
    quality = (h_in - e.h_l) / latent_heat
    mean_k = e.t_dew_k - 0.5 * (e.t_dew_k - e.t_bubble_k) * (1.0 - np.minimum(quality, 1.0))
    saturated_w = air.saturation_humidity_ratio(out.surface_k, c.p_atm)
    # The jet that falls back is drier than the room's air.
    share = c.jet_gain * (1.0 - c.bypass) * c.cool * side.e_contact * wet_face
    indoor_w = c.room_w - share * np.maximum(c.room_w - saturated_w, 0.0) / (1.0 + share)
    air_w = c.cool * indoor_w + warm * c.outdoor_w
    sensible, latent, moisture = coil.surface_flux(
        side.e_rate * side.e_contact,
        side.e_mass * side.e_contact,
        side.e_in_k - out.surface_k,
        air_w - saturated_w,
        out.surface_k,
    )
    flux = sensible + latent
    superheating = flow_kg_s * to_vapour + gas_w
    inner = c.e_ref * (flow_kg_s / c.design_kg_s) ** coil.REFRIGERANT_EXPONENT
    return Evaporation(
        lack_w=flow_kg_s * (e.h_v - out.wet * latent_heat - h_in) - wet_face * flux - gas_w,
        surface_lack_w=inner * (out.surface_k - mean_k) - flux,
        q_w=wet_face * flux + superheating,
        wet_face=wet_face,
        dry_face=dry_face,
        quality_in=quality,
        mean_k=mean_k,
        sensible_w=wet_face * sensible + superheating,
        latent_w=wet_face * latent,
        moisture_kg_s=wet_face * moisture,
        indoor_w=indoor_w,
    )


def _gas(side: AirSide, out: Suction, dry_face: Any) -> tuple[Any, Any, Any]:
    """Return wet face, dry face, and heat to gas that enters or stays where none should be [W].

    Gas that enters superheated needs less of the dry face than all of it: what that face would
    take beyond the coil is heat that the gas brings along. Gas in a coil that is warmer than the
    air gives heat away.
    """
    beyond = np.maximum(dry_face - 1.0, 0.0)
    within = dry_face - beyond
    brought = beyond * out.pull_k
    given = within * np.minimum(out.warmer_k, 0.0)
    return 1.0 - within, within, side.e_dry_w_k * (given - brought)
