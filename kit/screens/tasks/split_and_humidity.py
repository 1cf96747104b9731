"""Tasks of the lesson on the split and humidity: what the heat is made of, targets, capacity."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

from kit.screens.plots import air_chart
from kit.screens.task import Reply, Task
from kit.screens.tasks import _humid_runs as runs
from kit.screens.tasks._air_side import (
    PRESSURE_PA,
    air_of_humidity,
    air_of_wet_bulb,
    duty_of,
    impossible,
)
from kit.screens.tasks._asked import choice, number
from kit.visit.outcome import Measure, line
from kit.visit.target import BAND_K, humidity_of

SAME = 0.02  # two heat flows closer than this are called the same: less than any field method sees
# 1.08 and 1.2 stand for dry standard air; moist air of a warm room differs by up to this share.
BY_HAND = 0.04
WATER_J_KG = 2.47e6  # 1,060 Btu/lb: common practice, no source
SLIPS = (1.08, 1.2)  # what an answer is short of when the factor was left out, by unit system
TYPED = 0.005  # share: a figure copied from the sheet

OUTSIDE = "outside its printed range"
_LOWEST_K, _HIGHEST_K = 268.15, 323.15


def _flow(value_w: float) -> Measure:
    return Measure(value_w, "heat_flow")


def _split(value_k: float) -> Measure:
    return Measure(value_k, "temperature_difference")


def _temperature(value_k: float) -> Measure:
    return Measure(value_k, "temperature")


def _compared(value: float, against: float) -> str:
    """Return what has become of a quantity, in the words of the predictions' choices."""
    if abs(value / against - 1.0) <= SAME:
        return "same"
    return "larger" if value > against else "smaller"


def _heat_guessed(given: Mapping[str, Any]) -> Reply:
    truths = dict(zip(runs.HUMIDITIES, runs.by_humidity(), strict=True))
    dry, wet = truths[runs.DRY_RH], truths[runs.WET_RH]
    rows = tuple(
        (Measure(rh, "relative_humidity"), _split(t.split_k), _flow(t.net_capacity_w),
         _flow(t.latent_w), Measure(t.condensate_kg_s, "mass_flow"))
        for rh, t in truths.items()
    )  # fmt: skip
    said = (
        line("A wet coil works harder, and less of its work shows on a thermometer."),
        line("What does not cool the air wrings it out; it runs down the drain as water."),
    )
    head = ("Humidity of the room", "Split", "Heat in all", "Of it, latent", "Water caught")
    chart = air_chart(
        [
            ("dry room", runs.ROOM_K, runs.DRY_RH),
            ("dry room's outlet", dry.supply_db_k, dry.supply_rh),
            ("wet room", runs.ROOM_K, runs.WET_RH),
            ("wet room's outlet", wet.supply_db_k, wet.supply_rh),
        ],
        joined=True,
    )
    truth = _compared(wet.net_capacity_w, dry.net_capacity_w)
    return Reply(given["heat"] == truth, said, (head, *rows), (chart,))


def _parts_checked(given: Mapping[str, Any]) -> Reply:
    t = runs.in_parts()
    total = float(t.net_capacity_w)
    sensible = float(t.sensible_w - t.indoor_fan_w)
    typed, rest = given["sensible"], given["latent"]
    slack = BY_HAND * sensible
    if abs(typed - (total - sensible)) <= slack and abs(rest - sensible) <= slack:
        return Reply(False, (line("You have the two the wrong way round."),))
    if abs(typed - total) <= slack:
        said = "That is all of the heat. Sensible is what airflow and split account for."
        return Reply(False, (line(said),))
    if any(abs(typed * slip / sensible - 1.0) <= BY_HAND / 2 for slip in SLIPS):
        return Reply(False, (line("Airflow times split is not heat yet: the factor is missing."),))
    if abs(typed - sensible) > slack:
        return Reply(False, (line("Sensible: the factor, times the airflow, times the split."),))
    if abs(typed + rest - total) > slack:
        return Reply(False, (line("The two parts must add up to all of the heat."),))
    air = air_of_humidity(runs.PARTS_ROOM_K, runs.PARTS_RH)
    duty = duty_of(float(t.airflow_m3_s), air, runs.leaving(t))
    said = "Your sum by hand, and the same air worked out by psychrolib from both its states."
    return Reply(
        True,
        (line(said),),
        (
            ("The part", "By hand", "By psychrolib"),
            ("Sensible heat", _flow(typed), _flow(duty.sensible_w)),
            ("Latent heat", _flow(rest), _flow(duty.latent_w)),
            ("Heat in all", _flow(typed + rest), _flow(duty.total_w)),
        ),
    )


