"""A machine's data sheet, read from datasets/machines/*.toml."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass, fields
from functools import cache
from typing import Any

from kit import library
from kit.errors import KitError, UnknownNameError


@dataclass(frozen=True, slots=True)
class Coil:
    """One fin-and-tube coil: conductances at design flows, inside volume, design airflow; SI."""

    air_w_k: float
    refrigerant_w_k: float
    volume_m3: float
    airflow_m3_s: float
    face_m2: float
    metal_j_k: float


@dataclass(frozen=True, slots=True)
class Fan:
    """A fan: full speed, input at full speed, design resistance over the fan's own [-]."""

    full_rpm: float
    power_w: float
    resistance: float
    filter_share: float
    coil_share: float


@dataclass(frozen=True, slots=True)
class Spec:
    """Everything fixed about one kind of machine; SI.

    `speeds` maps fan settings to shares of full speed. `origin` says where the numbers come from.
    """

    name: str
    title: str
    origin: str
    refrigerant: str
    rated_cooling_w: float
    rated_heating_w: float
    rated_cooling_input_w: float
    rated_heating_input_w: float
    supply_v: float
    supply_hz: float
    breaker_a: float
    power_factor: float
    standby_w: float
    factory_charge_kg: float
    precharged_line_m: float
    line_m: float
    extra_charge_kg_m: float
    liquid_line_inner_m: float
    gas_line_inner_m: float
    indoor: Coil
    outdoor: Coil
    indoor_fan: Fan
    outdoor_fan: Fan
    speeds: dict[str, float]
    swept_m3: float
    best_efficiency: float
    inverter_efficiency: float
    speed_min_rps: float
    speed_cooling_rps: float
    speed_heating_rps: float
    speed_max_rps: float
    shell_m3: float
    shell_j_k: float
    accumulator_m3: float
    oil_kg: float
    valve_m2: float
    superheat_target_k: float
    discharge_limit_k: tuple[float, float]
    condensing_limit_k: tuple[float, float]
    heating_condensing_limit_k: tuple[float, float]
    freeze_limit_k: tuple[float, float]
    current_limit_a: tuple[float, float]
    pan_m3: float
    pan_drain_kg_s: float
    bus_capacitance_f: float
    bus_bleed_ohm: float
    winding_ohm: float
    thermistor_ohm: float
    thermistor_beta_k: float

    @property
    def charge_kg(self) -> float:
        """Return factory charge and the allowance beyond the precharged length [kg]."""
        return self.factory_charge_kg + self.extra_charge_kg_m * max(
            0.0, self.line_m - self.precharged_line_m
        )


_NESTED = {"indoor": Coil, "outdoor": Coil, "indoor_fan": Fan, "outdoor_fan": Fan}


def spec_names() -> list[str]:
    """Return the names of all machines in the datasets, sorted."""
    return sorted(p.stem for p in library.datasets("machines").glob("*.toml"))


@cache
def load_spec(name: str) -> Spec:
    """Read one machine.

    Args:
        name: file name without ending, one of `spec_names()`.

    Returns:
        The frozen data sheet.

    Raises:
        UnknownNameError: no such machine; the nearest name is given.
        KitError: the file lacks a field, has one too many, or a value of the wrong kind.
    """
    if name not in spec_names():
        raise UnknownNameError("machine", name, spec_names())
    path = library.datasets("machines", f"{name}.toml")
    raw = tomllib.loads(path.read_text(encoding="utf-8"))
    raw.pop("notes", None)
    spec: Spec = _build(Spec, {"name": name, **raw}, path.name)
    return spec


def _build(kind: Any, raw: dict[str, Any], where: str) -> Any:
    wanted = {f.name for f in fields(kind)}
    if wanted != set(raw):
        missing, extra = sorted(wanted - set(raw)), sorted(set(raw) - wanted)
        raise KitError(
            f"{where}: missing {missing or 'nothing'}, not known {extra or 'nothing'}. "
            "Correct the file."
        )
    out: dict[str, Any] = {}
    for f in fields(kind):
        value = raw[f.name]
        if kind is Spec and f.name in _NESTED:
            value = _build(_NESTED[f.name], value, f"{where} [{f.name}]")
        elif isinstance(value, list):
            value = tuple(float(v) for v in value)
        elif isinstance(value, int) and not isinstance(value, bool):
            value = float(value)
        out[f.name] = value
    return kind(**out)
