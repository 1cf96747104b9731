"""The words of both desks, and marks for the translators."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from kit.screens.voice import Voice


def plain(text: str) -> str:
    """Return a text as it is; whoever collects the texts to be translated finds it by this call.

    Args:
        text: a word of the screen.
    """
    return text


# name in the view: English words.
SHARED: dict[str, str] = {
    "units": plain("Units"),
    "language": plain("Language"),
    "choose": plain("Choose …"),
    "optional": "may be left out",
    "refused": "Not taken.",
    "silent": "No answer from the kernel for 12 seconds. Nothing you did is lost: choose Run, then "
    "Run All Cells, and the visit goes on where it was.",
}
ORDER_WORDS: dict[str, str] = {
    **SHARED,
    "desk": "Desk for work orders",
    "begin_with": "Begin with",
    "fetch": "Fetch it",
    "empty": "an empty form",
    "paper": "What is printed on the paper",
    "paper_lead": "Learners read all of this, the file's name as well. Lines may stay empty.",
    "unit": "Machine, mode and air",
    "faults": "What is hidden in the unit",
    "faults_lead": "None, one or several. What you choose shows on the other side at once.",
    "customer": "What the customer answers",
    "customer_lead": "Left empty, the customer says what somebody who lives with such a unit would "
    "have noticed.",
    "site": "Site, people and what is fitted",
    "reads": "What the unit will read",
    "reads_lead": "Worked out by the engine at full demand, once settled. Learners see it only "
    "through their instruments.",
    "no_preview": "As soon as machine, air and faults are given, the readings stand here.",
    "look": "Work it out again",
    "save": "Save this work order",
    "save_over": "Yes, save it in place of the old one",
    "try": "Try it as a visit",
    "saved_in": "Your work orders lie in this folder",
    "broken": "Files in your folder that are no work orders",
}
SECTIONS = ("paper", "unit", "faults", "customer", "site")
CLASS_WORDS: dict[str, str] = {
    **SHARED,
    "desk": "Desk for a class",
    "where": "Journals to read",
    "folder": "Folder of the journals",
    "read": "Read and mark",
    "cancel": plain("Stop"),
    "table": "Learners and their work orders",
    "learner": plain("Learner"),
    "nothing": "No journal has been read yet.",
    "lost": "Where the class lost most",
    "told": "Files of which something is to be said",
    "file": plain("File"),
    "why": plain("Why"),
    "show": "Show one learner's marks",
    "visit": "Learner and work order",
    "open": "Show these marks",
    "key": "The key: what was hidden in this unit",
    "critical": "Critical errors: each one fails the visit",
    "to_work_on": "To work on",
    "done_well": "Done well",
    "blocks": "Points by block",
    "override": "Change a row of this mark",
    "change": "Write the change down",
    "export": "Save the table",
    "export_lead": "Two files: one for a spreadsheet, one to print.",
    "download": plain("Download"),
}


def said(words: dict[str, str], voice: Voice) -> dict[str, str]:
    """Return a desk's words in the instructor's language, and the language's tag.

    Args:
        words: name in the view to English words.
        voice: language.
    """
    return {**{name: voice.words(text) for name, text in words.items()}, "lang": voice.language}
