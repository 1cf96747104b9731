"""A machine's data sheet, read from datasets/machines/*.toml."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, fields
from functools import cache
from pathlib import Path
from types import MappingProxyType
from typing import Any

from kit import library
from kit.errors import KitError, OutOfRangeError, UnknownNameError
from kit.physics import refrigerant


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
    speeds: Mapping[str, float]
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
_WORDS = ("name", "title", "origin", "refrigerant")
FAN_SPEEDS = ("quiet", "low", "medium", "high")
# Limits: where the speed begins to fall, and where it is at its lowest. The freeze limit falls.
_FALLING = ("freeze_limit_k",)

# Lowest and highest plausible value of every number in a machine's file: wide enough for wall
# units of 2 to 10 kW, narrow enough to catch a wrong unit. Common practice, no source.
PLAUSIBLE: dict[str, tuple[float, float]] = {
    "rated_cooling_w": (1500.0, 12000.0),
    "rated_heating_w": (1500.0, 14000.0),
    "rated_cooling_input_w": (250.0, 5000.0),
    "rated_heating_input_w": (250.0, 6000.0),
    "supply_v": (100.0, 250.0),
    "supply_hz": (50.0, 60.0),
    "breaker_a": (6.0, 60.0),
    "power_factor": (0.5, 1.0),
    "standby_w": (0.5, 20.0),
    "factory_charge_kg": (0.2, 4.0),
    "precharged_line_m": (3.0, 30.0),
    "line_m": (2.0, 50.0),
    "extra_charge_kg_m": (0.0, 0.06),
    "liquid_line_inner_m": (0.003, 0.012),
    "gas_line_inner_m": (0.005, 0.022),
    "swept_m3": (3e-6, 50e-6),
    "best_efficiency": (0.4, 0.85),
    "inverter_efficiency": (0.8, 1.0),
    "speed_min_rps": (10.0, 40.0),
    "speed_cooling_rps": (20.0, 130.0),
    "speed_heating_rps": (20.0, 130.0),
    "speed_max_rps": (40.0, 130.0),
    "shell_m3": (0.2e-3, 6e-3),
    "shell_j_k": (1000.0, 20000.0),
    "accumulator_m3": (0.05e-3, 4e-3),
    "oil_kg": (0.1, 2.0),
    "valve_m2": (0.1e-6, 3e-6),
    "superheat_target_k": (2.0, 12.0),
    "discharge_limit_k": (353.15, 403.15),
    "condensing_limit_k": (313.15, 343.15),
    "heating_condensing_limit_k": (313.15, 343.15),
    "freeze_limit_k": (263.15, 283.15),
    "current_limit_a": (2.0, 40.0),
    "pan_m3": (0.1e-3, 5e-3),
    "pan_drain_kg_s": (0.002, 0.2),
    "bus_capacitance_f": (0.3e-3, 10e-3),
    "bus_bleed_ohm": (5e3, 1e6),
    "winding_ohm": (0.1, 6.0),
    "thermistor_ohm": (1e3, 200e3),
    "thermistor_beta_k": (2500.0, 4800.0),
    "air_w_k": (150.0, 6000.0),
    "refrigerant_w_k": (300.0, 15000.0),
    "volume_m3": (0.2e-3, 8e-3),
    "airflow_m3_s": (0.05, 2.0),
    "face_m2": (0.08, 2.0),
    "metal_j_k": (800.0, 40000.0),
    "full_rpm": (300.0, 2500.0),
    "power_w": (5.0, 300.0),
    "resistance": (0.05, 3.0),
    "filter_share": (0.0, 0.9),
    "coil_share": (0.05, 1.0),
    "speeds": (0.2, 1.0),
}


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
        KitError: the file cannot be read as a data sheet.
    """
    if name not in spec_names():
        raise UnknownNameError("machine", name, spec_names())
    return read_spec(library.datasets("machines", f"{name}.toml"))


