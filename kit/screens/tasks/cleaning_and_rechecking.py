"""Tasks of the lesson on cleaning: methods, the same run again, and what a difference is worth."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from typing import Any

from kit.screens.task import Reply, Task
from kit.screens.tasks._asked import choice, number, several
from kit.screens.tasks._cleaning import (
    MACHINE,
    OUTDOOR_K,
    fresh_change_k,
    greasy,
    probe,
    same_change_k,
    settled,
    together,
    washed,
)
from kit.screens.tasks._given import fahrenheit_k
from kit.visit.outcome import Measure, line

CHOKED, FILMED, FELTED = 0.8, 0.75, 0.7  # filter, indoor coil, outdoor coil
FANS = {
    "quiet": "fan on quiet",
    "low": "fan on low",
    "medium": "fan on medium",
    "high": "fan on high",
    "auto": "fan on auto",
}
CLEAR_K = 0.5  # a split that moves less than a probe's accuracy counts as the same
# A two-channel thermometer as a regulation asks for it, and the band it allows for the split:
# California Energy Commission, Reference Residential Appendices RA3.2.
RULE_K, RULE_SHARE, RULE_BAND_K = 1.3 / 1.8, 0.001, 3.0 / 1.8
RULE_READS_F = 78.0
USUAL_MOST = 0.05  # most of the usual loss by a fouled evaporator: Siegel, Walker, Sherman 2002
# Pairs of visits: one probe for all four readings, and the change of the split [K].
CHANGES = {"a": (False, 1.5 / 1.8), "b": (True, 0.6 / 1.8), "c": (False, 3.1 / 1.8)}
DAMP_RH, DRY_RH, DAMP_DB_K = 0.60, 0.45, fahrenheit_k(80)


def _step(value: float) -> Measure:
    return Measure(value, "temperature_difference")


def _flow(value: float) -> Measure:
    return Measure(value, "airflow")


def _heat(value: float) -> Measure:
    return Measure(value, "heat_flow")


# ------------------------------------------------------------ what washing does to the split


def _wash_guessed(given: Mapping[str, Any]) -> Reply:
    from kit.machine import Condition, load_spec
    from kit.screens.plots import airflow_chart
    from kit.visit.clock import WET_MESH

    choked, filmed = Condition(filter_loading=CHOKED), Condition(indoor_coil_film=FILMED)
    cases = (
        ("Choked filter, as found", choked),
        ("Choked filter, washed", washed(choked)),
        ("The same, put back wet", Condition(filter_loading=WET_MESH)),
        ("Greasy coil, as found", filmed),
        ("Greasy coil, washed", washed(filmed)),
    )
    runs = [settled(condition) for _, condition in cases]
    change = runs[1].split_k - runs[0].split_k
    found = "same" if abs(change) < CLEAR_K else "larger" if change > 0 else "smaller"
    rows = tuple(
        (name, _step(run.split_k), _flow(run.airflow_m3_s), _heat(run.net_capacity_w))
        for (name, _), run in zip(cases, runs, strict=True)
    )
    head = ("What was run", "Its split", "Its airflow", "Heat it moves")
    said = (
        line("Little air stays long at a cold coil: a large split, and little of it."),
        line("With the mesh clear the split comes down, and more heat is moved all the same."),
        line("A film works the other way round. So tell what you washed, not only the split."),
    )
    chart = airflow_chart(load_spec(MACHINE), cases[:3])
    return Reply(given["split"] == found, said, (head, *rows), (chart,))


def _fan_guessed(given: Mapping[str, Any]) -> Reply:
    runs = {fan: settled(greasy(), fan) for fan in FANS}
    change = runs["quiet"].split_k - runs["auto"].split_k
    found = "same" if abs(change) < CLEAR_K else "larger" if change > 0 else "smaller"
    rows = tuple(
        (FANS[fan], _step(run.split_k), _flow(run.airflow_m3_s), _heat(run.net_capacity_w))
        for fan, run in runs.items()
    )
    head = ("Same dirt, other setting", "Its split", "Its airflow", "Heat it moves")
    said = (
        line("Nothing was cleaned, and the split has moved as if everything had been."),
        line("Copy mode, setpoint, fan, places and running time from the as-found column."),
    )
    return Reply(given["split"] == found, said, (head, *rows))


# ------------------------------------------------------------ methods

BEST = {"mesh": "water", "strip": "replace", "coil": "along", "outdoor": "outwards"}
_METHOD_HINTS = {
    ("mesh", "vacuum"): "Fluff comes off dry; the grease that holds the next fluff does not.",
    ("mesh", "air"): "Compressed air stretches the mesh and fills the room with what was in it.",
    ("strip", "wash"): "Carbon and charged fibre are ruined by water, however grey they are.",
    ("strip", "vacuum"): "It looks better; what it has taken up stays in it.",
    ("coil", "rinse"): "Water runs off grease. The film stays where it is.",
    ("coil", "lance"): "A jet folds the fins, and indoors it drives water behind the unit.",
    ("coil", "acid"): "Acid indoors is for nobody's lungs, and aluminium does not like it either.",
    ("outdoor", "inwards"): "The air carried the felt in from there. You push it in deeper.",
    ("outdoor", "lance"): "At an angle a jet lays the fins flat, and then no air gets through.",
}  # fmt: skip


def _methods_checked(given: Mapping[str, Any]) -> Reply:
    said = [line(hint) for (what, how), hint in _METHOD_HINTS.items() if given[what] == how]
    if said:
        return Reply(False, tuple(said[:2]))
    right = "Each dirt its own way. Here is what other ways would have left on this unit."
    return Reply(True, (line(right),), _methods_table())


@cache
def _methods_table() -> tuple[tuple[Any, ...], ...]:
    from kit.machine import Condition
    from kit.visit import cures

    filmed, felted = Condition(indoor_coil_film=FILMED), Condition(outdoor_coil_blockage=FELTED)
    cases = (
        ("Greasy indoor coil, as found", filmed),
        ("along the fins, neutral cleaner", cures.indoor_coil_cleaned(filmed, "along_fins")),
        ("water alone", cures.indoor_coil_cleaned(filmed, "rinse")),
        ("high-pressure lance", cures.indoor_coil_cleaned(filmed, "lance")),
        ("Felted outdoor coil, as found", felted),
        ("from the fan side outwards", cures.outdoor_coil_cleaned(felted, "outwards")),
        ("from the dirty face inwards", cures.outdoor_coil_cleaned(felted, "inwards")),
    )
    rows = []
    for name, condition in cases:
        run = settled(condition)
        current = Measure(run.current_a, "current")
        rows.append((name, _step(run.split_k), _heat(run.net_capacity_w), current))
    return (("Dirt and method", "Its split", "Heat it moves", "Its current"), *rows)


# ------------------------------------------------------------ what a difference is worth


def _probe_table() -> tuple[tuple[Any, ...], ...]:
    scale = probe()
    return (
        ("The probe in the bag", "By its sheet"),
        ("Accuracy, plus or minus", _step(scale.accuracy)),
        ("Smallest step of the display", _step(scale.resolution)),
    )


def rule_channel_k() -> float:
    """Return the accuracy that a regulation asks of a thermometer's channel, at room air [K].

    Source:
        California Energy Commission, Reference Residential Appendices RA3.2: 0.1 % and 1.3 °F.
    """
    return RULE_K + RULE_SHARE * RULE_READS_F / 1.8


def _split_sure_checked(given: Mapping[str, Any]) -> Reply:
    one = probe().accuracy
    want = together(one, one)
    if abs(given["sure"] - want) <= 0.04:  # half of the last digit typed, and its rounding
        said = "Two errors seldom point the same way: more than one of them, less than their sum."
        return Reply(True, (line(said),), _rule_table())
    mistakes = (
        (2.0 * one, "The sum is the worst case; both would have to be wrong to the full, apart."),
        (one, "That is one probe. A split has two readings in it."),
        (want / 2.0, "That is for a mean of two. A difference keeps all of both errors."),
        # The usual slip in degrees Fahrenheit; in kelvin it looks like one probe.
        (2.0 * 1.8 * one * one, "Squares are summed, and then the root is taken."),
        (0.0, "Two different probes are not wrong by the same amount."),
    )
    for value, hint in mistakes:
        if abs(given["sure"] - value) <= 0.04:
            return Reply(False, (line(hint),))
    return Reply(False, (line("Square both, add, take the root: all in one unit."),))


def _rule_table() -> tuple[tuple[Any, ...], ...]:
    rows = []
    for name, one in (
        ("the kit's probes", probe().accuracy),
        ("least of California's rule", rule_channel_k()),
    ):
        sure, worst = together(one, one), 2.0 * one
        rows.append((name, _step(one), _step(sure), _step(worst), _step(RULE_BAND_K)))
    head = ("Two probes", "One reading", "Split, root of squares", "Split, worst case",
            "Band of that rule")  # fmt: skip
    return (head, *rows)


@cache
def _drier() -> tuple[float, float]:
    """Return the unit's card in damp and in drier air [K]."""
    from kit.visit.target import card_split_k

    damp, dry = (
        card_split_k(MACHINE, "cooling", DAMP_DB_K, rh, OUTDOOR_K) for rh in (DAMP_RH, DRY_RH)
    )
    return damp, dry


