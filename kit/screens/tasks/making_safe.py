"""Tasks of the lesson on making safe: what stays live, the order, the stored charge, the proof."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

from kit.screens.task import Plot, Reply, Task
from kit.screens.tasks._asked import choice, number, several
from kit.screens.tasks._bus import broken, bus_start_v, bus_v, machine, set_off, wait_s
from kit.visit.outcome import Measure, line

GUESSED, ASKED, HELD = "wall-12k-r32", "wall-18k-r32", "wall-12k-r454b"
ISOLATED_S = 600.0
TIMES_MIN = (0, 1, 2, 3, 4, 5, 6, 8, 10, 15)
SAME_WAIT_S = 300.0
HELD_AFTER_S = 480.0
# Units of the row of cabinets: the last one's bleed resistor is broken.
ROW = {
    "a": ("wall-9k-r32", False),
    "b": ("wall-12k-r454b", False),
    "c": ("wall-18k-r454b", False),
    "d": ("wall-24k-r410a", False),
    "e": ("wall-12k-r410a", True),
}
# Worked examples of two bleed-resistor calculators: start [V], capacitors [F], resistor [ohm],
# end [V], time as printed [s].
EXAMPLES = (
    (400.0, 470e-6, 10e3, 50.0, 9.8),  # resicalc.com
    (1500.0, 195e-6, 50.0, 320.0, 0.015062769),  # scribd.com document 347454186
)
STEPS = ("off", "pull", "lock", "try", "wait", "prove")
PLACES = ("first", "second", "third", "fourth", "fifth", "sixth")
POINTS = {"lines", "line_1_earth", "line_2_earth", "bus"}


def _limit_v() -> float:
    from kit.physics.electrics import SAFE_TOUCH_DC_V

    return SAFE_TOUCH_DC_V


def _volts(value: float) -> Measure:
    return Measure(value, "voltage")


# ------------------------------------------------------------ what the remote leaves live


def _remote_guessed(given: Mapping[str, Any]) -> Reply:
    truth, spec = set_off(GUESSED), machine(GUESSED)
    start, later = bus_start_v(GUESSED), bus_v(GUESSED, ISOLATED_S)
    live = [spec.supply_v > _limit_v(), start > _limit_v()]
    found = {0: "nothing", 1: "terminals", 2: "both"}[sum(live)]
    table = (
        ("Where", "Off at the remote", "Disconnect out, ten minutes"),
        ("Between line 1 and line 2", _volts(spec.supply_v), _volts(0.0)),
        ("DC bus, plus to minus", _volts(start), _volts(later)),
        ("Power it draws", Measure(truth.power_w, "power"), Measure(0.0, "power")),
    )
    said = (
        line("The remote asks; it does not cut. The board listens for its next word, under power."),
        line("So the remote is control. Only the disconnect, held out by your lock, isolates."),
    )
    return Reply(given["live"] == found, said, table)


# ------------------------------------------------------------ the order


def _order_checked(given: Mapping[str, Any]) -> Reply:
    named = [given[place] for place in PLACES]
    if len(set(named)) < len(named):
        return Reply(False, (line("One step stands there twice, so another one is lacking."),))
    at = {step: number for number, step in enumerate(named)}
    said = []
    if at["off"] > at["pull"]:
        said.append(line("Pulled while it runs, the disconnect draws an arc. What stops it first?"))
    if at["lock"] != at["pull"] + 1:
        said.append(
            line("As long as the disconnect hangs there without a lock, anybody can push it in.")
        )
    if at["try"] < at["lock"]:
        said.append(line("The trial shows that the lock holds the right unit out, so it needs it."))
    if at["prove"] < at["wait"]:
        said.append(line("A bus that has not had time to empty cannot be proved dead."))
    if said:
        return Reply(False, tuple(said[:2]))
    if at["prove"] != len(named) - 1:
        said_last = "The meter has the last word. After the proof nothing may be switched or tried."
        return Reply(False, (line(said_last),))
    right = "Control off, isolate, lock and tag, try, wait, prove. Then hands go in, not before."
    return Reply(True, (line(right),))


# ------------------------------------------------------------ the bus in time


def _wait_guessed(given: Mapping[str, Any]) -> Reply:
    wait = wait_s(GUESSED)
    found = "short" if wait < 60.0 else "middle" if wait <= 240.0 else "long"
    rows = tuple(
        (
            f"{minutes} min",
            _volts(bus_v(GUESSED, 60.0 * minutes)),
            _volts(bus_v(GUESSED, 60.0 * minutes, broken())),
        )
        for minutes in TIMES_MIN
    )
    said = (
        line(
            "Sound, it passes {limit} after {minutes} minutes.",
            limit=_volts(_limit_v()),
            minutes=f"{wait / 60.0:.1f}",
        ),
        line("Look at the last column: no wait in the world empties a bus without its resistor."),
    )
    head = ("After the disconnect", "Bus of a sound unit", "Bus with a broken bleed resistor")
    return Reply(given["wait"] == found, said, (head, *rows), (_bus_chart(),))


def _bus_chart() -> Plot:
    from kit.screens.tasks._in_time import Curve, Limit, time_chart

    seconds = [20.0 * step for step in range(46)]  # fifteen minutes
    sound = tuple((s, bus_v(GUESSED, s)) for s in seconds)
    stays = tuple((s, bus_v(GUESSED, s, broken())) for s in seconds)
    curves = (
        Curve(line("Bus of a sound unit"), sound),
        Curve(line("Bus with a broken bleed resistor"), stays),
    )
    return time_chart("DC bus", "voltage", curves, Limit(line("limit to work by"), _limit_v()))


def _parts_table() -> tuple[tuple[Any, ...], ...]:
    spec = machine(ASKED)
    return (
        ("From the board of this unit", "Its value"),
        ("Bus capacitors together", f"{1e6 * spec.bus_capacitance_f:.0f} uF"),
        ("Bleed resistor across them", f"{spec.bus_bleed_ohm / 1e3:.0f} kohm"),
        ("DC bus, plus to minus", _volts(bus_start_v(ASKED))),
    )


def _wait_checked(given: Mapping[str, Any]) -> Reply:
    spec, want = machine(ASKED), wait_s(ASKED)
    tau = spec.bus_bleed_ohm * spec.bus_capacitance_f
    if abs(given["wait"] - want) <= 6.0:  # a tenth of a minute
        said = "So long at the least, and measured after it. A label with a longer wait goes first."
        return Reply(True, (line(said),), _examples_table())
    mistakes = (
        (want / math.log(10.0), "That is the logarithm to base ten; ln is the natural one."),
        (tau, "That is R times C alone, the time constant. The logarithm is still to come."),
        (5.0 * tau, "Five time constants empty it almost. What is asked is the way to the limit."),
        (60.0 * want, "That looks like seconds in the field for minutes. Type the unit with it."),
        (want / 1e3, "A kilohm is a thousand ohm; the time is longer by that."),
    )
    for value, hint in mistakes:
        if abs(given["wait"] - value) <= 0.02 * value:
            return Reply(False, (line(hint),))
    said = "Ohm times farad gives seconds: so many time constants as ln of start over limit says."
    return Reply(False, (line(said),))


def _examples_table() -> tuple[tuple[Any, ...], ...]:
    from kit.physics import electrics

    head = ("Worked example", "Published value", "By the kit's engine", "R C ln, by hand")
    rows = []
    for start, farad, ohm, end, printed in EXAMPLES:
        wait = float(electrics.bus_wait_s(start, farad, ohm, end))
        by_hand = ohm * farad * math.log(start / end)
        what = f"{start:.0f} V – {end:.0f} V, {1e6 * farad:.0f} uF, {ohm:.0f} ohm"
        rows.append((what, f"{printed:.4g} s", f"{wait:.4g} s", f"{by_hand:.4g} s"))
    return (head, *rows)


# ------------------------------------------------------------ readings


def _shown_v(name: str, stays: bool) -> float:
    return round(bus_v(name, SAME_WAIT_S, broken() if stays else None), 1)


def may_touch() -> set[str]:
    """Return the cabinets whose bus is below the limit, whatever the meter's error may be."""
    from kit.visit.instruments import instrument

    scale = instrument("multimeter").scale("voltage")
    shown = {key: _shown_v(*unit) for key, unit in ROW.items()}
    return {key for key, volt in shown.items() if volt + scale.error_limit(volt) < _limit_v()}


