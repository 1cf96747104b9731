"""Instruments, the job sheet and what is worked out from it."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from kit.errors import UnknownNameError
from kit.visit import (
    circuit_places,
    clock,
    electric_places,
    hazards,
    hazards_circuit,
    hazards_electric,
    measuring,
    places,
    sheet,
    target,
)
from kit.visit.actions import Argument, Effect, action
from kit.visit.instruments import instrument, instrument_names
from kit.visit.outcome import Line, Measure, SheetEntry, line
from kit.visit.state import Proof, State, noted

PROOF_PLACES = (*hazards.PAIRS, "dc_bus", "known_source")
HELD = ("terminals", "conductor", "surface", "insulation", "turning")  # in the hand, never left
_RULES = (
    hazards.probe_in_wheel, hazards.live_test_bare, *hazards_electric.METER_RULES,
    hazards_circuit.unfit_detector, hazards_circuit.insulation_in_vacuum,
)  # fmt: skip


def _instrument_argument() -> Argument:
    return Argument(
        "instrument", "Instrument", "choice", {n: instrument(n).title for n in instrument_names()}
    )


def _at_argument() -> Argument:
    return Argument(
        "at",
        "At",
        "choice",
        depends_on="instrument",
        choices_by={
            name: {p: places.PLACES[p].title for p in places.places_for(instrument(name).medium)}
            for name in instrument_names()
        },
    )


def _reach(state: State, args: Mapping[str, Any]) -> Line | None:
    probe = state.probe(args["instrument"])
    if probe is not None and probe.place == args["at"] and places.PLACES[args["at"]].needs:
        return None  # left there when it could be reached; its display hangs outside
    return (
        places.out_of_reach(state, args["at"])
        or circuit_places.out_of_reach(state, args["instrument"], args["at"])
        or electric_places.out_of_reach(state, args["at"])
    )


@action(
    "Leave an instrument in place",
    "measure",
    "instruments",
    0,
    arguments=(_instrument_argument(), _at_argument()),
    needs=(_reach,),
    rules=_RULES,
)
def place(state: State, instrument: str, at: str) -> Effect:
    """Put an instrument somewhere and leave it there; it shows a trace while time passes."""
    state = _put(state, instrument, at)
    where = places.PLACES[at].title
    return Effect(state, (line("You leave it at {place}.", place=where),))


@action(
    "Read an instrument",
    "measure",
    "instruments",
    0,
    arguments=(
        _instrument_argument(),
        _at_argument(),
        Argument(
            "hold_s", "Watch the display for (seconds)", "number", low=5.0, high=900.0,
            required=False, default=15.0,
        ),
    ),
    needs=(_reach,),
    rules=_RULES,
)  # fmt: skip
def read(state: State, instrument: str, at: str, hold_s: float) -> Effect:
    """Hold an instrument at a place, watch it, and read it; right after placing it still moves."""
    from kit.visit.instruments import instrument as find

    state = _put(state, instrument, at)
    last = min(hold_s, measuring.LAST_LOOK_S)
    if hold_s > last:
        state = clock.solved(clock.later(state, hold_s - last))
    before = state.probe(instrument)
    state = clock.solved(clock.later(state, last))
    state, readings = measuring.read_off(state, instrument, before)  # type: ignore[arg-type]
    tool = find(instrument)
    if at in PROOF_PLACES:
        shown = readings[0].value if readings else 0.0
        proofs = (*state.supply.proofs, Proof(at, shown, state.clock_s))
        state = replace(state, supply=replace(state.supply, proofs=proofs))
    if tool.medium in HELD:
        state = measuring.lifted(state, instrument)
    if hazards_electric.through_board(state, {"at": at}):
        state = clock.with_condition(state, inverter_state="dead")
    return Effect(state, measuring.in_words(tool, readings), readings)


@action(
    "Take an instrument away",
    "measure",
    "instruments",
    10,
    arguments=(_instrument_argument(),),
    needs=(
        lambda state, args: (
            None if state.probe(args["instrument"]) else line("It is in your bag already.")
        ),
    ),
)
def lift(state: State, instrument: str) -> Effect:
    """Put an instrument back in the bag."""
    return Effect(measuring.lifted(clock.solved(state), instrument), (line("Back in the bag."),))


def _put(state: State, name: str, at: str) -> State:
    old = state.probe(name)
    if old is not None and old.place == at:
        return clock.solved(state)
    state = clock.solved(clock.later(state, instrument(name).place_s))
    return measuring.placed(state, name, at)


def _writable(state: State, args: Mapping[str, Any]) -> Line | None:
    item = sheet.ITEMS[args["item"]]
    given = [args[key] is not None for key in ("reading", "value", "words")]
    if sum(given) != 1:
        return line("Write down one thing: a reading by its number, a figure, or words.")
    if args["words"] is not None and not item.words:
        return line("This line of the job sheet wants a figure.")
    if args["words"] is None and item.words:
        return line("This line of the job sheet wants words.")
    if args["reading"] is None:
        if args["value"] is not None and not item.low <= args["value"] <= item.high:
            return line("That figure cannot be right for this line. Look at its unit.")
        return None
    found = _reading(state, args["reading"])
    if found is None:
        return line("There is no reading number {number}.", number=int(args["reading"]))
    if found.kind != item.kind:
        return line("Reading {number} measures something else.", number=found.number)
    return None


def _sensible(_: State, args: Mapping[str, Any]) -> Line | None:
    item = sheet.ITEMS[args["item"]]
    if args["value"] is not None and not item.low <= args["value"] <= item.high:
        return line("That figure cannot be right for this line. Look at its unit.")
    return None


def _reading(state: State, number: float) -> Any:
    return next((r for r in state.readings if r.number == number), None)


@action(
    "Write down on the job sheet",
    "measure",
    "job_sheet",
    10,
    arguments=(
        Argument("item", "Line", "choice", {n: i.title for n, i in sheet.items(False).items()}),
        Argument("when", "When", "choice", sheet.WHEN),
        Argument("reading", "Number of the reading", "number", low=1, high=1e6, required=False),
        Argument(
            "value", "Figure", "number", low=-1e7, high=1e7, required=False, depends_on="item",
            measure_by={n: i.kind for n, i in sheet.items(False).items() if i.kind},
        ),
        Argument(
            "words",
            "Words",
            "choice",
            depends_on="item",
            choices_by={n: i.words for n, i in sheet.items(False).items()},
            required=False,
        ),
    ),
    needs=(_writable,),
)  # fmt: skip
def record(
    state: State,
    item: str,
    when: str,
    reading: float | None,
    value: float | None,
    words: str | None,
) -> Effect:
    """Write a line of the job sheet; a reading not written down is no evidence."""
    row = sheet.ITEMS[item]
    number = None
    written: float | str | None = words if words is not None else value
    if reading is not None:
        found = _reading(state, reading)
        number, written = found.number, found.value
    if written is None:
        raise UnknownNameError("line of the job sheet", item, list(sheet.ITEMS))
    entry = SheetEntry(item, row.title, when, row.kind, written, number, state.clock_s)
    return Effect(_entered(state, entry), (_as_written(entry),))


@action(
    "Work out and write down",
    "measure",
    "job_sheet",
    60,
    arguments=(
        Argument("item", "Line", "choice", {n: i.title for n, i in sheet.items(True).items()}),
        Argument("when", "When", "choice", sheet.WHEN),
        Argument("value", "Figure", "number", low=-1e7, high=1e7, depends_on="item",
                 measure_by={n: i.kind for n, i in sheet.items(True).items()}),
    ),
    needs=(_sensible,),
)  # fmt: skip
def enter(state: State, item: str, when: str, value: float) -> Effect:
    """Write down what the learner worked out; it is judged against the learner's own readings."""
    row = sheet.ITEMS[item]
    entry = SheetEntry(item, row.title, when, row.kind, value, None, state.clock_s)
    return Effect(_entered(state, entry), (_as_written(entry),))


