"""Scripts: a visit as a list of actions, from which an answer key is made again at any time.

A script says only what a learner would do. Two words stand for what the learner has to look at:
`write` puts the readings of a step on the job sheet, and the values "own" (split from the
learner's own sheet), "card" and "handbook" (target for the learner's own readings) are worked out
from what is on the sheet by then.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from kit.errors import KitError
from kit.visit.outcome import Outcome
from kit.visit.sheet import ITEMS
from kit.visit.target import card_split_k, handbook_split_k, humidity_of, wet_bulb_of
from kit.visit.visit import Visit


@dataclass(frozen=True, slots=True)
class Script:
    """A visit to be played.

    Args:
        work_order: name of the work order.
        seed: the visit's seed.
        learner: opaque id.
        steps: what is done, in order.
        least: least points its mark must have.
        most: most points its mark may have.
        passes: whether it must pass.
        critical: codes of the critical errors it must show.
    """

    work_order: str
    seed: int
    learner: str
    steps: tuple[Mapping[str, Any], ...]
    least: float
    most: float
    passes: bool
    critical: tuple[str, ...]


def load_script(path: str | Path) -> Script:
    """Read a script.

    Args:
        path: a `.toml` file.

    Raises:
        KitError: it lacks a line; the message names it.
    """
    data = tomllib.loads(Path(path).read_text("utf-8"))
    try:
        expected = data["expected"]
        return Script(
            data["work_order"],
            data["seed"],
            data["learner"],
            tuple(data["steps"]),
            float(expected["least"]),
            float(expected["most"]),
            expected["passes"],
            tuple(expected["critical"]),
        )
    except KeyError as error:
        raise KitError(f"The script {Path(path).name} lacks {error}. Add that line.") from error


def play(script: Script, visit: Visit) -> None:
    """Do every step of a script in a visit.

    Args:
        script: what to do.
        visit: where to do it.

    Raises:
        KitError: a step cannot be understood.
    """
    for step in script.steps:
        args = {key: value for key, value in step.items() if key not in ("do", "write")}
        if isinstance(args.get("value"), str):
            args["value"] = _worked_out(visit, step["do"], args)
        outcome = visit.step(step["do"], **args)
        for item, when in step.get("write", {}).items():
            _write(visit, outcome, item, when)


def _write(visit: Visit, outcome: Outcome, item: str, when: str) -> None:
    wanted = ITEMS[item].quantity
    for reading in outcome.readings:
        if reading.quantity == wanted:
            visit.step("record", item=item, when=when, reading=reading.number)
            return
    raise KitError(f"Step {outcome.number} gave no reading for {item!r}: {outcome.text}")


def _worked_out(visit: Visit, action: str, args: Mapping[str, Any]) -> float:
    if action != "enter":
        raise KitError(f"Only a value of 'enter' can be worked out, not one of {action!r}.")
    written = {
        entry.item: float(entry.value)
        for entry in visit.view().sheet
        if entry.when == args["when"] and not isinstance(entry.value, str)
    }
    order, db = visit.order, written["return_dry_bulb"]
    drop = db - written["supply_dry_bulb"]
    if args["value"] == "own":
        return round(-drop if order.mode == "heating" else drop, 2)
    height = order.surroundings.altitude_m
    wet = written.get("return_wet_bulb")
    rh = written["return_humidity"] if wet is None else humidity_of(db, wet, height)
    if args["value"] == "card":
        outdoor = written.get("outdoor_dry_bulb")
        return round(card_split_k(order.machine, order.mode, db, rh, outdoor, height), 2)
    if args["value"] == "handbook":
        wet = wet_bulb_of(db, rh, height) if wet is None else wet
        return round(handbook_split_k(order.mode, db, wet), 2)
    raise KitError(f"{args['value']!r} cannot be worked out; write own, card or handbook.")
