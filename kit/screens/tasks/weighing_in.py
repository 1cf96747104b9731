"""Tasks of the lesson on weighing in: test gas, nitrogen and temperature, vacuum, charge."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from kit.physics.textbook import closed_gas_pressure_pa
from kit.quantities import FOOT_M, MICRON_PA, STANDARD_ATMOSPHERE_PA
from kit.screens.task import Reply, Task
from kit.screens.tasks._asked import choice, number
from kit.screens.tasks._circuit import COOLPROP_NAMES, gauge, published, us, words
from kit.screens.tasks._vacuum_trials import (
    MINUTES,
    PUMPED_S,
    boils_at_k,
    decays,
    metre_kg,
    pulled,
    shut_in_pa,
    water_pa,
)
from kit.visit.circuit_tools import PUMP_HOSES, PUMP_OIL
from kit.visit.outcome import Measure, line

# A made-up test in the sun of an afternoon, read again in the cool of the next morning.
START_PA, START_K = us("gauge_pressure", 400), us("temperature", 95)
END_PA, END_K = us("gauge_pressure", 379), us("temperature", 68)
GAUGE_PA = 24e3  # accuracy of digital gauges, class of the instrument; common practice, no source
TYPED_PA = us("gauge_pressure", 0.3)
RULE_PA, RULE_K, RULE_STEP_K = us("gauge_pressure", 500), us("temperature", 70), 10 / 1.8
COLD_K = us("temperature", 41)
GOAL_PA = 500 * MICRON_PA  # common practice, no source
HANDBOOK_C = ("-5C", "+5C", "+25C")  # rows of the handbook's table of saturation pressure
# A made-up line set on one of the kit's machines.
MACHINE, LINE_M, PER_M = "wall-18k-r454b", 14 * 3 * FOOT_M, 10 * FOOT_M
CHARGE_STEP_KG = 0.003  # a tenth of an ounce, or the last gram of each figure
OUTSIDE_M, WALL_M, LIQUID_K = 6.35e-3, 0.8e-3, 313.15  # quarter-inch liquid line
SETUPS = {"dry": words("dry and tight"), "wet": words("a thimble of water"),
          "leak": words("a hole finer than a hair")}  # fmt: skip


def _gas_checked(given: Mapping[str, Any]) -> Reply:
    hints = {
        "oxygen": "Oxygen and oil explode under pressure. People have died of it.",
        "air": "Compressed air brings water, and oxygen to oil and to a gas that burns.",
        "refrigerant": "That would be letting refrigerant out on purpose, and it costs dearly.",
    }
    if given["gas"] in hints:
        return Reply(False, (line(hints[given["gas"]]),))
    if given["through"] != "relief":
        said = "A full cylinder holds many times what the circuit stands. What keeps it back?"
        return Reply(False, (line(said),))
    said = "In steps, standing aside, never above the pressure on the nameplate."
    return Reply(True, (line(said),))


def nitrogen_expected_pa() -> float:
    """Return what the gauge should show in the morning by the ideal gas law [Pa gauge]."""
    absolute = closed_gas_pressure_pa(START_PA + STANDARD_ATMOSPHERE_PA, START_K, END_K)
    return float(absolute) - STANDARD_ATMOSPHERE_PA


def _nitrogen_checked(given: Mapping[str, Any]) -> Reply:
    want, got = nitrogen_expected_pa(), given["expected"]
    if abs(got - want) > TYPED_PA:
        return Reply(False, (line(_nitrogen_hint(got)),))
    tight = want - GAUGE_PA < END_PA
    if (given["means"] == "tight") != tight:
        hint = "Compare the morning's reading with what it should be, not with the evening's."
        return Reply(False, (line(hint),))
    warm = RULE_PA + STANDARD_ATMOSPHERE_PA, RULE_K, RULE_K + RULE_STEP_K
    per_f = us("gauge_pressure", published("gas_and_vacuum", "gas_and_vacuum-n2-rule"))
    rows = (
        (words("this test, ideal gas"), Measure(want, "gauge_pressure")),
        (words("this test, nitrogen by CoolProp 8"),
         gauge(shut_in_pa(START_PA + STANDARD_ATMOSPHERE_PA, START_K, END_K))),
        (words("the rule's case, ideal gas"), gauge(float(closed_gas_pressure_pa(*warm)))),
        (words("the rule's case, nitrogen by CoolProp 8"), gauge(shut_in_pa(*warm))),
        (words("the rule's case, published rule"),
         Measure(RULE_PA + RULE_STEP_K * 1.8 * per_f, "gauge_pressure")),
    )  # fmt: skip
    said = (
        line("Within what the gauge can be wrong: nothing has left. Uncorrected, the evening's "
             "cool would have looked like a leak."),
        line("The rule's case: {p} at {t}, warmed by {step}. The rule says about one psi for "
             "each degree Fahrenheit.", p=Measure(RULE_PA, "gauge_pressure"),
             t=Measure(RULE_K, "temperature"), step=Measure(RULE_STEP_K, "temperature_difference")),
    )  # fmt: skip
    return Reply(True, said, ((words("Nitrogen, shut in"), words("Gauge")), *rows))


def _nitrogen_hint(got: float) -> str:
    """Return the hint that fits a wrong test pressure [Pa gauge]."""
    in_f = START_PA * (END_K * 1.8 - 459.67) / (START_K * 1.8 - 459.67)
    in_c = START_PA * (END_K - 273.15) / (START_K - 273.15)
    as_gauge = START_PA * END_K / START_K
    warmer = (START_PA + STANDARD_ATMOSPHERE_PA) * START_K / END_K - STANDARD_ATMOSPHERE_PA
    if abs(got - as_gauge) <= TYPED_PA:
        return "Very near. Gas laws count from nothing: add the air's pressure, then take it off."
    if min(abs(got - in_f), abs(got - in_c)) <= 3 * TYPED_PA:
        return "Degrees Fahrenheit or Celsius cannot be divided. Count from absolute zero."
    if abs(got - warmer) <= 3 * TYPED_PA:
        return "Turned round: colder gas presses less."
    if abs(got - START_PA) <= TYPED_PA:
        return "It has become colder, and the gas with it. Correct for that."
    return "Absolute pressure times the ratio of absolute temperatures, then back to the gauge."


def _water_worked_out(given: Mapping[str, Any]) -> Reply:
    p_pa = water_pa(given["t"])
    state = words("ice turns to vapour") if given["t"] < 273.16 else words("water boils")
    rows = ((words("What happens"), state), (words("Below"), Measure(p_pa, "vacuum")))
    said = line("Worked out by psychrolib.")
    return Reply(None, (said,), ((words("At"), Measure(given["t"], "temperature")), *rows))


def _boil_checked(given: Mapping[str, Any]) -> Reply:
    want, mixed = water_pa(COLD_K), water_pa(COLD_K * 1.8 - 459.67 + 273.15)
    if abs(given["vacuum"] - want) > 0.01 * want:
        if abs(given["vacuum"] - GOAL_PA) <= 0.1 * GOAL_PA:
            hint = "That is the trade's goal for a dry circuit. Asked is where water boils."
        elif abs(given["vacuum"] - mixed) <= 0.01 * mixed:
            hint = "You have typed the figure in the other unit of temperature."
        else:
            hint = "Type the outdoor temperature into the sheet above and read the last line."
        return Reply(False, (line(hint),))
    rows = []
    for key in HANDBOOK_C:
        t_k = float(key.removesuffix("C")) + 273.15
        printed = published("psychrometrics", f"psychrometrics-psat{key}")
        rows.append((Measure(t_k, "temperature"), Measure(water_pa(t_k), "vacuum"),
                     Measure(printed, "vacuum")))  # fmt: skip
    head = (words("Water or ice at"), words("psychrolib 2.5"), words("Handbook's table"))
    said = (
        line("The colder the plant, the deeper it must be drawn: at the trade's goal of {goal} "
             "even ice at {t} turns to vapour.",
             goal=Measure(GOAL_PA, "vacuum"), t=Measure(boils_at_k(GOAL_PA), "temperature")),
        line("Water that freezes under a strong pump dries slowly. Warm the spot, or break the "
             "vacuum with dry nitrogen and draw again."),
    )  # fmt: skip
    return Reply(True, said, (head, *rows))


def _pump_ran(given: Mapping[str, Any]) -> Reply:
    unit, inlet = pulled(given["hose"], given["core"] == "out", given["oil"], given["time"])
    rows = (
        (words("At the far side of the circuit"), Measure(unit, "vacuum")),
        (words("At the pump"), Measure(inlet, "vacuum")),
    )
    said = [line("A dry, tight circuit, open to the air before.")]
    if inlet < GOAL_PA <= unit:
        said.append(line("At the pump the goal of {goal} is reached; in the circuit it is not. "
                         "That is why the gauge sits at the far side.",
                         goal=Measure(GOAL_PA, "vacuum")))  # fmt: skip
    elif unit < GOAL_PA:
        said.append(line("Below the goal of {goal}, common practice, no source. Now shut the valve "
                         "and watch.", goal=Measure(GOAL_PA, "vacuum")))  # fmt: skip
    else:
        said.append(line("The goal of {goal} is not reached. Look at hose, core and oil.",
                         goal=Measure(GOAL_PA, "vacuum")))  # fmt: skip
    return Reply(None, tuple(said), ((words("Vacuum gauge"), words("It shows")), *rows))


def climbs(pressures: tuple[float, ...]) -> bool:
    """Return whether a decay test still climbs at its end as it did in the middle.

    Args:
        pressures: at each of `MINUTES` [Pa].
    """
    middle, last = pressures[-2] - pressures[-3], pressures[-1] - pressures[-2]
    return last > 10 * MICRON_PA and last > 0.5 * middle


def _decay_guessed(given: Mapping[str, Any]) -> Reply:
    tests = decays()
    climbing = [name for name, pressures in tests.items() if climbs(pressures)]
    truth = climbing[0] if len(climbing) == 1 else "both" if climbing else "neither"
    head = (words("Since the valve was shut"), *(SETUPS[name] for name in tests))
    rows = tuple(
        (Measure(60.0 * minute, "time"), *(Measure(p[n], "vacuum") for p in tests.values()))
        for n, minute in enumerate(MINUTES)
    )
    said = (
        line("Water fills its room with vapour and is content: up fast, then level, near its "
             "boiling pressure at the temperature of the pipes."),
        line("Air comes in at one pace and does not stop. Dry and tight: a small step up, then "
             "level."),
        line("Look more than once: a single reading cannot tell a leak from a trace of water."),
    )  # fmt: skip
    return Reply(given["climbs"] == truth, said, (head, *rows))


def charge_kg() -> float:
    """Return the charge that the made-up line set asks for [kg]."""
    from kit.machine import load_spec

    spec = load_spec(MACHINE)
    beyond = max(LINE_M - spec.precharged_line_m, 0.0)
    return spec.factory_charge_kg + spec.extra_charge_kg_m * beyond


def _line_set_ask() -> tuple[Any, ...]:
    from kit.machine import load_spec

    spec = load_spec(MACHINE)
    return (
        line("Label: {charge} of R-454B, good for lines up to {free}. Beyond that add {extra} for "
             "each {per}. The tape says {length}.",
             charge=Measure(spec.factory_charge_kg, "small_mass"),
             free=Measure(spec.precharged_line_m, "length"),
             extra=Measure(spec.extra_charge_kg_m * PER_M, "small_mass"),
             per=Measure(PER_M, "length"), length=Measure(LINE_M, "length")),
        line("How much goes into the evacuated circuit?"),
    )  # fmt: skip


def _line_set_checked(given: Mapping[str, Any]) -> Reply:
    from kit.machine import load_spec

    spec, want, got = load_spec(MACHINE), charge_kg(), given["charge"]
    extra = spec.extra_charge_kg_m
    if abs(got - want) <= CHARGE_STEP_KG:
        said = (
            line("Plate, and what the lines beyond it need: every gram, on a scale, as liquid."),
            line("The label's allowance is near what a quarter-inch liquid line holds by its "
                 "volume. Field habit says 15 to 30 grams a metre; common practice, no source."),
        )  # fmt: skip
        return Reply(True, said, metre_table())
    if abs(got - spec.factory_charge_kg - extra * LINE_M) <= CHARGE_STEP_KG:
        hint = "The first part of the line is in the factory charge already. Count what is beyond."
    elif abs(got - (want - spec.factory_charge_kg)) <= CHARGE_STEP_KG:
        hint = "That is the addition alone. The circuit is empty now."
    elif abs(got - spec.factory_charge_kg) <= CHARGE_STEP_KG:
        hint = "That is the plate alone. The lines are longer than it allows for."
    else:
        hint = "Length beyond the allowed one, times the allowance, and the plate's charge on top."
    return Reply(False, (line(hint),))


def metre_table() -> tuple[tuple[Any, ...], ...]:
    """Return what ten metres of quarter-inch line hold, by volume and as published."""
    rows = (
        (name, Measure(10 * metre_kg(name, OUTSIDE_M, WALL_M, LIQUID_K), "small_mass"),
         Measure(1e-2 * published("void_and_lines", f"void_and_lines-line-{name}-6.35"),
                 "small_mass"))
        for name in COOLPROP_NAMES
    )  # fmt: skip
    head = (words("Ten metres of quarter-inch liquid line"), words("Volume times density"),
            words("Published table"))  # fmt: skip
    return (head, *rows)


TASKS = (
    Task(
        "gas",
        "What goes in for the test?",
        (line("The flare is new. Before the vacuum you want to know that it holds."),),
        (
            choice("gas", "Test gas",
                oxygen="oxygen, it is on the van",
                air="air from the compressor",
                nitrogen="dry nitrogen",
                refrigerant="a little refrigerant",
            ),
            choice("through", "Through",
                none="a hose straight from the cylinder",
                plain="a regulator",
                relief="a regulator and a relief valve",
            ),
        ),
        "Check it",
        _gas_checked,
    ),
    Task(
        "nitrogen",
        "The test overnight",
        (
            line("In the afternoon sun the nitrogen stood at {p} and {t}. Next morning it is "
                 "{cold}, and the gauge shows {end}.",
                 p=Measure(START_PA, "gauge_pressure"), t=Measure(START_K, "temperature"),
                 cold=Measure(END_K, "temperature"), end=Measure(END_PA, "gauge_pressure")),
            line("What should it show if nothing had left? At sea level the air presses with "
                 "{air}; absolute temperature is {zero} more than the figure.",
                 air=Measure(STANDARD_ATMOSPHERE_PA, "pressure"),
                 zero=line("459.7 (Fahrenheit) or 273.15 (Celsius)")),
        ),
        (
            number("expected", "It should show", "gauge_pressure", 0.0, 6e6),
            choice("means", "So the circuit", tight="is tight", leaks="leaks"),
        ),
        "Check it",
        _nitrogen_checked,
    ),
    Task(
        "water-sheet",
        "Water sheet",
        (line("Give a temperature: below which pressure does water boil there?"),),
        (number("t", "Temperature", "temperature", 223.15, 363.15),),
        "Work it out",
        _water_worked_out,
    ),
    Task(
        "boil",
        "How deep on a cold day?",
        (
            line("The outdoor unit has been open, and it is {t} outside. Below which reading of "
                 "the vacuum gauge does water in it boil at all?",
                 t=Measure(COLD_K, "temperature")),
        ),
        (number("vacuum", "It boils below", "vacuum", 0.0, 101325.0),),
        "Check it",
        _boil_checked,
    ),
    Task(
        "pump",
        "Draw it down",
        (line("Choose how the pump is connected and for how long it runs. Try a few."),),
        (
            choice("hose", "Hose", **{name: title for name, (title, _) in PUMP_HOSES.items()}),
            choice("core", "Valve core", **{"in": "left in", "out": "out, with the core tool"}),
            choice("oil", "Pump oil", **PUMP_OIL),
            number("time", "Time under the pump", "time", 60.0, 7200.0),
        ),
        "Let it run",
        _pump_ran,
    ),
    Task(
        "guess-decay",
        "Say it first: the valve is shut",
        (
            line("Three circuits were drawn down for {time} by the same pump: one dry and tight, "
                 "one with a thimble of water in it, one with a hole finer than a hair. Then the "
                 "valve to the pump is shut.", time=Measure(PUMPED_S, "time")),
            line("Which one still climbs after half an hour?"),
        ),
        (
            choice("climbs", "Still climbing",
                wet="the wet one",
                leak="the one with the hole",
                both="both of these",
                neither="neither of these",
            ),
        ),
        "Say it and shut the valve",
        _decay_guessed,
        once=True,
    ),
    Task(
        "line-set",
        "How much goes in?",
        _line_set_ask(),
        (number("charge", "Charge to weigh in", "small_mass", 0.0, 5.0),),
        "Check it",
        _line_set_checked,
    ),
)  # fmt: skip
