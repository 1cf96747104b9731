"""Tasks of the lesson on low charge: what the valve hides, its look-alikes, what standing tells."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from kit.quantities import STANDARD_ATMOSPHERE_PA
from kit.screens.plots import cycle_chart
from kit.screens.task import Reply, Task
from kit.screens.tasks._asked import choice, number
from kit.screens.tasks._charge_trials import (
    CHARGES,
    LEFT,
    SOAKED_K,
    SUPERHEAT_OFF_K,
    balanced,
    leaves_at,
    let_out,
    standing,
    suspects,
    suspects_ran,
)
from kit.screens.tasks._circuit import (
    across,
    each,
    gauge,
    published,
    saturation_pa,
    us,
    words,
)
from kit.visit.outcome import Measure, line

FALLS = {"early": (0.9, 1.0), "middle": (0.82, 0.9), "late": (0.7, 0.82), "last": (0.0, 0.7)}
SHOWN = CHARGES.index(0.65)  # the cycle drawn beside the sound one
ASKED_SHARE = 0.8
SHARE_STEP = 0.0075  # half a percent typed, and the last digit of the table
COMPARED = {0.9: "-0.1", 0.8: "-0.2", 0.7: "-0.3"}
HALF_LOAD = (1.0, 0.7, 0.6)
FELT_K = us("temperature_difference", 1)  # nobody feels less
FASTER = 1.03
CARD_F = (64, 68, 72)
CARD_STEP_PA = us("gauge_pressure", 1.5)  # a card is read to a pound per square inch
CAUSES = {
    "filter": "dirty filter",
    "charge": "low charge",
    "restriction": "restriction in the liquid line",
    "valve": "valve stuck nearly closed",
}
UNITS = ("1", "2", "3", "4")


def _charge_heads(some: tuple[float, ...]) -> tuple[Measure, ...]:
    return tuple(Measure(share, "fraction") for share in some)


def _hidden_guessed(given: Mapping[str, Any]) -> Reply:
    truths, left = let_out(), leaves_at()
    low, high = FALLS[given["from"]]
    rows = (
        (Measure(share, "fraction"), Measure(truth.valve_opening, "fraction"),
         Measure(truth.superheat_k, "temperature_difference"),
         Measure(truth.subcooling_k, "temperature_difference"),
         Measure(truth.discharge_line_k, "temperature"),
         Measure(truth.split_k, "temperature_difference"))
        for share, truth in zip(CHARGES, truths, strict=True)
    )  # fmt: skip
    head = (words("Charge"), words("Valve opening"), words("Superheat"), words("Subcooling"),
            words("Discharge line"), words("Split"))  # fmt: skip
    said = (
        line("At {charge} superheat has left its place by more than {step}.",
             charge=Measure(left, "fraction"),
             step=Measure(SUPERHEAT_OFF_K, "temperature_difference")),
        line("Until then the valve opens a little more each time and holds it. Only subcooling "
             "has told of it all along, and nobody reads it on a wall unit in cooling."),
        line("When the valve is fully open it has nothing left: superheat and discharge climb, "
             "the split goes."),
    )  # fmt: skip
    shown = ((words("sound"), truths[0]), (words("short of charge"), truths[SHOWN]))
    return Reply(low <= left < high, said, (head, *rows), (cycle_chart("R-32", shown),))


def _part_load_guessed(given: Mapping[str, Any]) -> Reply:
    truths = tuple(balanced(share) for share in HALF_LOAD)
    sound, short = truths[0], truths[1]
    felt = short.room_db_k - sound.room_db_k > FELT_K
    faster = short.compressor_rps > FASTER * sound.compressor_rps
    truth = "warm" if felt else "faster" if faster else "nothing"
    table = across(
        words("Charge"),
        _charge_heads(HALF_LOAD),
        (words("Room"), *each(truths, "room_db_k", "temperature")),
        (words("Compressor speed"), *each(truths, "compressor_rps", "frequency")),
        (words("Input"), *each(truths, "power_w", "power")),
        (words("Superheat"), *each(truths, "superheat_k", "temperature_difference")),
    )
    said = (
        line("The load is half of what the sound unit can carry; each column has settled in its "
             "own room."),
        line("The inverter turns a little faster and pays with current. On a mild day a short "
             "unit passes for a sound one: take the baseline at full demand."),
    )  # fmt: skip
    return Reply(given["notice"] == truth, said, table)


def _capacity_table() -> tuple[tuple[Any, ...], ...]:
    rows = (
        (Measure(share, "fraction"), Measure(float(truth.capacity_w), "heat_flow"))
        for share, truth in zip(CHARGES, let_out(), strict=True)
        if share == 1.0 or share in COMPARED
    )
    return ((words("Charge"), words("Capacity")), *rows)


def capacity_left(share: float) -> float:
    """Return what is left of the machine's capacity [0..1].

    Args:
        share: one of `CHARGES`.
    """
    truths = let_out()
    return float(truths[CHARGES.index(share)].capacity_w / truths[0].capacity_w)


def _share_checked(given: Mapping[str, Any]) -> Reply:
    want, got = capacity_left(ASKED_SHARE), given["left"]
    if abs(got - want) > SHARE_STEP:
        if abs(got - (1.0 - want)) <= SHARE_STEP:
            hint = "That is what is lost. What is left is asked."
        elif abs(got - 1.0 / want) <= SHARE_STEP:
            hint = "Turned round: divide the smaller capacity by the full one."
        elif abs(got - ASKED_SHARE) <= SHARE_STEP:
            hint = "Capacity does not go in step with charge. Divide the two rows of the table."
        else:
            hint = "Divide the capacity at this charge by the capacity at full charge."
        return Reply(False, (line(hint),))
    rows = (
        (Measure(share, "fraction"), Measure(capacity_left(share), "fraction"),
         Measure(published("charge", f"charge-cool{key}-capacity"), "fraction"))
        for share, key in COMPARED.items()
    )  # fmt: skip
    head = (words("Charge"), words("Capacity left, this unit"), words("NIST TN 1848"))
    said = line("The published figures are of ducted units with a thermostatic valve; an "
                "electronic one holds on a little longer. Both agree within 0.08.")  # fmt: skip
    return Reply(True, (said,), (head, *rows))


def _suspects_table() -> tuple[tuple[Any, ...], ...]:
    cooling, heating = suspects_ran()
    step = "temperature_difference"
    return across(
        words("Unit"),
        UNITS,
        (words("Cooling: split"), *each(cooling, "split_k", step)),
        (words("Cooling: suction pressure"), *each(cooling, "suction_pa", "gauge_pressure")),
        (words("Cooling: superheat"), *each(cooling, "superheat_k", step)),
        (words("Cooling: discharge line"), *each(cooling, "discharge_line_k", "temperature")),
        (words("Cooling along the line before the valve"),
         *each(cooling, "liquid_line_drop_k", step)),
        (words("Heating: rise"), *each(heating, "split_k", step)),
        (words("Heating: subcooling"), *each(heating, "subcooling_k", step)),
    )  # fmt: skip


def _apart_checked(given: Mapping[str, Any]) -> Reply:
    right = tuple(suspects())
    guessed = tuple(given[f"unit-{n}"] for n in UNITS)
    if guessed == right:
        said = (
            line("Superheat in order and much split: air. Subcooling gone: charge."),
            line("Subcooling there and superheat high: liquid waits before something narrow. If "
                 "the pipe turns cold before the valve, it is in the pipe; if not, in the valve."),
        )  # fmt: skip
        return Reply(True, said)
    pairs = {(mine, true) for mine, true in zip(guessed, right, strict=True) if mine != true}
    said_once = []
    if len(set(guessed)) < len(guessed):
        said_once.append(line("Each unit has another cause."))
    if any("filter" in pair for pair in pairs):
        said_once.append(line("A want of air leaves superheat where it was. Look at that row."))
    if any("charge" in pair for pair in pairs):
        said_once.append(line("Is liquid missing, or does it wait? Look at subcooling in heating."))
    if any(set(pair) == {"restriction", "valve"} for pair in pairs):
        said_once.append(line("A narrow place in the pipe makes the pipe itself cold, a valve only "
                              "what comes after it."))  # fmt: skip
    return Reply(False, tuple(said_once))


def _card_table() -> tuple[tuple[Any, ...], ...]:
    rows = (
        (Measure(us("temperature", f), "temperature"),
         gauge(saturation_pa("R-32", us("temperature", f), "bubble")))
        for f in CARD_F
    )  # fmt: skip
    return ((words("R-32"), words("Gauge at sea level")), *rows)


def _standing_checked(given: Mapping[str, Any]) -> Reply:
    want = saturation_pa("R-32", SOAKED_K, "bubble") - STANDARD_ATMOSPHERE_PA
    said = []
    if abs(given["card"] - want) > CARD_STEP_PA:
        if abs(given["card"] - want - STANDARD_ATMOSPHERE_PA) <= CARD_STEP_PA:
            said.append(line("That is absolute; the gauge does not count the air."))
        else:
            said.append(line("Find the row of the air's temperature on the card."))
    if given["means"] == "full":
        said.append(line("Think of a gas cylinder: its gauge stands still until the last liquid is "
                         "gone."))  # fmt: skip
    elif given["means"] == "air":
        said.append(line("Air would add its own pressure on top. Compare both figures again."))
    if said:
        return Reply(False, tuple(said))
    rows = tuple(
        (Measure(share, "fraction"), Measure(pressure, "gauge_pressure"))
        for share, pressure in zip(LEFT, standing(), strict=True)
    )
    head = (words("Charge left"), words("Gauge after standing"))
    printed = gauge(1e5 * published("saturation", "saturation-R32-p20C"))
    spoken = (
        line("The same unit, standing, with less and less in it: nothing moves until the last "
             "liquid is gone."),
        line("A published table of R-32 gives {printed} for this temperature.", printed=printed),
    )  # fmt: skip
    return Reply(True, spoken, (head, *rows))


def _next_checked(given: Mapping[str, Any]) -> Reply:
    hints = {
        "top": "How much would you add? The valve hides it, and what you add goes the way of the "
               "first charge.",
        "sealant": "Sealant clogs valves and spoils recovery machines, and the hole stays.",
        "vent": "Letting refrigerant out to the air is unlawful, and this one burns.",
    }  # fmt: skip
    if given["next"] in hints:
        return Reply(False, (line(hints[given["next"]]),))
    said = "In that order, each step by those who may. The next lesson does it."
    return Reply(True, (line(said),))


TASKS = (
    Task(
        "guess-hidden",
        "Say it first: when does it show?",
        (
            line("A sound unit runs at full demand on a hot day. Its charge is let out a twentieth "
                 "at a time, and each time it settles."),
            line("From which charge on is superheat no longer where it was?"),
        ),
        (
            choice("from", "Superheat has left its place at",
                early="90 % or more",
                middle="between 82 and 90 %",
                late="between 70 and 82 %",
                last="less than 70 %",
            ),
        ),
        "Say it and let it out",
        _hidden_guessed,
        once=True,
    ),
    Task(
        "share",
        "What is left of its work?",
        (
            line("The same trial gave these capacities. How much of its capacity has the unit left "
                 "at {charge} of its charge?", charge=Measure(ASKED_SHARE, "fraction")),
        ),
        (number("left", "Capacity left", "fraction", 0.0, 2.0),),
        "Check it",
        _share_checked,
        table=_capacity_table,
    ),
    Task(
        "guess-part-load",
        "Say it first: a mild load",
        (
            line("Now the room asks for half of what the unit can do, and three tenths of the "
                 "charge are gone. What does the customer notice?"),
        ),
        (
            choice("notice", "The customer notices",
                warm="that the room stays warmer",
                faster="nothing; the compressor turns faster",
                nothing="nothing; nothing changes at all",
            ),
        ),
        "Say it and run all three",
        _part_load_guessed,
        once=True,
    ),
    Task(
        "apart",
        "Four that cool badly",
        (
            line("Four units of one make were run at full demand, in cooling and in heating. One "
                 "is short of charge, one has a restriction in the liquid line, one a valve stuck "
                 "nearly closed, one a dirty filter. Which is which?"),
        ),
        tuple(choice(f"unit-{n}", title, **CAUSES) for n, title in zip(
            UNITS, (words("Unit 1"), words("Unit 2"), words("Unit 3"), words("Unit 4")),
            strict=True)),
        "Check it",
        _apart_checked,
        table=_suspects_table,
    ),
    Task(
        "standing",
        "A unit that has stood",
        (
            line("A unit with R-32 has been off all night; indoors and outdoors it is {air}. The "
                 "gauge shows {shown}.",
                 air=Measure(SOAKED_K, "temperature"),
                 shown=gauge(saturation_pa("R-32", SOAKED_K, "bubble"))),
            line("What does the card give for this temperature, and what does the gauge tell?"),
        ),
        (
            number("card", "The card gives", "gauge_pressure", 0.0, 4e6),
            choice("means", "The gauge tells that",
                full="the charge is right",
                liquid="some liquid is left, and no more than that",
                air="there is air in the circuit",
            ),
        ),
        "Check it",
        _standing_checked,
        table=_card_table,
    ),
    Task(
        "next",
        "And now?",
        (line("It is short of charge, and you have shown it. What comes next?"),),
        (
            choice("next", "Next",
                top="add gas until superheat is right",
                sealant="put in a sealant and top up",
                repair="find the leak, recover, repair, test, evacuate, weigh in",
                vent="let the rest out and fill anew",
            ),
        ),
        "Check it",
        _next_checked,
    ),
)  # fmt: skip
