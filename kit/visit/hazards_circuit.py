"""Hazards of the refrigerant circuit: wrong hands, fire, pressure, venting, a compressor in vacuum.

Each rule judges the state before the act: masses, pressures, precautions, valves and people.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from kit.visit import circuit_work
from kit.visit.circuit_tools import GAUGE_SETS, RATED_PA
from kit.visit.hazards import qualified
from kit.visit.outcome import Hazard, Line, Measure, line
from kit.visit.state import State

Args = Mapping[str, Any]
Rule = Callable[[State, Args], "Hazard | None"]

# Common practice, no source.
ZONE_M3 = 1.0  # air around a connection that a release mixes with before it blows away
FLAMMABLE_SHARE = 0.25  # of the lower limit, from which a place counts as dangerous
UNDER_PRESSURE_PA = 20e3  # above the air: what an opened joint still blows off
VACUUM_PA = 50e3  # below this a circuit counts as evacuated
CARE = {
    "ignition_clear": "ignition sources are not cleared",
    "detector_on": "no gas detector is on",
    "aired": "the place is not aired",
}


def unqualified(state: State, _: Args) -> Hazard | None:
    """Critical: work on the circuit without a certificate or somebody certified standing by."""
    if qualified(state):
        return None
    text = line(
        "Your trainer stops you: the circuit is for a certified person, or for you with one "
        "standing by. Call your supervisor first."
    )
    return Hazard("gauges_unqualified", "critical", text)


def bare_at_pressure(state: State, _: Args) -> Hazard | None:
    """Near miss: a connection under pressure is opened without goggles or gloves."""
    if circuit_work.gauge_pa(state) < UNDER_PRESSURE_PA:
        return None
    return _bare(state)


def bare_at_cylinder(state: State, _: Args) -> Hazard | None:
    """Near miss: liquid refrigerant is handled without goggles or gloves."""
    return _bare(state)


def _bare(state: State) -> Hazard | None:
    gloved = state.worn & {"cut_gloves", "insulating_gloves"}
    if state.worn & {"goggles", "glasses"} and gloved:
        return None
    text = line("A connection under pressure, and no goggles or no gloves: liquid burns cold.")
    return Hazard("bare_at_pressure", "near_miss", text)


def _freed_all(state: State, _: Args) -> float:
    return state.work.charge_kg


def flammable(freed_kg: Callable[[State, Args], float] = _freed_all) -> Rule:
    """Return the rule for an act that can set refrigerant free.

    Critical when the amount would make the air around, or the room's, dangerous and a precaution
    is missing; a near miss when the amount is small.

    Args:
        freed_kg: what the act can set free [kg].
    """

    def rule(state: State, args: Args) -> Hazard | None:
        from kit.physics import leak, refrigerant

        limit = refrigerant.load(state.spec.refrigerant).lfl_kg_m3
        missing = [words for name, words in CARE.items() if name not in state.work.care]
        mass = freed_kg(state, args)
        if limit is None or not missing or mass <= 0.0:
            return None
        share = float(leak.flammable_share(mass, ZONE_M3, limit))
        in_room = float(leak.flammable_share(mass, state.around.room_volume_m3, limit))
        bad = max(share, in_room) >= FLAMMABLE_SHARE
        what = (
            line(missing[0])
            if len(missing) == 1
            else line("{a}, and {b}", a=missing[0], b=missing[1])
        )
        text = line(
            "This refrigerant burns, and {what}. What can get out here is {share} of the lower "
            "flammability limit in the air around you, and {room} spread over the room.",
            room=Measure(in_room, "fraction"),
            what=what,
            share=Measure(share, "fraction"),
        )
        return Hazard("flammable_work", "critical" if bad else "near_miss", text)

    return rule


def unfit_detector(state: State, args: Args) -> Hazard | None:
    """Critical: a detector that can spark is held where flammable refrigerant comes out."""
    from kit.physics import refrigerant

    if args["instrument"] != "leak_detector_old" or state.work.charge_kg <= 0.0:
        return None
    if refrigerant.load(state.spec.refrigerant).lfl_kg_m3 is None:
        return None
    text = line(
        "Your trainer takes it away: that detector is not made for flammable refrigerant. Its "
        "heated tip is a source of ignition right where the gas comes out."
    )
    return Hazard("ignition_at_leak", "critical", text)


def unfit_gauges(state: State, args: Args) -> Hazard | None:
    """Judge the gauges: critical when the port's pressure is above what their hoses bear."""
    chosen = GAUGE_SETS[args["gauge_set"]]
    now = circuit_work.gauge_pa(state)
    if now > chosen.rated_pa:
        text = line(
            "Your trainer stops you: {now} at this port, and the hoses are rated {rated}.",
            now=Measure(now, "gauge_pressure"),
            rated=Measure(chosen.rated_pa, "gauge_pressure"),
        )
        return Hazard("hose_overrated", "critical", text)
    if chosen.rated_pa < RATED_PA[state.spec.refrigerant]:
        text = line("These gauges and hoses are not rated for what this refrigerant can reach.")
        return Hazard("gauges_unfit", "near_miss", text)
    if state.spec.refrigerant not in chosen.for_refrigerants:
        text = line("These gauges were on another refrigerant; its rest and its oil come along.")
        return Hazard("gauges_unfit", "near_miss", text)
    return None