def _parts_table() -> tuple[tuple[Any, ...], ...]:
    t = runs.in_parts()
    return (
        ("Read or worked out", "This unit"),
        ("Airflow", Measure(t.airflow_m3_s, "airflow")),
        ("Split", _split(t.split_k)),
        ("Heat in all", _flow(t.net_capacity_w)),
    )


def _bucket_checked(given: Mapping[str, Any]) -> Reply:
    t, latent = runs.over_the_bucket(), given["latent"]
    want = runs.bucket_kg() / runs.BUCKET_S * WATER_J_KG
    hour = 3600.0 / runs.BUCKET_S
    if abs(latent * hour / want - 1.0) <= BY_HAND:
        said = "That is what the bucket holds. Heat flow counts by the hour."
        return Reply(False, (line(said),))
    if abs(latent / want - 3.6) <= 3.6 * BY_HAND:
        return Reply(False, (line("Those are kilojoules an hour. Divide by 3.6 for watts."),))
    if abs(latent / want - 1.0) > BY_HAND:
        said = "Bring the water to an hour first, then take it times what a unit of it gives up."
        return Reply(False, (line(said),))
    praise = [line("A bucket and a watch: the cheapest proof that a low split is humidity.")]
    if t.latent_w > 0.4 * t.net_capacity_w:
        share = Measure(t.latent_w / t.net_capacity_w, "fraction")
        praise.append(line("Of this sound unit's work {share} runs down the drain.", share=share))
    rows = (
        ("Latent, from the bucket", _flow(latent)),
        ("Latent, from the engine", _flow(t.latent_w)),
        ("Sensible, from the engine", _flow(t.sensible_w)),
        ("Split", _split(t.split_k)),
    )
    return Reply(True, tuple(praise), (("The part", "This unit"), *rows))


def _bucket_table() -> tuple[tuple[Any, ...], ...]:
    return (
        ("Read or worked out", "This unit"),
        ("Time of the bucket", Measure(runs.BUCKET_S, "time")),
        ("Water caught", Measure(runs.bucket_kg(), "mass")),
    )


def _wet_bulb_guessed(given: Mapping[str, Any]) -> Reply:
    pairs = runs.by_dry_bulb()
    (_, cool), (_, hot) = pairs[0], pairs[-1]
    truth = _compared(hot.net_capacity_w, cool.net_capacity_w)
    rows = tuple(
        (_temperature(air.db_k), Measure(air.rh, "relative_humidity"), _split(t.split_k),
         _flow(t.net_capacity_w))
        for air, t in pairs
    )  # fmt: skip
    said = (
        line("One wet bulb, one capacity, and a split that goes where it likes."),
        line("A wet coil feels the wet bulb. That is why the target has two ways in."),
    )
    head = ("Dry bulb", "Humidity of the room", "Split", "Heat in all")
    return Reply(given["heat"] == truth, said, (head, *rows))


def _target_cell(split_k: float) -> Measure | str:
    return OUTSIDE if math.isnan(split_k) else _split(split_k)


def _targets_worked_out(given: Mapping[str, Any]) -> Reply:
    db_k, wb_k = given["db"], given["wb"]
    if (why := impossible(db_k, wb_k)) is not None:
        return Reply(False, (why,))
    card, published = runs.targets(db_k, wb_k)
    said = line(
        "Either is met within {band}. The table was made for ducted units, whose airflow for the "
        "same cooling is another; where a unit has its own card, the card goes first.",
        band=_split(BAND_K),
    )
    rows = (
        ("this unit's card", _target_cell(card)),
        ("published table, ducted units", _target_cell(published)),
        ("Relative humidity", Measure(humidity_of(db_k, wb_k), "relative_humidity")),
    )
    return Reply(None, (said,), (("Target for this air", "Split"), *rows))


