"""Marking a whole class: one journal after another, each in bounded time, ended at any moment."""

from __future__ import annotations

import json
import os
import queue
import subprocess
import sys
import threading
import time
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import kit
from kit.errors import KitError
from kit.screens.instructor.handed_in import SUFFIX, Found
from kit.screens.instructor.own_orders import order_files
from kit.visit.outcome import Line, line

LIMIT_S = 120.0  # longest that one journal may take; the longest visit of the keys takes 4 s
_STEP_S = 0.1


class StoppedError(KitError):
    """Whoever asked does not want the answer any more."""


class Marker:
    """A process that marks; it is started when first asked, and ended when it takes too long.

    Args:
        limit_s: longest that one answer may take [s].
        stop: set by another thread to end what is under way.
    """

    def __init__(self, limit_s: float = LIMIT_S, stop: threading.Event | None = None) -> None:
        self.limit_s, self.stop = limit_s, stop or threading.Event()
        self._process: subprocess.Popen[str] | None = None
        self._answers: queue.Queue[str] = queue.Queue()

    def ask(self, **request: Any) -> dict[str, Any]:
        """Return the answer to a request; an answer that does not come in time is an error in it.

        Args:
            request: see `kit.screens.instructor.marker.answered`.

        Raises:
            StoppedError: `stop` was set.
        """
        process = self._running()
        try:
            _send(process, request)
        except OSError:
            self.close()
            return {"error": "The process that marks ended. Read the class again."}
        return self._waited(process)

    def _waited(self, process: subprocess.Popen[str]) -> dict[str, Any]:
        end = time.monotonic() + self.limit_s
        while time.monotonic() < end:
            if self.stop.is_set():
                self.close()
                raise StoppedError("Stopped.")
            try:
                found = json.loads(self._answers.get(timeout=_STEP_S))
            except queue.Empty:
                if process.poll() is not None and self._answers.empty():
                    self.close()
                    return {"error": "Marking it ended the process that marks; it is too large."}
                continue
            return dict(found)
        self.close()
        return {"error": f"It was not marked within {self.limit_s:g} seconds; no visit takes that."}

    def close(self) -> None:
        """End the process."""
        process, self._process = self._process, None
        if process is None:
            return
        process.kill()
        process.wait()
        for pipe in (process.stdin, process.stdout):
            if pipe is not None:
                try:
                    pipe.close()
                except OSError:  # what was still to be written has nowhere to go
                    continue

    def _running(self) -> subprocess.Popen[str]:
        if self._process is None or self._process.poll() is not None:
            self.close()
            self._answers = queue.Queue()
            self._process = _started()
            threading.Thread(
                target=_listen, args=(self._process, self._answers), daemon=True
            ).start()
        return self._process


def _started() -> subprocess.Popen[str]:
    above = str(Path(kit.__file__).resolve().parent.parent)
    paths = [above, *filter(None, [os.environ.get("PYTHONPATH")])]
    return subprocess.Popen(
        [sys.executable, "-m", "kit.screens.instructor.marker"],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        text=True,
        encoding="utf-8",
        env=os.environ | {"PYTHONPATH": os.pathsep.join(paths)},
    )


def _send(process: subprocess.Popen[str], request: Mapping[str, Any]) -> None:
    if process.stdin is None:
        raise BrokenPipeError
    process.stdin.write(json.dumps(request) + "\n")
    process.stdin.flush()


def _listen(process: subprocess.Popen[str], answers: queue.Queue[str]) -> None:
    if process.stdout is None:
        return
    try:
        for answer in process.stdout:
            answers.put(answer)
    except (OSError, ValueError):  # the pipe was closed while it was listened to
        return


@dataclass(slots=True)
class Row:
    """One file that was handed in.

    Args:
        file: its path below the folder.
        path: its path.
        found: what the marker said of it.
        told: why it does not count, or what is to be known of it; empty when all is well.
        counts: whether it stands in the table.
    """

    file: str
    path: Path
    found: Mapping[str, Any]
    told: list[Line] = field(default_factory=list)
    counts: bool = True

    @property
    def learner(self) -> str:
        """Whose it is: the id in the journal; where it has none, the folder or the file's name."""
        return str(self.found.get("learner") or self.file.partition("/")[0].removesuffix(SUFFIX))


def read_class(
    found: Found,
    marker: Marker,
    progress: Callable[[int, int, str], None] = lambda _done, _all, _file: None,
    language: str = "en",
) -> list[Row]:
    """Return every file of a class, marked or with the reason why it is not.

    Args:
        found: the files.
        marker: marks them.
        progress: called before each file with how many are done, how many there are, and its name.
        language: tag of the language of reasons.

    Returns:
        The rows so far when `marker.stop` was set.
    """
    orders = [str(path) for path in order_files(found.folder)]
    rows: list[Row] = []
    heads: dict[str, str] = {}
    for number, path in enumerate(found.files):
        name = path.relative_to(found.folder).as_posix()
        progress(number, len(found.files), name)
        try:
            said = marker.ask(
                do="mark", path=str(path), orders=orders, known=list(heads), language=language
            )
        except StoppedError:
            break
        row = Row(name, path, said)
        rows.append(row)
        _first_look(row, heads)
    _same_visit(rows)
    _attempts(rows)
    return rows


def _first_look(row: Row, heads: dict[str, str]) -> None:
    said = row.found
    if "error" in said:
        row.counts = False
        row.told.append(line("{reason}", reason=str(said["error"])))
    elif said.get("same"):
        row.counts = False
        row.told.append(
            line("The same journal as {file}, line for line; it counts once.",
                 file=heads[str(said["head"])])
        )  # fmt: skip
    else:
        heads[str(said["head"])] = row.file
        if said["torn"]:
            row.told.append(line("Its last line was cut off and is left out."))
        if said["note"]:
            row.told.append(
                line("The changes beside it do not count: {reason}", reason=str(said["note"]))
            )


def _same_visit(rows: Iterable[Row]) -> None:
    """Let the longest of several states of one visit count."""
    longest: dict[str, Row] = {}
    for row in sorted((r for r in rows if r.counts), key=lambda r: -int(r.found["lines"])):
        first = longest.setdefault(str(row.found["first"]), row)
        if first is not row:
            row.counts = False
            row.told.append(
                line("The same visit as {file}, with fewer steps; that one counts.",
                     file=first.file)
            )  # fmt: skip


def _attempts(rows: Iterable[Row]) -> None:
    """Let the last attempt that was handed over count, of each learner at each work order."""
    best: dict[tuple[str, str], Row] = {}
    for row in (r for r in rows if r.counts):
        key = (row.learner, str(row.found["order"]))
        before = best.get(key)
        if before is None:
            best[key] = row
            continue
        last, other = sorted((before, row), key=_rank, reverse=True)
        best[key] = last
        other.counts = False
        other.told.append(
            line("Another attempt at the job of {file}; the last one handed over counts.",
                 file=last.file)
        )  # fmt: skip


def _rank(row: Row) -> tuple[bool, str]:
    return bool(row.found["finished"]), str(row.found["wall"])
