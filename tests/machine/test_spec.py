"""A data sheet is read whole or not at all, and says what is wrong with it."""

from __future__ import annotations

import re
import tomllib
from dataclasses import FrozenInstanceError, fields
from pathlib import Path

import pytest

from kit import library
from kit.errors import KitError, OutOfRangeError, UnknownNameError
from kit.machine import Spec, load_spec, spec_names
from kit.machine.spec import FAN_SPEEDS, PLAUSIBLE, Coil, Fan, read_spec

SOUND = library.datasets("machines", "wall-12k-r32.toml").read_text(encoding="utf-8")


def altered(folder: Path, old: str, new: str) -> Path:
    """Return a copy of a sound machine's file with one passage changed."""
    assert 1 == SOUND.count(old), old
    path = folder / "my-machine.toml"
    path.write_text(SOUND.replace(old, new), encoding="utf-8")
    return path


def test_every_machine_of_the_folder_can_be_loaded() -> None:
    """Names are the files' names, sorted; each file gives a data sheet with its notes left out."""
    names = spec_names()
    assert names == sorted(names)
    assert {p.stem for p in library.datasets("machines").glob("*.toml")} == set(names)
    for name in names:
        spec = load_spec(name)
        assert name == spec.name
        assert FAN_SPEEDS == tuple(spec.speeds)


def test_a_data_sheet_cannot_be_changed() -> None:
    """A machine's fixed numbers stay fixed, the fan speeds among them."""
    spec = load_spec("wall-12k-r32")
    with pytest.raises(FrozenInstanceError):
        spec.swept_m3 = 1.0  # type: ignore[misc]
    with pytest.raises(FrozenInstanceError):
        spec.indoor.face_m2 = 1.0  # type: ignore[misc]
    with pytest.raises(TypeError):
        spec.speeds["high"] = 0.5  # type: ignore[index]
    assert spec is load_spec("wall-12k-r32")


def test_an_unknown_name_is_answered_with_the_nearest() -> None:
    """A slip of the keyboard is told what was probably meant."""
    with pytest.raises(UnknownNameError, match=r"'wall-12k-r23'.*'wall-12k-r32'"):
        load_spec("wall-12k-r23")
    with pytest.raises(UnknownNameError, match="machine"):
        load_spec("../refrigerants/R-32")


def test_every_number_has_a_plausible_range() -> None:
    """The one table of ranges names every numeric field of the three kinds, and nothing else."""
    words = {"name", "title", "origin", "refrigerant", "indoor", "outdoor", "indoor_fan",
             "outdoor_fan"}  # fmt: skip
    wanted = {f.name for kind in (Spec, Coil, Fan) for f in fields(kind)} - words
    assert wanted == set(PLAUSIBLE)
    assert all(low < high for low, high in PLAUSIBLE.values())


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        ("valve_m2 = 0.36e-6\n", "", r"my-machine\.toml: missing valve_m2; not known nothing"),
        ("oil_kg", "oil_l", r"my-machine\.toml: missing oil_kg; not known oil_l"),
        ("face_m2 = 0.21\n", "", r"my-machine\.toml \[indoor\]: missing face_m2"),
        ("quiet = 0.44\n", "", r"my-machine\.toml \[speeds\] must name just quiet, low"),
        ("quiet = 0.44", "quiet = 0.7", r"\[speeds\]: the speeds must rise"),
        ("swept_m3 = 9.0e-6", 'swept_m3 = "small"', r"my-machine\.toml: swept_m3 is 'small'"),
        ("oil_kg = 0.32", "oil_kg = true", r"my-machine\.toml: oil_kg is True; .* a number"),
        ("oil_kg = 0.32", "oil_kg = nan", r"my-machine\.toml: oil_kg is nan"),
        ("[6.5, 8.0]", "6.5", r"my-machine\.toml: current_limit_a is 6\.5; .* two numbers"),
        ("[6.5, 8.0]", "[8.0, 6.5]", r"current_limit_a begins at 8\.0 and ends at 6\.5; .* rise"),
        ("[275.65, 272.15]", "[272.15, 275.65]", r"freeze_limit_k begins .* must fall"),
        ("speed_cooling_rps = 62", "speed_cooling_rps = 120", r"speed_cooling_rps is 120\.0"),
        ('refrigerant = "R-32"', 'refrigerant = "R-33"', r"refrigerant \(field .*'R-33'.*'R-32'"),
        ('title = "Wall unit', "title = 3 # ", r"my-machine\.toml: title is 3; .* a text"),
        ("coil_share = 0.75", "coil_share = 0.75\nhum = 3", r"\[outdoor_fan\]: .* not known hum"),
        ("filter_share = 0.20", "filter_share = 0.6", r"\[indoor_fan\]: filter_share and coil_sh"),
        ("[speeds]", "[speeds", r"my-machine\.toml cannot be read as TOML"),
    ],
)  # fmt: skip
def test_a_wrong_file_gives_one_error_that_names_file_and_field(
    tmp_path: Path, old: str, new: str, message: str
) -> None:
    """Whoever adds a machine is told in which file which field is wrong, and why."""
    with pytest.raises(KitError, match=message) as caught:
        read_spec(altered(tmp_path, old, new))
    assert "\n" not in str(caught.value)


@pytest.mark.parametrize(
    ("old", "new", "name"),
    [
        ("factory_charge_kg = 0.69", "factory_charge_kg = 690", "factory_charge_kg"),
        ("gas_line_inner_m = 0.00792", "gas_line_inner_m = 7.92", "gas_line_inner_m"),
        ("[275.65, 272.15]", "[2.5, -1.0]", "freeze_limit_k"),
        ("airflow_m3_s = 0.189", "airflow_m3_s = 189", "airflow_m3_s"),
        ("quiet = 0.44", "quiet = 0.01", "quiet"),
        ("supply_v = 230", "supply_v = 23", "supply_v"),
    ],
)
def test_a_value_in_the_wrong_unit_is_refused(
    tmp_path: Path, old: str, new: str, name: str
) -> None:
    """Grams, millimetres, degrees Celsius and litres are told from kilograms, metres, kelvins."""
    with pytest.raises(OutOfRangeError, match=rf"my-machine\.toml.*{name} is .* must lie from"):
        read_spec(altered(tmp_path, old, new))


def test_a_line_set_beyond_the_precharged_length_adds_its_allowance() -> None:
    """Charge is the factory's up to the precharged length, then so many grams a metre."""
    short, long = load_spec("wall-12k-r32"), load_spec("wall-12k-r32-long-line")
    assert short.line_m <= short.precharged_line_m
    assert short.factory_charge_kg == short.charge_kg
    beyond = long.line_m - long.precharged_line_m
    assert beyond >= 5.0
    allowance = beyond * long.extra_charge_kg_m
    assert long.factory_charge_kg + allowance == pytest.approx(long.charge_kg, rel=1e-12)


@pytest.mark.parametrize("name", spec_names())
def test_every_machine_says_where_its_numbers_come_from(name: str) -> None:
    """Each file calls its machine generic and its own, and notes a source for every group."""
    raw = tomllib.loads(library.datasets("machines", f"{name}.toml").read_text(encoding="utf-8"))
    notes = raw["notes"]
    assert "own" in raw["origin"]
    for group in ("class", "rated", "coils", "lines", "fans", "protections", "electrics", "water"):
        text = notes[group]
        assert re.search(r"memory|no source|Not measured|AHRI|engine", text), group
    assert "so that" in notes["chosen_for_the_rated_points"]
