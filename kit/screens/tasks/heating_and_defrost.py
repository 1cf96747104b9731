"""Tasks of the lesson on heating: rise and weather, air and head, a morning with frost."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from kit.quantities import gauge_pa
from kit.screens.task import Reply, Task
from kit.screens.tasks._asked import choice, number, several
from kit.screens.tasks._given import at, fahrenheit_k, share, step, words
from kit.screens.tasks._winter import (
    COLD_F,
    DAMP_K,
    MACHINE,
    MORNING_MIN,
    OUTDOOR_F,
    RATED_F,
    ROOM_K,
    ROOM_RH,
    Moment,
    defrosts,
    expected,
    filtered,
    heated,
    morning,
    time_share,
    winter_cycles,
)
from kit.visit.outcome import Measure, line
from kit.visit.target import BAND_K, card_split_k

CARD_F = (62, RATED_F, 35, COLD_F)
STEP_K = 0.105  # half of the last digit of two readings, in either unit
SHOWN_MIN = (1.0, 2.0, 6.0, 12.0, 30.0)  # moments of the morning before its first defrost


def _outdoor_guessed(given: Mapping[str, Any]) -> Reply:
    truth = heated(OUTDOOR_F)
    rated, cold = OUTDOOR_F.index(RATED_F), OUTDOOR_F.index(COLD_F)
    left = float(truth.split_k[cold] / truth.split_k[rated])
    came = "same" if left > 0.9 else "two_thirds" if left > 0.5 else "third"
    rows = tuple(
        (
            at(fahrenheit_k(f)),
            step(float(truth.split_k[i])),
            Measure(float(truth.net_capacity_w[i]), "heat_flow"),
            at(float(truth.evaporating_k[i])),
        )
        for i, f in enumerate(OUTDOOR_F)
    )
    said = (
        line("Each row is the same sound unit at full demand, indoor fan at full speed."),
        line("The colder it is, the thinner the vapour that the compressor draws in: less "
             "refrigerant goes round, and less heat comes in."),
        line("A rule of one rise for all weathers would have you look for a leak each frosty "
             "morning."),
    )  # fmt: skip
    head = words("Outdoor air", "Rise", "Heat delivered", "Evaporating outdoors")
    return Reply(given["rise"] == came, said, (head, *rows))


def card_k(outdoor_f: float) -> float:
    """Return the rise on this unit's card for an outdoor air in °F [K]."""
    return card_split_k(MACHINE, "heating", ROOM_K, ROOM_RH, fahrenheit_k(outdoor_f))


def _card_table() -> tuple[tuple[Any, ...], ...]:
    truth = heated((COLD_F,))
    return (
        words("What", "Figure"),
        ("air at the return grille", at(ROOM_K)),
        ("air in the supply", at(ROOM_K + float(truth.split_k[0]))),
        ("air at the outdoor intake", at(fahrenheit_k(COLD_F))),
        *(
            (line_of, step(card_k(f)))
            for f, line_of in zip(
                CARD_F,
                words("card, outdoors 62 °F (17 °C)", "card, outdoors 47 °F (8 °C)",
                      "card, outdoors 35 °F (2 °C)", "card, outdoors 17 °F (-8 °C)"),
                strict=True,
            )
        ),
    )  # fmt: skip


def _rise_checked(given: Mapping[str, Any]) -> Reply:
    want, got = float(heated((COLD_F,)).split_k[0]), given["rise"]
    said = []
    if abs(got - want) > STEP_K:
        hint = "Take the entering air from the leaving air, in one unit."
        if abs(got + want) <= STEP_K:
            hint = (
                "The size is right. In heating take entering from leaving, so that it is positive."
            )
        elif abs(got - (ROOM_K + want - fahrenheit_k(COLD_F))) <= STEP_K:
            hint = (
                "You started from the outdoor air. The rise is what the indoor unit does to the "
                "air of the room."
            )
        said.append(line(hint))
    target = card_k(COLD_F)
    means = "below" if want < target - BAND_K else "above" if want > target + BAND_K else "within"
    if given["means"] != means:
        said.append(line("Find the row of the outdoor air; 25–30 °F holds near 47 °F outdoors and "
                         "nowhere else."))  # fmt: skip
    if said:
        return Reply(False, tuple(said))
    return Reply(True, (
        line("As it should be on such a day. By the one-number rule you would have condemned it."),
    ))  # fmt: skip


