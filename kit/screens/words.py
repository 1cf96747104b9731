"""Every word that the visit's screen shows and that is not part of a visit, in one place."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from kit.screens.voice import Voice

# name in the view: English words (the key of their translations).
VISIT_WORDS: dict[str, str] = {
    "screen": "Maintenance visit",
    "site": "The site: choose where to go",
    "here": "What can be done here:",
    "nothing": "Nothing to be done here just now.",
    "not_now": "Not possible just now",
    "order": "Work order",
    "units": "Units",
    "language": "Language",
    "on_site": "Time on site",
    "wait": "Wait",
    "minutes": "minutes",
    "wait_minutes": "Minutes:",
    "wait_own": "Minutes to wait",
    "wait_group": "Let time pass",
    "skip": "Skip ahead",
    "caution": "Caution.",
    "cautions": "Cautions here",
    "add": "Add",
    "take_out": "Take out",
    "refused": "Not taken.",
    "optional": "may be left out",
    "choose": "Choose …",
    "story": "The visit so far",
    "instruments": "Readings",
    "readings": "Readings, newest first",
    "no_readings": "No reading taken yet. A reading counts once it is written on the job sheet.",
    "write_down": "Write down",
    "line_for": "Line of the job sheet for",
    "sheet": "Job sheet",
    "line": "Line",
    "as_found": "As found",
    "as_left": "As left",
    "marks": "Your marks",
    "blocks": "Points by block",
    "critical": "Critical errors: each one fails the visit",
    "to_work_on": "To work on",
    "done_well": "Done well",
    "plot": "The visit over time",
    "plot_words": "The same in words",
    "nothing_written": "Nothing written yet. What is not on this sheet is no evidence.",
    "empty_lines": "Lines still empty",
    "again": "Begin this visit anew",
    "again_sure": "Yes, put this visit aside and begin anew",
    "silent": "No answer from the kernel for 12 seconds. Nothing you did is lost: choose Run, then "
    "Run All Cells, and the visit goes on where it was.",
}


SHELF_WORDS: dict[str, str] = {
    "shelf": "Work orders",
    "choose_order": "Choose a work order",
    "open_visit": "Open this visit",
    "open_now": "open now",
    "language": VISIT_WORDS["language"],
    "silent": VISIT_WORDS["silent"],
}


def shelf_words(voice: Voice) -> dict[str, str]:
    """Return the words of the list of work orders in the learner's language."""
    return {name: voice.words(english) for name, english in SHELF_WORDS.items()}


def visit_words(voice: Voice) -> dict[str, str]:
    """Return the screen's own words in the learner's language, and the language's tag."""
    said = {name: voice.words(english) for name, english in VISIT_WORDS.items()}
    return {**said, "lang": voice.language}