def _row_table() -> tuple[tuple[Any, ...], ...]:
    rows = ((key.upper(), _volts(_shown_v(*unit))) for key, unit in ROW.items())
    return (("Cabinet on the wall", "Bus after five minutes"), *rows)


def _row_checked(given: Mapping[str, Any]) -> Reply:
    picked, right = set(given["touch"]), may_touch()
    shown = {key: _shown_v(*unit) for key, unit in ROW.items()}
    if picked == right:
        said = "Same wait, five outcomes: the wait is a guess about the parts, the meter looks."
        return Reply(True, (line(said),))
    if any(shown[key] >= _limit_v() for key in picked):
        said = "One that you picked is not below {limit}."
        return Reply(False, (line(said, limit=_volts(_limit_v())),))
    if picked - right:
        said = "One that you picked is below the limit only as long as the meter is exactly right."
        return Reply(False, (line(said),))
    return Reply(False, (line("You left one out that is well below the limit."),))


def _held_table() -> tuple[tuple[Any, ...], ...]:
    spec = machine(HELD)
    return (
        ("At this unit", "Its value"),
        ("Bus capacitors together", f"{1e6 * spec.bus_capacitance_f:.0f} uF"),
        ("Bleed resistor across them", f"{spec.bus_bleed_ohm / 1e3:.0f} kohm"),
        ("Bus as the disconnect came out", _volts(bus_start_v(HELD))),
        ("Bus eight minutes later", _volts(bus_v(HELD, HELD_AFTER_S, broken()))),
    )


