"""Warm-up before the practice examination: weather in between, a card, a test, an order."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from typing import TYPE_CHECKING, Any

from kit.screens.plots import air_chart
from kit.screens.task import Reply, Task
from kit.screens.tasks._asked import choice, number
from kit.screens.tasks._given import fahrenheit_k
from kit.visit.outcome import Line, Measure, line
from kit.visit.target import BAND_K, card_split_k

if TYPE_CHECKING:
    from kit.machine import Truth

MACHINE = "wall-12k-r32"
ROOM_K, DAY_K = 299.82, 308.15
FILM = 0.6  # on the fins of the unit as found
BEFORE_RH, AFTER_RH = 0.5, 0.75
PSI_PA = 6894.757293168
SEA_PA = 101325.0
CARD_F, ASKED_F, SHOWN_RISE_K = (17, 27, 37, 47, 57), 27, 23.0 / 1.8
HEATED_K = fahrenheit_k(68)
# Nitrogen left in a circuit over night; made up, the leak as well.
EVENING_PA, EVENING_K, MORNING_K = 500 * PSI_PA, fahrenheit_k(70), fahrenheit_k(52)
LEAKED_PA = 21 * PSI_PA
# ASHRAE Journal, January 2021, p. 40: about 1 psi per °F at 500 psig.
RULE_PA_K = PSI_PA * 1.8
# What comes one after the other before a hand goes in: value to the step of a model visit.
STEPS: dict[str, tuple[str, Mapping[str, Any]]] = {
    "off": ("Off by the remote", {"do": "set_demand", "mode": "off"}),
    "pull": ("Pull the disconnect", {"do": "pull_disconnect"}),
    "lock": ("Own lock and tag on", {"do": "lock"}),
    "try": ("Try to start it", {"do": "try_start"}),
    "source": ("Meter on a known source", {"at": "known_source"}),
    "bus": ("Measure every pair, earth and the DC bus", {"at": "dc_bus"}),
}
# Rise in heating, common practice, no source.
_RULE_LOW, _RULE_HIGH = (Measure(f / 1.8, "temperature_difference") for f in (25, 30))
PLACES = ("first", "second", "third", "fourth", "fifth", "sixth")
_PLACE_TITLES = ("First", "Second", "Third", "Fourth", "Fifth", "Sixth")


@cache
def run(cleaned: bool) -> Truth:
    """Return the unit of the prediction as found or as left, each in the air of its moment.

    Args:
        cleaned: whether the film is off; it has rained by then.
    """
    from kit.machine import Command, Condition, Surroundings, load_spec, settle

    condition = Condition(indoor_coil_film=0.0 if cleaned else FILM)
    around = Surroundings(ROOM_K, AFTER_RH if cleaned else BEFORE_RH, DAY_K, 0.4)
    return settle(load_spec(MACHINE), condition, around, Command("cooling", 289.15))


def _guessed(given: Mapping[str, Any]) -> Reply:
    found, left = run(cleaned=False), run(cleaned=True)
    differs = float(left.split_k - found.split_k)
    truth = "same" if abs(differs) <= 0.5 else "higher" if differs > 0 else "lower"
    rows = tuple(
        (title, Measure(rh, "relative_humidity"),
         Measure(float(unit.split_k), "temperature_difference"),
         Measure(card_split_k(MACHINE, "cooling", ROOM_K, rh, DAY_K), "temperature_difference"),
         Measure(float(unit.capacity_w), "heat_flow"))
        for title, rh, unit in (("as found, film on the fins", BEFORE_RH, found),
                                ("as left, washed", AFTER_RH, left))
    )  # fmt: skip
    said = (
        line("The split fell, and the unit got better: it moves more heat than before."),
        line("As found and as left are compared each with its own target, and the target changes "
             "with the air. So the humidity is read twice."),
    )  # fmt: skip
    states = []
    for title, rh, unit in (("as found", BEFORE_RH, found), ("as left", AFTER_RH, left)):
        states.append((title, ROOM_K, rh))
        states.append(("supply air", float(unit.supply_db_k), min(float(unit.supply_rh), 1.0)))
    head = ("The same unit", "Humidity of the room", "Split", "Target split", "Heat moved")
    chart = air_chart(states, joined=True)
    return Reply(given["split"] == truth, said, (head, *rows), (chart,))


def _card_k(outdoor_f: float) -> float:
    return card_split_k(MACHINE, "heating", HEATED_K, 0.4, fahrenheit_k(outdoor_f))


def _card_table() -> tuple[tuple[Any, ...], ...]:
    rows = (
        (Measure(fahrenheit_k(f), "temperature"), Measure(_card_k(f), "temperature_difference"))
        for f in CARD_F
    )
    return (("Outdoor air", "Rise of a sound unit"), *rows)


def _card_checked(given: Mapping[str, Any]) -> Reply:
    want = _card_k(ASKED_F)
    means = "below" if want - BAND_K > SHOWN_RISE_K else "within"
    said: list[Line] = []
    if abs(given["target"] - want) > 0.3:
        other = min(CARD_F, key=lambda f: abs(_card_k(f) - given["target"]))
        close = other != ASKED_F and abs(_card_k(other) - given["target"]) <= 0.3
        said.append(line(
            "That is the row of other weather. Take the air at the outdoor unit."
            if close else "Find the row of the outdoor air; in heating the card hangs on it."
        ))  # fmt: skip
    if given["means"] != means:
        band = Measure(BAND_K, "temperature_difference")
        said.append(line("{low} to {high} is a rule for mild days. Compare with the card, give or "
                         "take {band}.", low=_RULE_LOW, high=_RULE_HIGH, band=band))  # fmt: skip
    if said:
        return Reply(False, tuple(said))
    cold = "On a cold day a sound unit gives less rise. The figure is no reason for anything."
    return Reply(True, (line(cold),))


def morning_pa(pressure_pa: float, evening_k: float, morning_k: float) -> float:
    """Return what a gauge shows of shut-in nitrogen after its temperature has changed [Pa].

    Args:
        pressure_pa: pressure in the evening, as a gauge shows it [Pa].
        evening_k: temperature then [K].
        morning_k: temperature now [K].

    Source:
        Ideal gas at constant volume, `kit.physics.textbook`.
    """
    from kit.physics import textbook

    absolute = textbook.closed_gas_pressure_pa(pressure_pa + SEA_PA, evening_k, morning_k)
    return float(absolute) - SEA_PA


def real_morning_pa(pressure_pa: float, evening_k: float, morning_k: float) -> float:
    """Return the same for nitrogen as it really is [Pa].

    Args:
        pressure_pa: pressure in the evening, as a gauge shows it [Pa].
        evening_k: temperature then [K].
        morning_k: temperature now [K].

    Source:
        CoolProp 8, equal density.
    """
    from CoolProp.CoolProp import PropsSI

    density = PropsSI("D", "T", evening_k, "P", pressure_pa + SEA_PA, "Nitrogen")
    return float(PropsSI("P", "T", morning_k, "D", density, "Nitrogen")) - SEA_PA


def shown_pa() -> float:
    """Return what the gauge shows in the morning [Pa]."""
    return morning_pa(EVENING_PA, EVENING_K, MORNING_K) - LEAKED_PA


def _nitrogen_checked(given: Mapping[str, Any]) -> Reply:
    want = morning_pa(EVENING_PA, EVENING_K, MORNING_K)
    fahrenheit = EVENING_PA * (MORNING_K * 1.8 - 459.67) / (EVENING_K * 1.8 - 459.67)
    error = given["pressure"] - want
    said: list[Line] = []
    if abs(given["pressure"] - EVENING_PA) <= 2 * PSI_PA:
        said.append(line("Colder gas presses less. What would a tight circuit show?"))
    elif abs(given["pressure"] - fahrenheit) <= 2 * PSI_PA:
        said.append(line("Degrees of a thermometer do not start at nothing. Use the rule, or "
                         "absolute temperatures."))  # fmt: skip
    elif abs(error) > 2 * PSI_PA:  # rule and gas law differ by half a psi over this night
        said.append(line("About one psi for each degree Fahrenheit at this pressure; colder is "
                         "less."))  # fmt: skip
    if given["tight"] != "leaks":
        said.append(line("Take what a tight circuit would show, and look at the gauge again."))
    if said:
        return Reply(False, tuple(said))
    cold_k = EVENING_K - MORNING_K
    table = (
        ("A tight circuit in the morning", "Gauge"),
        ("gas law", Measure(want, "gauge_pressure")),
        ("nitrogen by CoolProp", Measure(real_morning_pa(EVENING_PA, EVENING_K, MORNING_K),
                                         "gauge_pressure")),
        ("printed rule, ASHRAE Journal", Measure(EVENING_PA - RULE_PA_K * cold_k,
                                                 "gauge_pressure")),
        ("this circuit", Measure(shown_pa(), "gauge_pressure")),
    )  # fmt: skip
    return Reply(True, (
        line("The cold explains a part, and not all of it: it leaks. Soap and a detector say "
             "where."),
    ), table)  # fmt: skip


@cache
def model_order() -> tuple[str, ...]:
    """Return the steps of `STEPS` in the order in which the model visit does them."""
    from kit import library
    from kit.marking.script import load_script

    script = load_script(library.answer_keys("practice", "spring-check-01", "model.toml"))

    def first(wanted: Mapping[str, Any]) -> int:
        return next(i for i, step in enumerate(script.steps) if wanted.items() <= step.items())

    return tuple(sorted(STEPS, key=lambda name: first(STEPS[name][1])))


def _order_checked(given: Mapping[str, Any]) -> Reply:
    order = model_order()
    chosen = tuple(given[place] for place in PLACES)
    if len(set(chosen)) < len(chosen):
        return Reply(False, (line("A step stands there twice. Each comes once."),))
    if chosen == order:
        said = "And once more the known source: a meter that died in between would call all dead."
        return Reply(True, (line(said),))
    hints = {
        "off": "A unit is stopped in order first; a disconnect is not there to break its current.",
        "pull": "What you lock must be out already.",
        "lock": "A try to start proves the right disconnect only when nobody can put it back.",
        "try": "The try comes before the meter: it shows at no risk that the power is gone.",
        "source": "A meter is believed only after it has shown a live source.",
        "bus": "Measuring dead is the last step; all others make it safe to come so far.",
    }
    at = next(i for i, name in enumerate(chosen) if name != order[i])
    right_so_far = line("In order so far: {n} of {all}.", n=at, all=len(order))
    return Reply(False, (right_so_far, line(hints[order[at]])))


_SIX = {name: title for name, (title, _) in sorted(STEPS.items())}

TASKS = (
    Task(
        "guess-recheck",
        "Say it first: it has rained in between",
        (
            line("As found: a film on the fins, the room at {dry} humidity. You wash the coil "
                 "well. A shower passes, windows stand open; at the recheck the room is at {wet}, "
                 "as warm as before.", dry=Measure(BEFORE_RH, "relative_humidity"),
                 wet=Measure(AFTER_RH, "relative_humidity")),
        ),
        (choice("split", "Against as found, the split as left is", higher="higher", same="the same",
                lower="lower"),),
        "Say it and run the unit",
        _guessed,
        once=True,
    ),
    Task(
        "cold-day",
        "A heating card",
        (
            line("Heating, {t} outdoors, ten minutes after the last defrost, demand full. The rise "
                 "is {rise}.", t=Measure(fahrenheit_k(ASKED_F), "temperature"),
                 rise=Measure(SHOWN_RISE_K, "temperature_difference")),
        ),
        (
            number("target", "The target rise is", "temperature_difference"),
            choice("means", "This unit's rise is", below="below it", within="as it should be",
                   above="above it"),
        ),
        "Check it",
        _card_checked,
        table=_card_table,
    ),
    Task(
        "nitrogen",
        "Over night",
        (
            line("A repaired circuit stands under dry nitrogen: {p} in the evening at {warm}. In "
                 "the morning it is {cold}, and the gauge shows {shown}.",
                 p=Measure(EVENING_PA, "gauge_pressure"), warm=Measure(EVENING_K, "temperature"),
                 cold=Measure(MORNING_K, "temperature"),
                 shown=Measure(shown_pa(), "gauge_pressure")),
        ),
        (
            number("pressure", "A tight circuit would show", "gauge_pressure", 0.0, 6e6),
            choice("tight", "This circuit", holds="is tight: the cold explains it",
                   leaks="leaks: the cold does not explain it"),
        ),
        "Check it",
        _nitrogen_checked,
    ),
    Task(
        "six-steps",
        "Six steps before a hand goes in",
        (line("You are about to take covers off. In which order?"),),
        tuple(choice(place, title, **_SIX)
              for place, title in zip(PLACES, _PLACE_TITLES, strict=True)),
        "Check it",
        _order_checked,
    ),
)  # fmt: skip
