"""Tasks of the lesson on the outdoor unit: dirt that hides, what tells it, what mends it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from kit.screens.task import Reply, Task
from kit.screens.tasks._asked import choice, number
from kit.screens.tasks._given import at, published, share, step, words
from kit.screens.tasks._outdoor import (
    OUTDOOR_K,
    ROOM_K,
    SUSPECTS,
    closed,
    cycles,
    half_air,
    laboratory,
    over_k,
    suspects,
)
from kit.visit.outcome import Measure, line

# Share of the coil's face that is closed: while nothing is held back, and beyond.
FREE = (0.0, 0.4, 0.6, 0.7, 0.8)
HELD = (0.85, 0.9, 0.95, 0.97)
HARDLY_K = 1.2  # about 2 °F: within what two probes can tell
CLAMP_K = 1.2  # bend against air, pipe clamp and probe: kit/machine/readings.py
FOULED = 0.7  # of the unit on which condensing is worked out
STEP_K = 0.105  # half of the last digit of two readings, in either unit
LIMITS = {
    "condensing_pressure": "high head",
    "discharge_temperature": "hot discharge",
    "current": "high current",
}


def _split_guessed(given: Mapping[str, Any]) -> Reply:
    truth = closed(FREE)
    flow, split = truth.outdoor_airflow_m3_s, truth.split_k
    lost = float(split[0] - split[-1])
    came = "same" if abs(lost) < HARDLY_K else "lower" if lost > 0 else "higher"
    rows = tuple(
        (share(float(flow[i] / flow[0])), step(float(split[i])), step(over_k(truth, i)))
        for i in range(len(FREE))
    )
    said = (
        line("The room side notices next to nothing: the indoor coil is about as cold as before."),
        line("The heat still has to leave, through less air, and so the outdoor coil gets hotter."),
        line("Look at the last column: that is where this dirt shows first."),
    )
    head = words("Outdoor air left", "Split", "Condensing over outdoor air")
    return Reply(given["split"] == came, said, (head, *rows), (cycles(),))


def _current_guessed(given: Mapping[str, Any]) -> Reply:
    shares = (*FREE, *HELD)
    truth = closed(shares)
    flow, amps = truth.outdoor_airflow_m3_s, truth.current_a
    change = float(amps[-1] / amps[0]) - 1.0
    came = "same" if abs(change) < 0.05 else "higher" if change > 0 else "lower"
    rows = tuple(
        (
            share(float(flow[i] / flow[0])),
            step(over_k(truth, i)),
            Measure(float(amps[i]), "current"),
            step(float(truth.split_k[i])),
            "; ".join(LIMITS.get(name, name) for name in truth.limits[i]) or "nothing yet",
        )
        for i in range(len(shares))
    )
    said = (
        line("First the current climbs with the head. Then the board slows the compressor down."),
        line("From there on current and split fall together, and on a hot day both look like low "
             "charge."),
        line("So read three figures together: current, split, and condensing over outdoor air."),
    )  # fmt: skip
    head = words(
        "Outdoor air left", "Condensing over outdoor air", "Current", "Split", "Held back by"
    )
    return Reply(given["current"] == came, said, (head, *rows))


def _bend_readings() -> tuple[tuple[str, float], ...]:
    """Return the readings at the unit on which condensing over outdoor air is worked out."""
    truth = closed((0.0, FOULED))
    return (
        ("A bend in the middle of the outdoor coil", float(truth.condensing_k[1])),
        ("Air at the rear intake, in the shade", OUTDOOR_K),
        ("Air that leaves the outdoor fan", float(truth.outdoor_supply_k[1])),
        ("Air at the return grille", ROOM_K),
    )


def _bend_table() -> tuple[tuple[Any, ...], ...]:
    clean = step(over_k(closed((0.0,))))
    return (
        words("Place", "Reading"),
        *((name, at(value)) for name, value in _bend_readings()),
        ("The same unit clean: condensing over outdoor air", clean),
    )


def _over_checked(given: Mapping[str, Any]) -> Reply:
    bend, intake, leaving, indoors = (value for _, value in _bend_readings())
    want, got = bend - intake, given["over"]
    clean = over_k(closed((0.0,)))
    means = "high" if want > clean + CLAMP_K else "usual" if want > clean - CLAMP_K else "low"
    said = []
    if abs(got - want) > STEP_K:
        said.append(line(_over_hint(got, bend, leaving, indoors, want)))
    if given["means"] != means:
        said.append(line("Compare with the last row: what this unit shows when its coil is clean."))
    if said:
        return Reply(False, tuple(said))
    return Reply(True, (
        line("Too high, while the split still looks fine. Walk round to the rear face."),
        line("The laboratory rows are pressures of a report, turned into temperatures here with "
             "the kit's table, made with CoolProp 8; the report prints the same within 0.4 °F "
             "(0.2 K)."),
    ), _over_table(want, clean))  # fmt: skip


def _over_hint(got: float, bend: float, leaving: float, indoors: float, want: float) -> str:
    if abs(got + want) <= STEP_K:
        return "The size is right. The coil is hotter than the air, so that the figure is positive."
    if abs(got - (bend - leaving)) <= STEP_K:
        return "You took the air that leaves the fan. It has the heat already; take what goes in."
    if abs(got - (bend - indoors)) <= STEP_K:
        return "You took the air of the room. The outdoor coil gives its heat to the outdoor air."
    return "Take the air at the rear intake from the bend of the coil, both in one unit."


def _over_table(now_k: float, clean_k: float) -> tuple[tuple[Any, ...], ...]:
    return (
        words("Unit", "Outdoor air", "Condensing over outdoor air"),
        ("this unit, clean", at(OUTDOOR_K), step(clean_k)),
        ("this unit now", at(OUTDOOR_K), step(now_k)),
        *(
            ("sound laboratory unit, NISTIR 7350", at(outdoor_k), step(worked_k - outdoor_k))
            for outdoor_k, worked_k, _ in laboratory()
        ),
    )


def _cost_figures() -> tuple[tuple[float, float], tuple[float, float]]:
    """Return (cooling, input) of the unit when clean and with half of the outdoor air [W]."""
    truth = closed((0.0, half_air()))
    clean, half = zip(truth.capacity_w, truth.power_w, strict=True)
    return (float(clean[0]), float(clean[1])), (float(half[0]), float(half[1]))


def _cost_table() -> tuple[tuple[Any, ...], ...]:
    (clean_w, clean_in), (half_w, half_in) = _cost_figures()
    return (
        ("", *words("Clean", "Half of the air")),
        ("Cooling done", Measure(clean_w, "heat_flow"), Measure(half_w, "heat_flow")),
        ("Input power", Measure(clean_in, "power"), Measure(half_in, "power")),
    )


def _cost_checked(given: Mapping[str, Any]) -> Reply:
    (clean_w, clean_in), (half_w, half_in) = _cost_figures()
    want, got = half_in / half_w / (clean_in / clean_w) - 1.0, given["more"]
    if abs(got - want) > 0.006:  # the field is asked in whole percent
        return Reply(False, (line(_cost_hint(got, want, half_in / clean_in, half_w / clean_w)),))
    rows = [
        (name, share(ours), share(float(published("six_faults", row)["expected"])))
        for name, ours, row in (
            ("Cooling left", half_w / clean_w, "six_faults-condenser_airflow-0.5-capacity"),
            ("Input for the same cooling", want + 1.0, "six_faults-condenser_airflow-0.5-eir"),
        )
    ]
    said = (
        line("The room is cooled, and the customer pays for the dirt every hour."),
        line("The published figures are a regression over several machines; with "
             "another fan and another coil the rise may be half of theirs or twice."),
    )  # fmt: skip
    return Reply(True, said, (words("Half of the outdoor air", "This unit", "Published"), *rows))


def _cost_hint(got: float, want: float, more_input: float, less_cooling: float) -> str:
    if abs(got - (more_input - 1.0)) <= 0.006:
        return "That is the rise of the input alone. The unit also cools less: divide first."
    if abs(got - want / 100) <= 1e-4 or abs(got - (want + 1.0) / 100) <= 1e-4:
        return "Type it in percent: a quarter more is 25, and twice as much is 100."
    if abs(got - (want + 1.0)) <= 0.006:
        return "That is the whole of it. How much more than before is asked."
    if abs(got - (1.0 - less_cooling / more_input)) <= 0.006:
        return "That is how much less cooling an hour of power gives. Turn the division round."
    return "Divide input by cooling in each column; then say how much larger the second one is."


def _suspects_table() -> tuple[tuple[Any, ...], ...]:
    rows = (
        (*words("Split"), "split", "temperature_difference"),
        (*words("Current"), "current", "current"),
        ("Coil's bend over shade air", "outdoor_coil_over_air", "temperature_difference"),
        ("Rear intake over shade air", "outdoor_intake_over_air", "temperature_difference"),
    )
    units = suspects()
    return (
        words("Reading", "Unit A", "Unit B", "Unit C"),
        *((title, *(Measure(u[name], kind) for u in units)) for title, name, kind in rows),
        ("Outdoor fan", *(Measure(u["outdoor_fan_speed"] / 60, "rotation") for u in units)),
    )


def _suspects_checked(given: Mapping[str, Any]) -> Reply:
    said = []
    for unit, (cause, _, _) in zip("abc", SUSPECTS, strict=True):
        if given[unit] == cause:
            continue
        hint = {
            "recirculation": "One unit breathes air that is far warmer than the shade. That is no "
            "dirt: something throws its own air back.",
            "fan": "One fan turns at less than half the speed of the other two. Look there before "
            "you fetch a hose.",
            "coil": "One unit breathes cool air and its fan turns as it should, yet the heat does "
            "not leave. What is left?",
        }[cause]
        said.append(line(hint))
    if said:
        return Reply(False, tuple(said[:2]))
    return Reply(True, (
        line("Split, current and coil said the same three times. Intake and fan told them apart."),
        line("Ask what else would read like this, and take the one reading that differs."),
    ))  # fmt: skip


_WASH_HINTS = {
    ("ready", "remote"): "The remote is a control and isolates nothing. What is sure?",
    ("ready", "pulled"): "Out is not proved, and the board is still bare. Two things are missing.",
    ("side", "rear"): "From the dirty face the felt is driven deeper between the fins.",
    ("side", "along"): "A jet along the face leans on the fins and folds them.",
    ("jet", "lance"): "A lance folds rows of fins flat in a second.",
    ("jet", "acid"): "Acid eats fins and coating unless the unit's own instructions allow it.",
}


def _wash_checked(given: Mapping[str, Any]) -> Reply:
    said = [line(_WASH_HINTS[pair]) for pair in given.items() if pair in _WASH_HINTS]
    if said:
        return Reply(False, tuple(said))
    return Reply(True, (
        line("Dirt leaves the way it came in. Rinse until clear water runs off the rear face."),
        line("Let it dry, close up, and run the same test again before you judge anything else."),
    ))  # fmt: skip


_CAUSES = {
    "coil": "a dirty outdoor coil",
    "fan": "a weak outdoor fan",
    "recirculation": "its own warm air, drawn in again",
}
_SIDE_BY_SIDE = {"lower": "clearly lower", "same": "about the same", "higher": "clearly higher"}

TASKS = (
    Task(
        "guess-split",
        "Say it first: half of the outdoor air",
        (
            line(
                "A sound unit cools a room of {room} on a day of {out}. Over the weeks poplar "
                "fluff closes the rear face until half of the outdoor air is left.",
                room=at(ROOM_K), out=at(OUTDOOR_K),
            ),
            line("What does the split show, compared with the clean unit?"),
        ),
        (choice("split", "The split is", **_SIDE_BY_SIDE),),
        "Say it and run the unit",
        _split_guessed,
        once=True,
    ),
    Task(
        "over-ambient",
        "How hot is it over the outdoor air?",
        (
            line(
                "In cooling, after ten minutes, a clamp and a probe show these figures. The middle "
                "of the outdoor coil tells the condensing temperature without any gauge."
            ),
        ),
        (
            number("over", "Condensing over outdoor air", "temperature_difference", -80.0, 80.0),
            choice("means", "For this unit that is", low="too low", usual="as usual",
                   high="too high"),
        ),
        "Check it",
        _over_checked,
        table=_bend_table,
    ),
    Task(
        "cost",
        "What the dirt costs",
        (line("By how many percent does the input for the same cooling rise?"),),
        (number("more", "More input for the same cooling", "fraction", -1.0, 3.0),),
        "Check it",
        _cost_checked,
        table=_cost_table,
    ),
    Task(
        "guess-current",
        "Say it first: a fifth of the outdoor air",
        (line("Nobody washes it. A summer later about a fifth of the air still gets through. "
              "What does the clamp meter show, compared with the clean unit?"),),
        (choice("current", "The running current is", **_SIDE_BY_SIDE),),
        "Say it and run the unit",
        _current_guessed,
        once=True,
    ),
    Task(
        "tell-apart",
        "Three hot coils, three causes",
        (line("Three units of one kind on the same day. One has a dirty outdoor coil, one a weak "
              "fan, one a screen before its outlet. Which is which?"),),
        tuple(choice(unit, f"Unit {unit.upper()} has", **_CAUSES) for unit in "abc"),
        "Check it",
        _suspects_checked,
        table=_suspects_table,
    ),
    Task(
        "wash",
        "Before the hose is opened",
        (line("The rear face is matted with fluff. Choose how you wash it."),),
        (
            choice("ready", "First", remote="remote off", pulled="disconnect pulled",
                   dead="disconnect pulled, locked, tagged, proved dead; board covered"),
            choice("side", "The water goes", rear="from the dirty face inwards",
                   along="along the face", fan="from the fan side outwards"),
            choice("jet", "With", lance="a pressure lance, close up",
                   hose="a garden hose, square to the fins", acid="an acid cleaner, left to work"),
        ),
        "Check it",
        _wash_checked,
    ),
)  # fmt: skip
