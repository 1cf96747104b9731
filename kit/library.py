"""Where the kit's data and keys lie, in a clone and in an installed package."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from kit.errors import KitError


@cache
def root() -> Path:
    """Return the folder that holds `datasets/`, `lessons/` and `answer_keys/`.

    Raises:
        KitError: when neither a clone nor an installed package has them.
    """
    here = Path(__file__).resolve().parent
    for base in (here.parent, here / "_data"):
        if (base / "datasets").is_dir():
            return base
    raise KitError(f"The kit's datasets were not found beside {here}. Install the kit again.")


def datasets(*parts: str) -> Path:
    """Return a path below `datasets/`."""
    return root().joinpath("datasets", *parts)


def answer_keys(*parts: str) -> Path:
    """Return a path below `answer_keys/`."""
    return root().joinpath("answer_keys", *parts)


def lessons(*parts: str) -> Path:
    """Return a path below `lessons/`."""
    return root().joinpath("lessons", *parts)
