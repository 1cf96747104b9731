"""Decisions with their reasons, and the conclusion."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from kit.visit.actions import Argument, Effect, action
from kit.visit.outcome import Line, line
from kit.visit.state import State, noted

DECISIONS = {
    "clean_first": "Clean everything, run again, read again; gauges only if it is still low",
    "gauges_first": "Gauges before any cleaning",
    "no_further": "Leave the refrigerant circuit alone; finish",
    "gauges_now": "Still low after cleaning: gauges",
    "other_cause": "Neither dirt nor refrigerant: follow another cause first",
}
REASONS = {
    "split_on_target": "The split is on the target for this air",
    "split_below_target": "The split is below the target for this air",
    "split_above_target": "The split is above the target for this air",
    "split_near_zero": "The split is near zero",
    "humidity_counted": "The humidity of the room is counted in",
    "demand_full": "The demand was large enough and it ran long enough",
    "dirt_seen": "Dirt was seen on filter, coil or wheel",
    "outdoor_dirt_seen": "Dirt was seen on the outdoor coil",
    "drip": "It drips, so coil, wheel and drain come first whatever they look like",
    "no_codes": "No codes were shown",
    "codes": "Codes were shown",
    "compressor_runs": "The compressor draws its current",
    "split_restored": "The split came back to the target after cleaning",
    "air_side_clean": "Filter, coils and wheel were looked at and are clean",
    "demand_small": "The demand was too small or the run too short to judge by",
    "no_current": "The compressor draws no current",
    "fan_stands": "A fan stands still or turns lazily",
    "wire_or_board_seen": "A wire or the board was seen damaged",
    "sensor_seen": "A sensor was seen or measured to be wrong",
    "last_gauges": "Gauges cost charge and prove nothing before the air side is clean",
}
NO_FAULTS = {
    "nothing-wrong": "Nothing is wrong with the machine",
    "humid-room": "The room is humid; the machine is sound",
    "too-little-demand": "The demand was too small; the machine is sound",
    "very-hot-day": "A very hot day; the machine is sound",
}
RECOMMENDATIONS = {
    "wash_filter": "Wash the filter every two to four weeks in the season",
    "yearly_service": "Coil, wheel and drain once a year",
    "keep_clear": "Keep the outdoor unit clear of fluff, leaves and screens",
    "watch_drain": "Watch for drops; call when they come back",
    "leave_refrigerant": "The refrigerant circuit needs nothing",
    "leak_search": "Leak search and repair by a certified person",
    "certified_repair": "Repair of the refrigerant circuit by a certified person",
    "replace_part": "Replace the part that was proved bad",
    "new_cable": "A new cable between the units, kept from animals",
    "relay_drain": "Lay the drain hose anew, with fall all the way",
    "leave_off": "Leave it off until it is repaired",
    "drier_room": "Keep damp out of the room; the unit is sound",
    "set_remote": "Fan on auto, and ask for enough when it has to cool or heat",
    "electrician": "An electrician for the supply",
    "load_calculation": "A load calculation for the room",
    "replace_unit": "Replace the unit",
    "top_up": "Top up the refrigerant every year",
}


def _findings() -> dict[str, str]:
    from kit.faults import fault, fault_names

    return {**{name: fault(name).title for name in fault_names()}, **NO_FAULTS}


@action(
    "Decide how to go on",
    "decide",
    "job_sheet",
    60,
    arguments=(
        Argument("choice", "Decision", "choice", DECISIONS),
        Argument("reasons", "Because", "choices", REASONS),
    ),
    cautions=("refrigerant",),
)
def decide(state: State, choice: str, reasons: list[str]) -> Effect:
    """Say what comes next and why; the reasons must follow from what was measured by then."""
    because = "; ".join(REASONS[r] for r in reasons) or "no reason given"
    said = line("You decide: {what}. Because: {why}.", what=DECISIONS[choice], why=because)
    return Effect(noted(state, f"decide:{choice}"), (said,))


def _consistent(_: State, args: Mapping[str, Any]) -> Line | None:
    both = [f for f in args["ruled_out"] or () if f in (args["findings"] or ())]
    if both:
        return line("{what} cannot be found and ruled out at once.", what=_findings()[both[0]])
    if args["first"] and args["first"] not in (args["recommendations"] or ()):
        return line("The most important one must be among what you recommend.")
    return None


@action(
    "Conclude",
    "decide",
    "job_sheet",
    120,
    arguments=(
        Argument("findings", "Found", "choices", _findings()),
        Argument("recommendations", "Recommended", "choices", RECOMMENDATIONS),
        Argument("ruled_out", "Looks alike and was ruled out", "choices", _findings(),
                 required=False),
        Argument("first", "The most important recommendation", "choice", RECOMMENDATIONS,
                 required=False),
    ),
    needs=(_consistent,),
)  # fmt: skip
def conclude(
    state: State,
    findings: list[str],
    recommendations: list[str],
    ruled_out: list[str] | None,
    first: str | None,
) -> Effect:
    """Write down what was found, ruled out and recommended; the last word counts."""
    names = _findings()
    lines: tuple[Line, ...] = (
        line("Found: {what}.", what="; ".join(names[f] for f in findings) or "nothing"),
        line(
            "Recommended: {what}.",
            what="; ".join(RECOMMENDATIONS[r] for r in recommendations) or "nothing",
        ),
    )
    if ruled_out:
        lines = (*lines, line("Ruled out: {what}.", what="; ".join(names[f] for f in ruled_out)))
    if first:
        lines = (*lines, line("Most important: {what}.", what=RECOMMENDATIONS[first]))
    return Effect(noted(state, "conclude"), lines)
