"""Hazards judged from the state: power, lock, charge, rotation, covers, protection, people.

A rule looks at the state before the act. A critical one means that a trainer holds the learner
back: the act is not done, and the mark knows.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from kit.visit.outcome import Hazard, Line, Measure, line
from kit.visit.places import bus_voltage_v
from kit.visit.state import PARTS, WORN, State

SAFE_DC_V = 50.0  # limit a technician waits and measures for: common practice, no source
PAIRS = ("line_1_line_2", "line_1_earth", "line_2_earth")
LIVE_COVER = "terminal_cover"  # behind it a qualified person tests live, and nobody else
COVERS = ("indoor_casing", "terminal_cover", "outdoor_panels")

Args = Mapping[str, Any]


def proof_gap(state: State) -> Line | None:
    """Return what is missing for the machine to count as proved dead, or None.

    The order is: known source, every pair and earth, the DC bus, the known source again.
    """
    places = [proof.place for proof in state.supply.proofs]
    dead = {p.place for p in state.supply.proofs if p.shown_v < SAFE_DC_V}
    live = [
        i
        for i, p in enumerate(state.supply.proofs)
        if p.place == "known_source" and p.shown_v > SAFE_DC_V
    ]
    if not live:
        return line("The meter was not shown to work on a known source first.")
    tested = [i for i, place in enumerate(places) if place != "known_source" and i > live[0]]
    for place in (*PAIRS, "dc_bus"):
        last = [p for i, p in enumerate(state.supply.proofs) if p.place == place and i > live[0]]
        if not last:
            words = "the DC bus" if place == "dc_bus" else "every conductor pair and earth"
            return line("No test was made at {what}.", what=words)
        if last[-1].shown_v >= SAFE_DC_V or place not in dead:
            volts = Measure(last[-1].shown_v, "voltage")
            return line("The last test there still showed {volts}.", volts=volts)
    if live[-1] < max(tested):
        return line("The meter was not shown to work on the known source afterwards.")
    return None


def wheel_turns(state: State) -> bool:
    """Return whether the indoor wheel turns."""
    return float(state.truth.indoor_fan_rpm) > 1.0


def qualified(state: State) -> bool:
    """Return whether the learner may test at live parts: alone, or with somebody standing by."""
    return state.order.certified or state.supervised


def may_test_live(state: State) -> bool:
    """Return whether a live test may be made: qualified, and dressed for it."""
    eyes = bool(state.worn & {"glasses", "goggles"})
    return qualified(state) and eyes and "insulating_gloves" in state.worn


def work_on_live(state: State, _: Args) -> Hazard | None:
    """Critical: hand, tool or water goes in while the machine is not isolated and locked."""
    if not state.supply.pulled:
        return Hazard(
            "live_work",
            "critical",
            line(
                "Your trainer holds your arm: the disconnect is still in. Live parts and a wheel "
                "that can start are behind there."
            ),
        )
    if not state.supply.locked:
        return Hazard(
            "not_locked",
            "critical",
            line(
                "Your trainer holds your arm: the disconnect is out, but no lock of yours keeps "
                "it out. Anybody could put it back."
            ),
        )
    return None


def work_unproved(state: State, args: Args) -> Hazard | None:
    """Critical: work begins without the proof that all is dead, the DC bus included."""
    worse = work_on_live(state, args)
    if worse is not None:
        return worse
    gap = proof_gap(state)
    if gap is None:
        return None
    return Hazard(
        "not_proved_dead",
        "critical",
        line("Your trainer stops you: not proved dead. {gap}", gap=gap),
    )


def charged(state: State, _: Args) -> Hazard | None:
    """Critical: hands go near the DC bus while it holds charge."""
    volts = bus_voltage_v(state)
    if volts < SAFE_DC_V:
        return None
    return Hazard(
        "stored_charge",
        "critical",
        line("Your trainer stops you: the DC bus still holds a deadly charge."),
    )


def untagged(state: State, _: Args) -> Hazard | None:
    """Near miss: the lock bears no tag that says whose it is."""
    if state.supply.tagged or not state.isolated:
        return None
    text = line("Your lock has no tag. Nobody can see who works here and why.")
    return Hazard("no_tag", "near_miss", text)


def cover_off_live(state: State, args: Args) -> Hazard | None:
    """Critical for a cover over live parts or the wheel; a panel lifted while it runs is a miss."""
    if args["part"] == LIVE_COVER and may_test_live(state):
        return None
    if args["part"] in COVERS:
        return work_on_live(state, args)
    if wheel_turns(state):
        text = line("The unit is running. Stop it at the remote before you open anything.")
        return Hazard("open_while_running", "near_miss", text)
    return None


def probe_in_wheel(state: State, args: Args) -> Hazard | None:
    """Critical: a probe is pushed into the turning wheel."""
    if args["at"] != "supply_deep" or not wheel_turns(state):
        return None
    return Hazard(
        "probe_in_wheel",
        "critical",
        line(
            "A crack: the probe struck the turning wheel. A blade is broken and bits fly out. "
            "Keep it in the outlet, a hand's width inside the louvre at most."
        ),
    )


def live_test_bare(state: State, args: Args) -> Hazard | None:
    """Near miss: testing at mains without gloves and glasses."""
    live = args["at"] in (*PAIRS, "dc_bus", "one_conductor", "whole_cable")
    if not live or (args["at"] == "dc_bus" and bus_voltage_v(state) < SAFE_DC_V):
        return None
    if args["at"] in PAIRS and state.supply.pulled and proof_gap(state) is None:
        return None
    missing = {"insulating_gloves", "glasses"} - state.worn
    if "goggles" in state.worn:
        missing -= {"glasses"}
    if not missing:
        return None
    text = line(
        "Treat it as live until proved dead, and you wear no {what}.",
        what=_listed(missing),
    )
    return Hazard("bare_electrical_test", "near_miss", text)


def eyes_bare(state: State, _: Args) -> Hazard | None:
    """Critical: washing without splash goggles."""
    if "goggles" in state.worn:
        return None
    text = line("Your trainer stops you: no splash goggles on, and cleaner about to fly.")
    return Hazard("no_eye_protection", "critical", text)


def hands_bare(state: State, _: Args) -> Hazard | None:
    """Near miss: fins and blades without cut gloves."""
    if "cut_gloves" in state.worn:
        return None
    text = line("Bare hands near fins and blades. A cut was only luck away.")
    return Hazard("no_cut_gloves", "near_miss", text)


def lungs_bare(state: State, _: Args) -> Hazard | None:
    """Near miss: mould and dust without a mask."""
    if "mask" in state.worn:
        return None
    return Hazard("no_mask", "near_miss", line("Mould and dust in the air, and no mask on."))


def acid_indoors(_: State, args: Args) -> Hazard | None:
    """Critical: an acid cleaner indoors."""
    if args["method"] != "acid":
        return None
    text = line("Your trainer takes the bottle: never acid indoors. Lungs, metal and wall suffer.")
    return Hazard("acid_indoors", "critical", text)


def restored_unsafe(state: State, _: Args) -> Hazard | None:
    """Critical: power comes back while covers are off."""
    open_covers = [part for part in COVERS if part in state.off]
    if not open_covers or (open_covers == [LIVE_COVER] and may_test_live(state)):
        return None
    return Hazard(
        "restored_open",
        "critical",
        line(
            "Your trainer keeps hold of the disconnect: the {part} is still off.",
            part=PARTS[open_covers[0]],
        ),
    )


def gauges_unqualified(state: State, _: Args) -> Hazard | None:
    """Critical: gauges without a certificate or somebody certified standing by."""
    if state.order.certified or state.supervised:
        return None
    return Hazard(
        "gauges_unqualified",
        "critical",
        line(
            "Your trainer stops you: the circuit is for a certified person, or for you with one "
            "standing by. Call your supervisor first."
        ),
    )


def blown_drain(_: State, args: Args) -> Hazard | None:
    """Near miss: gas pressure blown through the drain towards its joints."""
    if args["method"] != "blow":
        return None
    text = line("The blast drives slime back over the pan and strains the joints inside the wall.")
    return Hazard("blown_drain", "near_miss", text)


def _listed(names: set[str]) -> str:
    return " and no ".join(WORN[name] for name in WORN if name in names)