def _held_checked(given: Mapping[str, Any]) -> Reply:
    from kit.physics import electrics

    want, spec = bus_v(HELD, HELD_AFTER_S), machine(HELD)
    said = []
    if abs(given["sound"] - want) > 0.02 * want:
        minutes = bus_v(HELD, HELD_AFTER_S / 60.0)
        if abs(given["sound"] - minutes) <= 0.02 * minutes:
            said.append(line("That is the bus after eight seconds; R times C counts in seconds."))
        else:
            said.append(line("Start times e to the minus t over R C: once more, t in seconds."))
    hints = {
        "short": "A screwdriver across it is an arc flash and a burnt board. Never.",
        "wait": "It has not fallen by a volt in eight minutes. Another eight bring nothing.",
        "work": "The disconnect is out, and this is deadly all the same.",
    }
    if given["now"] in hints:
        said.append(line(hints[given["now"]]))
    if said:
        return Reply(False, tuple(said))
    joule = electrics.stored_energy_j(bus_start_v(HELD), spec.bus_capacitance_f)
    table = (
        ("This bus", "Stored energy"),
        (_volts(bus_start_v(HELD)), f"{joule:.0f} J"),
        (_volts(want), f"{electrics.stored_energy_j(want, spec.bus_capacitance_f):.1f} J"),
    )
    right = "Its bleed resistor is open. It stays live, whatever the clock says, until measured."
    return Reply(True, (line(right),), table)


def _proof_checked(given: Mapping[str, Any]) -> Reply:
    points = set(given["points"])
    said = []
    if points - POINTS:
        said.append(line("A dark lamp and a still fan are signs. A proof is a figure on a meter."))
    if "bus" not in points:
        said.append(line("One store of charge does not care about the disconnect. Where is it?"))
    if POINTS - {"bus"} - points:
        said.append(line("Each conductor against the other and each against earth, none left out."))
    if given["ends"] == "none":
        said.append(line("A meter with a dead battery also shows nothing. How would you know?"))
    elif given["ends"] in ("before", "after"):
        said.append(line("It may fail between the first reading and the last, or before the first.")
        )
    if said:
        return Reply(False, tuple(said[:2]))
    right = "Known source, all points, known source: live, dead, live. Now it counts as dead."
    return Reply(True, (line(right),))


