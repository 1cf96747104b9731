"""The words of a chart: sentences put together, for whoever hears it instead of seeing it."""

from __future__ import annotations

from collections.abc import Iterable

from kit.visit.outcome import Line


def together(lines: Iterable[Line]) -> Line:
    """Return several sentences as one.

    Args:
        lines: the sentences, in the order of reading.
    """
    told = {f"s{i}": one for i, one in enumerate(lines)}
    return Line(" ".join(f"{{{name}}}" for name in told), tuple(told.items()))
