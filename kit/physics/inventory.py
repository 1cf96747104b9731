"""Where the charge lies while the machine runs."""

from __future__ import annotations

from typing import Any

import numpy as np

from kit.physics import charge
from kit.physics.circuit import Circuit
from kit.physics.condensation import Condensation
from kit.physics.evaporation import Evaporation, Suction
from kit.physics.refrigerant import Sat, mean_void, zivi_void

# Liquid share of the suction flow at which the accumulator is two thirds full: common practice.
ACCUMULATOR_WETNESS = 0.06


def held_kg(
    c: Circuit, e: Sat, k: Sat, out: Suction, evaporated: Evaporation, condensed: Condensation
) -> Any:
    """Return the refrigerant that the whole circuit holds.

    Args:
        c: the circuit.
        e: saturation at the evaporating pressure [SI].
        k: saturation at the condensing pressure [SI].
        out: refrigerant at the evaporator's outlet [SI].
        evaporated: the evaporating coil [SI].
        condensed: the condensing coil [SI].

    Returns:
        Mass [kg].

    Source: zone volumes times mean density, void fraction after Zivi; accumulator and oil common
        practice, no source.
    """
    flash, quality = condensed.flash, evaporated.quality_in
    c_step, e_step = k.rho_l - k.rho_v, e.rho_l - e.rho_v
    c_rho = k.rho_l - mean_void(flash, 1.0, k.rho_l, k.rho_v) * c_step
    wet_in = np.minimum(np.maximum(quality, 0.0), 0.95)
    e_rho = e.rho_l - mean_void(wet_in, 1.0 - out.wet, e.rho_l, e.rho_v) * e_step
    condenser = c.c_volume * (
        condensed.hot_face * 0.5 * (condensed.gas_rho + k.rho_v)
        + condensed.two_phase_face * c_rho
        + condensed.cold_face * condensed.liquid_rho
    )
    evaporator = c.e_volume * (evaporated.wet_face * e_rho + evaporated.dry_face * out.rho)
    # In cooling the small line runs behind the valve and the gas line is cold; in heating not.
    behind = (
        e.rho_l - zivi_void(np.minimum(np.maximum(quality, 1e-3), 1.0), e.rho_l, e.rho_v) * e_step
    )
    before = condensed.liquid_rho - zivi_void(flash, k.rho_l, k.rho_v) * (
        condensed.liquid_rho - k.rho_v
    )
    warm = 1.0 - c.cool
    lines = c.small_line_m3 * (c.cool * behind + warm * before) + c.gas_line_m3 * (
        c.cool * out.rho + warm * condensed.gas_rho
    )
    accumulator = c.accumulator_m3 * e.rho_l * -np.expm1(out.wet * (-1.0 / ACCUMULATOR_WETNESS))
    shell = c.shell_m3 * condensed.gas_rho + c.oil_kg * charge.OIL_SOLUBILITY
    return condenser + evaporator + lines + accumulator + shell