_ORDER_LABELS = {
    "off": "set it off at the remote, let it run out",
    "pull": "pull the disconnect",
    "lock": "own lock and tag on, key in the pocket",
    "try": "try to start it, set it off again",
    "wait": "give the stored charge its time",
    "prove": "prove it dead with the meter",
}

TASKS = (
    Task(
        "guess-remote",
        "Say it first: off at the remote",
        (
            line("You press off. The lamp goes out, both fans come to rest, all is quiet."),
            line("What in the outdoor unit can still kill you?"),
        ),
        (
            choice("live", "Still live", nothing="nothing", terminals="the terminals alone",
                   both="the terminals and the DC bus"),
        ),
        "Say it and measure",
        _remote_guessed,
        once=True,
    ),
    Task(
        "order",
        "Put it in order",
        (line("Six steps from running to dead. Each one rests on the one before."),),
        tuple(choice(place, f"{place.capitalize()}", **_ORDER_LABELS) for place in PLACES),
        "Check it",
        _order_checked,
    ),
    Task(
        "guess-wait",
        "Say it first: the stored charge",
        (
            line("A 12,000 Btu/h unit, set off at the remote. You pull the disconnect."),
            line("How long until its DC bus is below {limit}?", limit=Measure(50.0, "voltage")),
        ),
        (
            choice("wait", "It takes", short="less than a minute", middle="one to four minutes",
                   long="more than four minutes"),
        ),
        "Say it and let it discharge",
        _wait_guessed,
        once=True,
    ),
    Task(
        "wait",
        "Work out a wait",
        (
            line("An 18,000 Btu/h unit. How long from the disconnect to {limit}?",
                 limit=Measure(50.0, "voltage")),
        ),
        (number("wait", "It takes", "time", 0.0, 86400.0),),
        "Check it",
        _wait_checked,
        table=_parts_table,
    ),
    Task(
        "same-wait",
        "Five minutes for all of them?",
        (
            line("Five units on one wall, all isolated at the same moment. The meter is good to "
                 "{share} of its reading and {volt}.", share="1 %", volt=Measure(0.5, "voltage")),
            line("Whose bus do you know to be below {limit}?", limit=Measure(50.0, "voltage")),
        ),
        (several("touch", "Below the limit for sure", **{key: key.upper() for key in ROW}),),
        "Check it",
        _row_checked,
        table=_row_table,
    ),
    Task(
        "held",
        "A bus that will not fall",
        (line("What should the bus show after eight minutes if all were sound, and what now?"),),
        (
            number("sound", "Sound, it would show", "voltage", 0.0, 500.0),
            choice(
                "now", "What you do now",
                short="short it with an insulated screwdriver",
                wait="wait another eight minutes, then work",
                work="work: the disconnect is out and locked",
                hold="treat it as live, close up, call the supervisor; a rated discharge tool, "
                "then measure",
            ),
        ),
        "Check it",
        _held_checked,
        table=_held_table,
    ),
    Task(
        "proof",
        "What makes a proof",
        (line("Terminal cover off, insulating gloves and glasses on. What do you measure?"),),
        (
            several("points", "Points of the proof", lines="line 1 to line 2",
                    line_1_earth="line 1 to earth", line_2_earth="line 2 to earth",
                    bus="DC bus, plus to minus", lamp="the lamp indoors is dark",
                    fan="the outdoor fan stands still"),
            choice("ends", "The meter itself on a known source", none="not needed",
                   before="before the points", after="after the points", both="before and after"),
        ),
        "Check it",
        _proof_checked,
    ),
)  # fmt: skip
