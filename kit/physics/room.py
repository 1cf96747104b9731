"""The room as one well-mixed volume of air with the mass of what stands in it."""

from __future__ import annotations

from kit.physics import air

# Furniture and wall surfaces take part in the first hours: common practice, no source.
THERMAL_MASS_FACTOR = 5.0
MOISTURE_MASS_FACTOR = 2.0
LEAST_W = 1e-5  # driest air that the property functions take [kg/kg]


def next_room(
    db_k: float,
    w: float,
    volume_m3: float,
    p_atm_pa: float,
    heat_w: float,
    moisture_kg_s: float,
    dt_s: float,
) -> tuple[float, float]:
    """Return the room's state a moment later.

    Args:
        db_k: dry-bulb [K].
        w: humidity ratio [kg/kg].
        volume_m3: air volume [m3].
        p_atm_pa: atmospheric pressure [Pa].
        heat_w: sensible heat gain, the machine's cooling taken off [W].
        moisture_kg_s: moisture gain, condensate taken off [kg/s].
        dt_s: time step [s].

    Returns:
        Dry-bulb [K] and humidity ratio [kg/kg], never below zero.

    Source: energy and moisture balance of one mixed volume.
    """
    air_kg = volume_m3 / float(air.specific_volume_m3_kg(db_k, w, p_atm_pa))
    heat_j_k = air_kg * float(air.specific_heat_j_kgk(w)) * THERMAL_MASS_FACTOR
    wetter = moisture_kg_s * dt_s / (air_kg * MOISTURE_MASS_FACTOR)
    return db_k + heat_w * dt_s / heat_j_k, max(w + wetter, LEAST_W)
