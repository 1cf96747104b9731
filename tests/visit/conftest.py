"""What tests of the visit share."""

from __future__ import annotations

import pytest

from kit.visit import clock
from kit.visit.state import State
from kit.visit.transition import first_state
from kit.visit.visit import Visit
from kit.visit.work_order import WorkOrder, load_work_order


@pytest.fixture(scope="session")
def order() -> WorkOrder:
    """Return the work order most tests use."""
    return load_work_order("spring-check-01")


@pytest.fixture(scope="session")
def arrived(order: WorkOrder) -> State:
    """Return the state as the learner arrives; frozen, so it can be shared."""
    return first_state(order, seed=7)


@pytest.fixture
def visit(order: WorkOrder) -> Visit:
    """Return a visit just begun."""
    return Visit(order, seed=7)


@pytest.fixture(scope="session")
def run_in(order: WorkOrder) -> State:
    """Return the state after twelve minutes of cooling at full demand."""
    visit = Visit(order, seed=7)
    visit.step("set_demand", mode="cooling", setpoint_k=291.15)
    visit.step("wait", minutes=12)
    return clock.solved(visit._state)
