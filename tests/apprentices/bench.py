"""Send apprentices through work orders and mark what they leave behind."""

from __future__ import annotations

from pathlib import Path

import kit
from kit.marking import Mark
from kit.visit.work_order import work_order_names
from tests.apprentices import send

SEED = 7
WORK_ORDERS = tuple(work_order_names())


def mark_of(work_order: str, name: str, folder: Path, seed: int = SEED) -> Mark:
    """Return the mark of one apprentice at one work order.

    Args:
        work_order: name of the work order.
        name: name of the apprentice.
        folder: where the journal is written.
        seed: the visit's seed.
    """
    journal = folder / f"{work_order}-{name}-{seed}.jsonl"
    visit = kit.open_visit(work_order, seed=seed, learner=name, journal=journal, fresh=True)
    send(name, visit)
    visit.close()
    return kit.mark(journal)
