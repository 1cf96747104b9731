"""Hazards of what goes in and out of the circuit: cylinders, test gas, vacuum pump, charging."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from kit.visit import circuit_work
from kit.visit.circuit_tools import CYLINDERS, RATED_PA
from kit.visit.hazards_circuit import refrigerant_inside
from kit.visit.outcome import Hazard, Line, Measure, line
from kit.visit.state import State

Args = Mapping[str, Any]

# Common practice, no source.
FIRST_STEP_PA = 1.1e6  # 150 psig and a little: higher only after a step was held
HELD_S = 120.0


def recovery_cylinder(state: State, args: Args) -> Hazard | None:
    """Judge the cylinder: critical when refrigerants mix, or when it would be overfilled."""
    from kit.physics import recovery, refrigerant

    chosen = CYLINDERS[args["cylinder"]]
    if chosen.other:
        text = line("Your trainer stops you: another refrigerant is in that cylinder. Never mix.")
        return Hazard("mixed_cylinder", "critical", text)
    if not chosen.refillable:
        text = line(
            "Your trainer stops you: a one-way cylinder is never filled again. It can burst."
        )
        return Hazard("one_way_cylinder", "critical", text)
    inside = chosen.holds_kg + state.work.ledger.cylinder_kg
    fluid = refrigerant.load(state.spec.refrigerant)
    limit = float(recovery.fill_limit_kg(fluid, chosen.water_capacity_kg))
    if inside + state.work.charge_kg <= limit:
        return None
    text = line(
        "Your trainer looks at the collar: {limit} is all this cylinder may hold, 80 % by volume "
        "at 77 °F (25 °C), and {inside} is in it. Weigh it before you fill it.",
        limit=Measure(limit, "mass"),
        inside=Measure(inside, "mass"),
    )
    return Hazard("cylinder_overfilled", "critical", text)


def test_gas(state: State, args: Args) -> Hazard | None:
    """Critical: a gas that burns or feeds fire, no regulator or relief, or above the rating."""
    said: Line | None = None
    code = ""
    rated = RATED_PA[state.spec.refrigerant]
    if args["gas"] != "nitrogen":
        code, said = "wrong_test_gas", line(
            "Your trainer shuts the cylinder: oxygen or compressed air with oil explodes. Dry "
            "nitrogen only."
        )  # fmt: skip
    elif args["regulator"] != "relief":
        code, said = "no_regulator", line(
            "Your trainer shuts the cylinder: its full pressure stands behind that valve. A "
            "regulator with a relief valve, always."
        )  # fmt: skip
    elif args["to_pa"] > rated:
        code, said = "above_rating", line(
            "Your trainer shuts the cylinder: {to} is above the {rated} on the plate.",
            to=Measure(args["to_pa"], "gauge_pressure"),
            rated=Measure(rated, "gauge_pressure"),
        )  # fmt: skip
    return None if said is None else Hazard(code, "critical", said)


def test_steps(state: State, args: Args) -> Hazard | None:
    """Near miss: straight to a high test pressure without a step held before."""
    if args["to_pa"] <= FIRST_STEP_PA or held_pa(state) > 0.2e6:
        return None
    text = line("Straight to full pressure. A bad joint is found at a low step, not in your face.")
    return Hazard("no_steps", "near_miss", text)


def held_pa(state: State) -> float:
    """Return the highest test pressure held for two minutes or more so far [Pa gauge]."""
    work = state.work
    long_enough = work.set_pa > 0.0 and state.clock_s - work.set_at_s >= HELD_S
    return max(work.held_pa, work.set_pa if long_enough else 0.0)


def pump_on_pressure(state: State, _: Args) -> Hazard | None:
    """Critical: the vacuum pump would blow refrigerant out."""
    if not refrigerant_inside(state):
        return None
    text = line(
        "Your trainer stops you: the circuit is full of refrigerant. The pump would blow it into "
        "the air and burst its own seals. Recover first."
    )
    return Hazard("vented_through_pump", "critical", text)


def wrong_refrigerant(state: State, args: Args) -> Hazard | None:
    """Critical: another refrigerant than the plate's goes in."""
    if args["refrigerant"] == state.spec.refrigerant:
        return None
    text = line(
        "Your trainer shuts the cylinder: {got} into a circuit for {plate}. Read the plate, read "
        "the cylinder, never mix.",
        got=args["refrigerant"],
        plate=state.spec.refrigerant,
    )
    return Hazard("wrong_refrigerant", "critical", text)


def blend_as_vapour(state: State, args: Args) -> Hazard | None:
    """Near miss: a blend that boils over a range is drawn off as vapour."""
    if args["phase"] != "vapour" or not is_zeotrope(state.spec.refrigerant):
        return None
    text = line("Vapour from a blend is not the blend: its light part comes first. Liquid only.")
    return Hazard("blend_as_vapour", "near_miss", text)


def is_zeotrope(name: str) -> bool:
    """Return whether a refrigerant boils over a range of more than half a kelvin at 10 bar.

    Args:
        name: refrigerant.
    """
    from math import log

    from kit.physics import refrigerant

    sat = refrigerant.load(name).sat(log(1e6))
    return float(sat.t_dew_k - sat.t_bubble_k) > 0.5


def not_searched(state: State, _: Args) -> Hazard | None:
    """Near miss: refrigerant is added though nobody has looked where the last went."""
    looked = ("search_leak", "repair_leak", "pressurise")
    if any(state.has_done(name) for name in looked):
        return None
    if any(reading.quantity.startswith("leak_signal") for reading in state.readings):
        return None
    text = line("You add refrigerant and nobody has looked for the leak. It will go the same way.")
    return Hazard("charged_without_leak_search", "near_miss", text)


def unknown_rest(state: State, _: Args) -> Hazard | None:
    """Near miss: a weighed amount is put on top of an amount that nobody knows."""
    if circuit_work.gas_only(state):
        return None
    text = line("What was still in it nobody knows; weighing what goes on top does not help.")
    return Hazard("charged_on_top", "near_miss", text)


def guessed(_: State, __: Args) -> Hazard | None:
    """Near miss: charging without a scale."""
    text = line("No scale: an inverter hides a fifth too little or too much. This is a guess.")
    return Hazard("charged_by_guess", "near_miss", text)


def liquid_slug(state: State, args: Args) -> Hazard | None:
    """Near miss: liquid into the suction of a running compressor."""
    if args["phase"] != "liquid" or not state.truth.running:
        return None
    text = line("Liquid into a running compressor's suction: it cannot press liquid together.")
    return Hazard("liquid_slug", "near_miss", text)


def bare_at_test(state: State, args: Args) -> Hazard | None:
    """Near miss: test pressure goes on, and nothing protects the eyes."""
    if state.worn & {"goggles", "glasses"} or args["to_pa"] < 0.2e6:
        return None
    text = line("Test pressure goes on and your eyes are bare. Glasses on, and stand aside.")
    return Hazard("bare_at_pressure", "near_miss", text)


def air_let_in(_: State, args: Args) -> Hazard | None:
    """Near miss: a vacuum is broken with air."""
    if args["gas"] != "air":
        return None
    text = line("Air and its moisture are back where the pump has just taken them out.")
    return Hazard("air_let_in", "near_miss", text)
