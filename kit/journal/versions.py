"""Which physics a journal was made with."""

from __future__ import annotations

import hashlib
from functools import cache
from pathlib import Path

import kit
from kit import library

# Raise by one when anything an instrument or a person shows for the same actions has changed, and
# make the golden journals again: python -m tests.golden.make (tests/journal/test_golden.py holds
# this number to its word).
PHYSICS_VERSION = 1

_CODE = ("physics", "machine", "faults", "visit")
_DATA = ("refrigerants", "machines", "instruments")


def kit_version() -> str:
    """Return the version of the kit."""
    return kit.__version__


@cache
def engine_digest() -> str:
    """Return a digest of the files that decide what is shown.

    Two kits of one physics version may differ in it, by a comment for example; two with the same
    digest show the same.

    Returns:
        16 hexadecimal digits.
    """
    package = Path(kit.__file__).parent
    files = [path for room in _CODE for path in package.joinpath(room).rglob("*.py")]
    for folder in _DATA:
        files += [p for p in library.datasets(folder).glob("*") if p.suffix in (".toml", ".npz")]
    whole = hashlib.sha256()
    for path in sorted(files, key=lambda p: (p.parent.name, p.name)):
        text = path.read_bytes()
        if path.suffix != ".npz":
            text = text.replace(b"\r\n", b"\n")  # the same on every system
        whole.update(path.name.encode() + b"\0" + hashlib.sha256(text).digest())
    return whole.hexdigest()[:16]