def vented(state: State, _: Args) -> Hazard | None:
    """Critical: refrigerant is let out to the air on purpose."""
    if not refrigerant_inside(state):
        return None
    text = line(
        "Your trainer shuts the valve: refrigerant is never let out to the air, not even the air "
        "off its top. Recover it."
    )
    return Hazard("vented", "critical", text)


def refrigerant_inside(state: State) -> bool:
    """Return whether the circuit still holds refrigerant under pressure."""
    if circuit_work.gas_only(state):
        return False
    return circuit_work.gauge_pa(state) > UNDER_PRESSURE_PA


def opened_full(state: State, args: Args) -> Hazard | None:
    """Critical: the circuit is opened with refrigerant, or test gas, under pressure in it."""
    if not opens(args):
        return None
    now = circuit_work.gauge_pa(state)
    if now < UNDER_PRESSURE_PA:
        return None
    text = line(
        "Your trainer stops your wrench: {now} is still behind that nut. Recover the refrigerant "
        "down to 0 gauge first; release test gas first.",
        now=Measure(now, "gauge_pressure"),
    )
    return Hazard("opened_unrecovered", "critical", text)


def opens(args: Args) -> bool:
    """Return whether a repair opens the circuit."""
    return args["method"] in ("new_flare", "replace_part")


def opened_live(state: State, args: Args) -> Hazard | None:
    """Near miss: the circuit is opened while the machine could start."""
    if state.isolated or not opens(args):
        return None
    text = line("The machine is not locked out: it could start on an open circuit.")
    return Hazard("opened_not_isolated", "near_miss", text)


def torch(state: State, args: Args) -> Hazard | None:
    """Critical: a torch at a circuit of flammable refrigerant that nitrogen has not swept."""
    from kit.physics import refrigerant

    if args["method"] != "replace_part" or args["nitrogen_flow"]:
        return None
    if refrigerant.load(state.spec.refrigerant).lfl_kg_m3 is None:
        return None
    text = line(
        "Your trainer turns the torch off: refrigerant is still in the pipe and in the oil. Sweep "
        "with nitrogen first, and let it flow while you braze."
    )
    return Hazard("torch_unswept", "critical", text)


def sealed_in(_: State, args: Args) -> Hazard | None:
    """Near miss: a sealant goes into the circuit."""
    if args["method"] != "sealant":
        return None
    text = line("Sealant blocks valves and ruins recovery machines; the leak may stay as well.")
    return Hazard("sealant", "near_miss", text)


def evacuated(state: State) -> bool:
    """Return whether the circuit is under vacuum."""
    return circuit_work.port_pa(state) < VACUUM_PA and not state.truth.running


def compressor_start(state: State, args: Args) -> Hazard | None:
    """Critical: the compressor would run in vacuum, on test gas or air, or on a shut valve."""
    if args.get("mode", state.order.mode) not in ("cooling", "heating"):
        return None
    work = state.work
    why: Line | None = None
    code = "compressor_in_vacuum"
    if work.valves_shut:
        code, why = "compressor_on_shut_valve", line("a service valve is shut")
    elif evacuated(state):
        why = line("the circuit is under vacuum: no gas to cool it, and its windings flash over")
    elif work.gases.nitrogen_kg > 1e-3 and circuit_work.gas_only(state):
        code, why = "compressor_on_test_gas", line("the circuit is full of test gas")
    elif work.was_opened and circuit_work.is_empty(state.spec, work.charge_kg):
        code, why = "compressor_on_air", line("air and hot oil in it can explode")
    if why is None:
        return None
    text = line("Your trainer keeps the compressor off: {why}.", why=why)
    return Hazard(code, "critical", text)


def start_powered(state: State, args: Args) -> Hazard | None:
    """Judge the same where the machine has power now."""
    return compressor_start(state, args) if state.powered else None


def start_by_power(state: State, _: Args) -> Hazard | None:
    """Judge the same where power comes back and the remote was left on."""
    return compressor_start(state, {"mode": state.command.mode})


def insulation_in_vacuum(state: State, args: Args) -> Hazard | None:
    """Critical: insulation is tested while the compressor stands in vacuum."""
    if args["at"] != "windings_to_earth" or not evacuated(state):
        return None
    text = line(
        "Your trainer pulls the lead off: under vacuum a few hundred volts jump across the "
        "windings and burn them. Test before you evacuate, or after you charge."
    )
    return Hazard("insulation_in_vacuum", "critical", text)


def purged_to_air(state: State, args: Args) -> Hazard | None:
    """Near miss: the air in a hose is blown out with refrigerant."""
    if args["purge"] != "puff" or circuit_work.gas_only(state):
        return None
    text = line("A puff of refrigerant into the air to clear the hose. Draw it empty instead.")
    return Hazard("purged_to_air", "near_miss", text)


def shut_while_running(state: State, args: Args) -> Hazard | None:
    """Critical: a service valve is shut on a running compressor."""
    if args["open"] or not state.truth.running:
        return None
    text = line(
        "Your trainer takes the key: the compressor runs. Shut a valve on it and it pumps against "
        "a wall or pulls itself into vacuum."
    )
    return Hazard("compressor_on_shut_valve", "critical", text)
