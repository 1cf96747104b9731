"""What the compressor does: one rule each of starting, waiting, tripping and being solved."""

from __future__ import annotations

from dataclasses import replace

import pytest

from kit.errors import NotConvergedError
from kit.machine import Command, Condition, Surroundings, Truth, drive, load_spec, settle
from kit.machine.controls import TRIPS_TO_GIVE_UP
from kit.machine.memory import Memory, first_memory

SPEC = load_spec("wall-12k-r32")
AROUND = Surroundings(room_db_k=299.82, room_rh=0.51, outdoor_db_k=308.15, outdoor_rh=0.4)
COOL = Command("cooling", setpoint_k=291.15)
OFF = Command("off")
SOUND = Condition()


def found(condition: Condition = SOUND, command: Command = COOL, run: bool = False) -> Memory:
    """Return the memory of a machine found running or standing, with orders to come."""
    truth = settle(SPEC, condition, AROUND, command if run else OFF)
    return first_memory(truth, SPEC, (condition, AROUND, command))


@pytest.mark.parametrize(
    ("condition", "limit"),
    [
        (Condition(communication_state="open"), "communication_stop"),
        (Condition(supply_voltage_factor=0.7), "under_voltage_stop"),
        (Condition(compressor_state="locked_rotor"), "over_current_stop"),
        (Condition(compressor_state="earthed_winding"), "over_current_stop"),
    ],
)
def test_a_standing_cause_keeps_it_standing(condition: Condition, limit: str) -> None:
    """While the cause lasts the machine does not try, and says why."""
    memory, now = drive.drive(found(condition), SPEC, 5.0)
    assert not now.runs
    assert (limit,) == now.limits
    assert 0 == memory.trips


def test_a_dead_board_says_nothing() -> None:
    """Without its inverter the machine stands and names no protection."""
    _, now = drive.drive(found(Condition(inverter_state="dead")), SPEC, 5.0)
    assert not now.runs
    assert () == now.limits


def test_a_displaced_sensor_satisfies_the_thermostat() -> None:
    """A room sensor that reads twelve kelvins cold keeps a cooling machine off."""
    memory, now = drive.drive(found(Condition(room_sensor_offset_k=-12.0)), SPEC, 5.0)
    assert memory.satisfied
    assert not now.runs
    assert now.steady.airflow_m3_s > 0.0


def test_a_forced_speed_is_reached_by_the_same_ramp() -> None:
    """A test run starts softly as well, then holds the speed asked for, whatever the demand."""
    order = Command("cooling", setpoint_k=305.15, compressor_rps=50.0)
    memory = found(command=order)
    speeds = []
    for _ in range(40):
        memory, now = drive.drive(memory, SPEC, 5.0)
        assert now.runs
        speeds.append(now.steady.compressor_rps)
        memory = replace(memory, truth=replace(memory.truth, running=True))
    assert 28.0 == pytest.approx(speeds[0])
    assert speeds == sorted(speeds)
    assert 50.0 == pytest.approx(speeds[-1])


def test_a_state_is_solved_again_only_when_something_changed(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """A settled machine costs one solve, however long it runs; a new order costs another."""
    calls = []

    def counted(*args: object) -> Truth:
        calls.append(args)
        return settle(*args)  # type: ignore[arg-type]

    memory = found(run=True)
    monkeypatch.setattr(drive, "settle", counted)
    for _ in range(10):
        memory, _ = drive.drive(memory, SPEC, 20.0)
    assert 1 == len(calls)
    memory = replace(memory, orders=(Condition(filter_loading=0.5), AROUND, COOL))
    drive.drive(memory, SPEC, 20.0)
    assert 2 == len(calls)


def test_a_speed_without_a_solution_is_passed_over(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the ramp meets a speed that cannot be solved, the state demand asks for stands in."""
    steady = settle(SPEC, Condition(), AROUND, COOL)

    def only_full(spec, condition, around, command) -> Truth:
        if spec is not SPEC:
            raise NotConvergedError("not solved")
        return settle(spec, condition, around, command)

    monkeypatch.setattr(drive, "settle", only_full)
    _, now = drive.drive(found(), SPEC, 5.0)
    assert now.runs
    assert steady.split_k == pytest.approx(now.steady.split_k)


def test_a_state_without_a_solution_is_an_error(monkeypatch: pytest.MonkeyPatch) -> None:
    """When even the state that demand asks for cannot be solved, no number is made up."""

    def never(*_: object) -> Truth:
        raise NotConvergedError("not solved")

    monkeypatch.setattr(drive, "settle", never)
    with pytest.raises(NotConvergedError):
        drive.drive(found(), SPEC, 5.0)


def test_trips_are_counted_and_forgotten() -> None:
    """A stop by pressure counts as one trip and starts the wait; switching off forgets it."""
    memory, now = drive.drive(found(Condition(outdoor_fan_factor=0.0)), SPEC, 5.0)
    assert not now.runs
    assert ("high_pressure_stop",) == now.limits == memory.tripped
    assert 1 == memory.trips < TRIPS_TO_GIVE_UP
    assert 5.0 == memory.stopped_s
    _, waits = drive.drive(memory, SPEC, 5.0)
    assert ("high_pressure_stop", "restart_delay") == waits.limits
    off = replace(memory, orders=(memory.orders[0], AROUND, OFF))
    forgotten, _ = drive.drive(off, SPEC, 5.0)
    assert 0 == forgotten.trips
    assert () == forgotten.tripped


def test_ice_is_solved_in_steps_counted_from_the_knob() -> None:
    """Ice as found is solved exactly as found; what grows since moves it by whole steps."""
    memory = found(Condition(indoor_coil_ice=0.33))
    assert 0.33 == pytest.approx(drive._iced(memory, SPEC).indoor_coil_ice, abs=1e-12)
    more = replace(memory, indoor_ice_kg=memory.indoor_ice_kg * 1.2)
    assert 0.39 == pytest.approx(drive._iced(more, SPEC).indoor_coil_ice, abs=1e-9)
    buried = replace(memory, indoor_ice_kg=9.0)
    assert 1.0 == drive._iced(buried, SPEC).indoor_coil_ice
