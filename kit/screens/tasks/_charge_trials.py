"""Trials behind the lesson on low charge: charge let out step by step, look-alikes, standing."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from typing import TYPE_CHECKING

import numpy as np

from kit.quantities import STANDARD_ATMOSPHERE_PA
from kit.screens.tasks._circuit import ran, us

if TYPE_CHECKING:
    from kit.machine import Condition, Surroundings, Truth

MACHINE = "wall-12k-r32"
CHARGES = (1.0, 0.95, 0.9, 0.85, 0.8, 0.75, 0.7, 0.65, 0.6)
SUPERHEAT_OFF_K = us("temperature_difference", 2)  # what gauges and a clamp can tell apart
# AHRI 210/240 condition A, to which the published correlation is referred.
ROOM_K, OUTDOOR_K, ROOM_RH = us("temperature", 80), us("temperature", 95), 0.51
SOAKED_K = us("temperature", 68)
LEFT = (1.0, 0.7, 0.4, 0.15, 0.05)
SETPOINT_K = 297.0


def summer() -> Surroundings:
    """Return the air of the rating condition."""
    from kit.machine import Surroundings

    return Surroundings(ROOM_K, ROOM_RH, OUTDOOR_K, 0.4)


@cache
def let_out() -> tuple[Truth, ...]:
    """Return the machine at each of `CHARGES`, full demand, settled."""
    from kit.machine import Condition

    return ran(MACHINE, [Condition(charge_fraction=share) for share in CHARGES], summer())


def leaves_at() -> float:
    """Return the charge at which superheat has left the valve's target."""
    truths = let_out()
    target = truths[0].superheat_k
    return next(
        share
        for share, truth in zip(CHARGES, truths, strict=True)
        if truth.superheat_k > target + SUPERHEAT_OFF_K
    )


@cache
def balanced(charge: float) -> Truth:
    """Return the state in which the unit carries half its load, room and speed as they come out.

    Args:
        charge: share of the right charge [0..1].
    """
    from kit.machine import Command, Condition, load_spec, settle, settle_many

    spec, around = load_spec(MACHINE), summer()
    full = settle(spec, Condition(), around, Command("cooling", 289.15))
    load = 0.5 * float(full.sensible_w)
    rooms = np.linspace(SETPOINT_K - 1.0, SETPOINT_K + 5.0, 61)
    arounds = [replace(around, room_db_k=float(room)) for room in rooms]
    order, condition = Command("cooling", SETPOINT_K), Condition(charge_fraction=charge)
    many = settle_many(spec, [condition] * 61, arounds, [order] * 61)
    carried = np.where(many.running, many.sensible_w - many.indoor_fan_w, 0.0)
    at = int(np.argmax(carried >= load))
    share = (load - carried[at - 1]) / (carried[at] - carried[at - 1])
    room = float(rooms[at - 1] + share * (rooms[at] - rooms[at - 1]))
    return settle(spec, condition, replace(around, room_db_k=room), order)


def suspects() -> dict[str, Condition]:
    """Return four units that cool badly, by what is wrong."""
    from kit.faults import fault
    from kit.machine import Condition

    sound = Condition()
    return {
        "restriction": fault("liquid-line-restriction").apply(sound, "moderate"),
        "filter": fault("dirty-filter").apply(sound, "severe"),
        "charge": Condition(charge_fraction=0.65),
        "valve": fault("valve-stuck-closed").apply(sound, "mild"),
    }


@cache
def suspects_ran() -> tuple[tuple[Truth, ...], tuple[Truth, ...]]:
    """Return the four suspects in cooling and in heating, full demand, settled."""
    from kit.machine import Surroundings

    some = tuple(suspects().values())
    mild = Surroundings(us("temperature", 70), 0.5, us("temperature", 50), 0.7)
    return ran(MACHINE, some, summer()), ran(MACHINE, some, mild, "heating")


@cache
def standing() -> tuple[float, ...]:
    """Return the gauge pressure of a unit that has stood, by how much of its charge is left [Pa].

    Room and outdoors are equally warm, so that the whole circuit is.
    """
    from kit.machine import Command, Condition, Surroundings, load_spec, settle

    around = Surroundings(SOAKED_K, 0.5, SOAKED_K, 0.5)
    spec, off = load_spec(MACHINE), Command("off")
    found = (settle(spec, Condition(charge_fraction=s), around, off) for s in LEFT)
    return tuple(float(truth.suction_pa) - STANDARD_ATMOSPHERE_PA for truth in found)
