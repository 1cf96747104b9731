"""The truth key: what was hidden, what counts as found, and which rows apply."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from kit.faults import fault, fault_names
from kit.journal import Replay
from kit.machine.condition import Condition
from kit.machine.readings import READINGS
from kit.marking import load_rubric
from kit.marking.key import FACTS, truth_key
from kit.marking.remedies import HANDED_ON, near_healthy, unhealthy
from kit.marking.signs import WAYS
from kit.visit.actions import registry
from kit.visit.transition import first_state
from kit.visit.work_order import HiddenFault, WorkOrder, load_work_order, work_order_names

ORDERS = work_order_names()
DONE_BY_HAND = {
    "clean_filter", "clean_wheel", "wash_indoor_coil", "wash_outdoor_coil", "clear_drain",
    "thaw_coil", "thaw_outdoor_coil", "reseat_room_sensor",
}  # fmt: skip


def arrived(order: WorkOrder) -> Replay:
    """Return a visit in which nothing was done."""
    start = first_state(order, 7)
    return Replay(None, order, start, (), "us", "en")  # type: ignore[arg-type]


def having(*faults: tuple[str, float | str], **changes: Any) -> WorkOrder:
    """Return an order with these faults hidden."""
    hidden = tuple(HiddenFault(name, severity) for name, severity in faults)
    return replace(load_work_order("spring-check-01"), faults=hidden, **changes)


@pytest.mark.parametrize("name", ORDERS)
def test_every_work_order_has_a_key(name) -> None:
    """Faults to find, or a reason to say that it is sound."""
    key = truth_key(arrived(load_work_order(name)))

    assert key.names
    assert ("sound" in key.facts) == (not key.faults)
    assert 1 == len({"cooling", "heating"} & key.facts)


@pytest.mark.parametrize("name", ORDERS)
def test_rows_that_apply_can_fill_each_block(name) -> None:
    """No work order leaves a whole block of the generic rubric but the circuit's without a row."""
    rubric, key = load_rubric("visit"), truth_key(arrived(load_work_order(name)))
    rows = [row for row in rubric.rows if row.applies(key.facts)]
    without = {block.name for block in rubric.blocks} - {row.block for row in rows}

    assert without <= {"circuit"}
    assert sum(row.points for row in rows) >= 75


@pytest.mark.parametrize(
    ("order", "wanted"),
    [
        ("humid-room-01", "humid-room"),
        ("little-demand-01", "too-little-demand"),
        ("heating-sound-01", "nothing-wrong"),
    ],
)
def test_a_sound_unit_has_its_reason(order, wanted) -> None:
    """The plain answer is always true; a special one where the order makes it so."""
    key = truth_key(arrived(load_work_order(order)))

    assert wanted == key.sound[0]
    assert "nothing-wrong" in key.sound


def test_a_hot_day_counts_only_when_it_is_hot() -> None:
    """105 °F, common practice."""
    around = load_work_order("spring-check-01").surroundings
    hot = having(surroundings=replace(around, outdoor_db_k=315.0))

    assert "very-hot-day" in truth_key(arrived(hot)).sound
    assert "very-hot-day" not in truth_key(arrived(having())).sound


def test_what_is_too_slight_to_find_is_neither_asked_for_nor_wrong() -> None:
    """A fault milder than its mildest finding is left out of what must be found."""
    key = truth_key(arrived(having(("low-charge", "mild"), ("dirty-filter", "severe"))))

    assert ["dirty-filter"] == [one.name for one in key.faults]
    assert ["low-charge"] == [one.name for one in key.slight]
    assert "leak" not in key.facts