def _figures() -> tuple[tuple[float, float], tuple[float, float]]:
    """Return (heat, input) at the rating point and in the cold [W]."""
    truth = heated((RATED_F, COLD_F))
    heat, power = truth.net_capacity_w, truth.power_w
    return (float(heat[0]), float(power[0])), (float(heat[1]), float(power[1]))


def _capacity_table() -> tuple[tuple[Any, ...], ...]:
    (heat, power), (cold_heat, cold_power) = _figures()
    return (
        (*words("Outdoor air"), at(fahrenheit_k(RATED_F)), at(fahrenheit_k(COLD_F))),
        ("Heat delivered", Measure(heat, "heat_flow"), Measure(cold_heat, "heat_flow")),
        ("Input power", Measure(power, "power"), Measure(cold_power, "power")),
    )


def _capacity_checked(given: Mapping[str, Any]) -> Reply:
    (heat, power), (cold_heat, cold_power) = _figures()
    want, got = cold_heat / heat, given["left"]
    if abs(got - want) > 0.006:  # the field is asked in whole percent
        return Reply(False, (line(_capacity_hint(got, want, cold_power / power)),))
    truth = heated((RATED_F, 35, COLD_F))
    rows = tuple(
        (
            at(fahrenheit_k(f)),
            share(float(truth.net_capacity_w[i] / truth.net_capacity_w[0])),
            share(expected("temperature_curves", f"temperature_curves-heat70-{f}-capacity")),
        )
        for i, f in ((1, 35), (2, COLD_F))
    )
    said = (
        line("Less heat on the day that needs most of it, and not one part is at fault."),
        line("The published curve is that of a single-speed heat pump; this unit, held at one "
             "speed here, keeps within 6 % of it."),
    )  # fmt: skip
    return Reply(True, said, (words("Outdoor air", "This unit", "Published"), *rows))


def _capacity_hint(got: float, want: float, input_left: float) -> str:
    if abs(got - (1.0 - want)) <= 0.006:
        return "That is what is lost. What is left is asked."
    if abs(got - input_left) <= 0.006:
        return "That is the input. It falls far less than the heat does."
    if abs(got - COLD_F / RATED_F) <= 0.006:
        return "You divided the temperatures. Divide the heat delivered."
    if abs(got - want / 100) <= 1e-4:
        return "Type it in percent: one half is 50."
    return "Divide the heat on the cold day by the heat on the mild one."


def _filter_guessed(given: Mapping[str, Any]) -> Reply:
    heat, cool = filtered("heating"), filtered("cooling")
    up = [float(t.power_w[-1] / t.power_w[0]) > 1.01 for t in (heat, cool)]
    came = {(True, True): "both", (True, False): "heating", (False, True): "cooling"}
    rows = tuple(
        (
            share(float(heat.airflow_m3_s[i] / heat.airflow_m3_s[0])),
            Measure(gauge_pa(float(heat.discharge_pa[i])), "gauge_pressure"),
            Measure(float(heat.power_w[i]), "power"),
            Measure(gauge_pa(float(cool.discharge_pa[i])), "gauge_pressure"),
            Measure(float(cool.power_w[i]), "power"),
        )
        for i in range(len(heat.power_w))
    )
    said = (
        line("In heating the indoor coil is the one that gives heat off: with less air it gets "
             "hotter, and head and power climb. In cooling it is the cold one."),
        line("A published regression says the same: with 80 % of its air a unit draws {heat} of "
             "its former power in heating and {cool} in cooling.",
             heat=share(expected("airflow", "airflow-heating0.8-power")),
             cool=share(expected("airflow", "airflow-cooling0.8-power"))),
        line("So a filter that nobody noticed all summer trips the unit in winter."),
    )  # fmt: skip
    head = words("Indoor air left", "Head, heating", "Input, heating", "Head, cooling",
                 "Input, cooling")  # fmt: skip
    right = given["power"] == came.get((up[0], up[1]), "neither")
    return Reply(right, said, (head, *rows), (winter_cycles(),))


