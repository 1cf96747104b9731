"""Run the whole test-suite in stages and close with one line that counts them all."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from xml.etree import ElementTree as ET

from kit.environment import clean_environ
from kit.errors import KitError

_CHROMIUM_COMMANDS = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable")
_CHROMIUM_PLACES = (
    "/Applications/Chromium.app/Contents/MacOS/Chromium",
    "/Applications/Google Chrome.app/Contents/MacOS/Google Chrome",
    r"C:\Program Files\Google\Chrome\Application\chrome.exe",
    r"C:\Program Files (x86)\Microsoft\Edge\Application\msedge.exe",
)
# One file, so one notebook, on one worker: its cells build on each other.
_SHARED_OUT = ("-n", "2", "--dist", "loadfile")
_NO_NOTEBOOKS = ("-p", "no:nbval")  # two seconds a process to load, and not needed
# Random order is for tests of rules; a notebook's cells and a visit on a page stay in theirs.
_IN_ORDER = ("-p", "no:randomly")


class SelftestError(KitError):
    """The test-suite could not be started; the message says why and what to do."""


@dataclass(frozen=True, slots=True)
class Stage:
    """One run of pytest.

    Args:
        name: what the reader sees.
        paths: what it runs, below the top folder.
        options: pytest's options beside those of pyproject.toml.
    """

    name: str
    paths: tuple[str, ...]
    options: tuple[str, ...] = ()


@dataclass(slots=True)
class Tally:
    """How the tests of one or more stages went."""

    passed: int = 0
    failed: int = 0
    errors: int = 0
    skipped: int = 0
    broken: list[str] = field(default_factory=list)  # stages that failed, by name

    def add(self, other: Tally) -> None:
        """Add the counts of another tally."""
        self.passed += other.passed
        self.failed += other.failed
        self.errors += other.errors
        self.skipped += other.skipped
        self.broken += other.broken


STAGES = (
    Stage(
        "rules and laws",
        ("tests",),
        ("--ignore=tests/browser", "--ignore=tests/benchmarks", *_NO_NOTEBOOKS, *_SHARED_OUT),
    ),
    Stage(
        "notebooks",
        ("lessons", "answer_keys/practice"),
        # The Spanish lessons have the same code: tests/test_lessons.py compares them.
        ("--nbval-lax", "--ignore=lessons/es", *_IN_ORDER, *_SHARED_OUT),
    ),
    # In the order of their names: the two whole visits begin, so that none is left for the end.
    Stage(
        "browser",
        ("tests/browser",),
        (*_NO_NOTEBOOKS, *_IN_ORDER, *_SHARED_OUT, "--no-loadscope-reorder"),
    ),
    Stage("benchmarks", ("tests/benchmarks",), (*_NO_NOTEBOOKS, *_IN_ORDER, "-s")),
)
_BROWSER = "browser"


def find_chromium(environ: Mapping[str, str] = os.environ) -> str | None:
    """Return a Chromium or a browser built on it; None when the machine has none.

    Args:
        environ: the environment variables; BENCHCALL_CHROMIUM names one.
    """
    named = environ.get("BENCHCALL_CHROMIUM")
    if named:
        return named if Path(named).is_file() else None
    found = (shutil.which(name, path=environ.get("PATH")) for name in _CHROMIUM_COMMANDS)
    places = (place for place in _CHROMIUM_PLACES if Path(place).is_file())
    return next((path for path in found if path), None) or next(places, None)


def run(python: Path, top: Path, names: Sequence[str] = ()) -> int:
    """Run the stages, print a closing line and return the exit code: 0 only if all went well.

    Args:
        python: the Python that has the kit and the test tools.
        top: the folder that holds tests/, lessons/ and answer_keys/.
        names: stages to run; all when empty.
    """
    begun = time.monotonic()
    total = Tally()
    for stage in STAGES:
        if names and stage.name not in names:
            continue
        _say(f"\n======== {stage.name} ========")
        browser = find_chromium() if stage.name == _BROWSER else None
        if stage.name == _BROWSER and browser is None:
            total.add(without_browser(in_ci=bool(os.environ.get("CI"))))
        else:
            total.add(run_stage(stage, python, top, browser))
    _say("")
    if total.broken:
        _say(f"Stages that failed: {', '.join(total.broken)}")
    _say(closing_line(total, time.monotonic() - begun))
    return 1 if total.broken or total.failed or total.errors else 0


def without_browser(*, in_ci: bool) -> Tally:
    """Say that there is no Chromium and count it: a skip for a person, a failure in CI.

    Args:
        in_ci: whether the environment variable CI is set.
    """
    _say(
        "Browser tests not run: this machine has no Chromium. Install it (on Debian: `apt install "
        "chromium`) or set BENCHCALL_CHROMIUM to one, and run the self-test again."
    )
    return Tally(errors=1, broken=[_BROWSER]) if in_ci else Tally(skipped=1)


def run_stage(stage: Stage, python: Path, top: Path, browser: str | None) -> Tally:
    """Run one stage, with what a learner writes kept in a folder that goes away afterwards.

    Args:
        stage: what to run.
        python: the Python that has the kit and the test tools.
        top: the folder that holds what the stage runs.
        browser: the Chromium for the browser tests.
    """
    missing = [path for path in stage.paths if not (top / path).is_dir()]
    if missing:
        _say(f"Not found in {top}: {', '.join(missing)}")
        return Tally(errors=1, broken=[stage.name])
    with tempfile.TemporaryDirectory(prefix="benchcall-") as scratch:
        report = Path(scratch) / "report.xml"
        code = subprocess.run(
            pytest_command(stage, python, top, report),
            cwd=top,
            env=stage_environ(os.environ, Path(scratch), browser),
            stdin=subprocess.DEVNULL,
            check=False,
        ).returncode
        tally = read_report(report)
    if code != 0 or not tally.passed:  # a stage that ran nothing has shown nothing
        tally.broken.append(stage.name)
        tally.errors += not (tally.failed or tally.errors)
    return tally


def pytest_command(stage: Stage, python: Path, top: Path, report: Path) -> list[str]:
    """Return the command line of one stage."""
    return [
        str(python), "-m", "pytest", "-q", "-c", str(top / "pyproject.toml"), f"--rootdir={top}",
        f"--junitxml={report}", "-o", f"cache_dir={report.parent / 'cache'}",
        *stage.options, *stage.paths,
    ]  # fmt: skip


def stage_environ(environ: Mapping[str, str], scratch: Path, browser: str | None) -> dict[str, str]:
    """Return the environment variables of one stage.

    Args:
        environ: the variables found.
        scratch: a folder that goes away afterwards.
        browser: the Chromium for the browser tests.
    """
    own = {
        "BENCHCALL_DATA": str(scratch / "learner"),
        "HYPOTHESIS_STORAGE_DIRECTORY": str(scratch / "hypothesis"),
        "JUPYTER_PLATFORM_DIRS": "1",  # else jupyter_core warns, and a warning is an error
    }
    if browser:
        own["BENCHCALL_CHROMIUM"] = browser
    return clean_environ(environ) | own


def read_report(report: Path) -> Tally:
    """Count the tests in pytest's report; an absent or torn report counts none.

    Args:
        report: the file that `--junitxml` wrote.
    """
    try:
        suites = ET.parse(report).getroot().iter("testsuite")  # noqa: S314 - our own file
    except (OSError, ET.ParseError):
        return Tally()
    tally = Tally()
    for suite in suites:
        count = {
            key: int(suite.get(key, "0")) for key in ("tests", "failures", "errors", "skipped")
        }
        bad = count["failures"] + count["errors"] + count["skipped"]
        tally.add(
            Tally(
                passed=count["tests"] - bad,
                failed=count["failures"],
                errors=count["errors"],
                skipped=count["skipped"],
            )
        )
    return tally


def closing_line(tally: Tally, seconds: float) -> str:
    """Return the one line that counts all stages, in the words pytest uses.

    Args:
        tally: the counts.
        seconds: how long it took [s].
    """
    parts = [
        (tally.failed, "failed"),
        (tally.passed, "passed"),
        (tally.skipped, "skipped"),
        (tally.errors, "error" if tally.errors == 1 else "errors"),
    ]
    counts = ", ".join(f"{number} {word}" for number, word in parts if number) or "no tests ran"
    return f" {counts} in {seconds:.2f}s ".center(80, "=")


def _say(text: str) -> None:
    sys.stdout.write(text + "\n")
    sys.stdout.flush()
