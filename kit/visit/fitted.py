"""What a unit has besides the usual: strips at the filter, float or pump, a ladder to reach it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from kit.errors import KitError, UnknownNameError

STRIPS = ("none", "carbon", "electret")
DRAINS = ("gravity", "float_switch", "pump")


@dataclass(frozen=True, slots=True)
class Fitted:
    """What is fitted, as a work order says.

    Args:
        strip: strip behind the washable mesh: one of `STRIPS`.
        drain: how water leaves: one of `DRAINS`.
        float_stuck: whether the float hangs or the pump is dead.
        ladder: whether the outdoor unit can only be reached from a ladder.
    """

    strip: str = "none"
    drain: str = "gravity"
    float_stuck: bool = False
    ladder: bool = False


NOTHING_FITTED = Fitted()


def fitted(table: Mapping[str, Any], file: str) -> Fitted:
    """Read the table `[fitted]` of a work order.

    Args:
        table: what the file says.
        file: its name, for messages.

    Raises:
        UnknownNameError: an unknown key or word.
        KitError: a flag that is neither true nor false.
    """
    words = {"strip": STRIPS, "drain": DRAINS}
    flags = ("float_stuck", "ladder")
    for key, value in table.items():
        if key in words and value not in words[key]:
            raise UnknownNameError(
                f"value of {file}: `fitted.{key}`", str(value), list(words[key])
            )
        if key in flags and not isinstance(value, bool):
            raise KitError(f"{file}: `fitted.{key}` is {value!r}; write true or false.")
        if key not in words and key not in flags:
            raise UnknownNameError(f"key in {file} fitted", key, [*words, *flags])
    return Fitted(**table)
