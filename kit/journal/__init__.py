"""The journal: every step written down at once, and replayed bit for bit."""

from kit.journal.entry import (
    JournalError,
    OtherJournalError,
    PhysicsVersionError,
    ReadingsDifferError,
)
from kit.journal.file import Journal, read_journal
from kit.journal.lock import NotWritableError
from kit.journal.opening import open_visit
from kit.journal.recorder import RecordedVisit
from kit.journal.replay import Replay, Step, replay
from kit.journal.seed import SealedSeed
from kit.journal.versions import PHYSICS_VERSION

__all__ = [
    "PHYSICS_VERSION",
    "Journal",
    "JournalError",
    "NotWritableError",
    "OtherJournalError",
    "PhysicsVersionError",
    "ReadingsDifferError",
    "RecordedVisit",
    "Replay",
    "SealedSeed",
    "Step",
    "open_visit",
    "read_journal",
    "replay",
]
