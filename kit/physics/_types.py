"""The one type of the physics layer's numbers."""

from __future__ import annotations

from typing import Any, TypeAlias

# A float or a numpy array: every function of kit.physics takes and returns either.
Array: TypeAlias = Any
