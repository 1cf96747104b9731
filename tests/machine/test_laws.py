"""The laws every solved machine must keep: energy, mass, heat only downhill, figures everywhere."""

from __future__ import annotations

from dataclasses import fields, replace
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from kit.machine import (
    Command,
    Condition,
    Surroundings,
    Truth,
    load_spec,
    settle,
    settle_many,
    spec_names,
)
from kit.machine.condition import KNOB_RANGES
from kit.machine.settle import CONVERGED
from kit.machine.surroundings import FAN_SETTINGS, SURROUNDINGS_RANGES
from kit.physics import air, refrigerant

LAWS = settings(
    max_examples=60, derandomize=True, deadline=None, suppress_health_check=[HealthCheck.too_slow]
)


def between(ends: tuple[float, float]) -> st.SearchStrategy[float]:
    """Return any number of a range, ends included."""
    return st.floats(*ends, allow_nan=False)


@st.composite
def conditions(draw: st.DrawFn) -> Condition:
    """Turn up to three knobs anywhere in their ranges."""
    turned = draw(st.lists(st.sampled_from(sorted(KNOB_RANGES)), max_size=3, unique=True))
    return Condition(**{knob: draw(between(KNOB_RANGES[knob])) for knob in turned})


AROUND = st.builds(Surroundings, **{k: between(v) for k, v in SURROUNDINGS_RANGES.items()})
COMMANDS = st.builds(
    Command,
    mode=st.sampled_from(["cooling", "heating"]),
    setpoint_k=between((289.15, 305.15)),
    fan=st.sampled_from(FAN_SETTINGS),
    compressor_rps=st.one_of(st.none(), between((15.0, 110.0))),
)
MACHINES = st.sampled_from(spec_names())


@LAWS
@given(MACHINES, conditions(), AROUND, COMMANDS)
def test_energy_closes(name, condition, around, command) -> None:
    """Refrigerant, air and electricity each balance to 0.1 %."""
    spec = load_spec(name)
    t = settle(spec, condition, around, command)
    assume(t.running)

    taken = t.heat_absorbed_w + t.compressor_w
    assert t.heat_rejected_w + t.shell_loss_w == pytest.approx(taken, rel=1e-3)
    assert t.sensible_w + t.latent_w == pytest.approx(t.capacity_w, rel=1e-9)
    fans = t.indoor_fan_w + t.outdoor_fan_w + spec.standby_w
    assert t.power_w == pytest.approx(t.compressor_w / spec.inverter_efficiency + fans, rel=1e-9)
    p_pa = air.pressure_pa(around.altitude_m)
    mass = t.airflow_m3_s / air.specific_volume_m3_kg(t.return_db_k, t.return_w, p_pa)
    given_off = mass * (
        air.enthalpy_j_kg(t.return_db_k, t.return_w) - air.enthalpy_j_kg(t.supply_db_k, t.supply_w)
    )
    cools = t.supply_db_k < t.return_db_k
    assert abs(given_off) == pytest.approx(t.net_capacity_w, rel=1e-3, abs=0.5), cools


@LAWS
@given(MACHINES, conditions(), AROUND, COMMANDS)
def test_mass_is_kept(name, condition, around, command) -> None:
    """The refrigerant found in the circuit's parts is the charge, to one in a million."""
    spec = load_spec(name)
    t = settle(spec, condition, around, command)
    assume(t.running)

    assert t.charge_kg == pytest.approx(spec.charge_kg * condition.charge_fraction, rel=1e-6)


@LAWS
@given(MACHINES, conditions(), AROUND, COMMANDS)
def test_heat_flows_only_downhill(name, condition, around, command) -> None:
    """Condensing is above the air it warms, evaporating below the air it cools, always."""
    stuck_free = replace(condition, noncondensable_kg=0.0)
    t = settle(load_spec(name), stuck_free, around, command)
    assume(t.running)
    cooling = command.mode == "cooling"
    warmed = around.outdoor_db_k if cooling else t.return_db_k
    cooled = t.return_db_k if cooling else around.outdoor_db_k

    assert t.condensing_k > warmed - 1e-6
    # A blend boils from bubble to dew: where it leaves wet, its dew may lie above that air.
    at_suction = refrigerant.load(load_spec(name).refrigerant).sat(np.log(t.suction_pa))
    coldest = t.evaporating_k if t.superheat_k > 0.0 else float(at_suction.t_bubble_k)
    assert coldest < cooled + 1e-6
    assert t.discharge_pa > t.suction_pa
    if cooling:
        assert t.supply_db_k >= t.indoor_coil_surface_k - 1e-6
        p_pa = air.pressure_pa(around.altitude_m)
        dew = air.dew_point_k(t.return_w, p_pa)
        assert t.condensate_kg_s == 0.0 or t.indoor_coil_surface_k <= dew + 1e-6
    else:
        assert t.latent_w == 0.0


