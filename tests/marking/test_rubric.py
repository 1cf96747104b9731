"""Rubrics are data; a mistake in one is named with its row."""

from __future__ import annotations

from pathlib import Path

import pytest

from kit import library
from kit.errors import KitError, UnknownNameError
from kit.marking import load_rubric

GOOD = library.datasets("rubrics", "spring-check.toml").read_text("utf-8")
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
        ('args = { topics = ["codes"] }', "args = { }", "'asked' needs `topics`"),
        ('block = "interview"', 'block = "intervew"', "interview"),
        ('first = "baseline"', 'first = "basline"', "baseline"),
        ('voids = ["lock-and-tag"]', 'voids = ["lock-and-tug"]', "lock-and-tag"),
        ('name = "paper-and-site"', 'name = "nameplate"', "two rows are named 'nameplate'"),
        ("points = 2", "points = 0", "`points` is 0; it must be above 0"),
        ('id = "spring-check"', "", "id"),
        ("least = 0.8", "least = = 0.8", "TOML"),
    ],
)
def test_a_mistake_is_named(tmp_path, old, new, said) -> None:
    """An instructor who writes a rubric learns what is wrong and where."""
    assert old in GOOD

    with pytest.raises(KitError, match=said):
        load_rubric(written(tmp_path, GOOD.replace(old, new, 1)))


def test_an_unknown_rubric_names_the_nearest() -> None:
    """A slip of the pen is answered with what was meant."""
    with pytest.raises(UnknownNameError, match="spring-check"):
        load_rubric("spring-chek")