def _morning_guessed(given: Mapping[str, Any]) -> Reply:
    from kit.screens.plots import split_chart

    moments = morning()
    spells = defrosts(moments)
    highest = max(one.rise_k for one in moments)
    sunk = moments[-1].rise_k < 0.5 * highest
    came = "drops" if spells else "sinks" if sunk else "stays"
    said = (
        line("First no air: the fan waits for a warm coil. Then the rise stands, while frost "
             "gathers outdoors."),
        line("Then the board turns the cycle round for some minutes, both fans stand, water runs, "
             "steam rises. All that is healthy."),
        line("Of the time from one defrost to the next, {ours} goes into it; a published frost "
             "model says {theirs} for this air, with a board of its own.",
             ours=share(time_share(moments)),
             theirs=share(expected("frost", "frost-epri-time_fraction"))),
    )  # fmt: skip
    times = [one.at_s for one in moments]
    chart = split_chart([(words("rise")[0], times, [one.rise_k for one in moments])])
    return Reply(given["rise"] == came, said, _morning_table(moments), (chart,))


def _morning_table(moments: tuple[Moment, ...]) -> tuple[tuple[Any, ...], ...]:
    (start, end), *_ = defrosts(moments)
    wanted = [60 * m for m in SHOWN_MIN] + [start + 90, end + 60, end + 600]
    shown = [next(one for one in moments if one.at_s >= at_s) for at_s in wanted]
    return (
        words("After", "Rise", "Indoor air", "Outdoor coil", "What goes on"),
        *(
            (
                Measure(one.at_s, "time"),
                step(one.rise_k),
                share(one.air),
                at(one.coil_k),
                _what(one),
            )
            for one in shown
        ),
    )


def _what(one: Moment) -> str:
    """Return in words what the board does at a moment."""
    if one.defrost:
        return words("defrost, both fans stand")[0]
    if one.air < 0.9:
        return words("hot start, the fan waits")[0]
    return words("it heats and frost gathers")[0]


_WHEN_HINTS = {
    "early": "The coil is not warm yet and the fan creeps: what little air there is is hot. Wait.",
    "steam": "Both fans stand. There is no air to measure, and nothing is wrong.",
    "after": "It has just come back. Coil and room air still swing; give it ten minutes again.",
}


def _when_checked(given: Mapping[str, Any]) -> Reply:
    if given["when"] in _WHEN_HINTS:
        return Reply(False, (line(_WHEN_HINTS[given["when"]]),))
    return Reply(True, (
        line("Ten minutes after the start, and ten after the end of a defrost: common practice."),
        line("Write down that no defrost lay between your two columns, as found and as left."),
    ))  # fmt: skip


_FAULTS = {"block", "cold_air"}
_SIGHT_HINTS = {
    "start": "No air for the first minutes is the hot start: it spares people a cold draught.",
    "steam": "Steam, a hiss and water under the unit belong to a defrost that does its work.",
    "white": "Light frost that comes and goes by the hour is what a cold coil does in damp air.",
    "block": "Ice that no defrost clears any more is not weather. It closes the coil and breaks "
    "fan blades.",
    "cold_air": "Heat was asked for and cold air is blown. Which part decides who is the cold "
    "coil?",
}


