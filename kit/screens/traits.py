"""Traits that a screen's view sees."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    import traitlets


def synced(trait: traitlets.TraitType[Any, Any]) -> Any:
    """Return a trait whose value is sent to the view when it changes, and taken from it.

    Args:
        trait: the trait.
    """
    return trait.tag(sync=True)
