"""The faults: one file in this folder is one fault, and the folder is the registry.

To add a fault, copy a file that resembles it, give it the fault's name with underscores, and change
its `turn` and its FAULT; tests/test_every_fault.py then checks it with nothing new to write. A file
whose name starts with an underscore holds no fault.
"""

from __future__ import annotations

import importlib
import pkgutil
from functools import cache
from types import MappingProxyType
from typing import TYPE_CHECKING

from kit.errors import KitError, UnknownNameError
from kit.faults._definition import Cure, Fault, LookAlike, Severity, Sign

if TYPE_CHECKING:
    from collections.abc import Mapping

    from kit.machine.condition import Condition

__all__ = [
    "Cure",
    "Fault",
    "LookAlike",
    "Severity",
    "Sign",
    "apply",
    "fault",
    "fault_names",
    "registry",
]


@cache
def registry() -> Mapping[str, Fault]:
    """Return every fault by name; a file added to this folder is found without more ado.

    Raises:
        KitError: a file without a fault, or whose fault has another name than the file.
    """
    found: dict[str, Fault] = {}
    for info in pkgutil.iter_modules(__path__):
        if info.name.startswith("_"):
            continue
        one = getattr(importlib.import_module(f"{__name__}.{info.name}"), "FAULT", None)
        wanted = info.name.replace("_", "-")
        if not isinstance(one, Fault) or one.name != wanted:
            raise KitError(
                f"kit/faults/{info.name}.py must define FAULT, a Fault named {wanted!r}; "
                "start the file's name with an underscore when it holds no fault."
            )
        found[one.name] = one
    return MappingProxyType(found)


def fault_names() -> tuple[str, ...]:
    """Return the names of all faults, sorted."""
    return tuple(sorted(registry()))


def fault(name: str) -> Fault:
    """Return a fault by name.

    Raises:
        UnknownNameError: there is none; the nearest one is named.
    """
    try:
        return registry()[name]
    except KeyError:
        raise UnknownNameError("fault", name, list(registry())) from None


def apply(condition: Condition, name: str, severity: float | str) -> Condition:
    """Return the condition with a named fault added to it.

    Args:
        condition: what is already wrong; `Condition()` is healthy.
        name: name of the fault.
        severity: name of a severity, or a level [0..1].

    Raises:
        UnknownNameError: no such fault or severity.
        OutOfRangeError: a level outside 0 to 1.
    """
    return fault(name).apply(condition, severity)
