"""Make and keep the kit's own Python environment, with nothing but Python itself."""

from __future__ import annotations

import hashlib
import importlib.util
import json
import os
import shutil
import subprocess
import sys
from collections.abc import Iterator, Mapping
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path, PurePath

from kit.pip_trouble import DISK_FULL, SetupError, explain_pip
from kit.progress import Progress, Step

LESSONS_LOCK = "requirements.lock"
TEST_LOCK = "requirements-test.lock"

# Measured on Linux, Python 3.11, rounded up: the environment and pip's downloads beside it.
_NEEDED_MB = {LESSONS_LOCK: 800, TEST_LOCK: 1300}

_STAMP = "benchcall.json"  # written last: the environment is whole
_UNDER_WAY = "benchcall-under-way"  # written first: an install was begun and not ended
_LEFT_OUT = {
    "@jupyterlab/apputils-extension:announcements": True,  # news from the internet
    "@voila-dashboards/jupyterlab-preview": True,  # a button that means nothing to a learner
}
_PROBE = (
    "import sys, sysconfig, json;"
    "print(json.dumps([list(sys.version_info[:2]), sysconfig.get_path('purelib')]))"
)


@dataclass(frozen=True, slots=True)
class Environment:
    """Where the kit's environment lies.

    Args:
        folder: the environment itself.
        clone: the top folder of the clone it serves.
        lock: name of the file that lists what it must hold.
    """

    folder: Path
    clone: Path
    lock: str

    @property
    def python(self) -> Path:
        """The environment's Python."""
        return Path(python_in(self.folder, windows=os.name == "nt"))

    @property
    def stamp(self) -> Path:
        """The file that says what was installed."""
        return self.folder / _STAMP

    @property
    def under_way(self) -> Path:
        """The file that exists while an install runs."""
        return self.folder / _UNDER_WAY


def python_in(folder: PurePath, *, windows: bool) -> PurePath:
    """Return the path of an environment's Python.

    Args:
        folder: the environment.
        windows: whether it lies on Windows.
    """
    return folder / "Scripts" / "python.exe" if windows else folder / "bin" / "python"


def clean_environ(environ: Mapping[str, str]) -> dict[str, str]:
    """Return the variables for the environment's own programs.

    What would lead Python or pip to another place is left out; proxies, certificates and the
    index chosen by the owner of the machine stay.
    """
    dropped = {"PYTHONHOME", "PYTHONPATH", "PIP_TARGET", "PIP_PREFIX", "PIP_REQUIRE_VIRTUALENV"}
    kept = {name: value for name, value in environ.items() if name.upper() not in dropped}
    return kept | {"PIP_USER": "0", "PIP_NO_INPUT": "1", "PYTHONUTF8": "1"}


def ensure(environment: Environment) -> Path:
    """Make the environment ready and return its Python; quick, and offline, when it is ready.

    Raises:
        SetupError: it could not be made; the message says why and what to do.
    """
    if is_ready(environment):
        return environment.python
    _check_machine(environment)
    try:
        with _one_at_a_time(environment):
            if not is_ready(environment):  # another window may have made it meanwhile
                _make(environment)
    except OSError as error:
        raise SetupError(explain_pip([str(error)], str(error.filename))) from error
    return environment.python


def is_ready(environment: Environment) -> bool:
    """Tell whether the environment is whole and holds what the lock file lists."""
    stamped = _read_stamp(environment)
    if stamped.get(environment.lock) != _digest(environment) or environment.under_way.exists():
        return False
    probe = _probe(environment)
    return probe is not None and probe[0] == stamped.get("python")


def _make(environment: Environment) -> None:
    fresh = environment.under_way.exists() or _probe(environment) is None
    count = _packages_listed(environment)
    progress = Progress(total=3 if fresh else 2)
    progress.say(f"Setting up the kit's own Python environment in {environment.folder}")
    progress.say("This happens once and needs the internet; later starts do not.")
    if fresh:
        with progress.step("Making the environment"):
            _make_venv(environment)
    environment.under_way.touch()
    with progress.step("Installing what the kit needs") as step:
        _install(environment, step, count)
    with progress.step("Joining it to this clone"):
        _join(environment)


