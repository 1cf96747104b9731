"""Marks journals that others handed in, in a process of its own that can be ended at any moment.

It reads one request a line and answers with one line; `kit.screens.instructor.marking` starts it.
"""

from __future__ import annotations

import contextlib
import json
import os
import sys
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from kit.errors import KitError
from kit.journal.entry import JournalError
from kit.journal.file import Journal, read_journal
from kit.journal.replay import Replay, replay
from kit.language import LANGUAGES, translator
from kit.marking.mark import Mark, marked
from kit.marking.override import override, overrides_path, with_overrides, write_overrides
from kit.marking.rubric import load_rubric
from kit.screens.instructor.own_orders import find_order
from kit.screens.marks import verdict
from kit.screens.voice import Voice
from kit.visit.work_order import WorkOrder, load_work_order

MOST_MEMORY = 4 << 30  # bytes of address space, where the system can hold a process to it


def answered(request: Mapping[str, Any]) -> dict[str, Any]:
    """Return the answer to one request; whatever is wrong with a journal is part of it.

    Args:
        request: `do` is "mark", "open" or "override"; `path` names the journal, `orders` the
            files in which its work order may be, `known` the heads of journals seen before.
    """
    found: dict[str, Any] = {}
    try:
        journal = read_journal(request["path"])
        found = _head(journal)
        if found["head"] in request.get("known", ()):
            return found | {"same": True}
        order = _order(journal, [Path(p) for p in request.get("orders", ())])
        done = replay(journal, order)
        mark, note = _mark(done, Path(request["path"]))
        if request["do"] == "override":
            mark = _overridden(mark, request, note)
        found |= _summary(done, mark, note)
        if request["do"] != "mark":
            found["verdict"] = _verdict(done, mark, request)
        return found  # noqa: TRY300 - the errors below are those of any line above
    except KitError as error:
        language = str(request.get("language") or "en")
        return found | {"error": error.said(translator(language))}
    except (MemoryError, RecursionError):
        return found | {"error": "It asks for more memory than a visit needs."}


def _head(journal: Journal) -> dict[str, Any]:
    header = journal.header
    return {
        "learner": str(header["learner"]),
        "order": str(header["order"]),
        "wall": str(header["wall"]),
        "first": str(header["hash"]),
        "head": journal.head,
        "lines": len(journal.entries) + 1,
        "torn": journal.torn,
    }


def _order(journal: Journal, files: list[Path]) -> WorkOrder:
    name, digest = str(journal.header["order"]), str(journal.header["order_digest"])
    source = find_order(name, digest, files)
    if source is None:
        raise JournalError(
            1,
            f"its work order {name!r} is neither one of the kit's nor in your folder as it was "
            "when the visit was made. Put that file into your folder of work orders, or beside "
            "the journals.",
        )
    return load_work_order(source)


def _mark(done: Replay, path: Path) -> tuple[Mark, str]:
    """Return the mark with an assessor's changes, and why these do not count when they do not."""
    mark = marked(done, load_rubric(done.order.rubric))
    beside = overrides_path(path)
    if not beside.exists():
        return mark, ""
    try:
        return with_overrides(mark, beside), ""
    except KitError as error:
        return mark, str(error)


def _overridden(mark: Mark, request: Mapping[str, Any], note: str) -> Mark:
    if note:
        raise KitError("{reason}", reason=note)
    args = request["args"]
    changed = override(mark, args["row"], args["points"], args["assessor"], args["reason"])
    write_overrides(changed, request["path"])
    return changed


def _summary(done: Replay, mark: Mark, note: str) -> dict[str, Any]:
    from kit.faults import fault

    final, order = mark.final, done.order
    blocks = {block.name: block.title for block in final.blocks}
    return {
        "titles": {tag: order.words(tag)(order.title) for tag in LANGUAGES},
        "rubric": mark.rubric,
        "points": final.points,
        "out_of": final.out_of,
        "least": final.least,
        "passed": final.passed,
        "kit_points": mark.points,
        "kit_passed": mark.passed,
        "finished": final.finished,
        "critical": [[error.code, error.title] for error in final.critical],
        "rows": [[r.name, r.title, blocks[r.block], r.points, r.out_of] for r in final.rows],
        "changes": [[c.row, c.was, c.points, c.assessor, c.reason] for c in mark.overrides],
        "blocks": [[b.title, b.points, b.out_of, b.least] for b in final.blocks],
        "minutes": round(done.end.clock_s / 60.0, 1),
        "allowed": order.allowed_min,
        "key": [[fault(h.name).title, h.severity] for h in order.faults],
        "note": note,
    }


def _verdict(done: Replay, mark: Mark, request: Mapping[str, Any]) -> dict[str, Any]:
    """Return the feedback as the learner sees it, in the instructor's units and language."""
    from kit.marking.plot import visit_plot

    language = str(request.get("language") or "en")
    words = done.order.words(language)
    return verdict(mark, Voice(str(request.get("units") or "us"), words, language),
                   visit_plot(done))  # fmt: skip


def main() -> int:
    """Answer requests until the input ends."""
    _held()
    out = os.fdopen(os.dup(1), "w", encoding="utf-8")
    sys.stdout = sys.stderr  # nothing but answers goes to whoever asked
    for line in sys.stdin:
        out.write(json.dumps(answered(json.loads(line))) + "\n")
        out.flush()
    return 0


def _held() -> None:
    """Hold this process to the memory that marking needs, where the system can."""
    if sys.platform == "win32":
        return
    import resource

    with contextlib.suppress(ValueError, OSError):
        resource.setrlimit(resource.RLIMIT_AS, (MOST_MEMORY, MOST_MEMORY))


if __name__ == "__main__":
    sys.exit(main())