def _changes_table() -> tuple[tuple[Any, ...], ...]:
    damp, dry = _drier()
    probes = {True: "one probe, all four times", False: "another probe each time"}
    rows = [
        (key.upper(), probes[same], _step(change), _step(0.0))
        for key, (same, change) in CHANGES.items()
    ]
    rows.append(("D", probes[True], _step(dry - damp), _step(dry - damp)))
    return (("The recheck", "Readings by", "Split went up by", "Card went up by"), *rows)


def shown_changes() -> set[str]:
    """Return the rechecks whose change is beyond what the instruments and the weather explain."""
    limit = {True: same_change_k(), False: fresh_change_k()}
    return {key for key, (same, change) in CHANGES.items() if change > limit[same]}


def _changes_checked(given: Mapping[str, Any]) -> Reply:
    picked, right = set(given["shown"]), shown_changes()
    said = []
    if "d" in picked:
        said.append(line("In one of them the air got drier. How far did its card move?"))
    if picked - right - {"d"}:
        said.append(line("Four readings with four errors: their root of squares is larger."))
    if right - picked:
        said.append(
            line("What one probe is wrong by is in all its readings, and drops out of a change.")
            if any(CHANGES[key][0] for key in right - picked)
            else line("You left one out that no set of errors explains.")
        )
    if said:
        return Reply(False, tuple(said))
    table = (
        ("Change of the split", "Must be more than"),
        ("another probe each time", _step(fresh_change_k())),
        ("one probe, all four times", _step(same_change_k())),
    )
    seen = "One probe at the same places sees small things. So it goes back in the bag last."
    return Reply(True, (line(seen),), table)