def _check_machine(environment: Environment) -> None:
    """Refuse early, with a next step, what would fail later."""
    if any(importlib.util.find_spec(name) is None for name in ("venv", "ensurepip")):
        raise SetupError(
            f"This Python ({sys.executable}) came without its `venv` module, so the kit cannot "
            "make its environment. Install it (on Debian or Ubuntu: `sudo apt install "
            "python3-venv`) and run the same command again."
        )
    parent = environment.folder.parent
    if not parent.is_dir() or not os.access(parent, os.W_OK):
        raise SetupError(
            f"The kit may not write in {parent}. Copy the whole folder of the kit to a place of "
            "your own and run the same command there, or name a folder with --environment."
        )
    free_mb = shutil.disk_usage(parent).free // 1_000_000
    needed_mb = _NEEDED_MB[environment.lock]
    if free_mb < needed_mb and not environment.stamp.exists():
        raise SetupError(
            f"The disk that holds {parent} has {free_mb} MB free and the set-up needs about "
            f"{needed_mb} MB. Free some space and run the same command again, or name a folder "
            "on another disk with --environment."
        )


def _make_venv(environment: Environment) -> None:
    # The Python beneath: a venv must not be cleared by its own Python.
    base = getattr(sys, "_base_executable", None) or sys.executable
    done = subprocess.run(
        [base, "-m", "venv", "--clear", str(environment.folder)],
        capture_output=True,
        text=True,
        errors="replace",
        env=clean_environ(os.environ),
        stdin=subprocess.DEVNULL,
        check=False,
    )
    if done.returncode == 0:
        return
    said = (done.stdout + done.stderr).strip()
    if DISK_FULL.shows_in(said):
        raise SetupError(DISK_FULL.sentence)
    last = said.splitlines()[-1] if said else "it said nothing"
    raise SetupError(
        f"Python could not make an environment in {environment.folder} ({last}). On Debian or "
        "Ubuntu run `sudo apt install python3-venv`; then run the same command again."
    )


def _install(environment: Environment, step: Step, count: int) -> None:
    command = [
        str(environment.python), "-m", "pip", "install", "--require-hashes", "--retries=3",
        "--progress-bar=off", "--disable-pip-version-check",
        "--no-compile",  # a third faster; Python compiles what is used when it is used
        "-r", str(environment.clone / environment.lock),
    ]  # fmt: skip
    log = environment.folder / "set-up.log"
    lines: list[str] = []
    with (
        log.open("w", encoding="utf-8") as record,
        subprocess.Popen(
            command,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            stdin=subprocess.DEVNULL,
            text=True,
            encoding="utf-8",
            errors="replace",
            env=clean_environ(os.environ),
        ) as pip,
    ):
        try:
            seen = 0
            for line in pip.stdout or ():
                record.write(line)
                lines.append(line)
                seen += line.startswith(("Collecting ", "Requirement already satisfied: "))
                step.note = pip_note(line, seen, count) or step.note
        except BaseException:
            pip.terminate()
            raise
    if pip.returncode != 0:
        raise SetupError(explain_pip(lines, str(log)))


def pip_note(line: str, seen: int, count: int) -> str | None:
    """Return what to show for one line that pip printed; None leaves the last note.

    Args:
        line: the line.
        seen: packages met so far.
        count: packages in all.
    """
    if "Retrying (" in line:
        return "no answer from the package index, trying again"
    if line.startswith("Installing collected packages"):
        return "unpacking"
    if line.startswith(("Collecting ", "Requirement already satisfied: ")):
        return f"{min(seen, count)} of about {count}"
    return None


