"""What was seen after an action, and the story of the visit so far."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from kit.screens.voice import Voice
    from kit.visit.outcome import Outcome

_SIGNS = {"plain": "▸", "refused": "–", "bad": "✕"}
STORY_LENGTH = 120


def tone(outcome: Outcome) -> str:
    """Return "bad" when something dangerous was done, "refused" when nothing was, else "plain"."""
    if outcome.stopped or any(hazard.level != "note" for hazard in outcome.hazards):
        return "bad"
    return "refused" if outcome.refused else "plain"


def cautions(outcomes: Sequence[Outcome]) -> frozenset[str]:
    """Return the codes of the cautions that were told in full already."""
    return frozenset(caution.code for outcome in outcomes for caution in outcome.cautions)


def said(outcomes: Sequence[Outcome], titles: Mapping[str, str], voice: Voice) -> dict[str, Any]:
    """Return the latest outcome as the view shows it; a caution is told in full once a visit.

    Args:
        outcomes: every outcome so far.
        titles: name of an action to its English title.
        voice: units and language.
    """
    if not outcomes:
        welcome = "Read the work order, then choose a place on the picture."
        return _told("plain", voice.words("You are on site."), [voice.words(welcome)])
    from kit.visit.pictures import picture_svg

    outcome = outcomes[-1]
    known = cautions(outcomes[:-1])
    fresh = [caution for caution in outcome.cautions if caution.code not in known]
    lines = voice.lines(outcome.lines)
    title = _title(outcome, titles, voice)
    if outcome.reason is not None:
        lines = [f"{voice.words('Not done.')} {voice.line(outcome.reason)}", *lines]
    if outcome.stopped:
        lines = [*lines, voice.words("It was not done.")]
    return _told(tone(outcome), title, lines) | {
        "hazards": voice.lines(hazard.line for hazard in outcome.hazards),
        "cautions": voice.lines(caution.line for caution in fresh),
        "pictures": [
            {"svg": picture_svg(p, voice.units, voice.translate), "alt": voice.line(p.alt)}
            for p in outcome.pictures
        ],
    }


def _told(tone_name: str, title: str, lines: list[str]) -> dict[str, Any]:
    return {
        "tone": tone_name,
        "sign": _SIGNS[tone_name],
        "title": title,
        "lines": lines,
        "hazards": [],
        "cautions": [],
        "pictures": [],
    }


def story(
    outcomes: Sequence[Outcome], titles: Mapping[str, str], voice: Voice
) -> list[dict[str, Any]]:
    """Return the visit so far, newest first, one entry an action."""
    return [
        {
            "s": outcome.clock_s,
            "title": _title(outcome, titles, voice),
            "tone": tone(outcome),
            "text": " ".join(
                [
                    *([voice.line(outcome.reason)] if outcome.reason is not None else []),
                    *voice.lines(hazard.line for hazard in outcome.hazards),
                    *voice.lines(outcome.lines),
                ]
            ),
        }
        for outcome in reversed(outcomes[-STORY_LENGTH:])
    ]


def _title(outcome: Outcome, titles: Mapping[str, str], voice: Voice) -> str:
    return voice.words(titles.get(outcome.action, outcome.action))
