"""Simulated apprentices of known skill, who run any work order by the visit's public face."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from kit.visit.visit import Visit
from tests.apprentices import rash, skilled
from tests.apprentices.hands import Hands

# From the best to the worst; each is (what it does with a visit).
APPRENTICES: dict[str, Callable[[Hands], None]] = {
    "expert": partial(skilled.work, habits=skilled.EXPERT),
    "careful": partial(skilled.work, habits=skilled.CAREFUL),
    "hasty": partial(skilled.work, habits=skilled.HASTY),
    "part-swapper": rash.swap_parts,
    "gauge-first": rash.gauges_first,
    "guesser": partial(rash.guess, seed=1),
}


def send(name: str, visit: Visit) -> Hands:
    """Send an apprentice through a visit and return its hands; "guesser-7" draws other lots.

    Args:
        name: a key of `APPRENTICES`, or "guesser-" and a number.
        visit: a visit that has just begun.
    """
    hands = Hands(visit)
    if name.startswith("guesser-"):
        rash.guess(hands, int(name.removeprefix("guesser-")))
    else:
        APPRENTICES[name](hands)
    return hands