@pytest.mark.parametrize(
    ("fact", "faults"),
    [
        ("filter_dirty", [("dirty-filter", "severe")]),
        ("indoor_coil_dirty", [("film-on-indoor-coil", "severe")]),
        ("wheel_dirty", [("clogged-blower-wheel", "severe")]),
        ("outdoor_dirty", [("dirty-outdoor-coil", "severe")]),
        ("drain_dirty", [("blocked-drain", "failed")]),
        ("drips", [("uphill-drain", "severe")]),
        ("circuit", [("overcharge", "severe")]),
        ("leak", [("low-charge", "severe")]),
        ("gauges_tell", [("valve-stuck-open", "wide open")]),
        ("no_split", [("open-winding", "failed")]),
        ("indoor_wash", [("clogged-blower-wheel", "severe")]),
        ("wash", [("dirty-outdoor-coil", "severe")]),
        ("dirty", [("dirty-filter", "severe")]),
    ],
)
def test_a_fact_follows_from_its_fault(fact, faults) -> None:
    """And is not there without it."""
    assert fact in truth_key(arrived(having(*faults))).facts
    assert fact not in truth_key(arrived(having())).facts


def test_every_fact_is_tried() -> None:
    """A fact that a rubric may name holds in some visit here."""
    tried = {key for name in ORDERS for key in truth_key(arrived(load_work_order(name))).facts}
    certified = truth_key(arrived(having(certified=True))).facts

    assert set(FACTS) == tried | certified | {"gauges_tell", "circuit"}


@pytest.mark.parametrize("name", fault_names())
def test_every_fault_is_cured_or_can_be_handed_on(name) -> None:
    """A learner can always do right by what was found."""
    cure = fault(name).cure.action

    assert cure in DONE_BY_HAND or HANDED_ON.get(cure)


@pytest.mark.parametrize("name", fault_names())
def test_a_fault_is_told_ill_and_its_cure_well(name) -> None:
    """What the key calls cured is what the cure restores."""
    one = fault(name)
    ill = one.apply(Condition(), 1.0)

    assert unhealthy(one, ill)
    assert not unhealthy(one, one.cure.done(ill))
    assert not unhealthy(one, Condition())


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("low-charge", "overcharge"), ("open-winding", "earthed-winding"),
        ("open-winding", "locked-rotor"), ("valve-stuck-open", "valve-stuck-closed"),
    ],
)  # fmt: skip
def test_neighbours_on_one_knob_are_two_faults(one, other) -> None:
    """Too much is not too little, and an open winding is not an earthed one."""
    assert not unhealthy(fault(one), fault(other).apply(Condition(), 1.0))
    assert not unhealthy(fault(other), fault(one).apply(Condition(), 1.0))


def test_near_healthy_knows_every_knob() -> None:
    """A healthy machine is healthy."""
    for knob in Condition.__dataclass_fields__:
        assert near_healthy(knob, getattr(Condition(), knob)), knob


@pytest.mark.parametrize("name", fault_names())
def test_every_sign_of_a_fault_can_be_seen_in_a_visit(name) -> None:
    """Evidence that no step can give would be asked for in vain."""
    one = fault(name)
    wanted = {sign.reading for sign in one.signs} | {other.reading for other in one.look_alikes}

    assert wanted <= set(WAYS)


def test_every_way_belongs_to_a_reading() -> None:
    """A slip in a name would never be seen."""
    assert set(WAYS) <= set(READINGS)


def test_ways_name_places_and_looks_that_exist() -> None:
    """A renamed place or look must not make evidence impossible."""
    from kit.marking import signs

    names = {
        constant
        for code in (signs._look, signs._read)
        for constant in code.__code__.co_consts
        if isinstance(constant, str)
    }
    choices = {
        choice
        for action in registry().values()
        for argument in action.arguments
        for some in (argument.choices, *argument.choices_by.values())
        for choice in some
    }
    said = {
        cell.cell_contents
        for ways in signs.WAYS.values()
        for alternative in ways
        for way in alternative
        for cell in way.__closure__ or ()
    }
    words = {w for one in said if isinstance(one, tuple) for w in one}

    assert words
    assert words <= choices | set(registry()), words - choices - set(registry())
    assert not names & {"", "x"}
