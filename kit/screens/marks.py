"""The marks with their feedback, critical errors first."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from kit.screens.voice import Voice


def verdict(mark: Any, voice: Voice) -> dict[str, Any]:
    """Return a mark as the view shows it.

    Args:
        mark: what `kit.mark` returned.
        voice: units and language.
    """
    raise NotImplementedError
