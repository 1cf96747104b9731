"""The bench: readings as they come off the instruments, and the job sheet they are written on."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from kit.screens.voice import Voice
    from kit.visit.outcome import Reading, SheetEntry, View

SHOWN_READINGS = 24
WHEN = {"as_found": "as found", "as_left": "as left"}


def tray(view: View, voice: Voice) -> list[dict[str, Any]]:
    """Return the readings taken, newest first, each with the lines it can be written on."""
    written = {entry.reading: entry for entry in view.sheet if entry.reading is not None}
    newest = list(reversed(view.readings))[:SHOWN_READINGS]
    return [_reading(reading, written.get(reading.number), view.sheet, voice) for reading in newest]


def _reading(
    reading: Reading, entry: SheetEntry | None, sheet: Sequence[SheetEntry], voice: Voice
) -> dict[str, Any]:
    from kit.visit.instruments import instrument
    from kit.visit.measuring import QUANTITIES
    from kit.visit.places import PLACES

    quantity = voice.words(QUANTITIES.get(reading.quantity, reading.quantity))
    return {
        "number": reading.number,
        "title": quantity,
        "place": voice.words(PLACES[reading.place].title),
        "instrument": voice.words(instrument(reading.instrument).title),
        "text": voice.show(reading.kind, reading.value),
        "s": reading.at_s,
        "steady": reading.steady,
        "note": "" if reading.steady else voice.words("still moving"),
        "written": _written(entry, voice) if entry else "",
        "writes": [] if entry else _lines_for(reading, sheet, voice),
    }


def _written(entry: SheetEntry, voice: Voice) -> str:
    where = f"{voice.words(entry.title)}, {voice.words(WHEN[entry.when])}"
    return f"{voice.words('Written down:')} {where}"


def _lines_for(reading: Reading, sheet: Sequence[SheetEntry], voice: Voice) -> list[dict[str, str]]:
    """Return the lines a reading can be written on, the one it fits best first."""
    from kit.visit.sheet import ITEMS

    filled = {(entry.item, entry.when) for entry in sheet}
    lines = []
    for name, item in ITEMS.items():
        if item.quantity != reading.quantity:
            continue
        for when, words in WHEN.items():
            fits = reading.place in item.places
            order = (not fits, (name, when) in filled, when == "as_left")
            label = f"{voice.words(item.title)}, {voice.words(words)}"
            lines.append((order, {"value": f"{name}/{when}", "label": label}))
    return [line for _, line in sorted(lines, key=lambda one: one[0])]


def job_sheet(view: View, voice: Voice) -> dict[str, Any]:
    """Return the job sheet as rows with an as-found and an as-left column; last entry counts."""
    from kit.visit.sheet import ITEMS

    latest = {(entry.item, entry.when): entry for entry in view.sheet}
    rows = []
    for name, item in ITEMS.items():
        row = {"item": name, "title": voice.words(item.title)}
        for when in WHEN:
            entry = latest.get((name, when))
            row[when] = _entry_text(entry, voice) if entry else ""
        rows.append(row)
    return {"rows": rows}


def _entry_text(entry: SheetEntry, voice: Voice) -> str:
    from kit.visit.sheet import ITEMS

    if isinstance(entry.value, str):
        return voice.words(ITEMS[entry.item].words.get(entry.value, entry.value))
    return voice.show(entry.kind, entry.value)
