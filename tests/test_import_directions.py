"""The kit is read from left to right: a module imports only from what stands to its left."""

from __future__ import annotations

import ast
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

import kit

KIT = Path(kit.__file__).parent
# The table of DEVELOPERS.md. A package counts as a whole; inside one, modules may use each other.
ROOMS = (
    ("errors", "language", "quantities", "library"),
    ("physics",),
    ("machine",),
    ("faults",),
    ("visit",),
    ("journal",),
    ("marking",),
    ("records",),
    ("bench",),
    ("screens",),
    ("progress", "pip_trouble", "environment", "launch", "pages", "selftest", "cli", "__main__"),
)
PLACE = {name: number for number, room in enumerate(ROOMS) for name in room}
LAUNCHER = (
    "__main__", "cli", "environment", "launch", "pages", "pip_trouble", "progress", "selftest",
)  # fmt: skip
LAUNCHER_MAY_USE = {"errors", "library", *LAUNCHER}
MODULES = sorted(path for path in KIT.rglob("*.py") if "_data" not in path.relative_to(KIT).parts)


def room_of(path: Path) -> str:
    """Return the top name below `kit` that a file belongs to."""
    parts = path.relative_to(KIT).with_suffix("").parts
    return parts[0]


def imported(path: Path) -> Iterator[str]:
    """Give every module that a file imports, anywhere in it, by its full dotted name."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            module = node.module or ""
            yield module
            if module == "kit":  # from kit import library
                yield from (f"kit.{alias.name}" for alias in node.names)


def rooms_used(path: Path) -> set[str]:
    """Return the top names below `kit` that a file imports."""
    names = (name.split(".") for name in imported(path))
    return {parts[1] for parts in names if parts[0] == "kit" and len(parts) > 1}


def relative_name(path: Path) -> str:
    """Return a file's name as a test should show it."""
    return path.relative_to(KIT.parent).as_posix()


@pytest.mark.parametrize("path", MODULES, ids=relative_name)
def test_a_module_imports_only_to_its_left(path: Path) -> None:
    """Nothing looks to the right, so that each room can be read and tested without the next."""
    own = room_of(path)
    if own == "__init__":
        assert {"marking", "journal"} == rooms_used(path), "kit offers open_visit and mark, no more"
        return

    wrong = {name for name in rooms_used(path) if PLACE[name] > PLACE[own]}

    assert set() == wrong


@pytest.mark.parametrize("path", MODULES, ids=relative_name)
def test_every_room_is_in_the_table(path: Path) -> None:
    """A new room gets its place in the table before anything else."""
    assert room_of(path) in {*PLACE, "__init__"}


@pytest.mark.parametrize("path", MODULES, ids=relative_name)
def test_imports_are_absolute_and_named(path: Path) -> None:
    """No relative and no star import: a reader sees where each name comes from."""
    froms = [
        node
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.ImportFrom)
    ]

    assert [] == [node.lineno for node in froms if node.level or node.names[0].name == "*"]


@pytest.mark.parametrize("name", LAUNCHER)
def test_the_launcher_needs_nothing_but_python(name: str) -> None:
    """What runs before the environment exists imports Python's own modules only."""
    path = KIT / f"{name}.py"
    tops = {module.split(".")[0] for module in imported(path)} - {"kit", "__future__"}

    assert set() == tops - sys.stdlib_module_names
    assert rooms_used(path) <= LAUNCHER_MAY_USE


@pytest.mark.parametrize("name", ["errors", "library"])
def test_what_the_launcher_uses_needs_nothing_but_python(name: str) -> None:
    """The two rooms the launcher leans on are as light as itself."""
    tops = {module.split(".")[0] for module in imported(KIT / f"{name}.py")}

    assert set() == tops - sys.stdlib_module_names - {"kit"}


@pytest.mark.parametrize("name", ["__init__", "__main__"])
def test_an_old_python_can_read_what_turns_it_away(name: str) -> None:
    """The first two files that run are plain enough for Pythons long out of use."""
    tree = ast.parse((KIT / f"{name}.py").read_text(encoding="utf-8"), feature_version=(3, 6))
    newer = (ast.AnnAssign, ast.JoinedStr, ast.NamedExpr, ast.AsyncFunctionDef)
    functions = [node for node in ast.walk(tree) if isinstance(node, ast.FunctionDef)]

    assert [] == [node for node in ast.walk(tree) if isinstance(node, newer)]
    assert [] == [f.name for f in functions if f.returns or any(a.annotation for a in f.args.args)]


def test_the_modules_were_found() -> None:
    """The check has something to check."""
    assert len(MODULES) > 20
