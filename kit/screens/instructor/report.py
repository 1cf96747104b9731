"""A class on paper: a table for a spreadsheet, and a page to print."""

from __future__ import annotations

import csv
import html
import io
from collections.abc import Iterable, Sequence
from datetime import datetime
from typing import TYPE_CHECKING, Any

from kit.screens import source
from kit.screens.instructor.class_table import (
    class_table,
    counted,
    lost_table,
    title,
    told_table,
)
from kit.screens.instructor.texts import plain

if TYPE_CHECKING:
    from kit.screens.instructor.marking import Row
    from kit.screens.voice import Voice

# A cell that begins with one of these is worked out by spreadsheets, whatever it was meant to be.
# The last four are the wide letters of East Asian scripts.
_FORMULA = ("=", "+", "-", "@", "\t", "\r", "\n", "\uff1d", "\uff0b", "\uff0d", "\uff20")
_COLUMNS = (
    plain("Learner"), plain("Work order"), "Work order, name of the file", plain("Result"),
    "Points", "Points possible", "Points needed in all", "Critical errors, number",
    "Critical errors, which", "Handed over", "Time on site [min]", "Time allowed [min]",
    "Points as the kit gave them", "Changes by an assessor", plain("File"), plain("Remark"),
)  # fmt: skip


def safe(value: object) -> str:
    """Return a cell that no spreadsheet takes for a formula.

    Args:
        value: what the cell holds.

    Source:
        OWASP, "CSV Injection" (from memory): cells that begin with = + - @ tab or return are led
        by an apostrophe.
    """
    text = str(value).replace("\0", "")
    return f"'{text}" if text.lstrip(" \u00a0").startswith(_FORMULA) else text


def csv_text(rows: Sequence[Row], voice: Voice) -> str:
    """Return the class as comma-separated values: a line a visit, a column a meaning.

    Args:
        rows: the files of the class.
        voice: language of the headings.
    """
    some = counted(rows)
    blocks = list(dict.fromkeys(b[0] for row in some for b in row.found["blocks"]))
    out = io.StringIO()
    writer = csv.writer(out, quoting=csv.QUOTE_ALL, lineterminator="\r\n")
    points = voice.words("points in the block")
    heads = [voice.words(c) for c in _COLUMNS] + [f"{voice.words(b)} [{points}]" for b in blocks]
    writer.writerow([safe(head) for head in heads])
    for row in some:
        writer.writerow([safe(cell) for cell in _cells(row, blocks, voice)])
    for row in rows:
        if not row.counts:
            writer.writerow([safe(cell) for cell in _left_out(row, len(blocks), voice)])
    return out.getvalue()


def _cells(row: Row, blocks: Sequence[str], voice: Voice) -> list[object]:
    found = row.found
    by_block = {name: points for name, points, _, _ in found["blocks"]}
    yes, no = voice.words("yes"), voice.words("no")
    return [
        row.learner,
        title(found, voice),
        found["order"],
        voice.words("Passed" if found["passed"] else "Not passed"),
        f"{found['points']:g}",
        f"{found['out_of']:g}",
        f"{found['least']:g}",
        len(found["critical"]),
        "; ".join(voice.words(text) for _, text in found["critical"]),
        yes if found["finished"] else no,
        f"{found['minutes']:g}",
        f"{found['allowed']:g}",
        f"{found['kit_points']:g}",
        _changes(found["changes"]),
        row.file,
        " ".join(voice.lines(row.told)),
        *(f"{by_block[name]:g}" if name in by_block else "" for name in blocks),
    ]


def _changes(changes: Iterable[Sequence[Any]]) -> str:
    return "; ".join(
        f"{row}: {was:g} > {points:g}, {who}: {why}" for row, was, points, who, why in changes
    )


def _left_out(row: Row, blocks: int, voice: Voice) -> list[object]:
    said = " ".join(voice.lines(row.told))
    known = [row.learner if "learner" in row.found else "", "", row.found.get("order", "")]
    empty = len(_COLUMNS) - 4 - 2
    return [*known, voice.words("does not count"), *[""] * empty, row.file, said, *[""] * blocks]


def html_text(rows: Sequence[Row], folder: str, voice: Voice, now: datetime) -> str:
    """Return the class as a page to print; it needs nothing besides itself.

    Args:
        rows: the files of the class.
        folder: where they lay.
        voice: language.
        now: date and time to print.
    """
    head, style = voice.words("Report of a class"), source.style("instructor/report.css")
    told = told_table(rows, voice)
    parts = [
        f"<h1>{_out(head)}</h1>",
        f"<p class='small'>{_out(folder)} · {now:%Y-%m-%d %H:%M}</p>",
        _table(voice.words("Learners and their work orders"), class_table(rows, voice)),
        _table(voice.words("Where the class lost most"), lost_table(rows, voice)),
    ]
    if told:
        names = [voice.words(text) for text in ("File", "In the table", "Why")]
        parts.append(_table(voice.words("Files of which something is to be said"), [names, *told]))
    parts.append(f"<p class='small'>{_out(_note(voice))}</p>")
    return (
        f"<!DOCTYPE html>\n<html lang='{_out(voice.language)}'><head><meta charset='utf-8'>"
        f"<title>{_out(head)}</title><style>{style}</style></head><body>\n"
        + "\n".join(parts)
        + "\n</body></html>\n"
    )


def _note(voice: Voice) -> str:
    return voice.words(
        "Marks of practice on simulated units. They are no licence and replace no local codes, "
        "site rules or supervisor."
    )


def _table(heading: str, rows: Sequence[Sequence[Any]]) -> str:
    if len(rows) < 2:
        return ""
    head, *body = rows
    top = "".join(f"<th scope='col'>{_out(_text(cell))}</th>" for cell in head)
    lines = "".join(
        f"<tr><th scope='row'>{_out(_text(first))}</th>"
        + "".join(f"<td>{_out(_text(cell))}</td>" for cell in rest)
        + "</tr>"
        for first, *rest in body
    )
    inside = f"<thead><tr>{top}</tr></thead><tbody>{lines}</tbody>"
    return f"<h2>{_out(heading)}</h2><table>{inside}</table>"


def _text(cell: Any) -> str:
    return f"{cell['sign']} {cell['text']}" if isinstance(cell, dict) else str(cell)


def _out(text: str) -> str:
    return html.escape(text, quote=True)
