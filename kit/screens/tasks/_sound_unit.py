"""A sound unit in situations that lower what is read of it, and what its air and hoses hold."""

from __future__ import annotations

from functools import cache
from types import SimpleNamespace
from typing import TYPE_CHECKING, Any, cast

from kit.screens.tasks._given import fahrenheit_k

if TYPE_CHECKING:
    from kit.machine import Surroundings, Truth

MACHINE = "wall-12k-r32"
SEA_PA = 101325.0
ROOM_K = fahrenheit_k(80)
DRY, HUMID = 0.5, 0.8
DAY_K, HOT_DAY_K = 308.15, fahrenheit_k(115)
MINUTES = 15
EARLY = 2  # minute of the reading that was taken too early
FILM = 0.7  # what is really wrong with one of the five sheets
SITUATIONS = {
    "usual": "fan auto, full demand, 50 % humidity",
    "humid": "the room is at 80 % humidity",
    "hot": "it is very hot outdoors",
    "demand": "set half a degree under the room, fan on high",
    "early": "read after two minutes",
    "probe": "probe an arm's length in front of the outlet",
    "fan": "fan on high, full demand",
}


@cache
def sound(situation: str) -> tuple[Truth, Surroundings]:
    """Return a sound unit in one of the situations, and what is around it.

    Args:
        situation: a key of `SITUATIONS`, or "film" for one that is not sound.
    """
    from kit.machine import Command, Condition, Surroundings, advance, load_spec, settle

    spec = load_spec(MACHINE)
    humidity = HUMID if situation == "humid" else DRY
    around = Surroundings(ROOM_K, humidity, HOT_DAY_K if situation == "hot" else DAY_K, 0.4)
    low = situation == "demand"
    command = Command(
        "cooling", ROOM_K - 0.28 if low else 289.15, "high" if low or situation == "fan" else "auto"
    )
    condition = Condition(indoor_coil_film=FILM) if situation == "film" else Condition()
    if situation == "early":
        off = settle(spec, condition, around, Command("off"))
        return advance(off, spec, condition, around, command, 60.0 * EARLY), around
    return settle(spec, condition, around, command), around


def shown_split_k(situation: str) -> float:
    """Return the split that the probes show in a situation [K].

    Args:
        situation: a key of `SITUATIONS`.
    """
    from kit.visit.places import PLACES

    truth, around = sound(situation)
    if situation != "probe":
        return float(truth.split_k)
    seen = cast("Any", SimpleNamespace(truth=truth, around=around))
    return float(truth.return_db_k) - PLACES["supply_in_front"].values(seen)["dry_bulb"]


@cache
def first_minutes() -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Return times [s] and splits [K] of a sound unit from its start on."""
    from kit.machine import Command, Condition, Surroundings, advance, load_spec, settle

    spec, around = load_spec(MACHINE), Surroundings(ROOM_K, DRY, DAY_K, 0.4)
    truth = settle(spec, Condition(), around, Command("off"))
    times, splits = [], []
    for half in range(1, 2 * MINUTES + 1):
        truth = advance(truth, spec, Condition(), around, Command("cooling", 289.15), 30.0)
        times.append(30.0 * half)
        splits.append(float(truth.split_k))
    return tuple(times), tuple(splits)


def air_duty_w(
    enter: tuple[float, float], leave: tuple[float, float], airflow_m3_s: float
) -> tuple[float, float]:
    """Return what the air gave up, sensible and in all [W].

    Args:
        enter: dry and wet bulb before the coil [K].
        leave: dry and wet bulb after it [K].
        airflow_m3_s: volume flow of the entering air [m3/s].

    Source:
        Enthalpies of psychrolib 2.5 (ASHRAE Handbook - Fundamentals, chapter 1), at sea level.
    """
    import psychrolib

    psychrolib.SetUnitSystem(psychrolib.SI)
    (db, wb), (out_db, out_wb) = ((x - 273.15, y - 273.15) for x, y in (enter, leave))
    w = psychrolib.GetHumRatioFromTWetBulb(db, wb, SEA_PA)
    out_w = psychrolib.GetHumRatioFromTWetBulb(out_db, out_wb, SEA_PA)
    flow = airflow_m3_s / psychrolib.GetMoistAirVolume(db, w, SEA_PA)
    before = psychrolib.GetMoistAirEnthalpy(db, w)
    after = psychrolib.GetMoistAirEnthalpy(out_db, out_w)
    dry_way = psychrolib.GetMoistAirEnthalpy(db, out_w)
    return flow * (dry_way - after), flow * (before - after)


def vapour_kg_m3(pressure_pa: float, temperature_k: float) -> float:
    """Return the density of R-32 vapour [kg/m3].

    Args:
        pressure_pa: pressure [Pa absolute].
        temperature_k: temperature [K].

    Source:
        CoolProp 8.
    """
    from CoolProp.CoolProp import PropsSI

    return float(PropsSI("D", "T", temperature_k, "P", pressure_pa, "R32"))


def liquid_kg_m3(temperature_k: float) -> float:
    """Return the density of R-32 liquid on the saturation line [kg/m3].

    Args:
        temperature_k: temperature [K].

    Source:
        CoolProp 8.
    """
    from CoolProp.CoolProp import PropsSI

    return float(PropsSI("D", "T", temperature_k, "Q", 0, "R32"))
