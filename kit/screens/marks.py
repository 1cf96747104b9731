"""The marks with their feedback: critical errors first, then what to work on, then the rest."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from kit.marking.mark import CriticalError, Mark, RowMark
    from kit.screens.voice import Voice


def verdict(mark: Mark, voice: Voice) -> dict[str, Any]:
    """Return a mark as the view shows it.

    Args:
        mark: what `kit.mark` returned.
        voice: units and language.
    """
    lost = [row for row in mark.rows if row.points < row.out_of]
    kept = [row for row in mark.rows if row.points >= row.out_of]
    return {
        "tone": "good" if mark.passed else "bad",
        "sign": "✓" if mark.passed else "✕",
        "total": _total(mark, voice),
        "blocks": [
            {
                "title": voice.words(block.title),
                "points": f"{block.points:g} / {block.out_of:g}",
                "short": block.points < block.least,
                "least": f"{voice.words('at least')} {block.least:g}",
            }
            for block in mark.blocks
        ],
        "critical": [_critical(error, voice) for error in mark.critical],
        "lost": [_row(row, voice) for row in lost],
        "kept": [_row(row, voice) for row in kept],
    }


def _total(mark: Mark, voice: Voice) -> str:
    verdict_words = voice.words("Passed" if mark.passed else "Not passed")
    total = f"{verdict_words}: {mark.points:g} / {mark.out_of:g} {voice.words('points')}"
    if mark.critical:
        total += f" · {voice.words('critical errors')}: {len(mark.critical)}"
    return total


def _critical(error: CriticalError, voice: Voice) -> dict[str, str]:
    minute = f"{voice.words('minute')} {error.at_s / 60:.0f}"
    return {
        "tone": "bad",
        "sign": "✕",
        "points": minute,
        "title": voice.words(error.title),
        "text": voice.line(error.said),
    }


def _row(row: RowMark, voice: Voice) -> dict[str, str]:
    parts = voice.lines(row.said)
    full = row.points >= row.out_of
    if not full:
        parts += [f"{voice.words(title)}." for title in row.broken]
        parts += [voice.words(text) for text in (row.why, row.next_time) if text]
    return {
        "tone": "good" if full else "lost",
        "sign": "✓" if full else "–",
        "points": f"{row.points:g} / {row.out_of:g}",
        "title": voice.words(row.title),
        "text": " ".join(parts),
    }
