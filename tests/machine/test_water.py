"""Ice and water of a machine, one rule each."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kit.machine import Command, Condition, Surroundings, load_spec, settle, water
from kit.machine.memory import Memory, first_memory
from kit.physics import air
from kit.physics.coil import FUSION_J_KG

SPEC = load_spec("wall-12k-r32")
AROUND = Surroundings(room_db_k=299.82, room_rh=0.51, outdoor_db_k=308.15, outdoor_rh=0.4)
P_PA = float(air.pressure_pa(0.0))
FAN = settle(SPEC, Condition(), AROUND, Command("fan"))
OFF = settle(SPEC, Condition(), AROUND, Command("off"))
COOLING = settle(SPEC, Condition(), AROUND, Command("cooling", 291.15))


def iced(kg: float) -> Memory:
    """Return the memory of a machine with so much ice on its indoor coil."""
    memory = first_memory(OFF, SPEC, (Condition(), AROUND, Command("off")))
    return replace(memory, indoor_ice_kg=kg)


def test_air_melts_ice_faster_than_still_air() -> None:
    """The fan brings the heat; without it the ice thaws over an hour or so."""
    blown, besides = water.melting_w(FAN, FAN, iced(0.5), P_PA, 20.0)
    still = water.melting_w(OFF, OFF, iced(0.5), P_PA, 20.0)
    assert 0.0 == still[0]
    assert blown > 5.0 * still[1]
    assert besides == pytest.approx(still[1], rel=1e-2)
    assert 1200.0 <= 0.5 * FUSION_J_KG / still[1] <= 7200.0


def test_a_running_coil_melts_ice_from_below() -> None:
    """Well above freezing the coil's own warmth thaws it, and the air is not cooled twice."""
    blown, from_coil = water.melting_w(COOLING, COOLING, iced(0.5), P_PA, 20.0)
    assert 0.0 == blown
    assert from_coil > 200.0


def test_a_freezing_coil_melts_nothing() -> None:
    """While frost forms, ice stays."""
    cold = replace(COOLING, indoor_coil_surface_k=272.0, frost_kg_s=1e-4)
    assert (0.0, 0.0) == water.melting_w(COOLING, cold, iced(0.5), P_PA, 20.0)


@given(ice=st.floats(0.0, 1.0), dt=st.floats(1.0, 3600.0))
def test_no_more_melts_than_there_is(ice: float, dt: float) -> None:
    """However long the step, ice and meltwater add up."""
    heat = sum(water.melting_w(FAN, FAN, iced(ice), P_PA, dt))
    melted = heat * dt / FUSION_J_KG
    assert melted <= ice + 1e-12
    left = water.next_ice(FAN, FAN, iced(ice), SPEC, heat, dt).indoor_ice_kg
    assert ice == pytest.approx(left + melted, abs=1e-12)
    drained, _ = water.next_water(FAN, iced(ice), SPEC, Condition(), heat, dt)
    assert melted == pytest.approx(drained.shed_kg, abs=1e-12)


def test_a_coil_dries_faster_in_the_wind() -> None:
    """Ten minutes of fan take most of the film, ten minutes of rest hardly any."""
    wet = replace(iced(0.0), coil_water_kg=0.07, shed_kg=0.07)
    left = [
        water.next_water(t, wet, SPEC, Condition(), 0.0, 600.0)[0].coil_water_kg
        for t in (FAN, OFF, COOLING)
    ]
    assert left[0] < 0.5 * 0.07 < 0.85 * 0.07 < left[1]
    assert left[2] >= 0.07