@action(
    "Look up the target split on the unit's card",
    "measure",
    "job_sheet",
    45,
    arguments=(
        Argument("return_db_k", "Entering air, dry bulb", "number", measure="temperature",
                 low=283.15, high=313.15),
        Argument("return_wb_k", "Entering air, wet bulb", "number", measure="temperature",
                 low=273.15, high=308.15, required=False),
        Argument("return_rh", "... or its relative humidity", "number",
                 measure="relative_humidity", low=0.1, high=0.95, required=False),
        Argument("outdoor_db_k", "Outdoor air, when known", "number", measure="temperature",
                 low=248.15, high=325.15, required=False),
    ),
    needs=(
        lambda _, args: None
        if (args["return_wb_k"] is None) != (args["return_rh"] is None)
        else line("The card wants the dry bulb and either the wet bulb or the humidity."),
        lambda _, args: None
        if (args["return_wb_k"] or 0.0) <= args["return_db_k"]
        else line("A wet bulb cannot be above the dry bulb."),
    ),
)  # fmt: skip
def look_up_target(
    state: State,
    return_db_k: float,
    return_wb_k: float | None,
    return_rh: float | None,
    outdoor_db_k: float | None,
) -> Effect:
    """Use the card that gives the split of a sound unit for this air, and the handbook's table."""
    height = state.around.altitude_m
    if return_wb_k is None:
        rh = return_rh or 0.5
        return_wb_k = target.wet_bulb_of(return_db_k, rh, height)
    else:
        rh = target.humidity_of(return_db_k, return_wb_k, height)
    mode = state.order.mode
    card = target.card_split_k(state.order.machine, mode, return_db_k, rh, outdoor_db_k, height)
    if math.isnan(card):
        return Effect(state, (line("The card does not go that far."),))
    said = [
        line(
            "The unit's card says {card} at full demand for {db} dry bulb and {wb} wet bulb, "
            "give or take {band}.",
            card=Measure(card, "temperature_difference"),
            db=Measure(return_db_k, "temperature"),
            wb=Measure(return_wb_k, "temperature"),
            band=Measure(target.BAND_K, "temperature_difference"),
        )
    ]
    book = target.handbook_split_k(mode, return_db_k, return_wb_k)
    if not math.isnan(book):
        split = Measure(book, "temperature_difference")
        said.append(line("A published table for ducted units says {split}.", split=split))
    return Effect(noted(state, "look_up_target"), tuple(said))


def _entered(state: State, entry: SheetEntry) -> State:
    return replace(state, sheet=(*state.sheet, entry))


def _as_written(entry: SheetEntry) -> Line:
    words = sheet.ITEMS[entry.item].words
    if isinstance(entry.value, str):
        shown: str | Measure = words.get(entry.value, entry.value)
    else:
        shown = Measure(entry.value, entry.kind)
    return line(
        "{when}, {item}: {value}.", when=sheet.WHEN[entry.when], item=entry.title, value=shown
    )
