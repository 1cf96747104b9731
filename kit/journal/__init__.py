"""The journal: every step written down at once, and replayed bit for bit."""

from kit.journal.entry import JournalError
from kit.journal.file import Journal, read_journal
from kit.journal.recorder import RecordedVisit, open_visit
from kit.journal.replay import Replay, Step, replay

__all__ = [
    "Journal",
    "JournalError",
    "RecordedVisit",
    "Replay",
    "Step",
    "open_visit",
    "read_journal",
    "replay",
]
