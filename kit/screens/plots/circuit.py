"""From a machine's truth to the corners of its refrigerant cycle on a pressure–enthalpy diagram."""

from __future__ import annotations

import math
from dataclasses import dataclass

from kit.machine.truth import Truth
from kit.physics.refrigerant import Refrigerant

_SUBCOOLED_K = 1e-6  # less than this is vapour that leaves with the liquid
_LINE_K = 0.01  # suction line above the evaporating dew point from which it holds vapour alone


@dataclass(frozen=True, slots=True)
class Corner:
    """One corner of a cycle.

    Args:
        lnp: logarithm of the absolute pressure [ln Pa].
        h: enthalpy [J/kg].
        t_k: temperature [K].
    """

    lnp: float
    h: float
    t_k: float


@dataclass(frozen=True, slots=True)
class Corners:
    """A closed cycle and its saturation at both pressures.

    Args:
        leaving: what leaves the evaporator.
        suction: what the compressor draws in.
        discharge: what it delivers.
        liquid: what leaves the condenser.
        entering: what enters the evaporator, after the valve.
        low: pressure of the evaporator [ln Pa].
        high: pressure of the condenser [ln Pa].
        superheat_k: at the evaporator's outlet, over dew [K].
        subcooling_k: at the condenser's outlet, below bubble [K].
        suction_pa: at the compressor [Pa], absolute.
        discharge_pa: at the compressor [Pa], absolute.
    """

    leaving: Corner
    suction: Corner
    discharge: Corner
    liquid: Corner
    entering: Corner
    low: float
    high: float
    superheat_k: float
    subcooling_k: float
    suction_pa: float
    discharge_pa: float

    @property
    def closed(self) -> tuple[Corner, ...]:
        """The corners in the order of the flow, the first one again at the end."""
        return (self.entering, self.leaving, self.suction, self.discharge, self.liquid,
                self.entering)  # fmt: skip


def corners(ref: Refrigerant, truth: Truth) -> Corners | None:
    """Return the cycle of a running machine; None when its compressor stands.

    Args:
        ref: its refrigerant.
        truth: the machine.

    Source: state points by pressure and temperature; where temperature leaves a state open (a
        mixture of liquid and vapour) by the heat balance of the coil.
    """
    flow = float(truth.refrigerant_kg_s)
    if not (bool(truth.running) and flow > 0.0):
        return None
    high = min(math.log(float(truth.discharge_pa)), ref.lnp_max)
    low = float(ref.lnp_dew(float(truth.evaporating_k)))
    e, k = ref.sat(low), ref.sat(high)
    over_k = max(float(truth.discharge_line_k) - float(k.t_dew_k), 0.0)
    discharge_h = float(ref.vapour_pt(high, over_k).h)
    if float(truth.subcooling_k) > _SUBCOOLED_K:
        liquid_h = float(ref.h_liquid(float(truth.liquid_line_k), high))
    else:
        liquid_h = discharge_h - float(truth.heat_rejected_w) / flow
    leaving_h = liquid_h + float(truth.heat_absorbed_w) / flow
    line_k = float(truth.suction_line_k) - float(e.t_dew_k)
    suction_h = float(ref.vapour_pt(low, line_k).h) if line_k > _LINE_K else leaving_h
    leaving_k = float(truth.evaporating_k) + float(truth.superheat_k)
    return Corners(
        Corner(low, leaving_h, leaving_k),
        Corner(math.log(float(truth.suction_pa)), suction_h, float(truth.suction_line_k)),
        Corner(high, discharge_h, float(truth.discharge_line_k)),
        Corner(high, liquid_h, float(truth.liquid_line_k)),
        Corner(low, liquid_h, float(truth.valve_outlet_k)),
        low,
        high,
        float(truth.superheat_k),
        float(truth.subcooling_k),
        float(truth.suction_pa),
        float(truth.discharge_pa),
    )