def _join(environment: Environment) -> None:
    probe = _probe(environment)
    if probe is None:
        raise SetupError(
            f"The new environment in {environment.folder} does not start. Delete that folder and "
            "run the same command again."
        )
    version, site = probe
    try:  # relative, so that the clone and its environment can be moved together
        target = os.path.relpath(environment.clone, site)
    except ValueError:  # another drive on Windows
        target = str(environment.clone)
    (Path(site) / "benchcall.pth").write_text(target + "\n", encoding="utf-8")
    without_news(environment.folder)
    _write_stamp(environment, version)


def _write_stamp(environment: Environment, version: list[int]) -> None:
    stamped = _read_stamp(environment) | {"python": version, environment.lock: _digest(environment)}
    if environment.lock == TEST_LOCK:  # it holds all that the lessons need, in the same versions
        lessons = Environment(environment.folder, environment.clone, LESSONS_LOCK)
        stamped[LESSONS_LOCK] = _digest(lessons)
    partial = environment.stamp.with_suffix(".new")
    partial.write_text(json.dumps(stamped, indent=1), encoding="utf-8")
    partial.replace(environment.stamp)
    environment.under_way.unlink(missing_ok=True)


def without_news(prefix: Path) -> None:
    """Switch off JupyterLab's pop-up that asks to fetch news from the internet.

    Args:
        prefix: the environment JupyterLab runs in; other settings found there are kept.
    """
    page_config = prefix / "etc" / "jupyter" / "labconfig" / "page_config.json"
    try:
        found = json.loads(page_config.read_text(encoding="utf-8"))
    except (OSError, ValueError):
        found = {}
    disabled = found.get("disabledExtensions", {})
    if not isinstance(disabled, dict):  # an older form: a list of names
        disabled = dict.fromkeys(disabled, True)
    wanted = disabled | _LEFT_OUT
    if wanted == disabled:
        return
    page_config.parent.mkdir(parents=True, exist_ok=True)
    text = json.dumps(found | {"disabledExtensions": wanted}, indent=1)
    page_config.write_text(text, encoding="utf-8")


@contextmanager
def _one_at_a_time(environment: Environment) -> Iterator[None]:
    """Let two windows that start together make one environment; the lock ends with its process."""
    path = environment.folder.with_name(environment.folder.name + ".lock")
    with path.open("a", encoding="utf-8") as held:
        with suppress(OSError):  # a file system without locks: go on without one
            _lock(held.fileno())
        yield


def _lock(descriptor: int) -> None:
    if sys.platform == "win32":
        import msvcrt

        msvcrt.locking(descriptor, msvcrt.LK_LOCK, 1)
    else:
        import fcntl

        try:
            fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            sys.stdout.write("Another window is setting up the kit; waiting for it.\n")
            fcntl.flock(descriptor, fcntl.LOCK_EX)


def _probe(environment: Environment) -> tuple[list[int], str] | None:
    """Ask the environment's Python for its version and package folder; None if it does not run."""
    try:
        done = subprocess.run(
            [str(environment.python), "-I", "-c", _PROBE],
            capture_output=True,
            text=True,
            stdin=subprocess.DEVNULL,
            timeout=60,
            check=True,
        )
        version, site = json.loads(done.stdout)
    except (OSError, ValueError, subprocess.SubprocessError):
        return None
    return version, site


def _read_stamp(environment: Environment) -> dict[str, object]:
    try:
        found = json.loads(environment.stamp.read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return {}
    return found if isinstance(found, dict) else {}


def _digest(environment: Environment) -> str:
    return hashlib.sha256((environment.clone / environment.lock).read_bytes()).hexdigest()


def _packages_listed(environment: Environment) -> int:
    """Count the packages of the lock file that every system installs."""
    text = (environment.clone / environment.lock).read_text(encoding="utf-8")
    names = [line for line in text.splitlines() if line[:1].isalnum() and "==" in line]
    return len({line.partition("==")[0] for line in names if " ; " not in line})
