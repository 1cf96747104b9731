"""What a machine remembers when it is first met, and what the knobs of ice do to it."""

from __future__ import annotations

from dataclasses import replace

import pytest

from kit.machine import Command, Condition, Surroundings, load_spec, settle
from kit.machine.memory import Memory, first_memory, ice_full_kg, with_held_room, with_ice
from kit.physics import air

SPEC = load_spec("wall-18k-r32")
SOUND = Condition()
AROUND = Surroundings(room_db_k=299.82, room_rh=0.51, outdoor_db_k=308.15, outdoor_rh=0.4)
HEATING = Surroundings(room_db_k=294.26, room_rh=0.5, outdoor_db_k=281.48, outdoor_rh=0.73)


def met(command: Command, around: Surroundings = AROUND, condition: Condition = SOUND) -> Memory:
    """Return the memory of a machine met in a steady state."""
    truth = settle(SPEC, condition, around, command)
    return first_memory(truth, SPEC, (condition, around, command))


def test_a_running_machine_is_met_warm_and_wet() -> None:
    """It has run for long, its coil holds its film and its pan what drives the drain."""
    memory = met(Command("cooling", 291.15))
    assert memory.running_s >= 3600.0
    assert 0.0 == memory.stopped_s
    assert "cooling" == memory.ran_mode
    assert 0.35 * SPEC.indoor.face_m2 == pytest.approx(memory.coil_water_kg)
    assert 0.0 < memory.pan_water_kg < 0.02
    assert memory.coil_water_kg + memory.pan_water_kg == memory.shed_kg


def test_a_standing_machine_is_met_rested_and_dry() -> None:
    """It may start at once; nothing drips."""
    memory = met(Command("off"))
    assert 0.0 == memory.running_s == memory.speed_rps == memory.coil_water_kg
    assert memory.stopped_s >= 3600.0
    assert () == memory.tripped


def test_the_mode_it_runs_in_is_read_from_the_machine() -> None:
    """Not from the order that comes next, nor from a reversing valve that is stuck."""
    heat = Command("heating", 303.15)
    assert "heating" == met(heat, HEATING).ran_mode
    stuck = Condition(reversing_valve_state="stuck_cooling")
    assert "heating" == met(heat, HEATING, stuck).ran_mode
    cooling = settle(SPEC, Condition(), AROUND, Command("cooling", 291.15))
    assert "cooling" == first_memory(cooling, SPEC, (Condition(), AROUND, heat)).ran_mode


def test_a_tripped_machine_has_given_up() -> None:
    """A steady state that a protection ended is not tried again by itself."""
    memory = met(Command("cooling", 291.15), condition=Condition(outdoor_fan_factor=0.0))
    assert ("high_pressure_stop",) == memory.tripped
    assert memory.trips >= 3


def test_only_a_turned_knob_changes_the_ice() -> None:
    """The mass is what was found and what has become of it, until somebody turns the knob."""
    iced = Condition(indoor_coil_ice=0.4)
    memory = met(Command("off"), condition=iced)
    assert 0.4 * ice_full_kg(SPEC.indoor.face_m2) == pytest.approx(memory.indoor_ice_kg)
    thawing = replace(memory, indoor_ice_kg=0.05)
    assert 0.05 == with_ice(thawing, SPEC, iced).indoor_ice_kg
    assert 0.0 == with_ice(thawing, SPEC, Condition()).indoor_ice_kg
    other = with_ice(thawing, SPEC, replace(iced, outdoor_coil_ice=0.2))
    assert 0.05 == other.indoor_ice_kg
    assert 0.2 * ice_full_kg(SPEC.outdoor.face_m2) == pytest.approx(other.outdoor_frost_kg)


def test_a_room_is_held_unless_it_has_a_load() -> None:
    """Without a load the surroundings say what the room is; with one it goes its own way."""
    memory = met(Command("off"))
    warmer = replace(AROUND, room_db_k=303.15)
    held = with_held_room(memory, warmer)
    assert 303.15 == held.room_db_k
    p_pa = float(air.pressure_pa(0.0))
    assert float(air.humidity_ratio(303.15, 0.51, p_pa)) == pytest.approx(held.room_w, rel=1e-12)
    assert memory == with_held_room(memory, replace(warmer, room_load_w=500.0))