def _sights_checked(given: Mapping[str, Any]) -> Reply:
    wrong = [name for name in _SIGHT_HINTS if (name in given["work"]) != (name in _FAULTS)]
    if wrong:
        return Reply(False, tuple(line(_SIGHT_HINTS[name]) for name in wrong[:2]))
    return Reply(True, (
        line("Ice is melted by the unit or by patience, never by a hammer or a flame."),
        line("A reversing valve that stays put looks sound in everything but the direction."),
    ))  # fmt: skip


TASKS = (
    Task(
        "guess-outdoor",
        "Say it first: a frosty morning",
        (
            line(
                "At {rated} outdoors a sound unit shows a rise of 25–30 °F (14–17 K) in a room of "
                "{room}. What does the same unit show at {cold}?",
                rated=at(fahrenheit_k(RATED_F)), room=at(ROOM_K), cold=at(fahrenheit_k(COLD_F)),
            ),
        ),
        (
            choice("rise", "The rise is", same="about the same", two_thirds="about two thirds",
                   third="about one third"),
        ),
        "Say it and run the unit",
        _outdoor_guessed,
        once=True,
    ),
    Task(
        "rise",
        "Judge a rise",
        (line("In heating, twelve minutes after the start, full demand, fan on auto. The unit's "
              "card stands below."),),
        (
            number("rise", "The rise is", "temperature_difference", -60.0, 60.0),
            choice("means", "By the card that is", below="too low", within="as it should be",
                   above="too high"),
        ),
        "Check it",
        _rise_checked,
        table=_card_table,
    ),
    Task(
        "capacity-left",
        "How much heat is left?",
        (line("What percent of the heat on the mild day does it deliver on the cold one?"),),
        (number("left", "Heat left", "fraction", 0.0, 3.0),),
        "Compare with a published curve",
        _capacity_checked,
        table=_capacity_table,
    ),
    Task(
        "guess-filter",
        "Say it first: the same filter, summer and winter",
        (line("A filter loads until about two thirds of the indoor air is left. What becomes of "
              "the power that the unit draws?"),),
        (
            choice("power", "The power rises", both="in heating and in cooling",
                   heating="in heating only", cooling="in cooling only", neither="in neither"),
        ),
        "Say it and run the unit",
        _filter_guessed,
        once=True,
    ),
    Task(
        "guess-morning",
        "Say it first: eighty minutes on a damp morning",
        (
            line(
                "A sound unit is started cold at {out}, in damp air, and heats for {long}. A probe "
                "stays in its outlet. What does the rise do, once it has come up?",
                out=at(DAMP_K), long=Measure(MORNING_MIN * 60.0, "time"),
            ),
        ),
        (
            choice("rise", "The rise", stays="stands where it is",
                   sinks="sinks to less than half and stays there",
                   drops="drops to nothing for some minutes, and comes back"),
        ),
        "Say it and let the morning pass",
        _morning_guessed,
        once=True,
    ),
    Task(
        "when",
        "Which one goes on the job sheet?",
        (line("You read the rise four times on such a morning. Which reading counts?"),),
        (
            choice("when", "The reading", early="at minute 2, the fan creeping",
                   steam="at minute 37, steam rising outdoors",
                   after="at minute 44, a minute after the fan came back",
                   good="at minute 14, fan at full speed since minute 6"),
        ),
        "Check it",
        _when_checked,
    ),
    Task(
        "sights",
        "Weather or fault?",
        (line("Choose everything that calls for work."),),
        (
            several("work", "Calls for work", start="no air for two minutes after a start",
                    steam="steam and a hiss, both fans standing for three minutes",
                    white="white coil outdoors, clear again every hour",
                    block="a solid block of ice down to the base, days old",
                    cold_air="cold air indoors with heating asked for, outdoor coil hot"),
        ),
        "Check it",
        _sights_checked,
    ),
)  # fmt: skip
