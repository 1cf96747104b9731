"""Which physics a journal was made with: a digest of the files that decide its readings."""

from __future__ import annotations

import hashlib
from functools import cache
from pathlib import Path

import kit
from kit import library

_PHYSICS = ("physics", "machine", "faults")
_PHYSICS_DATA = ("refrigerants", "machines")


def kit_version() -> str:
    """Return the version of the kit."""
    return kit.__version__


@cache
def physics_version() -> str:
    """Return a digest of the equations and of the data they rest on."""
    package = Path(kit.__file__).parent
    files = [path for room in _PHYSICS for path in package.joinpath(room).rglob("*.py")]
    for folder in _PHYSICS_DATA:
        files += [p for p in library.datasets(folder).glob("*") if p.suffix in (".toml", ".npz")]
    return _digest(files)


@cache
def visit_version() -> str:
    """Return a digest of the visit's rules and of its instruments."""
    package = Path(kit.__file__).parent
    files = list(package.joinpath("visit").rglob("*.py"))
    files += library.datasets("instruments").glob("*.toml")
    return _digest(files)


def _digest(files: list[Path]) -> str:
    whole = hashlib.sha256()
    for path in sorted(files, key=lambda p: (p.parent.name, p.name)):
        text = path.read_bytes()
        if path.suffix != ".npz":
            text = text.replace(b"\r\n", b"\n")  # the same on every system
        whole.update(path.name.encode() + b"\0" + hashlib.sha256(text).digest())
    return whole.hexdigest()[:16]
