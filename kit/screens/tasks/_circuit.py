"""What the lessons on the refrigerant circuit share: fields, saturation, published rows, trials."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from kit.quantities import STANDARD_ATMOSPHERE_PA, gauge_pa, kind_of
from kit.screens.tasks import _given
from kit.visit.outcome import Measure

if TYPE_CHECKING:
    from kit.machine import Condition, Surroundings, Truth

COOLPROP_NAMES = {"R-32": "R32", "R-410A": "R410A", "R-454B": "R454B.mix"}
QUALITY = {"bubble": 0.0, "dew": 1.0}
COLDEST_SETPOINT_K, WARMEST_SETPOINT_K = 289.15, 305.15  # ends of the remote's range


def words(english: str) -> str:
    """Return a short text of a table as it is; its place marks it as one to translate."""
    return english


def us(kind: str, value: float) -> float:
    """Return a number given in the United States unit of its kind [SI].

    Args:
        kind: kind of quantity.
        value: the number.
    """
    return kind_of(kind).us.to_si(value)


def gauge(absolute: float) -> Measure:
    """Return an absolute pressure as a gauge at sea level shows it.

    Args:
        absolute: pressure [Pa absolute].
    """
    return Measure(gauge_pa(absolute), "gauge_pressure")


def saturation_pa(refrigerant: str, t_k: float, side: str) -> float:
    """Return a saturation pressure by CoolProp [Pa absolute].

    Args:
        refrigerant: ASHRAE 34 number.
        t_k: temperature [K].
        side: "bubble" or "dew".

    Source: CoolProp 8, called directly.
    """
    from CoolProp.CoolProp import PropsSI

    return float(PropsSI("P", "T", t_k, "Q", QUALITY[side], COOLPROP_NAMES[refrigerant]))


def saturation_k(refrigerant: str, p_pa: float, side: str) -> float:
    """Return a saturation temperature by CoolProp [K].

    Args:
        refrigerant: ASHRAE 34 number.
        p_pa: pressure [Pa absolute].
        side: "bubble" or "dew".

    Source: CoolProp 8, called directly.
    """
    from CoolProp.CoolProp import PropsSI

    return float(PropsSI("T", "P", p_pa, "Q", QUALITY[side], COOLPROP_NAMES[refrigerant]))


def card_k(refrigerant: str, gauge_reading_pa: float, side: str) -> float:
    """Return what a pressure and temperature card says of a gauge reading at sea level [K].

    Args:
        refrigerant: ASHRAE 34 number.
        gauge_reading_pa: what the gauge shows [Pa gauge].
        side: "bubble" or "dew".

    Source: `kit.physics.refrigerant`, tables made with CoolProp 8.
    """
    from kit.physics.refrigerant import load

    sat = load(refrigerant).sat(math.log(gauge_reading_pa + STANDARD_ATMOSPHERE_PA))
    return float(sat.t_dew_k if side == "dew" else sat.t_bubble_k)


def published(file: str, row: str) -> float:
    """Return a published value in the unit it is printed in.

    Args:
        file: name of a table of datasets/published, without its ending.
        row: its `id`.

    Raises:
        UnknownNameError: no such row.
    """
    return float(_given.published(file, row)["expected"])


def ran(
    machine: str,
    conditions: Sequence[Condition],
    around: Surroundings,
    mode: str = "cooling",
) -> tuple[Truth, ...]:
    """Run one machine at full demand, fan on auto, in several conditions until each has settled.

    Args:
        machine: name of the machine.
        conditions: one a trial.
        around: air at both units.
        mode: "cooling" or "heating".
    """
    from kit.machine import Command, load_spec, settle

    setpoint = COLDEST_SETPOINT_K if mode == "cooling" else WARMEST_SETPOINT_K
    spec = load_spec(machine)
    return tuple(settle(spec, one, around, Command(mode, setpoint)) for one in conditions)


def across(head: str, names: Sequence[Any], *rows: tuple[Any, ...]) -> tuple[tuple[Any, ...], ...]:
    """Return a table with one column a trial.

    Args:
        head: words over the first column.
        names: words over the others.
        rows: each its words and one cell a trial.
    """
    return ((head, *names), *rows)


def each(truths: Sequence[Truth], field: str, kind: str) -> tuple[Measure, ...]:
    """Return one field of several trials as measures.

    Args:
        truths: the trials.
        field: name of a field of `Truth`.
        kind: kind of quantity; a gauge pressure is taken from the absolute one.
    """
    values = (float(getattr(truth, field)) for truth in truths)
    if kind == "gauge_pressure":
        return tuple(gauge(value) for value in values)
    return tuple(Measure(value, kind) for value in values)
