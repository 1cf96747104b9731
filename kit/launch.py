"""Open JupyterLab at a lesson and stay until it ends."""

from __future__ import annotations

import os
import shutil
import signal
import socket
import subprocess
import sys
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from types import FrameType
from urllib.parse import quote

from kit.environment import clean_environ
from kit.errors import KitError

FIRST_LESSON = "00-start-here.ipynb"
FIRST_PORT = 8888
PORTS_TRIED = 100
_HIDDEN = ("__pycache__", "*.pyc", "*~", ".DS_Store", "_*")  # "_": an author's own, as sources
_STOPS = ("SIGINT", "SIGTERM", "SIGHUP", "SIGBREAK")


class LaunchError(KitError):
    """JupyterLab could not be opened; the message says why and what to do."""


@dataclass(frozen=True, slots=True)
class Opening:
    """What to open and how.

    Args:
        python: the Python that has JupyterLab.
        lessons: folder that JupyterLab shows.
        first: notebook to open, inside `lessons`.
        port: TCP port; None takes the first free one from `FIRST_PORT` up, 0 any free one.
        browser: open the browser.
    """

    python: Path
    lessons: Path
    first: str = FIRST_LESSON
    port: int | None = None
    browser: bool = True


def open_lessons(opening: Opening) -> int:
    """Run JupyterLab until it is stopped and return its exit code.

    Raises:
        LaunchError: no such lesson, or the port is taken.
    """
    check_lesson(opening, FIRST_LESSON)
    port = choose_port(opening.port)
    sys.stdout.write(
        f"Opening {opening.first} in JupyterLab on port {port}.\n"
        "Leave this window open while you work; press Ctrl+C here to stop.\n"
    )
    sys.stdout.flush()
    return run_until_stopped(command(opening, port), opening.lessons, clean_environ(os.environ))


def check_lesson(opening: Opening, instead: str) -> None:
    """Refuse a lesson that is not there.

    Args:
        opening: what to open.
        instead: what is begun with when no lesson is named.

    Raises:
        LaunchError: no such lesson.
    """
    if not (opening.lessons / opening.first).is_file():
        raise LaunchError(
            f"There is no lesson {opening.first} in {opening.lessons}. "
            f"Leave the name out to start with {instead}."
        )


def command(opening: Opening, port: int) -> list[str]:
    """Return the command line that starts JupyterLab; its token stays as JupyterLab sets it."""
    options = [
        f"--ServerApp.root_dir={opening.lessons}",
        f"--LabApp.default_url=/lab/tree/{quote(opening.first)}",
        f"--ServerApp.port={port}",
        "--ServerApp.port_retries=0",
        f"--ContentsManager.hide_globs={list(_HIDDEN)}",
        "--Application.log_level=ERROR",  # the address is shown all the same
    ]
    if not opening.browser:
        options.append("--no-browser")
    if hasattr(os, "geteuid") and os.geteuid() == 0:
        options.append("--allow-root")  # a container has no other user; the token still guards it
    return [str(opening.python), "-m", "jupyterlab", *options]


def choose_port(wanted: int | None) -> int:
    """Return a port that nobody listens on just now.

    Args:
        wanted: a port; 0 takes any; None takes the first free one from `FIRST_PORT` up.

    Raises:
        LaunchError: the port is no port, or is taken.
    """
    if wanted is None:
        for port in range(FIRST_PORT, FIRST_PORT + PORTS_TRIED):
            if _is_free(port):
                return port
        return choose_port(0)
    if not 0 <= wanted <= 65535:
        raise LaunchError(f"--port is {wanted}; give a number from 1024 to 65535, or leave it out.")
    if wanted == 0:
        with socket.socket() as probe:
            probe.bind(("127.0.0.1", 0))
            return int(probe.getsockname()[1])
    if not _is_free(wanted):
        raise LaunchError(
            f"Port {wanted} is taken by another program (perhaps lessons already open in another "
            "window). Leave --port out and a free one is found."
        )
    return wanted


def _is_free(port: int) -> bool:
    with socket.socket() as probe:
        if sys.platform != "win32":  # there it would allow two to share the port
            probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind(("127.0.0.1", port))
        except OSError:
            return False
    return True


def run_until_stopped(command: Sequence[str], folder: Path, environ: Mapping[str, str]) -> int:
    """Run a program in the foreground; a stop given to us is passed on to it.

    Args:
        command: the program and its arguments.
        folder: folder it runs in.
        environ: its environment variables.
    """
    # In a group of its own the program gets a Ctrl+C from us alone, once, as a request to end.
    child = subprocess.Popen(
        command,
        cwd=folder,
        env=dict(environ),
        start_new_session=sys.platform != "win32",
        creationflags=getattr(subprocess, "CREATE_NEW_PROCESS_GROUP", 0),
    )

    def pass_on(_number: int, _frame: FrameType | None) -> None:
        child.terminate()

    stops = [getattr(signal, name) for name in _STOPS if hasattr(signal, name)]
    before = {number: signal.signal(number, pass_on) for number in stops}
    try:
        return child.wait()
    finally:
        for number, handler in before.items():
            signal.signal(number, handler)


def lessons_copy(source: Path, folder: Path) -> Path:
    """Copy the lessons into a learner's own folder and return it; work found there is kept.

    Args:
        source: the lessons of an installed kit.
        folder: where the learner works.

    Raises:
        LaunchError: the folder cannot be written.
    """
    try:
        for found in sorted(source.rglob("*")):
            inside = found.relative_to(source)
            if not found.is_file() or any(part.startswith((".", "_")) for part in inside.parts):
                continue  # an author's own: sources, checkpoints
            target = folder / inside
            if not target.exists():
                target.parent.mkdir(parents=True, exist_ok=True)
                shutil.copyfile(found, target)
    except OSError as error:
        raise LaunchError(
            f"The lessons could not be copied to {folder} ({error.strerror}). "
            "Name a folder of your own with --folder."
        ) from error
    return folder