def _four_table() -> tuple[tuple[Any, ...], ...]:
    rows = (
        (name.upper(), _temperature(s.db_k), _temperature(s.wb_k), _split(s.split_k))
        for name, s in runs.four_units().items()
    )
    return (("The unit", "Dry bulb", "Wet bulb", "Split"), *rows)


def _sick_checked(given: Mapping[str, Any]) -> Reply:
    units, sick = runs.four_units(), runs.below_target()
    rows = tuple(
        (name.upper(), _split(s.split_k), *map(_target_cell, runs.targets(s.db_k, s.wb_k)))
        for name, s in units.items()
    )
    if [given["unit"]] == sick:
        said = (
            line("Its split looks fine to whoever carries one number for all rooms."),
            line("Dirt or charge: that the split cannot say. It says that you go on looking."),
        )
        head = ("The unit", "Split", "this unit's card", "published table, ducted units")
        return Reply(True, said, (head, *rows))
    chosen = units[given["unit"]]
    lowest = min(units.values(), key=lambda s: s.split_k)
    hint = (
        "The lowest split, and the wettest air. What does the card give for that air?"
        if chosen is lowest
        else "Type its two bulbs into the target sheet, and hold its own split against that."
    )
    return Reply(False, (line(hint),))


def _capacity_worked_out(given: Mapping[str, Any]) -> Reply:
    db_in, wb_in, db_out, wb_out = (given[n] for n in ("db_in", "wb_in", "db_out", "wb_out"))
    if (why := impossible(db_in, wb_in) or impossible(db_out, wb_out)) is not None:
        return Reply(False, (why,))
    entering, leaving = air_of_wet_bulb(db_in, wb_in), air_of_wet_bulb(db_out, wb_out)
    if leaving.enthalpy_j_kg >= entering.enthalpy_j_kg:
        said = "Nothing was taken from this air. Are entering and leaving air in their own fields?"
        return Reply(False, (line(said),))
    duty = duty_of(given["airflow"], entering, leaving)
    said = "Airflow over volume, times the difference of heat in the air: psychrolib, at sea level."
    states = [("entering air", db_in, entering.rh), ("leaving air", db_out, leaving.rh)]
    return Reply(
        None,
        (line(said),),
        (
            ("What the coil takes out", "This unit"),
            ("Heat in all", _flow(duty.total_w)),
            ("Sensible heat", _flow(duty.sensible_w)),
            ("Latent heat", _flow(duty.latent_w)),
            ("Water caught", Measure(duty.condensate_kg_s, "mass_flow")),
        ),
        (air_chart(states, joined=True, pressure_pa=PRESSURE_PA),),
    )


def _example_checked(given: Mapping[str, Any]) -> Reply:
    duty = runs.example_duty()
    if abs(given["total"] / duty.sensible_w - 1.0) <= TYPED:
        return Reply(False, (line("That is the sensible part alone. The coil did more."),))
    if abs(given["total"] / duty.total_w - 1.0) > TYPED:
        said = "Type the five figures of the question into the capacity sheet and read it again."
        return Reply(False, (line(said),))
    if abs(given["water"] / duty.condensate_kg_s - 1.0) > TYPED:
        return Reply(False, (line("The heat is right. The water stands in the last row."),))
    praise = line(
        "Within {within}. The example takes off what the runaway water carries; the sheet leaves "
        "that in.",
        within=Measure(runs.EXAMPLE_WITHIN, "fraction"),
    )
    return Reply(
        True,
        (praise,),
        (
            ("", "Worked out here", "Published example"),
            ("Heat in all", _flow(duty.total_w), _flow(runs.EXAMPLE_W)),
            ("Water caught", Measure(duty.condensate_kg_s, "mass_flow"),
             Measure(runs.EXAMPLE_KG_S, "mass_flow")),
        ),
    )  # fmt: skip