def read_spec(path: Path) -> Spec:
    """Read the data sheet of one machine from a file.

    Args:
        path: the file; its name without ending becomes the machine's.

    Returns:
        The frozen data sheet.

    Raises:
        KitError: the file is no TOML, lacks a field, has one too many, or holds a value of the
            wrong kind or outside what is plausible; file and field are named.
    """
    try:
        raw = tomllib.loads(path.read_text(encoding="utf-8"))
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as e:
        raise KitError(f"{path.name} cannot be read as TOML: {e}. Correct the file.") from e
    raw.pop("notes", None)
    spec: Spec = _build(Spec, {"name": path.stem, **raw}, path.name)
    _check_whole(spec, path.name)
    return spec


def _build(kind: type[Any], raw: Any, where: str) -> Any:
    if not isinstance(raw, dict):
        raise KitError(f"{where} is {raw!r}; it must be a table of fields. Correct the file.")
    wanted = {f.name for f in fields(kind)}
    if wanted != set(raw):
        missing, extra = sorted(wanted - set(raw)), sorted(set(raw) - wanted)
        raise KitError(
            f"{where}: missing {', '.join(missing) or 'nothing'}; not known "
            f"{', '.join(extra) or 'nothing'}. Correct the file."
        )
    return kind(**{name: _value(kind, name, raw[name], where) for name in wanted})


def _value(kind: type[Any], name: str, value: Any, where: str) -> Any:
    """Return one field's value in its own kind."""
    if kind is Spec and name in _NESTED:
        return _build(_NESTED[name], value, f"{where} [{name}]")
    if name in _WORDS:
        if not isinstance(value, str) or not value.strip():
            raise KitError(f"{where}: {name} is {value!r}; it must be a text. Correct the file.")
        return value
    if name == "speeds":
        return _speeds(value, f"{where} [speeds]")
    if name.endswith(("_limit_k", "_limit_a")):
        if not isinstance(value, list) or len(value) != 2:
            raise KitError(
                f"{where}: {name} is {value!r}; it must be a list of two numbers, where the speed "
                "begins to fall and where it is at its lowest. Correct the file."
            )
        return tuple(_number(name, v, where) for v in value)
    return _number(name, value, where)


def _number(name: str, value: Any, where: str, field: str = "") -> float:
    low, high = PLAUSIBLE[name]
    field = field or name
    if isinstance(value, bool) or not isinstance(value, (int, float)):
        raise KitError(f"{where}: {field} is {value!r}; it must be a number. Correct the file.")
    if not low <= value <= high:
        raise OutOfRangeError(
            f"{where}: {field}", value, low, high, "Correct the file; mind the unit in the name."
        )
    return float(value)


def _speeds(value: Any, where: str) -> Mapping[str, float]:
    if not isinstance(value, dict) or set(value) != set(FAN_SPEEDS):
        raise KitError(f"{where} must name just {', '.join(FAN_SPEEDS)}. Correct the file.")
    speeds = {n: _number("speeds", value[n], where, n) for n in FAN_SPEEDS}
    shares = list(speeds.values())
    if shares != sorted(set(shares)):
        raise KitError(f"{where}: the speeds must rise from quiet to high. Correct the file.")
    return MappingProxyType(speeds)


def _check_whole(spec: Spec, where: str) -> None:
    """Refuse fields that contradict each other."""
    for name in (f.name for f in fields(Spec) if "_limit_" in f.name):
        start, end = getattr(spec, name)
        if start == end or (start > end) != (name in _FALLING):
            raise KitError(
                f"{where}: {name} begins at {start} and ends at {end}; it must "
                f"{'fall' if name in _FALLING else 'rise'}. Correct the file."
            )
    for name in ("speed_cooling_rps", "speed_heating_rps"):
        if not spec.speed_min_rps < getattr(spec, name) <= spec.speed_max_rps:
            raise KitError(
                f"{where}: {name} is {getattr(spec, name)}; it must lie above speed_min_rps "
                "and not above speed_max_rps. Correct the file."
            )
    for name in ("indoor_fan", "outdoor_fan"):
        fan = getattr(spec, name)
        if fan.filter_share + fan.coil_share > 1.0:
            raise KitError(
                f"{where} [{name}]: filter_share and coil_share add to more than 1. "
                "Correct the file."
            )
    if spec.refrigerant not in refrigerant.names():
        raise UnknownNameError(
            f"refrigerant (field refrigerant of {where})", spec.refrigerant, refrigerant.names()
        )
