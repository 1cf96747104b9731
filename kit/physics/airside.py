"""The air at both coils: what the outdoor fan leaves of its flow, and what the coils draw in."""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np

from kit.physics import coil
from kit.physics.circuit import Circuit

FAN_BAND_K = 3.0  # from slowest to full outdoor fan: common practice, no source
FAN_SLOWEST = 0.03  # of its full flow; likewise
# Conductance of superheated vapour and of subcooled liquid over the two-phase zone's: textbook.
VAPOUR_SHARE = 0.2
LIQUID_SHARE = 0.25


class AirSide(NamedTuple):
    """Air over the evaporating (`e_`) and condensing (`c_`) coil.

    `breeze` is the outdoor fan's flow over its full flow; rates and conductances [W/K]; `e_contact`
    is the share of the air that reaches the surface's state; `e_dry_w_k` and `c_slow_w_k` are heat
    a kelvin over a face that holds vapour, and one that holds vapour or liquid.
    """

    breeze: Any
    e_rate: Any
    c_rate: Any
    e_mass: Any
    c_air: Any
    e_contact: Any
    e_dry_w_k: Any
    c_slow_w_k: Any
    outdoor_k: Any
    e_in_k: Any
    c_in_k: Any


def air_side(c: Circuit, e_dew_k: Any, c_dew_k: Any, intake_k: Any) -> AirSide:
    """Return the air at both coils.

    The outdoor fan slows before condensing falls to, or evaporating climbs to, the temperature it
    defends. Discharge that is drawn in again has the refrigerant's temperature at most.

    Args:
        c: the circuit.
        e_dew_k: evaporating dew point [K].
        c_dew_k: condensing dew point [K].
        intake_k: air at the indoor intake [K].

    Returns:
        Flows [kg/s], rates and conductances [W/K], entering air [K].

    Source: coil equations as in `coil`; fan control common practice, no source.
    """
    cool, warm = c.cool, 1.0 - c.cool
    margin = cool * (c_dew_k - c.fan_hold_k) + warm * (c.fan_hold_k - e_dew_k)
    breeze = np.minimum(np.maximum(margin / FAN_BAND_K, FAN_SLOWEST), 1.0)
    e_breeze, c_breeze = cool + warm * breeze, cool * breeze + warm
    e_rate, c_rate = c.e_rate * e_breeze, c.c_rate * c_breeze
    weaker = breeze**coil.AIR_EXPONENT
    e_air, c_air = c.e_air * (cool + warm * weaker), c.c_air * (cool * weaker + warm)
    coil_k = cool * c_dew_k + warm * e_dew_k
    outdoor_k = c.outdoor_k + c.recirculation * (coil_k - c.outdoor_k)
    dry = coil.series(e_air, VAPOUR_SHARE * c.e_ref)
    slow = coil.series(c_air, LIQUID_SHARE * c.c_ref)
    return AirSide(
        breeze=breeze,
        e_rate=e_rate,
        c_rate=c_rate,
        e_mass=c.e_mass * e_breeze,
        c_air=c_air,
        e_contact=coil.effectiveness(e_air, e_rate),
        e_dry_w_k=e_rate * coil.effectiveness(dry, e_rate),
        c_slow_w_k=c_rate * coil.effectiveness(slow, c_rate),
        outdoor_k=outdoor_k,
        e_in_k=cool * intake_k + warm * outdoor_k,
        c_in_k=cool * outdoor_k + warm * intake_k,
    )
