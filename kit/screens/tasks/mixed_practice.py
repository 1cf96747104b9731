"""Tasks that mix the whole course: two faults that hide each other, and the next check to make."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from typing import TYPE_CHECKING, Any

from kit.screens.plots import airflow_chart
from kit.screens.task import Reply, Task
from kit.screens.tasks._asked import choice, number
from kit.screens.tasks._next_check import MACHINE, Puzzle, puzzle_task
from kit.visit.outcome import Line, Measure, line
from kit.visit.target import BAND_K

if TYPE_CHECKING:
    from kit.machine import Condition, Truth

FILTER, FILM = 0.7, 0.6  # how bad the two faults of the prediction are
ROUND_CFM_M3_S = 0.00047194745
# Cutler et al., NREL/TP-5500-56354: capacity in cooling against the share of the airflow.
CURVE = (0.718664, 0.417974, -0.136638)
METHODS = 0.06  # two test methods of capacity may differ by this much


def published_share(share: float) -> float:
    """Return the share of the capacity that is left at a share of the airflow, in cooling.

    Args:
        share: airflow over full airflow [0.5 to 1].

    Source:
        Cutler et al., NREL/TP-5500-56354, fixed-speed ducted units.
    """
    a, b, c = CURVE
    return a + b * share + c * share * share


@cache
def units() -> Mapping[str, Condition]:
    """Return the conditions of the prediction by name."""
    from kit.machine import Condition

    return {
        "sound": Condition(),
        "filter": Condition(filter_loading=FILTER),
        "film": Condition(indoor_coil_film=FILM),
        "both": Condition(filter_loading=FILTER, indoor_coil_film=FILM),
    }


@cache
def run(name: str) -> Truth:
    """Return a unit of the prediction at full demand.

    Args:
        name: a key of `units`.
    """
    from kit.machine import Command, Surroundings, load_spec, settle

    around = Surroundings(299.82, 0.5, 308.15, 0.4)
    return settle(load_spec(MACHINE), units()[name], around, Command("cooling", 289.15))


def _guessed(given: Mapping[str, Any]) -> Reply:
    from kit.machine import load_spec

    sound, both = run("sound"), run("both")
    differs = float(both.split_k - sound.split_k)
    truth = "same" if abs(differs) <= BAND_K else "higher" if differs > 0 else "lower"
    titles = {"sound": "sound", "filter": "filter packed", "film": "film on the fins",
              "both": "filter and film"}  # fmt: skip
    rows = tuple(
        (title, Measure(float(run(name).split_k), "temperature_difference"),
         Measure(float(run(name).airflow_m3_s), "airflow"),
         Measure(float(run(name).capacity_w / sound.capacity_w), "fraction"))
        for name, title in titles.items()
    )  # fmt: skip
    said = (
        line("Less air raises the split, a film lowers it. Together they make a figure that any "
             "target card would let pass."),
        line("The airflow and the fins tell what the split hides. A good split ends the question "
             "of gauges, and never the inspection."),
    )  # fmt: skip
    head = ("Unit", "Split", "Airflow", "Capacity left")
    chart = airflow_chart(load_spec(MACHINE), [(titles[n], units()[n]) for n in ("sound", "both")])
    return Reply(given["split"] == truth, said, (head, *rows), (chart,))


def _rounded(name: str) -> float:
    """Return an airflow as the anemometer shows it, to a cubic foot a minute [m3/s]."""
    return round(float(run(name).airflow_m3_s) / ROUND_CFM_M3_S) * ROUND_CFM_M3_S


def _airflow_table() -> tuple[tuple[Any, ...], ...]:
    return (
        ("Airflow at the outlet", "Nine points"),
        ("as found, filter packed", Measure(_rounded("filter"), "airflow")),
        ("as left, filter washed", Measure(_rounded("sound"), "airflow")),
    )


def _airflow_checked(given: Mapping[str, Any]) -> Reply:
    share = _rounded("filter") / _rounded("sound")
    want = published_share(share)
    said: list[Line] = []
    if abs(given["share"] - 1 / share) <= 0.011:
        said.append(line("More than all of it? Divide as found by as left."))
    elif abs(given["share"] - (1 - share)) <= 0.011:
        said.append(line("That is what was missing. The share that was there is asked."))
    elif abs(given["share"] - share) > 0.006:  # half a per cent, as it is shown
        said.append(line("Divide the airflow as found by the airflow as left."))
    if abs(given["capacity"] - want) > 0.006:
        proportional = abs(given["capacity"] - share) <= 0.011
        said.append(line(
            "Heat does not fall in step with air: less air leaves the coil colder. Use the curve."
            if proportional else
            "Put the share into the curve as a number from 0 to 1; the square goes with the last "
            "figure only."
        ))  # fmt: skip
    if said:
        return Reply(False, tuple(said))
    engine = float(run("filter").capacity_w / run("sound").capacity_w)
    table = (
        ("At this airflow", "Capacity left"),
        ("published curve, ducted units", Measure(want, "fraction")),
        ("this unit, in the engine", Measure(engine, "fraction")),
    )
    return Reply(True, (
        line("A quarter of the air was missing, and hardly a twentieth of the cooling. That is why "
             "nobody complains before the coil freezes."),
        line("Two test methods of capacity may differ by {share}; the two figures are closer than "
             "that.", share=Measure(METHODS, "fraction")),
    ), table)  # fmt: skip


PUZZLES = (
    Puzzle(
        "low-split",
        "Low split, filter clean",
        line("Humidity counted, demand full, filter washed, no codes. It is a film on the indoor "
             "coil or a charge that has leaked away in part."),
        (("low-charge", 0.55), ("film-on-indoor-coil", 0.7)),
        ("split", "airflow", "current"),
        ("standing_excess", "gas_line", "superheat", "filter_look", "winding_uv"),
    ),
    Puzzle(
        "no-cold",
        "Room air, nothing else",
        line("It blows room air. The supply is there, the cables are whole. It is a circuit "
             "without refrigerant or a dead outdoor board."),
        (("dead-inverter-board", 1.0), ("no-charge", 1.0)),
        ("split", "current"),
        ("split", "winding_uv", "standing_excess", "signal_swing", "filter_look"),
    ),
    Puzzle(
        "weak-air",
        "Weak air, filter clean",
        line("The air at the outlet is weak although the filter is clean. It is a clogged wheel or "
             "a fan motor that has grown slow."),
        (("clogged-blower-wheel", 0.6), ("weak-indoor-fan", 0.37)),
        ("airflow", "current"),
        ("gas_line", "filter_look", "indoor_fan_speed", "suction_pressure", "current"),
    ),
    Puzzle(
        "hot-yard",
        "Hot outside",
        line("The outdoor unit runs hotter than it should. It is a coil with dirt deep in it or a "
             "fan that turns too slowly."),
        (("weak-outdoor-fan", 0.28), ("dirty-outdoor-coil", 0.6)),
        ("split", "outdoor_coil_over_air"),
        ("outdoor_airflow", "discharge_pressure", "discharge_line", "outdoor_fan_speed", "split"),
    ),
    Puzzle(
        "both-modes",
        "Lukewarm in summer and in winter",
        line("Neither cooling nor heating is what it was; suction stands high. It is a compressor "
             "whose gas slips back or a reversing valve that leaks inside."),
        (("leaking-reversing-valve", 0.6), ("compressor-not-pumping", 0.5)),
        ("split", "gas_line", "suction_pressure"),
        ("valve_warming", "winding_uv", "superheat", "suction_pressure", "filter_look"),
    ),
)  # fmt: skip

TASKS = (
    Task(
        "guess-both",
        "Say it first: two faults at once",
        (
            line("A sound unit shows its usual split. Another of the same kind has a packed filter "
                 "and, behind it, a film on the fins."),
        ),
        (choice("split", "Its split is", lower="clearly lower", same="about the usual",
                higher="clearly higher"),),
        "Say it and run the unit",
        _guessed,
        once=True,
    ),
    *(puzzle_task(puzzle) for puzzle in PUZZLES),
    Task(
        "airflow-share",
        "What did the filter cost?",
        (
            line("A published curve for units in cooling: capacity left = 0.7187 + 0.4180 x - "
                 "0.1366 x², where x is the share of the airflow, from 0 to 1."),
        ),
        (
            number("share", "Share of the airflow as found", "fraction", 0.0, 3.0),
            number("capacity", "Capacity left by the curve", "fraction", 0.0, 3.0),
        ),
        "Check it",
        _airflow_checked,
        table=_airflow_table,
    ),
)  # fmt: skip
