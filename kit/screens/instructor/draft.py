"""A work order between the form and its file: the form's values in SI, and the file's tables."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from kit import library
from kit.errors import KitError
from kit.screens.instructor.fields import BRIEF, EXACT, HAZARDS, SLOTS
from kit.screens.instructor.own_orders import LARGEST
from kit.visit.work_order import load_work_order

KEPT = ("condition", "instrument")  # tables that the form does not show and does not lose
_ICE = 273.15


def to_data(values: Mapping[str, Any], kept: Mapping[str, Any] | None = None) -> dict[str, Any]:
    """Return a work order's tables.

    Args:
        values: what the form holds, in SI.
        kept: tables of the file that the form does not show.
    """
    return {
        "format": 1,
        "id": values["name"],
        "title": values["title"],
        "invented": True,
        "machine": values["machine"],
        "mode": values["mode"],
        "rubric": values["rubric"],
        "allowed_min": _tidy(values["allowed_min"]),
        "brief": _lines(values, "brief", BRIEF),
        "customer": {"name": values["customer"], "says": _says(values)},
        "surroundings": _surroundings(values),
        "supply": {"indoor_own_circuit": bool(values.get("own_circuit", False))},
        "learner": {"certified": bool(values.get("certified", False))},
        "fitted": _fitted(values),
        "remote": _remote(values),
        "circuit": _circuit(values),
        "site": _site(values),
        "fault": [
            {"name": name, "severity": severity} for name, severity in hidden(values)
        ],
        **(kept or {}),
    }  # fmt: skip


def hidden(values: Mapping[str, Any]) -> list[tuple[str, str | float]]:
    """Return the faults of a form: name and severity, by name or as an exact level.

    Args:
        values: what the form holds, in SI.
    """
    found: list[tuple[str, str | float]] = []
    for n in range(1, SLOTS + 1):
        name = values.get(f"fault_{n}")
        if name:
            how = values.get(f"severity_{n}", "")
            exact = how == EXACT and f"level_{n}" in values
            found.append((str(name), _tidy(values[f"level_{n}"]) if exact else str(how)))
    return found


def _lines(values: Mapping[str, Any], name: str, most: int) -> list[str]:
    some = (values.get(f"{name}_{n}") for n in range(1, most + 1))
    return [str(text) for text in some if text]


def _says(values: Mapping[str, Any]) -> dict[str, str]:
    return {k.removeprefix("says_"): v for k, v in values.items() if k.startswith("says_") and v}


def _surroundings(values: Mapping[str, Any]) -> dict[str, float]:
    table = {
        "room_c": _tidy(values["room_c"] - _ICE),
        "room_rh_percent": _tidy(values["room_rh"] * 100.0),
        "outdoor_c": _tidy(values["outdoor_c"] - _ICE),
        "outdoor_rh_percent": _tidy(values["outdoor_rh"] * 100.0),
    }
    more = (("altitude", "altitude_m"), ("sun", "sun_k"), ("drift", "outdoor_drift_c_per_h"))
    return table | {key: _tidy(values[name]) for name, key in more if name in values}


def _fitted(values: Mapping[str, Any]) -> dict[str, Any]:
    usual = {"strip": "none", "drain": "gravity", "float_stuck": False, "ladder": False}
    return {k: values[k] for k, v in usual.items() if values.get(k, v) != v}


def _remote(values: Mapping[str, Any]) -> dict[str, Any]:
    if "setpoint_c" not in values:
        return {}
    setpoint = _tidy(values["setpoint_c"] - _ICE)
    return {"setpoint_c": setpoint, "fan": values.get("fan") or "auto"}


def _circuit(values: Mapping[str, Any]) -> dict[str, Any]:
    place = {"leak_at": values["leak_at"]} if values.get("leak_at") else {}
    return place | {k: _tidy(values[k]) for k in ("leak_um", "moisture_g") if k in values}


def _site(values: Mapping[str, Any]) -> dict[str, Any]:
    people = {k: values[k] for k in ("other_lock", "person_at_unit") if values.get(k)}
    texts = _lines(values, "hazard", HAZARDS)
    return people | {
        "hazard": [{"name": f"hazard_{n}", "text": text} for n, text in enumerate(texts, 1)]
    }


def _tidy(value: float) -> float | int:
    """Return a number without the dust of a unit's conversion."""
    tidy = round(float(value), 4)
    return int(tidy) if tidy.is_integer() else tidy


def load(source: str | Path) -> tuple[dict[str, Any], dict[str, Any], tuple[str, ...]]:
    """Return a work order as the form's values, the tables it does not show, and what is lost.

    Args:
        source: name of one of the kit's work orders, or a file.

    Raises:
        KitError: it cannot be read.
    """
    path = Path(source)
    if path.suffix != ".toml":
        path = library.datasets("work_orders", f"{source}.toml")
    if path.is_file() and path.stat().st_size > LARGEST:
        raise KitError(f"{path.name} is larger than {LARGEST} bytes; it is no work order.")
    load_work_order(path)  # checks the form and says what is wrong
    data = tomllib.loads(path.read_text(encoding="utf-8"))
    kept = {key: data[key] for key in KEPT if data.get(key)}
    return _values(data), kept, _lost(data)


def _values(data: Mapping[str, Any]) -> dict[str, Any]:
    air, fitted = data["surroundings"], data.get("fitted", {})
    values: dict[str, Any] = {
        "name": data["id"],
        "customer": data["customer"]["name"],
        **{key: data[key] for key in ("title", "allowed_min", "rubric", "machine", "mode")},
        "room_c": air["room_c"] + _ICE,
        "room_rh": air["room_rh_percent"] / 100.0,
        "outdoor_c": air["outdoor_c"] + _ICE,
        "outdoor_rh": air["outdoor_rh_percent"] / 100.0,
        "certified": data.get("learner", {}).get("certified", False),
        "own_circuit": data.get("supply", {}).get("indoor_own_circuit", False),
        **fitted,
        **data.get("circuit", {}),
        **{f"says_{key}": text for key, text in data["customer"].get("says", {}).items()},
    }
    more = (("altitude", "altitude_m"), ("sun", "sun_k"), ("drift", "outdoor_drift_c_per_h"))
    values |= {name: air[key] for name, key in more if key in air}
    values |= {f"brief_{n}": text for n, text in enumerate(data["brief"][:BRIEF], 1)}
    if "remote" in data:
        remote = data["remote"]
        values |= {"setpoint_c": remote["setpoint_c"] + _ICE, "fan": remote["fan"]}
    site = data.get("site", {})
    values |= {k: site[k] for k in ("other_lock", "person_at_unit") if k in site}
    hazards = site.get("hazard", [])[:HAZARDS]
    values |= {f"hazard_{n}": one["text"] for n, one in enumerate(hazards, 1)}
    for n, one in enumerate(data.get("fault", [])[:SLOTS], 1):
        exact = not isinstance(one["severity"], str)
        values[f"fault_{n}"] = one["name"]
        values[f"severity_{n}"] = EXACT if exact else one["severity"]
        if exact:
            values[f"level_{n}"] = float(one["severity"])
    return values


def _lost(data: Mapping[str, Any]) -> tuple[str, ...]:
    """Return the parts of a file that the form cannot hold."""
    many = (
        ("brief", len(data["brief"]), BRIEF),
        ("site.hazard", len(data.get("site", {}).get("hazard", [])), HAZARDS),
        ("fault", len(data.get("fault", [])), SLOTS),
    )
    return tuple(name for name, there, most in many if there > most) + tuple(
        tag for tag in ("es",) if tag in data
    )