@LAWS
@given(MACHINES, conditions(), AROUND, COMMANDS)
def test_every_figure_is_finite(name, condition, around, command) -> None:
    """Anywhere in the envelope a solved machine has a figure in every field."""
    t = settle(load_spec(name), condition, around, command)

    skipped = ("limits", "memory", "running")
    values = [getattr(t, f.name) for f in fields(Truth) if f.name not in skipped]
    assert np.isfinite(values).all()
    assert t.residual < CONVERGED


def along(knob: str, levels: list[float], **more: object) -> list[Truth]:
    """Return a machine's states as one knob of its condition or its air is turned."""
    spec = load_spec("wall-12k-r32")
    around = Surroundings(299.817, 0.512, 308.15, 0.4)
    command = Command("cooling", 291.15, compressor_rps=50.0)
    out = []
    for level in levels:
        here, there = {}, {}
        (there if knob in SURROUNDINGS_RANGES else here)[knob] = level
        out.append(settle(spec, Condition(**here, **more), replace(around, **there), command))
    return out


@pytest.mark.parametrize(
    ("knob", "levels", "reading", "sign"),
    [
        ("outdoor_db_k", [298.15, 303.15, 308.15, 313.15], "capacity_w", -1),
        ("outdoor_db_k", [298.15, 303.15, 308.15, 313.15], "power_w", 1),
        ("outdoor_db_k", [298.15, 303.15, 308.15, 313.15], "condensing_k", 1),
        ("outdoor_db_k", [298.15, 303.15, 308.15, 313.15], "discharge_line_k", 1),
        ("room_rh", [0.3, 0.45, 0.6, 0.75], "split_k", -1),
        ("room_rh", [0.45, 0.6, 0.75], "condensate_kg_s", 1),
        ("room_rh", [0.45, 0.6, 0.75], "capacity_w", 1),
        ("filter_loading", [0.0, 0.3, 0.6, 0.9], "airflow_m3_s", -1),
        ("filter_loading", [0.0, 0.3, 0.6, 0.9], "capacity_w", -1),
        ("filter_loading", [0.0, 0.3, 0.6, 0.9], "split_k", 1),
        ("indoor_coil_film", [0.0, 0.3, 0.6, 0.9], "split_k", -1),
        ("outdoor_coil_blockage", [0.0, 0.4, 0.7], "condensing_k", 1),
        ("charge_fraction", [0.5, 0.6, 0.7, 0.8], "subcooling_k", 1),
        ("charge_fraction", [0.9, 1.0, 1.1, 1.2], "subcooling_k", 1),
        ("charge_fraction", [0.5, 0.6, 0.7], "superheat_k", -1),
        ("noncondensable_kg", [0.0, 0.002, 0.005], "discharge_pa", 1),
        ("compressor_leak", [0.0, 0.3, 0.6], "suction_pa", 1),
    ],
)
def test_trends_have_one_direction(knob, levels, reading, sign) -> None:
    """A knob turned further moves its reading further the same way (or leaves it at its stop)."""
    values = [getattr(t, reading) for t in along(knob, levels)]
    steps = [sign * (after - before) for before, after in pairwise(values)]

    assert min(steps) >= -1e-9 * abs(values[0])
    assert sum(steps) >= 0.0


@LAWS
@given(MACHINES, st.lists(st.tuples(conditions(), AROUND, COMMANDS), min_size=2, max_size=5))
def test_many_at_once_are_the_same_as_one_by_one(name, cases) -> None:
    """A case's answer does not depend on its neighbours in the batch."""
    spec = load_spec(name)
    many = settle_many(spec, *(list(part) for part in zip(*cases, strict=True)))

    for i, case in enumerate(cases):
        alone = settle(spec, *case)
        assert many.limits[i] == alone.limits
        for reading in ("split_k", "capacity_w", "power_w", "suction_pa", "discharge_pa"):
            expected = pytest.approx(getattr(alone, reading), rel=1e-6, abs=1e-6)
            assert getattr(many, reading)[i] == expected, reading
