"""Electronic expansion valve and what stands in its way."""

from __future__ import annotations

from typing import Any

import numpy as np


def orifice_kg_s(area_m2: Any, restriction_m2: Any, density: Any, drop_pa: Any) -> Any:
    """Return the flow through a valve with a restriction in series.

    Args:
        area_m2: effective flow area of the valve, discharge coefficient included [m2].
        restriction_m2: effective area of a restriction upstream; large when there is none [m2].
        density: density at the inlet [kg/m3].
        drop_pa: pressure drop over both [Pa], positive.

    Returns:
        Mass flow [kg/s].

    Source: orifice equation m = Cd A sqrt(2 rho dp), textbook; areas in series add as 1/A**2.
    """
    return np.sqrt(2.0 * density * drop_pa / (1.0 / area_m2**2 + 1.0 / restriction_m2**2))


def restriction_area_m2(valve_full_m2: Any, restriction: Any) -> Any:
    """Return the effective area that a restriction in the liquid line leaves.

    Args:
        valve_full_m2: effective area of the fully open valve [m2].
        restriction: severity [0..1].

    Returns:
        Effective area [m2].

    Source: common practice, no source.
    """
    left = 1.0 - 0.97 * restriction
    return valve_full_m2 * 4.0 * left**3