TASKS = (
    Task(
        "guess-heat",
        "Say it first: where does the split go?",
        (
            line(
                "A sound unit cools two rooms of {room}, one at {dry}, one at {wet}. In the wet "
                "one its split is smaller.",
                room=_temperature(runs.ROOM_K),
                dry=Measure(runs.DRY_RH, "relative_humidity"),
                wet=Measure(runs.WET_RH, "relative_humidity"),
            ),
            line("And all the heat that it takes out of the wet room, against the dry one?"),
        ),
        (choice("heat", "It is", smaller="smaller", same="the same", larger="larger"),),
        "Say it and run the unit",
        _heat_guessed,
        once=True,
    ),
    Task(
        "two-parts",
        "Take the heat apart",
        (line("The unit of this table runs in a damp room. How much of its heat is which?"),),
        (
            number("sensible", "Sensible heat", "heat_flow", 0.0, 20000.0),
            number("latent", "Latent heat", "heat_flow", 0.0, 20000.0),
        ),
        "Check it",
        _parts_checked,
        table=_parts_table,
    ),
    Task(
        "bucket",
        "A bucket under the drain",
        (
            line("A bucket stands under a drain. How much latent heat does this unit take out?"),
        ),
        (number("latent", "Latent heat", "heat_flow", 0.0, 20000.0),),
        "Check it",
        _bucket_checked,
        table=_bucket_table,
    ),
    Task(
        "guess-wet-bulb",
        "Say it first: one wet bulb",
        (
            line(
                "Two rooms show the same wet bulb, {wb}. The one is at {cool}, the other at {hot} "
                "and much drier.",
                wb=_temperature(runs.WET_BULB_K),
                cool=_temperature(runs.DRY_BULBS_K[0]),
                hot=_temperature(runs.DRY_BULBS_K[-1]),
            ),
            line("All the heat that the same sound unit takes out of the hot room is"),
        ),
        (
            choice(
                "heat", "Against the cool room", smaller="smaller", same="the same",
                larger="larger",
            ),
        ),
        "Say it and run the unit",
        _wet_bulb_guessed,
        once=True,
    ),
    Task(
        "target-sheet",
        "Target sheet",
        (line("Give both bulbs of the entering air: the card's target and the published one."),),
        (
            number("db", "Dry bulb", "temperature", 289.15, 308.15),
            number("wb", "Wet bulb", "temperature", 278.15, 303.15),
        ),
        "Look it up",
        _targets_worked_out,
    ),
    Task(
        "which-is-sick",
        "Four units, one of them sick",
        (
            line("Four units of the same kind, full demand, ten minutes. One is not well."),
            line("The target sheet above is at your service."),
        ),
        (choice("unit", "More checks for", a="A", b="B", c="C", d="D"),),
        "Check it",
        _sick_checked,
        table=_four_table,
    ),
    Task(
        "capacity-sheet",
        "Capacity sheet",
        (line("Give the airflow and both bulbs on either side of the coil, in cooling."),),
        (
            number("airflow", "Airflow", "airflow", 0.01, 10.0),
            number("db_in", "Entering air, dry bulb", "temperature", _LOWEST_K, _HIGHEST_K),
            number("wb_in", "Entering air, wet bulb", "temperature", _LOWEST_K, _HIGHEST_K),
            number("db_out", "Leaving air, dry bulb", "temperature", _LOWEST_K, _HIGHEST_K),
            number("wb_out", "Leaving air, wet bulb", "temperature", _LOWEST_K, _HIGHEST_K),
        ),
        "Work it out",
        _capacity_worked_out,
    ),
    Task(
        "published-coil",
        "Does a published coil agree?",
        (
            line(
                "A large coil: {airflow} of air enter at {db}, wet bulb {wb}, and leave at {out}, "
                "both bulbs alike. What does it take out?",
                airflow=Measure(runs.EXAMPLE_M3_S, "airflow"),
                db=_temperature(runs.EXAMPLE_IN[0]),
                wb=_temperature(runs.EXAMPLE_IN[1]),
                out=_temperature(runs.EXAMPLE_OUT[0]),
            ),
        ),
        (
            number("total", "Heat in all", "heat_flow", 0.0, 1e6),
            number("water", "Water caught", "mass_flow", 0.0, 1.0),
        ),
        "Compare with the example",
        _example_checked,
    ),
)  # fmt: skip
