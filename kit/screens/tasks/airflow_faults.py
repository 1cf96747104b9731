"""Tasks of the lesson on airflow faults: filter, coil, wheel, fan, and how to tell them apart."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from kit.screens.plots import airflow_chart
from kit.screens.task import Plot, Reply, Task
from kit.screens.tasks import _airflow_runs as runs
from kit.screens.tasks._asked import choice, number
from kit.visit.outcome import ArgumentInfo, Measure, line

SAME_SPLIT_K = 0.5  # what an air probe is trusted for: from memory
SAME_HEAT = 0.02  # less than any field method sees
COPIED = 0.012  # share: two figures of a table, divided and rounded to whole per cents
BY_HAND = 0.04  # 1.08 and 1.2 stand for standard air; damp, warm air differs by up to this share
AREA = 0.02  # share: a tape and nine speeds, as they are shown
STANDARD_W = 1206.0  # W per m3/s and K: 1.08 Btu/h per cfm and °F; common practice, no source
SLIPS = (1.08, 1.2)  # what an answer has too much when the factor was left out, by unit system

HELD = {"coil_freeze": "freeze protection"}


def _flow(value_w: float) -> Measure:
    return Measure(value_w, "heat_flow")


def _split(value_k: float) -> Measure:
    return Measure(value_k, "temperature_difference")


def _airflow(value_m3_s: float) -> Measure:
    return Measure(value_m3_s, "airflow")


def _share(value: float) -> Measure:
    return Measure(value, "fraction")


def _compared(value: float, against: float, same: float) -> str:
    if abs(value - against) <= same:
        return "same"
    return "larger" if value > against else "smaller"


def _chart(*cases: tuple[str, str, float]) -> Plot:
    from kit.machine import load_spec

    known = [("clean unit", runs.condition_of())]
    known += [(name, runs.condition_of(**{knob: level})) for name, knob, level in cases]
    return airflow_chart(load_spec(runs.MACHINE), known)


def _filter_guessed(given: Mapping[str, Any]) -> Reply:
    truths = dict(zip(runs.FILTERS, runs.by_filter(), strict=True))
    clean, dirty = truths[0.0], truths[runs.GUESSED_FILTER]
    split = _compared(dirty.split_k, clean.split_k, SAME_SPLIT_K)
    heat = _compared(dirty.net_capacity_w / clean.net_capacity_w, 1.0, SAME_HEAT)
    rows = tuple(
        (_airflow(t.airflow_m3_s), _split(t.split_k), _flow(t.net_capacity_w),
         Measure(t.evaporating_k, "temperature"))
        for t in truths.values()
    )  # fmt: skip
    said = (
        line("Less air stays longer on the coil and leaves it colder: the split grows."),
        line("Yet there is less of it, and the colder coil gives less: all the heat shrinks."),
        line("A good split from a weak outlet is no good news."),
    )
    head = ("Airflow", "Split", "Heat in all", "Evaporating at")
    right = (given["split"], given["heat"]) == (split, heat)
    chart = _chart(
        ("dirty filter", "filter_loading", runs.GUESSED_FILTER),
        ("blocked filter", "filter_loading", 1.0),
    )
    return Reply(right, said, (head, *rows), (chart,))


def _held(limits: tuple[str, ...]) -> str:
    return ", ".join(HELD.get(name, "another protection") for name in limits) or "nothing"


def _wheel_guessed(given: Mapping[str, Any]) -> Reply:
    truths = runs.by_wheel()
    rows = tuple(
        (_airflow(t.airflow_m3_s), _split(t.split_k), _flow(t.net_capacity_w),
         _split(t.room_db_k - t.return_db_k), _held(t.limits))
        for t in truths
    )  # fmt: skip
    said = (
        line("At first it is a loss of airflow like any other, and the split grows."),
        line(
            "Then the jet no longer throws across the room. Cold air falls back into the intake, "
            "the coil comes near freezing, and the unit holds itself back: the split ends low."
        ),
        line("Look at the fourth column: the entering air is colder than the room."),
    )
    head = ("Airflow", "Split", "Heat in all", "Entering air below room", "Held back by")
    way = runs.way_of([float(t.split_k) for t in truths])
    chart = _chart(("fouled wheel", "wheel_fouling", 0.6), ("packed wheel", "wheel_fouling", 1.0))
    return Reply(given["way"] == way, said, (head, *rows), (chart,))


def _shares_table() -> tuple[tuple[Any, ...], ...]:
    clean, dirty = runs.settled(), runs.settled(filter_loading=runs.THIRD_LESS)
    return (
        ("Read or worked out", "Clean filter", "Dirty filter"),
        ("Airflow", _airflow(clean.airflow_m3_s), _airflow(dirty.airflow_m3_s)),
        ("Split", _split(clean.split_k), _split(dirty.split_k)),
        ("Heat in all", _flow(clean.net_capacity_w), _flow(dirty.net_capacity_w)),
    )


def _shares_checked(given: Mapping[str, Any]) -> Reply:
    air, heat = runs.shares()
    asked = ((given["air"], air), (given["heat"], heat))
    if any(abs(typed * want - 1.0) <= 2 * COPIED for typed, want in asked):
        said = "More than all of it cannot be left. Divide the dirty figure by the clean one."
        return Reply(False, (line(said),))
    if any(abs(typed - (1.0 - want)) <= COPIED for typed, want in asked):
        said = "That is how much is gone. Asked is how much is left."
        return Reply(False, (line(said),))
    if any(abs(typed - want) > COPIED for typed, want in asked):
        return Reply(False, (line("Each in its own row: dirty divided by clean."),))
    high, low = runs.published(air)
    said_too = line(
        "Two published correlations of fixed-speed ducted units mark the band; this unit lies in "
        "it, give or take the {methods} that two ways of measuring may differ by.",
        methods=_share(runs.METHODS),
    )
    inside = low * (1.0 - runs.METHODS) <= heat <= high * (1.0 + runs.METHODS)
    outside = line("Two published correlations say otherwise; tell your instructor.")
    return Reply(
        True,
        (said_too if inside else outside,),
        (
            ("Worked out by", "Heat left"),
            ("This unit, by the engine", _share(heat)),
            ("Cutler and others, heat pump", _share(high)),
            ("Cheung and Braun, airflow fault", _share(low)),
        ),
    )


def _bench_table() -> tuple[tuple[Any, ...], ...]:
    t = runs.settled(wheel_fouling=runs.BENCH_WHEEL)
    return (
        ("Read or worked out", "This unit"),
        ("Heat in all", _flow(t.net_capacity_w)),
        ("Latent heat", _flow(t.latent_w)),
        ("Split", _split(t.split_k)),
    )


def _bench_checked(given: Mapping[str, Any]) -> Reply:
    t = runs.settled(wheel_fouling=runs.BENCH_WHEEL)
    want, typed = float(t.airflow_m3_s), given["airflow"]
    per = STANDARD_W * float(t.split_k)
    if abs(typed * per / t.net_capacity_w - 1.0) <= BY_HAND:
        said = "You have used all the heat. Airflow and split account for the sensible part only."
        return Reply(False, (line(said),))
    if any(abs(typed / (want * slip) - 1.0) <= BY_HAND / 2 for slip in SLIPS):
        return Reply(False, (line("Heat divided by split is not airflow yet: use the factor."),))
    if abs(typed * per / t.latent_w - 1.0) <= BY_HAND:
        return Reply(
            False, (line("That came from the latent part. The split is the sensible one."),)
        )
    if abs(typed / want - 1.0) > BY_HAND:
        said = "Take the latent heat off, then divide by the factor and by the split."
        return Reply(False, (line(said),))
    clean = runs.settled()
    said_too = line(
        "The label of this unit gives {label}: {share} of that is left. Its split is {split}; on "
        "its own it would have told you nothing.",
        label=_airflow(clean.airflow_m3_s),
        share=_share(want / clean.airflow_m3_s),
        split=_split(t.split_k),
    )
    return Reply(True, (said_too,))


def _grid_table() -> tuple[tuple[Any, ...], ...]:
    names = ("upper row", "centre row", "lower row")
    rows = (
        (name, *(Measure(speed, "speed") for speed in row))
        for name, row in zip(names, runs.grid_m_s(), strict=True)
    )
    return (("Air speed at the outlet", "left end", "in the middle", "right end"), *rows)


def _grid_checked(given: Mapping[str, Any]) -> Reply:
    points = [speed for row in runs.grid_m_s() for speed in row]
    width, height = runs.OUTLET_M
    want = sum(points) / len(points) * width * height
    ratio = given["airflow"] / want
    if abs(ratio - 1.0) <= AREA:
        true = float(runs.settled(wheel_fouling=runs.GRID_WHEEL).airflow_m3_s)
        said = line(
            "The unit moves {true}. One point alone would have said anything from {low} to {high}.",
            true=_airflow(true),
            low=_airflow(min(points) * width * height),
            high=_airflow(max(points) * width * height),
        )
        return Reply(True, (said,))
    for wrong, hint in (
        (max(points) / sum(points) * len(points), "That is the fastest point alone."),
        (float(len(points)), "That is the sum of nine points. An average is wanted."),
        (144.0, "Square inches are not square feet: 144 of them are one."),
        (0.001, "Cubic metres are not litres: a thousand of them are one."),
    ):
        if abs(ratio / wrong - 1.0) <= AREA:
            return Reply(False, (line(hint),))
    said = line("Average of the nine speeds, times the opening's width, times its height.")
    return Reply(False, (said,))


def _four_table() -> tuple[tuple[Any, ...], ...]:
    rows = (
        (name.upper(), _airflow(c.airflow_m3_s), _airflow(c.filter_out_m3_s),
         Measure(c.wheel_rps, "rotation"), _split(c.split_k),
         "blades packed" if c.packed else "blades clean")
        for name, c in runs.four_units().items()
    )  # fmt: skip
    return (
        ("The unit", "Airflow", "With the filter out", "Speed of the wheel", "Split",
         "With a light, unit dead"),
        *rows,
    )  # fmt: skip


_TOLD = {
    "filter": "One of them breathes as soon as its filter is out.",
    "fan": "One wheel turns more slowly than its label says, and is clean.",
    "wheel": "Of two that turn at speed behind a clean filter, look at the blades.",
    "coil": "Filter, speed and blades are right in one of them. What is left in the air's way?",
}


def _four_checked(given: Mapping[str, Any]) -> Reply:
    units = runs.four_units()
    if len(set(given.values())) < len(units):
        return Reply(False, (line("Each cause is there once."),))
    wrong = [c.cause for name, c in units.items() if given[name] != c.cause]
    if wrong:
        return Reply(False, (line(_TOLD[min(wrong, key=list(_TOLD).index)]),))
    said = (
        line(
            "Four causes, one airflow, splits a few degrees apart: one trial and looks tell them."
        ),
        line("Filter out, speed, blades, coil: in that order, from cheap to dear."),
    )
    return Reply(True, said)


_ALL: tuple[tuple[str, dict[str, float]], ...] = (
    ("clean unit", {}),
    ("dirty filter", {"filter_loading": 0.85}),
    ("coil matted with dirt", {"indoor_coil_blockage": 0.78}),
    ("fouled wheel", {"wheel_fouling": 0.6}),
    ("packed wheel", {"wheel_fouling": 1.0}),
    ("slow blower motor", {"indoor_fan_factor": 0.62}),
    ("film on the coil", {"indoor_coil_film": 0.75}),
)


def _all_run(_: Mapping[str, Any]) -> Reply:
    clean = runs.settled()
    rows = tuple(
        (name, _split(t.split_k), _share(t.airflow_m3_s / clean.airflow_m3_s),
         _share(t.net_capacity_w / clean.net_capacity_w),
         _split(t.room_db_k - t.return_db_k))
        for name, t in ((name, runs.settled(**knobs)) for name, knobs in _ALL)
    )  # fmt: skip
    said = line("Six rows have a cause to show. One of them does not go with the others.")
    head = ("What is wrong", "Split", "Airflow left", "Heat left", "Entering air below room")
    return Reply(None, (said,), (head, *rows))


def _cause(name: str) -> ArgumentInfo:
    return choice(
        name, f"Unit {name.upper()}", filter="dirty filter", wheel="fouled wheel",
        coil="coil matted with dirt", fan="slow blower motor",
    )  # fmt: skip


TASKS = (
    Task(
        "guess-filter",
        "Say it first: a dirty filter",
        (
            line(
                "A sound unit cools a room of {room} at full demand. Dust then takes about a "
                "quarter of its airflow.",
                room=Measure(runs.ROOM_K, "temperature"),
            ),
            line("What becomes of its split, and of all the heat that it takes out?"),
        ),
        (
            choice("split", "The split becomes", larger="larger", same="the same",
                   smaller="smaller"),
            choice("heat", "All the heat becomes", larger="larger", same="the same",
                   smaller="smaller"),
        ),
        "Say it and load the filter",
        _filter_guessed,
        once=True,
    ),
    Task(
        "shares",
        "How much is left?",
        (line("Nearly a third of the air is gone. What share of each is left?"),),
        (
            number("air", "Airflow left", "fraction", 0.0, 3.0),
            number("heat", "Heat left", "fraction", 0.0, 3.0),
        ),
        "Check it",
        _shares_checked,
        table=_shares_table,
    ),
    Task(
        "guess-wheel",
        "Say it first: a wheel that clogs",
        (line("Two summers of dust on the blades, more each week. Where does the split go?"),),
        (
            choice("way", "From clean to packed", up="up, all the way", down="down, all the way",
                   turns="up first, then down"),
        ),
        "Say it and clog the wheel",
        _wheel_guessed,
        once=True,
    ),
    Task(
        "airflow-from-heat",
        "Airflow from heat and split",
        (line("A school's test bench has measured the heat. How much air does this unit move?"),),
        (number("airflow", "Airflow", "airflow", 0.0, 5.0),),
        "Check it",
        _bench_checked,
        table=_bench_table,
    ),
    Task(
        "outlet-grid",
        "Airflow from nine points",
        (
            line(
                "An anemometer was held at nine points of the outlet. The opening is {width} wide "
                "and {height} high.",
                width=Measure(runs.OUTLET_M[0], "small_length"),
                height=Measure(runs.OUTLET_M[1], "small_length"),
            ),
        ),
        (number("airflow", "Airflow", "airflow", 0.0, 50.0),),
        "Check it",
        _grid_checked,
        table=_grid_table,
    ),
    Task(
        "four-units",
        "Four weak outlets",
        (line("Each has lost about the same air, each for another reason. Which is which?"),),
        tuple(_cause(name) for name in runs.CAUSES),
        "Check it",
        _four_checked,
        table=_four_table,
    ),
    Task(
        "all-of-them",
        "All of them side by side",
        (line("The same unit in the same room, seven times."),),
        (),
        "Run them all",
        _all_run,
    ),
)  # fmt: skip
