"""The project's own papers: what they promise is there."""

from __future__ import annotations

import ast
import re
import sys
import tomllib
from pathlib import Path

import pytest
from packaging.requirements import Requirement
from packaging.version import Version

import kit
from kit import cli, library, selftest
from tests.test_import_directions import ROOMS

SETTINGS = tomllib.loads((library.root() / "pyproject.toml").read_text(encoding="utf-8"))
NEEDED = [Requirement(line) for line in SETTINGS["project"]["dependencies"]]
TOOLS = [Requirement(line) for line in SETTINGS["project"]["optional-dependencies"]["test"]]


def locked(path: Path) -> dict[str, set[Version]]:
    """Return the versions a lock file pins, by name."""
    found: dict[str, set[Version]] = {}
    for name, version in re.findall(r"^([\w.-]+)==([\w.]+)", path.read_text("utf-8"), re.MULTILINE):
        found.setdefault(name.lower(), set()).add(Version(version))
    return found


@pytest.mark.parametrize("need", NEEDED, ids=str)
def test_the_lock_holds_what_the_lessons_need(need: Requirement, clone: Path) -> None:
    """Each dependency is pinned, in both locks alike, inside its stated bounds."""
    lessons, tests = (locked(clone / n) for n in ("requirements.lock", "requirements-test.lock"))

    assert all(version in need.specifier for version in lessons[need.name.lower()])
    assert lessons[need.name.lower()] == tests[need.name.lower()]


@pytest.mark.parametrize("need", TOOLS, ids=str)
def test_the_lock_holds_the_test_tools(need: Requirement, clone: Path) -> None:
    """Each test tool is pinned inside its stated bounds."""
    found = locked(clone / "requirements-test.lock")[need.name.lower()]

    assert all(version in need.specifier for version in found)


def test_nbval_is_pinned_with_its_pytest() -> None:
    """Since nbval leans on pytest's internals, the two move together."""
    pins = {need.name: str(need.specifier) for need in TOOLS}

    assert (pins["nbval"], pins["pytest"]) == ("==0.11.0", "==9.2.0")


def test_the_kit_imports_only_what_it_declares() -> None:
    """A package used is a package named: it must not come along by chance."""
    declared = {need.name.lower().replace("-", "_") for need in NEEDED}
    found = set()
    for path in Path(kit.__file__).parent.rglob("*.py"):
        if "_data" in path.parts:
            continue
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Import):
                found |= {alias.name.split(".")[0] for alias in node.names}
            elif isinstance(node, ast.ImportFrom) and node.module:
                found.add(node.module.split(".")[0])
    others = {name for name in found if name not in sys.stdlib_module_names} - {"kit"}
    # IPython and traitlets are part of what ipywidgets is.
    assert set() == {name.lower() for name in others} - declared - {"ipython", "traitlets"}


def test_the_changelog_has_this_version(clone: Path) -> None:
    """The version that runs is described."""
    assert f"## {kit.__version__}" in (clone / "CHANGELOG.md").read_text(encoding="utf-8")


def test_the_readme_shows_the_two_commands(clone: Path) -> None:
    """The commands of the README exist, and stand near its top."""
    head = "\n".join((clone / "README.md").read_text(encoding="utf-8").splitlines()[:25])
    shown = re.findall(r"python3 -m kit (\w+)", head)

    assert shown[:2] == ["lessons", "selftest"]
    for command in shown:
        assert cli.parser().parse_args([command]).run


def test_the_developers_page_has_the_import_table(clone: Path) -> None:
    """The table that people read is the table that is enforced."""
    page = (clone / "DEVELOPERS.md").read_text(encoding="utf-8")
    table = page.partition("## Who may import whom")[2].partition("## ")[0]
    rows = [
        re.findall(r"`(\w+)`", line.split("|")[1]) for line in table.splitlines() if "|" in line
    ]

    assert [set(room) for room in ROOMS] == [set(row) for row in rows if row]


def test_ci_runs_the_readmes_command(clone: Path) -> None:
    """CI runs what the README tells a person to run."""
    assert "python3 -m kit selftest" in (clone / ".ci" / "run").read_text(encoding="utf-8")


def test_every_test_belongs_to_a_stage() -> None:
    """The self-test leaves no folder of tests out."""
    ignored = {
        option.partition("=")[2]
        for stage in selftest.STAGES
        for option in stage.options
        if option.startswith("--ignore=")
    }

    # The Spanish lessons hold no tests: tests/test_lessons.py finds their code in the English ones.
    ignored.remove("lessons/es")
    assert ignored == {"tests/browser", "tests/benchmarks"}
    assert ignored <= {path for stage in selftest.STAGES for path in stage.paths}


def test_every_lint_exception_has_its_reason(clone: Path) -> None:
    """A rule that is switched off says why, on its own line."""
    text = (clone / "pyproject.toml").read_text(encoding="utf-8")
    lint = text.partition("[tool.ruff.lint]")[2].partition("[tool.ruff.lint.flake8")[0]
    rules = [line for line in lint.splitlines() if re.match(r'  "[A-Z]+[0-9]*",', line)]

    assert len(rules) > 20
    assert [] == [line for line in rules if "#" not in line]
