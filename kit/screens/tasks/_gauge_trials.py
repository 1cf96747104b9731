"""Trials and tables behind the lesson on gauges: the engine's runs, and charts beside CoolProp."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from kit.quantities import STANDARD_ATMOSPHERE_PA
from kit.screens.tasks._circuit import gauge, published, saturation_pa, us, words
from kit.visit.outcome import Measure

if TYPE_CHECKING:
    from kit.machine import Condition, Surroundings

MACHINE = "wall-12k-r32"
ROOM_K, OUTDOOR_K = us("temperature", 80), us("temperature", 90)
LITTLE_K = us("temperature_difference", 1)
CHART_F = (0, 40, 80, 120)  # rows of both published charts


def summer(rh: float = 0.5) -> Surroundings:
    """Return a hot day with a room at this humidity.

    Args:
        rh: relative humidity of the room [0..1].
    """
    from kit.machine import Surroundings

    return Surroundings(ROOM_K, rh, OUTDOOR_K, 0.4)


def three_conditions() -> tuple[Condition, ...]:
    """Return the units of the prediction: sound, short of charge, with a dirty filter."""
    from kit.faults import fault
    from kit.machine import Condition

    sound = Condition()
    return (sound, Condition(charge_fraction=0.8), fault("dirty-filter").apply(sound, "moderate"))


def four_sheets() -> dict[str, dict[str, Any]]:
    """Return four job sheets with nearly the same split: what was read, and the card's target."""
    from kit.faults import fault
    from kit.machine import Command, Condition, load_spec, settle
    from kit.visit.target import card_split_k

    film = fault("film-on-indoor-coil").apply(Condition(), "severe")
    full = ROOM_K - 289.15  # the remote at the end of its range
    cases = {
        "a": (Condition(), 0.75, full, "auto", words("all clean")),
        "b": (film, 0.5, full, "auto", words("grey film on the fins")),
        "c": (Condition(charge_fraction=0.6), 0.5, full, "auto", words("all clean")),
        "d": (Condition(), 0.5, LITTLE_K, "high", words("all clean")),
    }
    sheets = {}
    for name, (condition, rh, demand_k, fan, seen) in cases.items():
        command = Command("cooling", ROOM_K - demand_k, fan)
        truth = settle(load_spec(MACHINE), condition, summer(rh), command)
        target = card_split_k(MACHINE, "cooling", ROOM_K, rh, OUTDOOR_K)
        sheets[name] = {"rh": rh, "demand": demand_k, "fan": fan, "seen": seen,
                        "split": float(truth.split_k), "target": target}  # fmt: skip
    return sheets


def chart_table() -> tuple[tuple[Any, ...], ...]:
    """Return rows of two published charts beside CoolProp's bubble pressures."""
    rows = []
    for f in CHART_F:
        t_k = us("temperature", f)
        for name, key, kind in (
            ("R-410A", f"saturation-R410A-bubble{f}F", "gauge_pressure"),
            ("R-454B", f"saturation-R454B-bubble{f}F", "pressure"),
        ):
            printed = us(kind, published("saturation", key))
            if kind == "gauge_pressure":
                printed += STANDARD_ATMOSPHERE_PA
            ours = saturation_pa(name, t_k, "bubble")
            rows.append((name, Measure(t_k, "temperature"), gauge(printed), gauge(ours)))
    head = (words("Refrigerant"), words("Bubble"), words("Published chart"), words("CoolProp 8"))
    return (head, *sorted(rows, key=lambda row: (row[0], row[1].value)))


def hose_kg() -> dict[str, float]:
    """Return what one hose takes from the circuit: standing, cooling and heating [kg].

    Source: volume times density; the share that fills with liquid is common practice, no source.
    """
    from kit.machine import Command, Condition, Surroundings, load_spec, settle
    from kit.physics.recovery import vapour_density_kg_m3
    from kit.physics.refrigerant import load
    from kit.visit.circuit_tools import CONDENSED_SHARE, GAUGES_M3

    mild = Surroundings(us("temperature", 70), 0.5, us("temperature", 60), 0.6)
    settings = {"standing": ("off", 289.15), "cooling": ("cooling", 289.15),
                "heating": ("heating", 305.15)}  # fmt: skip
    fluid, found = load("R-32"), {}
    cold = saturation_pa("R-32", mild.outdoor_db_k, "dew")
    for name, (mode, setpoint) in settings.items():
        truth = settle(load_spec(MACHINE), Condition(), mild, Command(mode, setpoint))
        port = float(truth.discharge_pa if mode == "heating" else truth.suction_pa)
        gas = float(vapour_density_kg_m3(fluid, min(port, cold), mild.outdoor_db_k))
        liquid = CONDENSED_SHARE if port > 1.05 * cold else 0.0
        density = liquid * float(fluid.rho_liquid(mild.outdoor_db_k)) + (1 - liquid) * gas
        found[name] = GAUGES_M3 * density
    return found
