"""The room as one well-mixed volume of air with the mass of what stands in it."""

from __future__ import annotations

# Furniture and wall surfaces take part in the first hours: common practice, no source.
THERMAL_MASS_FACTOR = 5.0
MOISTURE_MASS_FACTOR = 2.0
AIR_DENSITY_KG_M3 = 1.2
AIR_HEAT_J_KGK = 1006.0


def next_room(
    db_k: float, w: float, volume_m3: float, heat_w: float, moisture_kg_s: float, dt_s: float
) -> tuple[float, float]:
    """Return the room's state a moment later.

    Args:
        db_k: dry-bulb [K].
        w: humidity ratio [kg/kg].
        volume_m3: air volume [m3].
        heat_w: sensible heat gain, the machine's cooling taken off [W].
        moisture_kg_s: moisture gain, condensate taken off [kg/s].
        dt_s: time step [s].

    Returns:
        Dry-bulb [K] and humidity ratio [kg/kg], never below zero.

    Source: energy and moisture balance of one mixed volume.
    """
    air_kg = volume_m3 * AIR_DENSITY_KG_M3
    warmer = heat_w * dt_s / (air_kg * AIR_HEAT_J_KGK * THERMAL_MASS_FACTOR)
    wetter = moisture_kg_s * dt_s / (air_kg * MOISTURE_MASS_FACTOR)
    return db_k + warmer, max(w + wetter, 1e-5)
