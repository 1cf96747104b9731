"""Seeded streams: one for each instrument, the same on every computer.

The bits of numpy's bit generators are fixed by its compatibility policy (NEP 19); its
distributions are not. So only raw bits are drawn, and the bell curve is made here.
"""

from __future__ import annotations

import hashlib
from functools import lru_cache
from statistics import NormalDist

_BELL = NormalDist()


@lru_cache(maxsize=4096)
def uniform(seed: int, *labels: str | int) -> float:
    """Return a number that seems drawn at random from (0, 1), fixed by seed and labels.

    Args:
        seed: the visit's seed.
        labels: what the number is for, such as an instrument and the count of its readings.

    Returns:
        The number [-].

    Source: PCG64 bit generator of numpy, its top 53 bits (common practice).
    """
    from numpy.random import PCG64, SeedSequence

    name = "\x1f".join(str(part) for part in (seed, *labels))
    digest = hashlib.sha256(name.encode()).digest()
    bits = PCG64(SeedSequence(int.from_bytes(digest[:16], "big")))
    return (int(bits.random_raw()) // 2048 + 0.5) / 9007199254740992.0


def bell(seed: int, *labels: str | int, limit: float = 3.0) -> float:
    """Return a number that seems drawn from a standard bell curve, redrawn beyond a limit.

    Args:
        seed: the visit's seed.
        labels: what the number is for.
        limit: largest size allowed [standard deviations].

    Returns:
        The number [-].

    Source: inverse of the normal distribution, truncated by mapping the uniform number
        into the part of (0, 1) inside the limit.
    """
    tail = _BELL.cdf(-limit)
    return _BELL.inv_cdf(tail + (1 - 2 * tail) * uniform(seed, *labels))
