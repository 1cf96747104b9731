"""Join a screen's JavaScript: shared parts first, then the screen's own module; no build step."""

from __future__ import annotations

from pathlib import Path

_HERE = Path(__file__).resolve().parent


def script(own: str, *parts: str) -> str:
    """Return one ES module made of shared parts and a screen's own file.

    Args:
        own: file name of the screen's module, beside this file.
        parts: file names below `parts/`, in the order they are needed.
    """
    files = [_HERE / "parts" / part for part in parts] + [_HERE / own]
    return "\n".join(file.read_text(encoding="utf-8") for file in files)


def style(*names: str) -> str:
    """Return stylesheets joined in the order given."""
    return "\n".join((_HERE / name).read_text(encoding="utf-8") for name in names)