# ------------------------------------------------------------ what it brought


def _before_after_table() -> tuple[tuple[Any, ...], ...]:
    found, left = settled(greasy()), settled(washed(greasy()))
    return (
        ("From the job sheet", "As found", "As left"),
        ("Split in cooling", _step(found.split_k), _step(left.split_k)),
        ("Airflow by anemometer", _flow(found.airflow_m3_s), _flow(left.airflow_m3_s)),
    )


def gain() -> float:
    """Return how much more sensible heat the unit moves once washed, by split and airflow [-]."""
    found, left = settled(greasy()), settled(washed(greasy()))
    ratio = (left.split_k * left.airflow_m3_s) / (found.split_k * found.airflow_m3_s)
    return float(ratio - 1.0)


def _gain_checked(given: Mapping[str, Any]) -> Reply:
    found, left = settled(greasy()), settled(washed(greasy()))
    want = gain()
    if abs(given["more"] - want) <= 0.012:  # last digits of splits and airflows
        of_engine = left.sensible_w / found.sensible_w - 1.0
        of_total = left.net_capacity_w / found.net_capacity_w - 1.0
        table = (
            ("More heat, once washed", "Its gain"),
            ("sensible, by split and airflow", Measure(want, "fraction")),
            ("sensible, in the engine", Measure(float(of_engine), "fraction")),
            ("sensible and latent, in the engine", Measure(float(of_total), "fraction")),
            ("usual loss by a fouled coil, at most, published", Measure(USUAL_MOST, "fraction")),
        )
        said = (
            line("More dry heat, less water: all told the gain is smaller than it feels."),
            line("Published field studies find less on most coils. So measure before you promise."),
        )
        return Reply(True, said, table)
    split_only = left.split_k / found.split_k - 1.0
    for value, hint in (
        (split_only, "That is the split alone. The air has changed as well."),
        (want + 1.0, "That is as left over as found. What is more than the whole is the gain."),
    ):
        if abs(given["more"] - value) <= 0.012:
            return Reply(False, (line(hint),))
    said_else = "Split times airflow, as left over as found: what is above the whole is the gain."
    return Reply(False, (line(said_else),))


