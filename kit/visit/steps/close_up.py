"""Covers held by a few screws, and the rest of their screws."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from kit.visit import clock, hazards
from kit.visit.actions import Argument, Effect, action
from kit.visit.outcome import Line, line
from kit.visit.state import PARTS, State, noted
from kit.visit.steps.indoor import can_go_on

SCREWED = {name: PARTS[name] for name in ("indoor_casing", "terminal_cover", "outdoor_panels")}


@action("Put back with a few screws only", "finish", "outdoor", 60,
        arguments=(Argument("part", "Part", "choice", SCREWED),), needs=(can_go_on,),
        rules=(hazards.cover_off_live,))  # fmt: skip
def refit_loosely(state: State, part: str) -> Effect:
    """Put a cover back in a hurry; it rattles, lets air by, and can come off over live parts."""
    state = clock.with_off(state, state.off - {part})
    state = clock.with_loose(state, few_screws=state.loose.few_screws | {part})
    said = line("It holds: {part}. Some screws are left in your pocket.", part=PARTS[part])
    return Effect(noted(state, f"few_screws:{part}"), (said,))


def _loose(state: State, args: Mapping[str, Any]) -> Line | None:
    if args["part"] in state.loose.few_screws:
        return None
    return line("No screw is missing there.")


@action("Drive the screws that were left over", "finish", "outdoor", 90,
        arguments=(Argument("part", "Part", "choice", SCREWED),), needs=(_loose,))  # fmt: skip
def add_screws(state: State, part: str) -> Effect:
    """Drive the missing screws."""
    state = clock.with_loose(state, few_screws=state.loose.few_screws - {part})
    return Effect(state, (line("Every screw is in now: {part}.", part=PARTS[part]),))
