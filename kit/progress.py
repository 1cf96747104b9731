"""Say what a long job is doing: one line a step, the time it took, and a sign of life."""

from __future__ import annotations

import sys
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import TextIO

_SPINNER = "|/-\\"
_TERMINAL_TICK_S = 0.2
_LOG_TICK_S = 10.0  # a log file or a CI page gets a new line this often


class Step:
    """One step under way; `note` says how far it is and may be set at any time."""

    def __init__(self, text: str) -> None:
        """Begin a step called `text`."""
        self.text = text
        self.note = ""


class Progress:
    """Print numbered steps to a terminal (a moving line) or to a log (a line now and then)."""

    def __init__(
        self,
        total: int,
        stream: TextIO | None = None,
        clock: Callable[[], float] = time.monotonic,
    ) -> None:
        """Prepare to print `total` steps.

        Args:
            total: number of steps that will be announced.
            stream: where to print; standard output when None.
            clock: gives the time [s].
        """
        self.total = total
        self.done = 0
        self._stream = stream if stream is not None else sys.stdout
        self._clock = clock
        self._moving = self._stream.isatty()
        self._width = 0

    def say(self, text: str) -> None:
        """Print one plain line."""
        self._stream.write(text + "\n")
        self._stream.flush()

    @contextmanager
    def step(self, text: str) -> Iterator[Step]:
        """Announce a step, show that it is alive, and print how long it took.

        Args:
            text: what is being done, in words a learner knows.
        """
        self.done += 1
        step = Step(f"[{self.done}/{self.total}] {text}")
        begun = self._clock()
        stop = threading.Event()
        teller = threading.Thread(target=self._tell, args=(step, begun, stop), daemon=True)
        if not self._moving:
            self.say(step.text + " ...")
        teller.start()
        try:
            yield step
        except BaseException:
            self._finish(teller, stop)
            self._close(step, "not finished", begun)
            raise
        self._finish(teller, stop)
        self._close(step, "done", begun)

    def _finish(self, teller: threading.Thread, stop: threading.Event) -> None:
        stop.set()
        teller.join()

    def _tell(self, step: Step, begun: float, stop: threading.Event) -> None:
        turn = 0
        while not stop.wait(_TERMINAL_TICK_S if self._moving else _LOG_TICK_S):
            elapsed = f"{self._clock() - begun:.0f} s"
            note = f"{step.note}, {elapsed}" if step.note else elapsed
            if self._moving:
                self._redraw(f"{step.text} {_SPINNER[turn % len(_SPINNER)]} {note}")
            else:
                self.say(f"      {note}")
            turn += 1

    def _redraw(self, line: str) -> None:
        line = line[:100]
        self._stream.write("\r" + line.ljust(self._width))
        self._stream.flush()
        self._width = len(line)

    def _close(self, step: Step, how: str, begun: float) -> None:
        ending = f"{how} in {self._clock() - begun:.0f} s"
        if self._moving:
            self._redraw(f"{step.text}: {ending}")
            self.say("")
            self._width = 0
        else:
            self.say(f"      {ending}")
