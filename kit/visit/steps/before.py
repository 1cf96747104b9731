"""Before anything is touched: paper, site, customer, nameplate, consent, a first look."""

from __future__ import annotations

from kit.visit import looks
from kit.visit.actions import Argument, Effect, action
from kit.visit.cautions import GENERAL
from kit.visit.clock import later, solved
from kit.visit.outcome import Measure, line
from kit.visit.state import PARTS, State, noted
from kit.visit.topics import TOPICS, answer


@action("Read the work order", "before", "job_sheet", 60)
def read_work_order(state: State) -> Effect:
    """Read the paper."""
    lines = (line("{title}.", title=state.order.title), *(line(t) for t in state.order.brief))
    return Effect(noted(state, "read_work_order"), (*lines, line(GENERAL)))


@action("Walk the site and look for hazards", "before", "room", 180, cautions=("height",))
def hazard_walk(state: State) -> Effect:
    """Look round with one's own safety and the customer's in mind."""
    found = tuple(line(h.text) for h in state.order.site_hazards)
    return Effect(
        noted(state, "hazard_walk"),
        found or (line("Nothing out of the ordinary at this site."),),
    )


@action(
    "Ask the customer",
    "before",
    "customer",
    45,
    arguments=(Argument("topic", "About", "choice", {key: t.title for key, t in TOPICS.items()}),),
)
def ask(state: State, topic: str) -> Effect:
    """Ask one thing; the answer is the work order's, or what this machine would have shown."""
    question = line("You ask: {question}", question=TOPICS[topic].question)
    state = noted(state, f"ask:{topic}")
    if topic in state.order.says:
        return Effect(state, (question, line("“{said}”", said=state.order.says[topic])))
    if topic == "what" and state.order.faults:
        from kit.faults import fault

        said = [fault(hidden.name).complaint for hidden in state.order.faults]
        return Effect(state, (question, *(line("“{said}”", said=one) for one in said)))
    return Effect(state, (question, line("“{said}”", said=answer(topic, state.condition))))


@action("Read the nameplate", "before", "outdoor", 60, cautions=("flammable",))
def read_nameplate(state: State) -> Effect:
    """Read what the plate says; its refrigerant and charge decide much later on."""
    spec = state.spec
    flammable = spec.refrigerant in ("R-32", "R-454B")
    lines = (
        line(
            "Cooling {cooling}, heating {heating}.",
            cooling=Measure(spec.rated_cooling_w, "heat_flow"),
            heating=Measure(spec.rated_heating_w, "heat_flow"),
        ),
        line(
            "Refrigerant {name}, factory charge {charge}, good for {length} of lines.",
            name=spec.refrigerant,
            charge=Measure(spec.factory_charge_kg, "mass"),
            length=Measure(spec.precharged_line_m, "length"),
        ),
        line(
            "{volts}, breaker {amps}.",
            volts=Measure(spec.supply_v, "voltage"),
            amps=Measure(spec.breaker_a, "current"),
        ),
        line("Safety class A2L, mildly flammable.") if flammable else line("Safety class A1."),
    )
    return Effect(noted(state, "read_nameplate"), lines)


@action("Agree what is done and what needs asking first", "before", "customer", 60)
def agree_scope(state: State) -> Effect:
    """Say what the visit covers; refrigerant work needs a separate word."""
    said = "You agree on the check and the cleaning. Work on the refrigerant needs a separate word."
    return Effect(noted(state, "agree_scope"), (line(said),))


def _seen(state: State, args: dict[str, str]) -> object:
    look = looks.LOOKS[args["part"]]
    if look.needs and look.needs not in state.off:
        return line("You cannot see that: the {part} is on.", part=PARTS[look.needs])
    return None


@action(
    "Look, listen, smell",
    "before",
    "room",
    0,
    arguments=(
        Argument("part", "At", "choice", {key: look.title for key, look in looks.LOOKS.items()}),
    ),
    needs=(_seen,),  # type: ignore[arg-type]
)
def inspect(state: State, part: str) -> Effect:
    """Look at one thing."""
    look = looks.LOOKS[part]
    state = solved(later(state, look.takes_s))
    lines, pictures = look.see(state)
    return Effect(noted(state, f"inspect:{part}"), lines, pictures=pictures)
