"""The folder is the registry: one file, one fault, and nothing else to write."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

import kit.faults
from kit.errors import KitError, OutOfRangeError, UnknownNameError
from kit.faults import Cure, Fault, Sign, apply, fault, fault_names, registry
from kit.machine import Condition

FOLDER = Path(kit.faults.__file__).parent
# What a trainer expects to find, in our names.
EXPECTED = {
    "air-in-circuit", "blocked-drain", "blocked-indoor-coil", "chewed-communication-wire",
    "clogged-blower-wheel", "coil-sensor-out-of-range", "compressor-not-pumping",
    "dead-inverter-board", "dirty-filter", "dirty-outdoor-coil", "displaced-room-sensor",
    "earthed-winding", "failed-outdoor-fan", "film-on-indoor-coil", "iced-indoor-coil",
    "leaking-reversing-valve", "liquid-line-restriction", "locked-rotor", "low-charge",
    "low-supply-voltage", "no-charge", "open-winding", "outdoor-recirculation", "overcharge",
    "partly-blocked-drain", "stuck-reversing-valve", "valve-stuck-closed", "valve-stuck-open",
    "weak-outdoor-fan",
}  # fmt: skip
CIRCUIT = {
    "charge_fraction", "noncondensable_kg", "compressor_leak", "compressor_state",
    "valve_fixed_opening", "liquid_restriction", "reversing_valve_leak", "reversing_valve_state",
}  # fmt: skip
NEW_FAULT = '''
"""A fault added by dropping a file."""
from dataclasses import replace
from kit.faults._definition import Cure, Fault, Sign, degrees

FAULT = Fault(
    name="slow-blower", title="Slow blower", severities=degrees(0.2, 0.4, 0.6),
    turn=lambda c, level: replace(c, indoor_fan_factor=c.indoor_fan_factor * (1.0 - level)),
    signs=(Sign("indoor_fan_speed", "down"),), cure=Cure("replace_motor", ("indoor_fan_factor",)),
    look_alikes=(), hazards=(), clue="It turns slowly.", complaint="It is quiet.",
    source="common practice, no source",
)
'''


@pytest.fixture
def another_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """Give a folder whose files count as faults, too."""
    monkeypatch.setattr(kit.faults, "__path__", [*kit.faults.__path__, str(tmp_path)])
    registry.cache_clear()
    yield tmp_path
    registry.cache_clear()


def test_every_expected_fault_is_there() -> None:
    """All faults that the trade's list names have a file."""
    assert EXPECTED <= set(fault_names())
    assert len(fault_names()) == len([p for p in FOLDER.glob("*.py") if not p.name.startswith("_")])


def test_a_file_dropped_in_the_folder_is_a_fault(another_folder: Path) -> None:
    """Adding a file is all that adding a fault takes."""
    (another_folder / "slow_blower.py").write_text(NEW_FAULT, encoding="utf-8")
    assert "slow-blower" in fault_names()
    assert 0.6 == pytest.approx(apply(Condition(), "slow-blower", "moderate").indoor_fan_factor)


@pytest.mark.parametrize("text", ["FAULT = 3\n", NEW_FAULT])
def test_a_file_without_its_fault_is_refused(another_folder: Path, text: str) -> None:
    """A file that holds no fault, or one of another name, says what to do."""
    (another_folder / "zz_odd_one.py").write_text(text, encoding="utf-8")
    with pytest.raises(KitError, match=r"zz_odd_one\.py must define FAULT"):
        fault_names()


def test_no_list_of_faults_is_kept_elsewhere() -> None:
    """The registry's code names no fault, so nothing has to be kept in step."""
    text = (FOLDER / "__init__.py").read_text(encoding="utf-8")
    assert not [name for name in fault_names() if name in text or name.replace("-", "_") in text]


