"""What is documented is what is there: names, units and a source, in every public function."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

import kit

PHYSICS = Path(kit.__file__).parent / "physics"
NUMERIC = {"float", "int", "Any", "Array"}
Function = ast.FunctionDef | ast.AsyncFunctionDef


def public_functions(path: Path) -> Iterator[tuple[str, Function]]:
    """Give the public functions of a module and the public methods of its public classes."""
    for node in ast.parse(path.read_text(encoding="utf-8")).body:
        if isinstance(node, Function) and not node.name.startswith("_"):
            yield f"{path.name}:{node.name}", node
        if isinstance(node, ast.ClassDef) and not node.name.startswith("_"):
            for inner in node.body:
                if isinstance(inner, Function) and not inner.name.startswith("_"):
                    yield f"{path.name}:{node.name}.{inner.name}", inner


FUNCTIONS = dict(found for path in sorted(PHYSICS.glob("*.py")) for found in public_functions(path))


def section(doc: str, name: str) -> list[str]:
    """Return the lines of one section of a docstring, without its heading."""
    lines = doc.splitlines()
    starts = [i for i, line in enumerate(lines) if line.strip() == f"{name}:"]
    if not starts:
        return []
    indent = len(lines[starts[0]]) - len(lines[starts[0]].lstrip())
    found = []
    for line in lines[starts[0] + 1 :]:
        if line.strip() and len(line) - len(line.lstrip()) <= indent:
            break
        found.append(line)
    return found


def documented(doc: str) -> dict[str, str]:
    """Return the arguments a docstring describes, with their descriptions."""
    found: dict[str, str] = {}
    name = ""
    for line in section(doc, "Args"):
        if match := re.match(r"\s{4,8}(\w+(?:, \w+)*): (.*)", line):
            for name in match[1].split(", "):
                found[name] = match[2]
        elif name and line.strip():
            found[name] += " " + line.strip()
    return found


def signature(function: Function) -> dict[str, str]:
    """Return the arguments a function takes, with their annotations."""
    given = function.args
    every = [*given.posonlyargs, *given.args, *given.kwonlyargs]
    return {
        arg.arg: ast.unparse(arg.annotation) if arg.annotation else ""
        for arg in every
        if arg.arg not in {"self", "cls"}
    }


def is_property(function: Function) -> bool:
    """Tell whether a method reads like an attribute."""
    names = {ast.unparse(decorator) for decorator in function.decorator_list}
    return bool(names & {"property", "cached_property", "functools.cached_property"})


@pytest.mark.parametrize("name", list(FUNCTIONS))
def test_the_documented_arguments_are_those_of_the_signature(name: str) -> None:
    """Each argument is described under its own name, and no other is."""
    doc = ast.get_docstring(FUNCTIONS[name]) or ""

    assert list(signature(FUNCTIONS[name])) == list(documented(doc))


@pytest.mark.parametrize("name", list(FUNCTIONS))
def test_each_quantity_has_its_unit(name: str) -> None:
    """A number that goes in or comes out has its unit or its range in square brackets."""
    function = FUNCTIONS[name]
    doc = ast.get_docstring(function) or ""
    told = documented(doc)
    numbers = [arg for arg, hint in signature(function).items() if set(hint.split(" | ")) & NUMERIC]
    returns = ast.unparse(function.returns) if function.returns else ""

    assert [] == [arg for arg in numbers if "[" not in told.get(arg, "")]
    if returns in NUMERIC and not is_property(function):
        assert "[" in " ".join(section(doc, "Returns")), "Returns: has no unit"


def computes(function: Function) -> bool:
    """Tell whether numbers go in or come out: whether there is an equation to cite."""
    hints = [*signature(function).values(), ast.unparse(function.returns or ast.Constant(None))]
    return not is_property(function) and any(set(hint.split(" | ")) & NUMERIC for hint in hints)


@pytest.mark.parametrize("name", [name for name, f in FUNCTIONS.items() if computes(f)])
def test_each_equation_names_its_source(name: str) -> None:
    """A function of the physics says where it comes from, or that it has no source."""
    doc = ast.get_docstring(FUNCTIONS[name]) or ""

    assert re.search(r"^\s*Source:", doc, re.MULTILINE)


def test_the_check_has_something_to_check() -> None:
    """The functions are found: an empty list would pass everything."""
    assert len(FUNCTIONS) >= 20
