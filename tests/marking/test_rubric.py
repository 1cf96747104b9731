"""Rubrics are data; a mistake in one is named with its row."""

from __future__ import annotations

import json
import tomllib
from pathlib import Path

import jsonschema
import pytest

from kit import library
from kit.errors import KitError, UnknownNameError
from kit.marking import load_rubric
from kit.marking.criterion import criteria, parameters
from kit.marking.rubric_form import _SAID, schema_text

GOOD = library.datasets("rubrics", "spring-check.toml").read_text("utf-8")
# For rubrics of an instructor's own.
UNUSED = {"in_sequence", "number_entered"}
NAMES = sorted(path.stem for path in library.datasets("rubrics").glob("*.toml"))


def written(folder: Path, text: str) -> Path:
    """Return a file with this text."""
    path = folder / "mine.toml"
    path.write_text(text, "utf-8")
    return path


@pytest.mark.parametrize("name", NAMES)
def test_every_rubric_is_sound(name) -> None:
    """Criteria, arguments, blocks, events and rows exist; points add up to a hundred."""
    rubric = load_rubric(name)

    assert pytest.approx(100) == sum(row.points for row in rubric.rows)
    assert len(rubric.rows) >= 12
    assert rubric.critical
    assert all(row.why.endswith(".") and row.next_time.endswith(".") for row in rubric.rows)


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ('criterion = "did_all"', 'criterion = "did_al"', "did_all"),
        ('args = { topics = ["codes"] }', 'args = { topic = ["codes"] }', "topics"),
        (
            'args = { topics = ["codes"] }',
            "args = { }",
            "row 'asked-codes': 'asked' needs `topics`",
        ),
        ('topics = ["codes"]', 'topics = ["cods"]', "`args.topics` named 'cods'. .*codes"),
        ('topics = ["codes"]', 'topics = "codes"', "`args.topics` is 'codes'; .* a list of words"),
        ('topics = ["codes"]', "topics = []", "a list of words"),
        ('topics = ["codes"]', 'topics = ["codes", 3]', "a list of words"),
        (
            "minutes = 10",
            'minutes = "ten"',
            "row 'ten-minutes', `args.minutes` is 'ten'; .* number",
        ),
        ('"return_dry_bulb"', '"return_dry_bulp"', "line of the job sheet .*return_dry_bulb"),
        ('places = ["return_grille"]', 'places = ["return_gril"]', "place in .*return_grille"),
        ('actions = ["attach_gauges"]', 'actions = ["atach_gauges"]', "attach_gauges"),
        ('block = "interview"', 'block = "intervew"', "interview"),
        ('first = "baseline"', 'first = "basline"', "baseline"),
        (
            'first = "power_back"\nthen = "recheck"',
            'first = "cleaning"\nthen = "baseline"',
            "'baseline' comes before 'cleaning' and, by the other orders, after",
        ),
        ('voids = ["lock-and-tag"]', 'voids = ["lock-and-tug"]', "lock-and-tag"),
        ('voids = ["lock-and-tag"]', 'voids = "lock-and-tag"', "`voids` is 'lock-and-tag'"),
        ('name = "paper-and-site"', 'name = "nameplate"', "two rows are named 'nameplate'"),
        ('criterion = "split_entered"', 'criterion = "split_entered"\nwhen = ["hot"]', "fact"),
        ("points = 2", "points = 0", "row 'paper-and-site', `points` is 0; it must be above 0"),
        ("points = 2", 'points = "two"', "`points` is 'two'; it must be a number"),
        ("points = 2", "points = true", "`points` is True; it must be a number"),
        ("points = 2", "points = nan", "`points` is nan"),
        ("points = 2", "pionts = 2", "field in mine.toml, row 'paper-and-site' .*points"),
        ("why = ", "wy = ", "why"),
        ("least = 0.8", "least = 1.2", "`least` is 1.2; it must be at least 0 and at most 1"),
        ("least = 0.8", "", "lacks `least`"),
        ("least = 0.8", "least = = 0.8", "TOML"),
        ('title = "Decisions"', 'title = ""', "block 'decision', `title` is ''"),
        ('live = ""', 'lives = ""', "critical error in mine.toml .*live"),
        ('live = ""', "live = 3", "`critical.live`: 3 is no text"),
        ('id = "spring-check"', "", "lacks `id`"),
    ],
)
def test_a_mistake_is_named(tmp_path, old, new, said) -> None:
    """An instructor who writes a rubric learns what is wrong and where."""
    assert old in GOOD

    with pytest.raises(KitError, match=said):
        load_rubric(written(tmp_path, GOOD.replace(old, new, 1)))


def test_a_block_without_rows_is_named(tmp_path) -> None:
    """A minimum of nothing is a slip of the author."""
    more = GOOD.replace("[[row]]", '[[block]]\nname = "x"\ntitle = "X"\nleast = 0.5\n\n[[row]]', 1)

    with pytest.raises(KitError, match="the block 'x' has no row"):
        load_rubric(written(tmp_path, more))


def test_the_schema_is_the_loaders_own() -> None:
    """The file for editors says what the loader says; datasets/rubrics/make_schema.py makes it."""
    text = library.datasets("rubrics", "rubric.schema.json").read_text("utf-8")

    assert schema_text() == text


@pytest.fixture(scope="module")
def valid():
    """Return the validator of the published schema, itself checked."""
    text = library.datasets("rubrics", "rubric.schema.json").read_text("utf-8")
    made = jsonschema.Draft202012Validator(json.loads(text))
    made.check_schema(made.schema)
    return made


@pytest.mark.parametrize("name", NAMES)
def test_every_rubric_fits_the_schema(valid, name) -> None:
    """An editor marks nothing in what the kit ships."""
    data = tomllib.loads(library.datasets("rubrics", f"{name}.toml").read_text("utf-8"))

    assert [] == [error.message for error in valid.iter_errors(data)]


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ('criterion = "did_all"', 'criterion = "did_al"'),
        ('topics = ["codes"]', 'topics = ["cods"]'),
        ('topics = ["codes"]', 'topics = "codes"'),
        ('args = { topics = ["codes"] }', "args = { }"),
        ('args = { topics = ["codes"] }', 'args = { topic = ["codes"] }'),
        ("points = 2", "points = 0"),
        ("points = 2", 'points = "two"'),
        ("points = 2", "pionts = 2"),
        ('first = "baseline"', 'first = "basline"'),
        ('live = ""', 'lives = ""'),
        ("least = 0.8", "least = 1.2"),
        ('id = "spring-check"', ""),
    ],
)
def test_what_the_loader_refuses_the_schema_marks(valid, old, new) -> None:
    """An author sees a slip while writing, not only when marking."""
    assert old in GOOD

    assert list(valid.iter_errors(tomllib.loads(GOOD.replace(old, new, 1))))


def test_every_criterion_serves_a_rubric() -> None:
    """At least forty criteria, and none that no rubric uses."""
    used = {row.criterion for name in NAMES for row in load_rubric(name).rows}

    assert len(criteria()) >= 40
    assert UNUSED == set(criteria()) - used


def test_every_criterion_says_what_its_arguments_are() -> None:
    """Types of arguments are those that a file can hold."""
    for name in criteria():
        for kind, _ in parameters(name).values():
            assert kind.removesuffix(" | None") in _SAID, name


def test_an_unknown_rubric_names_the_nearest() -> None:
    """A slip of the pen is answered with what was meant."""
    with pytest.raises(UnknownNameError, match="spring-check"):
        load_rubric("spring-chek")
