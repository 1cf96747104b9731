"""The command: `benchcall`, or `python3 -m kit` in a clone."""

from __future__ import annotations

import argparse
import importlib.metadata
import importlib.util
import re
import subprocess
import sys
from collections.abc import Callable, Sequence
from pathlib import Path

import kit
from kit import environment, launch, library, pages, selftest
from kit.errors import KitError
from kit.pip_trouble import SetupError, explain_pip
from kit.progress import Progress


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the command and return its exit code.

    Args:
        arguments: what follows the command's name; the process's own arguments when None.
    """
    chosen = parser().parse_args(arguments)
    try:
        return int(chosen.run(chosen))
    except KitError as error:
        sys.stderr.write(f"{error}\n")
        return 1
    except KeyboardInterrupt:
        sys.stderr.write("\nStopped. Run the same command again to go on.\n")
        return 130


def parser() -> argparse.ArgumentParser:
    """Return the parser of the command line; each command is added in one place, here."""
    top = argparse.ArgumentParser(
        prog="benchcall",
        description="Maintenance visits to a simulated ductless heat pump, for practice.",
    )
    top.add_argument("--version", action="version", version=f"benchcall {kit.__version__}")
    commands = top.add_subparsers(title="commands", required=True, metavar="COMMAND")

    lessons = commands.add_parser("lessons", help="open the lessons in the browser")
    lessons.add_argument("lesson", nargs="?", default=launch.FIRST_LESSON, help="notebook to open")
    lessons.set_defaults(run=_lessons)

    shown = commands.add_parser("pages", help="serve the lessons as pages without code")
    shown.add_argument("lesson", nargs="?", default=pages.START_PAGE, help="page to begin with")
    shown.set_defaults(run=_pages)
    for command in (lessons, shown):
        command.add_argument("--port", type=int, help="port to use; a free one if left out")
        command.add_argument("--no-browser", action="store_true", help="print the address only")
        command.add_argument("--folder", type=Path, help="work on a copy of the lessons kept there")

    check = commands.add_parser("selftest", help="run all the kit's tests on this machine")
    names = [stage.name for stage in selftest.STAGES]
    check.add_argument("--stage", action="append", choices=names, help="run this stage only")
    check.set_defaults(run=_selftest)

    for command in (lessons, shown, check):
        command.add_argument(
            "--environment", type=Path, help="folder for the kit's own Python packages"
        )
        command.add_argument("--set-up-only", action="store_true", help="get ready and stop there")
    return top


def clone_folder() -> Path | None:
    """Return the top folder of the clone the kit runs from; None when it is installed."""
    top = Path(__file__).resolve().parent.parent
    return top if (top / environment.LESSONS_LOCK).is_file() else None


def _lessons(chosen: argparse.Namespace) -> int:
    return _opened(chosen, launch.open_lessons)


def _pages(chosen: argparse.Namespace) -> int:
    return _opened(chosen, pages.open_pages)


def _opened(chosen: argparse.Namespace, show: Callable[[launch.Opening], int]) -> int:
    python = _python(chosen, environment.LESSONS_LOCK)
    if chosen.set_up_only:
        return 0
    folder = library.lessons()
    if chosen.folder or clone_folder() is None:
        own = chosen.folder or Path.home() / "benchcall" / "lessons"
        folder = launch.lessons_copy(folder, own.resolve())
    return show(launch.Opening(python, folder, chosen.lesson, chosen.port, not chosen.no_browser))


def _selftest(chosen: argparse.Namespace) -> int:
    python = _python(chosen, environment.TEST_LOCK)
    if chosen.set_up_only:
        return 0
    return selftest.run(python, library.root(), chosen.stage or ())


def _python(chosen: argparse.Namespace, lock: str) -> Path:
    """Return the Python to use: the clone's own environment, or the one the kit is installed in."""
    clone = clone_folder()
    if clone is None:
        return _installed_python(with_tests=lock == environment.TEST_LOCK)
    folder = (chosen.environment or clone / ".venv").resolve()
    return environment.ensure(environment.Environment(folder, clone, lock))


def _installed_python(*, with_tests: bool) -> Path:
    if with_tests and (missing := _missing_test_tools()):
        _install_test_tools(missing)
    if sys.prefix != sys.base_prefix:  # an environment of its own, not the system's
        environment.without_news(Path(sys.prefix))
    return Path(sys.executable)


def _missing_test_tools() -> list[str]:
    """Return the requirements of the extra `test` that the installed kit lacks."""
    wanted = importlib.metadata.requires("benchcall") or []
    tests = [line.partition(";")[0].strip() for line in wanted if "extra ==" in line]
    return [line for line in tests if not _is_installed(line)]


def _is_installed(requirement: str) -> bool:
    name = re.split(r"[=<>!~\[ ]", requirement, maxsplit=1)[0]
    try:
        importlib.metadata.version(name)
    except importlib.metadata.PackageNotFoundError:
        return False
    return True


def _install_test_tools(missing: list[str]) -> None:
    if importlib.util.find_spec("pip") is None:
        raise SetupError(
            "The self-test needs the test tools and this Python has no pip to install them. "
            "Install `benchcall[test]` with the tool that installed the kit."
        )
    with Progress(total=1).step("Installing the test tools"):
        done = subprocess.run(
            [sys.executable, "-m", "pip", "install", "--disable-pip-version-check", *missing],
            capture_output=True,
            text=True,
            errors="replace",
            stdin=subprocess.DEVNULL,
            check=False,
        )
    if done.returncode != 0:
        lines = (done.stdout + done.stderr).splitlines()
        raise SetupError(explain_pip(lines, "the lines above"))
