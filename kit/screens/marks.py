"""The marks with their feedback: critical errors first, then what cost most, then the rest."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from kit.visit.outcome import line

if TYPE_CHECKING:
    from kit.marking.mark import CriticalError, Mark, RowMark
    from kit.marking.plot import VisitPlot
    from kit.screens.voice import Voice


def verdict(
    mark: Mark,
    voice: Voice,
    plot: VisitPlot | None = None,
    charts: dict[str, Any] | None = None,
) -> dict[str, Any]:
    """Return a mark as the view shows it; rows that lost points stand dearest first.

    Args:
        mark: what `kit.mark` returned; what an assessor changed in it counts.
        voice: units and language.
        plot: temperatures of the visit with what was done.
        charts: what `kit.screens.revealed` shows of the air and the circuit.
    """
    final = mark.final
    lost = [row for row in final.rows if row.points < row.out_of]
    lost.sort(key=lambda row: row.points - row.out_of)
    kept = [row for row in final.rows if row.points >= row.out_of]
    return {
        "tone": "good" if final.passed else "bad",
        "sign": "✓" if final.passed else "✕",
        "total": _total(final, voice),
        "changed": _changed(mark, voice),
        "blocks": [
            {
                "title": voice.words(block.title),
                "points": f"{block.points:g} / {block.out_of:g}",
                "short": block.points < block.least,
                "least": f"{voice.words('at least')} {block.least:g}",
            }
            for block in final.blocks
        ],
        "critical": [_critical(error, voice) for error in final.critical],
        "lost": [_row(row, voice) for row in lost],
        "kept": [_row(row, voice) for row in kept],
        "plot": None if plot is None else _plot(plot, voice),
        "charts": charts,
    }


def _total(mark: Mark, voice: Voice) -> str:
    verdict_words = voice.words("Passed" if mark.passed else "Not passed")
    total = f"{verdict_words}: {mark.points:g} / {mark.out_of:g} {voice.words('points')}"
    if mark.critical:
        total += f" · {voice.words('critical errors')}: {len(mark.critical)}"
    return total


def _changed(mark: Mark, voice: Voice) -> list[str]:
    """Return what an assessor changed, with the reason; the kit's own points stand beside it."""
    titles = {row.name: row.title for row in mark.rows}
    said = [
        line(
            "{row}: changed from {was} to {points} by {who}: {why}",
            row=titles.get(one.row, one.row),
            was=one.was,
            points=one.points,
            who=one.assessor,
            why=one.reason,
        )
        for one in mark.overrides
    ]
    return voice.lines(said)


def _critical(error: CriticalError, voice: Voice) -> dict[str, Any]:
    minute = f"{voice.words('minute')} {error.at_s / 60:.0f}"
    return _entry("bad", "✕", minute, voice.words(error.title), voice.line(error.said))


def _row(row: RowMark, voice: Voice) -> dict[str, Any]:
    full = row.points >= row.out_of
    points = f"{row.points:g} / {row.out_of:g}"
    text = " ".join(voice.lines(row.said))
    more = []
    if not full:
        more = [[voice.words("Out of order"), voice.words(title)] for title in row.broken]
        more += [
            [voice.words(head), voice.words(words)]
            for head, words in (("Why it matters", row.why), ("Next time", row.next_time))
            if words
        ]
    sign, tone = ("✓", "good") if full else ("–", "lost")
    return _entry(tone, sign, points, voice.words(row.title), text, more)


def _entry(
    tone: str, sign: str, points: str, title: str, text: str, more: list[list[str]] | None = None
) -> dict[str, Any]:
    return {
        "tone": tone, "sign": sign, "points": points, "title": title, "text": text,
        "more": more or [],
    }  # fmt: skip


def _plot(plot: VisitPlot, voice: Voice) -> dict[str, str]:
    from kit.marking.plot import plot_text
    from kit.marking.plot_svg import plot_svg

    return {
        "svg": plot_svg(plot, voice.units, voice.translate),
        "text": plot_text(plot, voice.units, voice.translate),
    }
