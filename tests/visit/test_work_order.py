"""Work orders are data, and a mistake in one is named with its place."""

from __future__ import annotations

from pathlib import Path

import pytest

from kit import library
from kit.errors import KitError, UnknownNameError
from kit.visit.work_order import load_work_order, work_order_names

GOOD = library.datasets("work_orders", "spring-check-01.toml").read_text("utf-8")


def written(folder: Path, text: str) -> Path:
    """Return a file with this text."""
    path = folder / "mine.toml"
    path.write_text(text, "utf-8")
    return path


@pytest.mark.parametrize("name", work_order_names())
def test_every_work_order_loads_and_gives_a_condition(name) -> None:
    """Each shipped work order fits its machine and its faults."""
    order = load_work_order(name)

    assert name == order.name
    order.condition()


def test_an_instructors_own_file_is_read(tmp_path) -> None:
    """A work order need not come with the kit."""
    assert "spring-check-01" == load_work_order(written(tmp_path, GOOD)).name


def test_a_fault_turns_its_knob() -> None:
    """What is hidden is in the condition as found."""
    condition = load_work_order("spring-check-01").condition()

    assert condition.indoor_coil_film > 0.5
    assert condition.charge_fraction == 1.0


def test_a_named_severity_is_taken(tmp_path) -> None:
    """An instructor may write the trade's word instead of a number."""
    text = GOOD[: GOOD.index("[[fault]]")] + '[[fault]]\nname = "dirty-filter"\nseverity = "severe"'

    assert load_work_order(written(tmp_path, text)).condition().filter_loading > 0.5


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("format = 1", "format = 9", "`format` must be 1"),
        ('mode = "cooling"', 'mode = "coling"', "cooling"),
        ("allowed_min = 330", "allowed_min = -1", "allowed_min"),
        ("room_c = 26.0", "room_c = 79.0", "room_c"),
        ("room_c = 26.0", "roomc = 26.0", "room_c"),
        ("room_c = 26.0", "room_c = nan", "room_c"),
        ("severity = 0.35", "severity = 1.5", "severity"),
        ('codes = "No codes', 'code = "No codes', "codes"),
        ('[customer]\nname = "Marlo Quillfeather"', "[customer]", "customer.name"),
        ("brief = [", "brief = 3\nx = [", "x"),
        ("format = 1", "format = 1\nformat = 1", "TOML"),
    ],
)
def test_a_mistake_is_named_with_its_key(tmp_path, old, new, said) -> None:
    """The message says which key of which file is wrong."""
    assert old in GOOD

    with pytest.raises(KitError, match=said):
        load_work_order(written(tmp_path, GOOD.replace(old, new, 1)))


def test_an_unknown_work_order_names_the_nearest() -> None:
    """A slip of the pen is answered with what was meant."""
    with pytest.raises(UnknownNameError, match="spring-check-01"):
        load_work_order("spring-chek-01")


def test_an_unknown_fault_names_the_nearest(tmp_path) -> None:
    """A fault's name is looked up when the visit begins."""
    order = load_work_order(written(tmp_path, GOOD.replace('"dirty-filter"', '"dirty-filtre"')))

    with pytest.raises(UnknownNameError, match="dirty-filter"):
        order.condition()


def test_a_missing_file_is_named(tmp_path) -> None:
    """A wrong path gives one clear sentence."""
    with pytest.raises(KitError, match=r"away\.toml"):
        load_work_order(tmp_path / "away.toml")