TASKS = (
    Task(
        "guess-wash",
        "Say it first: a choked filter",
        (
            line("The mesh is a grey felt. You take the split, wash the filter, dry it, put it "
                 "back and take the split again."),
        ),
        (choice("split", "The split becomes", larger="larger", same="the same",
                smaller="smaller"),),
        "Say it and run both",
        _wash_guessed,
        once=True,
    ),
    Task(
        "methods",
        "Each dirt its own way",
        (line("A greasy unit over a kitchen hatch. How do you clean what?"),),
        (
            choice("mesh", "Filter mesh", vacuum="vacuum alone",
                   water="vacuum, then lukewarm water from the clean side; dry in the shade",
                   air="compressed air"),
            choice("strip", "Carbon or charged strip", wash="wash it with the mesh",
                   vacuum="vacuum it", replace="leave it dry; change it when it is due"),
            choice("coil", "Indoor coil", rinse="water alone", lance="high-pressure lance",
                   along="neutral cleaner, low pressure, along the fins, rinse",
                   acid="acid cleaner"),
            choice("outdoor", "Outdoor coil", inwards="garden hose, from the dirty face inwards",
                   lance="high-pressure lance at an angle",
                   outwards="garden hose, from the fan side outwards"),
        ),
        "Check it",
        _methods_checked,
    ),
    Task(
        "guess-fan",
        "Say it first: the other fan speed",
        (line("As found the fan stood on auto. At the recheck it stands on quiet, and nobody has "
              "cleaned a thing."),),
        (choice("split", "The split becomes", larger="larger", same="the same",
                smaller="smaller"),),
        "Say it and run all speeds",
        _fan_guessed,
        once=True,
    ),
    Task(
        "split-sure",
        "How sure is a split?",
        (line("Two probes of this kind, one in the return, one in the supply. By how much, plus "
              "or minus, may their split be wrong?"),),
        (number("sure", "Split, plus or minus", "temperature_difference", 0.0, 10.0),),
        "Check it",
        _split_sure_checked,
        table=_probe_table,
    ),
    Task(
        "changes",
        "Which one is an improvement?",
        (line("Four rechecks after a wash. Which changes are more than instruments and weather "
              "can make?"),),
        (several("shown", "Shown by the readings", a="A", b="B", c="C", d="D"),),
        "Check it",
        _changes_checked,
        table=_changes_table,
    ),
    Task(
        "gain",
        "What did it bring?",
        (line("The unit over the hatch, before and after. How much more sensible heat does it "
              "move?"),),
        (number("more", "More by", "fraction", -1.0, 5.0),),
        "Check it",
        _gain_checked,
        table=_before_after_table,
    ),
)  # fmt: skip
