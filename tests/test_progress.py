from __future__ import annotations

import io
import re

import pytest

from kit import progress
from kit.progress import Progress


class Terminal(io.StringIO):
    """A stream that says it is a terminal."""

    def isatty(self) -> bool:
        """Say so."""
        return True


def test_a_log_gets_a_line_for_each_step_and_its_time() -> None:
    """Without a terminal each step has a line when it begins and one when it ends."""
    times = iter([0.0, 12.0])
    page = io.StringIO()

    with Progress(2, page, lambda: next(times)).step("Making the environment"):
        pass

    assert page.getvalue() == "[1/2] Making the environment ...\n      done in 12 s\n"


@pytest.mark.parametrize("stream", [io.StringIO, Terminal])
def test_a_long_step_shows_that_it_is_alive(stream, monkeypatch: pytest.MonkeyPatch) -> None:
    """While a step lasts, its note and the time are shown again and again."""
    monkeypatch.setattr(progress, "_LOG_TICK_S", 0.01)
    monkeypatch.setattr(progress, "_TERMINAL_TICK_S", 0.01)
    page = stream()

    with Progress(1, page).step("Installing") as step:
        step.note = "3 of 9"
        while page.getvalue().count("3 of 9") < 3:
            pass

    assert re.search(r"3 of 9, \d+ s", page.getvalue())


def test_a_terminal_has_one_moving_line_a_step() -> None:
    """On a terminal the step's line is drawn over itself and ends with the time it took."""
    page = Terminal()

    with Progress(1, page).step("Installing"):
        pass

    assert page.getvalue() == "\r[1/1] Installing: done in 0 s\n"


def test_a_step_that_fails_says_so() -> None:
    """A step that ends with an error is not called done."""
    page = io.StringIO()

    with pytest.raises(ValueError, match="x"), Progress(1, page).step("Installing"):
        raise ValueError("x")

    assert "not finished in 0 s" in page.getvalue()
    assert "done" not in page.getvalue()
