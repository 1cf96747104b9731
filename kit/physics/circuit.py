"""What the closed refrigerant circuit is given: flows, conductances, volumes, charge, limits."""

from __future__ import annotations

from dataclasses import dataclass, field, fields
from typing import Any

import numpy as np

from kit.physics import air
from kit.physics.refrigerant import Refrigerant

NEVER = 1e9  # end of a limit that does not act


@dataclass(frozen=True, slots=True)
class Circuit:
    """Inputs of the equations, arrays of shape (n, 1) or floats; SI.

    `cool` is 1 in cooling and 0 in heating: the indoor coil then is the condenser.
    Areas, volumes and conductances belong to the evaporating (`e_`) and condensing (`c_`) coil of
    the mode. Limits are pairs start/end: from start the speed falls, at end it is at its lowest.
    What follows from these alone is worked out once (fields without argument).
    """

    refrigerant: Refrigerant
    cool: Any
    p_atm: Any
    room_k: Any
    room_w: Any
    outdoor_k: Any
    outdoor_w: Any
    recirculation: Any  # share of outdoor discharge drawn in again
    jet: Any  # share of indoor discharge drawn in again
    bypass: Any  # share of the wheel's flow that misses the coil
    fan_heat_w: Any
    i_mass: Any  # dry air through the indoor unit [kg/s]
    e_mass: Any  # dry air over the evaporating coil [kg/s]
    c_mass: Any
    e_air: Any  # air-side conductance [W/K]
    e_ref: Any  # refrigerant-side conductance at design flow [W/K]
    c_air: Any
    c_ref: Any
    e_volume: Any  # [m3]
    c_volume: Any
    small_line_m3: Any
    gas_line_m3: Any
    shell_m3: Any
    oil_kg: Any
    accumulator_m3: Any
    charge_kg: Any
    air_kg: Any
    design_kg_s: Any
    swept_m3: Any
    best_efficiency: Any
    leak: Any
    valve_leak: Any  # share of the delivered flow that slips back in the reversing valve
    suction_k: Any  # suction line: dp = k m**2 / rho [1/m4]
    valve_m2: Any
    restriction_m2: Any
    valve_low: Any
    valve_high: Any
    superheat_target_k: Any
    speed_low: Any
    speed_asked: Any
    speed_full: Any
    discharge_limit: Any  # (start, end) [K]
    condensing_limit: Any
    freeze_limit: Any
    current_limit: Any  # compressor input [W]
    coil_sensor_offset_k: Any
    floor_k: Any  # evaporating, a little below the stop for low pressure
    ceiling_k: Any  # condensing, a little above the stop for high pressure
    fan_hold_k: Any  # condensing (cooling) or evaporating (heating) that the outdoor fan defends
    demand_gain: Any  # speed lost per kelvin between intake and room [1/(s K)]

    source_k: Any = field(init=False)  # air that heat is taken from
    sink_k: Any = field(init=False)  # air that heat is given to
    e_rate: Any = field(init=False)  # capacity rate of the air at the full outdoor fan [W/K]
    c_rate: Any = field(init=False)
    i_rate: Any = field(init=False)
    jet_gain: Any = field(init=False)
    limit_end: Any = field(init=False)  # of freezing (negative), discharge, condensing, input
    limit_per: Any = field(init=False)  # one over the reach from start to end
    has_air: bool = field(init=False)
    has_slip: bool = field(init=False)

    def __post_init__(self) -> None:
        """Work out what follows from the inputs alone."""

        def put(name: str, value: Any) -> None:
            object.__setattr__(self, name, value)

        cool, warm = self.cool, 1.0 - self.cool
        put("source_k", cool * self.room_k + warm * self.outdoor_k)
        put("sink_k", cool * self.outdoor_k + warm * self.room_k)
        put("e_rate", air.CP_DRY_AIR * self.e_mass)
        put("c_rate", air.CP_DRY_AIR * self.c_mass)
        put("i_rate", self.i_mass * air.specific_heat_j_kgk(self.room_w))
        put("jet_gain", self.jet / (1.0 - self.jet))
        freeze = [np.where(cool > 0.5, -edge, NEVER) for edge in self.freeze_limit]
        others = (self.discharge_limit, self.condensing_limit, self.current_limit)
        start, end = (
            _stack([freeze[which], *(pair[which] for pair in others)]) for which in (0, 1)
        )
        put("limit_end", end)
        put("limit_per", 1.0 / np.where(end > start, end - start, 1.0))
        put("has_air", bool(np.any(self.air_kg > 0.0)))
        put("has_slip", bool(np.any(self.valve_leak > 0.0)))

    def take(self, rows: Any) -> Circuit:
        """Return the circuit of some rows.

        Args:
            rows: which cases of the batch, indices or flags [-].

        Returns:
            The same circuit with those rows only [SI units as in the fields].

        Source: bookkeeping, no equation.
        """

        def of(value: Any) -> Any:
            if isinstance(value, tuple):
                return tuple(of(part) for part in value)
            return value[rows] if isinstance(value, np.ndarray) and value.ndim else value

        given = (f.name for f in fields(self) if f.init)
        return Circuit(**{name: of(getattr(self, name)) for name in given})


def _stack(parts: list[Any]) -> Any:
    """Return columns and floats as one array, each a row."""
    return np.stack(np.broadcast_arrays(*parts))