@pytest.mark.parametrize("path", sorted(FOLDER.glob("[a-z]*.py")), ids=lambda p: p.stem)
def test_one_file_holds_one_fault(path: Path) -> None:
    """A fault's file defines its `turn` and one FAULT, and is named after it."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    made = [n for n in ast.walk(tree) if isinstance(n, ast.Call) and ast.unparse(n.func) == "Fault"]
    assert 1 == len(made)
    assert re.fullmatch(r"[a-z]+(_[a-z]+)*", path.stem)


@pytest.mark.parametrize("name", fault_names())
def test_every_fault_says_where_it_comes_from(name: str) -> None:
    """Each has a source, or says that it is common practice without one, and speaks plainly."""
    one = fault(name)
    assert one.source
    assert one.title[0].isupper()
    for text in (one.clue, one.complaint):
        assert text.endswith(".")
    assert any(s.found for s in one.severities)
    assert all(s.when for s in one.signs)


@pytest.mark.parametrize("name", fault_names())
def test_the_hazards_of_a_cure_are_named(name: str) -> None:
    """Opening the circuit names refrigerant, parts of the board name the stored charge."""
    one = fault(name)
    if set(one.cure.restores) & CIRCUIT:
        assert "flammable refrigerant" in one.hazards
    if set(one.cure.restores) & {"inverter_state", "bleed_resistor_open", "compressor_state"}:
        assert {"electric shock", "stored charge"} <= set(one.hazards)
    if set(one.cure.restores) & {"wheel_fouling", "outdoor_fan_factor", "indoor_fan_factor"}:
        assert "rotating parts" in one.hazards


def test_an_unknown_fault_names_the_nearest() -> None:
    """A misspelt name is answered with the likely one."""
    with pytest.raises(UnknownNameError, match="'low-charge'"):
        fault("low-charg")
    with pytest.raises(UnknownNameError, match=r"severity of low-charge.*moderate"):
        apply(Condition(), "low-charge", "moderat")


def test_faults_add_to_what_is_already_wrong() -> None:
    """Shares multiply up, so no order and no number of faults leaves the range."""
    c = Condition(filter_loading=0.5)
    assert 0.5 < apply(c, "dirty-filter", 0.5).filter_loading <= 1.0
    assert 1.0 == apply(c, "dirty-filter", 1.0).filter_loading
    leaked = apply(Condition(charge_fraction=0.9), "low-charge", "moderate").charge_fraction
    assert 0.9 * apply(Condition(), "low-charge", "moderate").charge_fraction == leaked


def test_one_part_cannot_fail_in_two_ways() -> None:
    """A compressor with an open winding cannot have a locked rotor as well."""
    open_one = apply(Condition(), "open-winding", "failed")
    with pytest.raises(KitError, match="already 'open_winding'"):
        apply(open_one, "locked-rotor", "failed")
    assert open_one == apply(open_one, "open-winding", "failed")


def test_a_cure_leaves_other_faults_alone() -> None:
    """Cleaning the filter does nothing for the charge."""
    both = apply(apply(Condition(), "dirty-filter", "severe"), "low-charge", "severe")
    left = fault("dirty-filter").cure.done(both)
    assert replace(both, filter_loading=0.0) == left


def test_a_fault_without_words_or_with_unknown_ones_is_refused() -> None:
    """A new file with a slip of the pen says what is wrong when it is first read."""
    good = fault("dirty-filter")
    with pytest.raises(KitError, match="has no source"):
        replace(good, source="")
    with pytest.raises(KitError, match="hazard"):
        replace(good, hazards=("boredom",))
    with pytest.raises(KitError, match="mildest first"):
        replace(good, severities=tuple(reversed(good.severities)))
    with pytest.raises(KitError, match="direction"):
        Sign("split", "sideways")
    with pytest.raises(UnknownNameError, match="filter_loading"):
        Cure("clean", ("filter_loadin",))
    with pytest.raises(OutOfRangeError, match=r"Severity\.level"):
        replace(good.severities[0], level=0.0)
    assert isinstance(good, Fault)
