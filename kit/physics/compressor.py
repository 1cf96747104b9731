"""Rotary compressor with inverter: its efficiencies by speed and pressure ratio."""

from __future__ import annotations

from typing import Any

import numpy as np

# Shares of the input; common practice, no source.
SHELL_LOSS_SHARE = 0.12  # leaves the warm shell to the outdoor air
LEAK_FLOW = 0.88  # flow lost at compressor_leak = 1
LEAST_FILLING = 0.05  # volumetric efficiency kept at any pressure ratio
LEAK_WORK = 0.25  # extra specific work at compressor_leak = 1: leaked gas is compressed again


def volumetric_efficiency(speed_rps: Any, pressure_ratio: Any) -> Any:
    """Return delivered over swept volume.

    Args:
        speed_rps: shaft speed [1/s].
        pressure_ratio: discharge over suction pressure, absolute [-].

    Returns:
        Volumetric efficiency [-].

    Source: own form; falls with pressure ratio and, by leakage per turn, at low speed. The
        published rotary regression (Engelpracht, in RWTH-EBC/vclibpy) is a check of the shape.
    """
    return np.maximum(0.965 - 0.028 * (pressure_ratio - 1.0) - 1.6 / speed_rps, LEAST_FILLING)


def overall_efficiency(best: Any, speed_rps: Any, pressure_ratio: Any) -> Any:
    """Return isentropic work over electric input.

    Args:
        best: highest value the machine reaches [-].
        speed_rps: shaft speed [1/s].
        pressure_ratio: discharge over suction pressure, absolute [-].

    Returns:
        Overall efficiency [-], always positive.

    Source: own form; maximum near pressure ratio 2.5 (NISTIR 7350 measured points are a check)
        and near 65 1/s (shape of the regression named above is a check).
    """
    by_ratio = np.log(pressure_ratio / 2.5)
    by_speed = np.log(speed_rps / 65.0)
    return best / ((1.0 + 0.28 * by_ratio * by_ratio) * (1.0 + 0.15 * by_speed * by_speed))


def delivered_kg_s(
    swept_m3: Any, speed_rps: Any, suction_density: Any, efficiency: Any, leak: Any
) -> Any:
    """Return the refrigerant flow delivered.

    Args:
        swept_m3: swept volume a turn [m3].
        speed_rps: shaft speed [1/s].
        suction_density: density at the suction port [kg/m3].
        efficiency: volumetric efficiency [-].
        leak: internal leak past vane or valve [0..1].

    Returns:
        Mass flow [kg/s].

    Source: definition of volumetric efficiency.
    """
    return efficiency * swept_m3 * speed_rps * suction_density * (1.0 - LEAK_FLOW * leak)
