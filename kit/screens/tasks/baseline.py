"""Tasks of the lesson on the baseline: demand, time, places of the probe, humidity, the sheet."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from kit.screens.plots import split_chart
from kit.screens.task import Reply, Task
from kit.screens.tasks._air_side import ZERO_C_K, air_of_humidity
from kit.screens.tasks._asked import choice, number, several
from kit.screens.tasks._baseline_runs import (
    ASKED_ROOM_K,
    DEMAND_K,
    EARLY_MIN,
    LATE_MIN,
    LEAVING,
    LOG_MACHINE,
    LOG_MIN,
    LOG_RH,
    LOG_ROOM_K,
    OFF_S,
    ROOM_K,
    ROOM_RH,
    SHOWN_MIN,
    STILL_K,
    demanded,
    first_minutes,
    log,
    minutes_of,
    minutes_s,
    probed,
    standing_from,
)  # fmt: skip
from kit.visit.outcome import Measure, line
from kit.visit.target import BAND_K

STEP_K = 0.06  # two displays of a tenth, each rounded by half a digit, in either unit

# Steps of half a kelvin show the same tenths in °F and °C. Made up, within a probe's accuracy.
ICE_K = {"a": 0.5 + ZERO_C_K, "b": -0.5 + ZERO_C_K}
AT_GRILLE_K, AT_OUTLET_K = 26.5 + ZERO_C_K, 14.0 + ZERO_C_K

# A worked example solved with a moist-air table program, as kept in datasets/published.
EXAMPLE = {"db_k": 303.15, "rh": 0.5, "wet_bulb_k": 295.15, "ratio": 0.0134}

NEEDED = ("demand", "minutes", "entering", "humidity", "leaving", "outdoor", "split")


def _split(value_k: float) -> Measure:
    return Measure(value_k, "temperature_difference")


def _temperature(value_k: float) -> Measure:
    return Measure(value_k, "temperature")


def _early_guessed(given: Mapping[str, Any]) -> Reply:
    truths = first_minutes()
    early, late = truths[EARLY_MIN - 1].split_k, truths[LATE_MIN - 1].split_k
    off = early - late
    truth = "same" if abs(off) <= BAND_K else "smaller" if off < 0 else "larger"
    rows = tuple(
        (Measure(at * 60.0, "time"), _temperature(t.return_db_k), _temperature(t.supply_db_k),
         _split(t.split_k))
        for at, t in ((minute, truths[minute - 1]) for minute in SHOWN_MIN)
    )  # fmt: skip
    said = (
        line("A sound unit, minute by minute: the compressor ramps up, then the coil cools down."),
        line(
            "After two minutes it still lacks {lacks}. Whoever read it then would call it sick.",
            lacks=_split(-off),
        ),
    )
    head = ("Since the compressor started", "Entering air", "Leaving air", "Split")
    run = [float(t.split_k) for t in truths]
    chart = split_chart([("a sound unit", minutes_s(len(run)), run)], target_k=float(late))
    return Reply(given["early"] == truth, said, (head, *rows), (chart,))


def _log_table() -> tuple[tuple[Any, ...], ...]:
    rows = ((Measure(at * 60.0, "time"), _split(split)) for at, split in enumerate(log(), 1))
    return (("Since the compressor started", "Split"), *rows)


def _standing_checked(given: Mapping[str, Any]) -> Reply:
    want = standing_from(log())
    minutes = given["minutes"] / 60.0
    if minutes < want - 0.5:
        said = "Compare that minute's split with the last row: it still has further to go."
        return Reply(False, (line(said),))
    if minutes > want + 0.5:
        return Reply(False, (line("It stands still before that. Go up the table from its end."),))
    stopped = tuple(
        float(t.split_k)
        for t in minutes_of(LOG_MACHINE, LOG_ROOM_K, LOG_RH, LOG_MIN, stop_s=OFF_S)
    )  # fmt: skip
    said_too = (
        line("Then why ten? Because the unit was at rest here, and you cannot always know that."),
        line(
            "The second run began a minute after a stop: the unit waits before it restarts. Start "
            "the watch when the compressor starts, not when you press the button."
        ),
    )
    return Reply(
        True,
        said_too,
        (
            ("The run", "Standing still from"),
            ("after a long rest", Measure(want * 60.0, "time")),
            ("a minute after a stop", Measure(standing_from(stopped) * 60.0, "time")),
        ),
        (
            split_chart(
                [
                    ("after a long rest", minutes_s(LOG_MIN), log()),
                    ("a minute after a stop", minutes_s(LOG_MIN), stopped),
                ]
            ),
        ),
    )


def _demand_checked(given: Mapping[str, Any]) -> Reply:
    want = ASKED_ROOM_K - DEMAND_K
    asked = given["setpoint"]
    if asked >= ASKED_ROOM_K:
        said = "In cooling the setpoint goes below the room, or the unit has nothing to do."
        return Reply(False, (line(said),))
    if asked > want + STEP_K:
        return Reply(False, (line("That is closer to the room than the rule wants."),))
    if asked < want - 0.6:  # one step of a remote
        said = (
            "That is demand enough, and fine on the job. Asked is the highest setpoint that still "
            "is; a step of 5 °F is not one of 5 K."
        )
        return Reply(False, (line(said),))
    said = "Here is the same sound unit at four demands. With the fan left on high, it looks sick."
    rows = (tuple(_split(value) for value in row) for row in demanded())
    head = ("Demand asked for", "Split, fan auto", "Split, fan high")
    return Reply(True, (line(said),), (head, *rows))


def _probe_guessed(given: Mapping[str, Any]) -> Reply:
    from kit.visit.places import PLACES

    seen = dict(probed())
    splits = {name: seen["return_grille"] - seen[name] for name in LEAVING}
    off = splits["supply_in_front"] - splits["supply"]
    truth = "same" if abs(off) <= BAND_K else "smaller" if off < 0 else "larger"
    rows = tuple(
        (PLACES[name].title, _temperature(seen[name]), _split(split))
        for name, split in splits.items()
    )
    said = (
        line("One sound unit, one moment, one true probe in five places."),
        line("The jet draws room air in; metal is colder than the air that leaves."),
        line("No deeper than just inside the louvre: behind it the wheel turns."),
    )
    head = ("Place of the probe", "Leaving air", "Split from it")
    return Reply(given["front"] == truth, said, (head, *rows))


def _places_table() -> tuple[tuple[Any, ...], ...]:
    from kit.visit.places import PLACES

    hidden = ("supply_left", "supply_right")
    rows = ((PLACES[n].title, _temperature(v)) for n, v in probed() if n not in hidden)
    return (("Place of the probe", "It shows"), *rows)


def _places_checked(given: Mapping[str, Any]) -> Reply:
    seen, split = dict(probed()), given["split"]
    if abs(split - (seen["return_grille"] - seen["supply"])) <= STEP_K:
        said = "Into the grille, out of the middle of the outlet: air that the coil has met."
        return Reply(True, (line(said),))
    for entering, leaving, hint in (
        ("return_wall", "supply", "The wall is warmer than the air that goes in."),
        ("return_grille", "supply_in_front", "In front of the outlet, room air is mixed in."),
        ("return_grille", "supply_touching", "Against metal you measure metal, not air."),
        ("supply", "return_grille", "In cooling, take leaving from entering air."),
    ):
        if abs(split - (seen[entering] - seen[leaving])) <= STEP_K:
            return Reply(False, (line(hint), line("Choose both places anew.")))
    return Reply(False, (line("Two of these places are right. Take the one from the other."),))


def _probes_checked(given: Mapping[str, Any]) -> Reply:
    shown = AT_GRILLE_K - AT_OUTLET_K
    apart = ICE_K["a"] - ICE_K["b"]
    split = given["split"]
    if abs(split - (shown - apart)) <= STEP_K:
        said = (
            "Each probe's error is taken off its own reading. Simpler: carry one probe to both "
            "places, and its error drops out."
        )
        return Reply(True, (line(said),))
    for wrong, hint in (
        (shown, "That is what the two displays say. What did they show in ice and water?"),
        (shown + apart, "The correction goes the other way: A reads too high, B too low."),
        (shown - apart / 2, "You have corrected one probe. The other is off as well."),
    ):
        if abs(split - wrong) <= STEP_K:
            return Reply(False, (line(hint),))
    said = "Ice and water stand at {zero}. Take each probe's error off its reading first."
    return Reply(False, (line(said, zero=_temperature(ZERO_C_K)),))


def _humidity_worked_out(given: Mapping[str, Any]) -> Reply:
    found = air_of_humidity(given["db"], given["rh"])
    rows = (
        ("Wet bulb", _temperature(found.wet_bulb_k)),
        ("Dew point", _temperature(found.dew_k)),
        ("Water in the air", Measure(found.ratio, "humidity_ratio")),
    )
    return Reply(None, (line("Worked out by psychrolib at sea level."),), (("", "This air"), *rows))


def _wet_bulb_checked(given: Mapping[str, Any]) -> Reply:
    found = air_of_humidity(EXAMPLE["db_k"], EXAMPLE["rh"])
    if abs(given["wb"] - found.dew_k) <= 0.3:
        return Reply(False, (line("That is the dew point. The wet bulb stands one row above."),))
    if abs(given["wb"] - found.wet_bulb_k) > STEP_K:
        said = "Type both figures of the question into the sheet above and read it again."
        return Reply(False, (line(said),))
    said = "Two ways of working out the same air, within {apart} of each other."
    apart = _split(abs(found.wet_bulb_k - EXAMPLE["wet_bulb_k"]) + 0.05)  # printed to a tenth
    table = (
        ("", "Worked out here", "Published example"),
        ("Wet bulb", _temperature(found.wet_bulb_k), _temperature(EXAMPLE["wet_bulb_k"])),
        ("Water in the air", Measure(found.ratio, "humidity_ratio"),
         Measure(EXAMPLE["ratio"], "humidity_ratio")),
    )  # fmt: skip
    return Reply(True, (line(said, apart=apart),), table)


_EXTRA = {
    "pressure": "Pressures need gauges, and a baseline needs none.",
    "remote": "The remote's figure is the unit's own sensor, which may be what is wrong.",
    "report": "A weather report knows nothing of this yard. The air at the intake counts.",
}


def _sheet_checked(given: Mapping[str, Any]) -> Reply:
    ticked = set(given["lines"])
    said = [line(hint) for name, hint in _EXTRA.items() if name in ticked]
    if not ticked.issuperset(NEEDED):
        said.append(
            line("One more question: could a stranger repeat your run, and compare, from this?")
        )
    if said:
        return Reply(False, tuple(said))
    return Reply(True, (line("With these lines anybody can repeat your run, this year or next."),))


TASKS = (
    Task(
        "demand",
        "Ask for enough",
        (
            line(
                "The room is at {room}. The unit is to cool with a demand of at least {least}. "
                "What is the highest setpoint that will do?",
                room=_temperature(ASKED_ROOM_K),
                least=_split(DEMAND_K),
            ),
        ),
        (number("setpoint", "Highest setpoint", "temperature", 283.15, 313.15),),
        "Check it",
        _demand_checked,
    ),
    Task(
        "guess-two-minutes",
        "Say it first: read after two minutes",
        (
            line(
                "A sound unit starts in a room of {room} at {rh}, at full demand. After ten "
                "minutes its split has settled.",
                room=_temperature(ROOM_K),
                rh=Measure(ROOM_RH, "relative_humidity"),
            ),
            line("What does the split read after two minutes?"),
        ),
        (
            choice(
                "early", "After two minutes it is", smaller="clearly smaller", same="the same",
                larger="clearly larger",
            ),
        ),
        "Say it and run the unit",
        _early_guessed,
        once=True,
    ),
    Task(
        "standing-still",
        "When does it stand still?",
        (
            line(
                "A larger unit, a damp room. From which minute on does the split stay within "
                "{still} of its last value?",
                still=_split(STILL_K),
            ),
        ),
        (number("minutes", "From minute", "time", 0.0, 3600.0),),
        "Check it",
        _standing_checked,
        table=_log_table,
    ),
    Task(
        "guess-in-front",
        "Say it first: the probe in front of the outlet",
        (
            line("The leaving air is read an arm's length in front of the outlet."),
            line("Against the true split, the split worked out from it is"),
        ),
        (
            choice(
                "front", "It comes out", smaller="clearly smaller", same="the same",
                larger="clearly larger",
            ),
        ),
        "Say it and move the probe",
        _probe_guessed,
        once=True,
    ),
    Task(
        "right-places",
        "Choose the two readings",
        (line("Somebody has been generous with the probe. What is the split of this unit?"),),
        (number("split", "The split is", "temperature_difference"),),
        "Check it",
        _places_checked,
        table=_places_table,
    ),
    Task(
        "two-probes",
        "Two probes that were checked",
        (
            line(
                "In ice and water probe A shows {a} and probe B {b}. Later A shows {grille} in the "
                "return grille and B shows {outlet} in the outlet.",
                a=_temperature(ICE_K["a"]),
                b=_temperature(ICE_K["b"]),
                grille=_temperature(AT_GRILLE_K),
                outlet=_temperature(AT_OUTLET_K),
            ),
        ),
        (number("split", "The split is", "temperature_difference"),),
        "Check it",
        _probes_checked,
    ),
    Task(
        "humidity-sheet",
        "Humidity sheet",
        (line("Give what a hygrometer shows; the wet bulb follows."),),
        (
            number("db", "Dry bulb", "temperature", 273.15, 323.15),
            number("rh", "Relative humidity", "relative_humidity", 0.01, 1.0),
        ),
        "Work it out",
        _humidity_worked_out,
    ),
    Task(
        "published-wet-bulb",
        "Does a published example agree?",
        (
            line(
                "A worked example has air of {db} at {rh}. What is its wet bulb?",
                db=_temperature(EXAMPLE["db_k"]),
                rh=Measure(EXAMPLE["rh"], "relative_humidity"),
            ),
        ),
        (number("wb", "Wet bulb", "temperature", 253.15, 333.15),),
        "Compare with the example",
        _wet_bulb_checked,
    ),
    Task(
        "job-sheet",
        "What must be on the sheet?",
        (line("Tick what has to be written down before anything is cleaned or opened."),),
        (
            several(
                "lines", "On the job sheet", demand="mode, setpoint and fan",
                minutes="minutes since the compressor started",
                entering="entering air, in the return grille",
                humidity="humidity or wet bulb of the entering air",
                pressure="suction and discharge pressure",
                leaving="leaving air, middle of the outlet",
                remote="the room temperature that the remote shows",
                outdoor="outdoor air at the intake, in the shade",
                report="the outdoor temperature of a weather report",
                split="split and target",
            ),
        ),
        "Check it",
        _sheet_checked,
    ),
)  # fmt: skip
