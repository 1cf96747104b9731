from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

import kit
from kit import __main__ as entry
from kit import cli, environment, launch, library
from kit.pip_trouble import SetupError

KIT = Path(kit.__file__).parent
OLD = (3, 8, 18, "final", 0)


@pytest.fixture
def small_clone(tmp_path: Path) -> Path:
    """A clone of the kit whose lock files list nothing: its set-up needs no network."""
    skip = shutil.ignore_patterns("__pycache__", "_data")
    shutil.copytree(KIT, tmp_path / "clone" / "kit", ignore=skip)
    for folder in ("datasets", "lessons"):
        (tmp_path / "clone" / folder).mkdir()
    for name in (environment.LESSONS_LOCK, environment.TEST_LOCK):
        (tmp_path / "clone" / name).write_text("# nothing\n", encoding="utf-8")
    return tmp_path / "clone"


def run_kit(folder: Path, *arguments: str, before: str = "") -> subprocess.CompletedProcess[str]:
    """Run `python3 -m kit` in a clone, as isolated from this environment as a fresh machine."""
    code = f"{before}\nimport runpy, sys\nsys.argv[1:] = {list(arguments)!r}\n"
    code += "sys.path.insert(0, '')\nrunpy.run_module('kit', run_name='__main__', alter_sys=True)"
    environ = {k: v for k, v in os.environ.items() if not k.startswith(("PYTHON", "PIP", "COV"))}
    return subprocess.run(
        [sys.executable, "-I", "-S", "-c", code],  # -S: none of the installed packages
        cwd=folder,
        env=environ,
        capture_output=True,
        text=True,
        timeout=300,
        check=False,
    )


def test_a_bare_python_sets_the_lessons_up(small_clone: Path) -> None:
    """With nothing but Python the command makes its environment, and the next start is silent."""
    first = run_kit(small_clone, "lessons", "--set-up-only")
    second = run_kit(small_clone, "lessons", "--set-up-only")

    assert (first.returncode, first.stderr) == (0, "")
    assert "[3/3]" in first.stdout
    assert (second.returncode, second.stdout, second.stderr) == (0, "", "")


def test_an_error_is_one_sentence_without_a_traceback(small_clone: Path) -> None:
    """What goes wrong is told to a person, not to a programmer."""
    done = run_kit(small_clone, "lessons", before="import sys; sys.modules['ensurepip'] = None")

    assert done.returncode == 1
    assert "Traceback" not in done.stderr
    assert "python3-venv" in done.stderr
    assert len(done.stderr.strip().splitlines()) == 1


@pytest.mark.parametrize("command", ["lessons", "selftest"])
def test_an_old_python_is_turned_away(command: str, tmp_path: Path) -> None:
    """An old Python gets one sentence: what it is, what is needed, what to do."""
    told = entry.refusal(OLD, [str(tmp_path)], [command])

    assert told == (
        "This is Python 3.8, and the kit needs 3.11 or newer. "
        "Install Python 3.11 or newer and run the same command with it."
    )


def test_a_newer_python_on_the_machine_is_named(tmp_path: Path) -> None:
    """When the machine has a newer Python, the command to use it is given."""
    for name in ("python3.9", "python3.12", "python3.11"):
        (tmp_path / name).touch()

    told = entry.refusal(OLD, ["nowhere", str(tmp_path)], ["lessons", "--no-browser"])

    assert "run `python3.12 -m kit lessons --no-browser`" in told


@pytest.mark.parametrize("version", [(3, 11, 0), (3, 14, 1), (4, 0, 0)])
def test_a_python_that_is_new_enough_is_let_in(version: tuple[int, int, int]) -> None:
    """From 3.11 on, any Python is let in."""
    assert entry.refusal(version, [], ["lessons"]) is None


def test_the_version_is_shown(capsys: pytest.CaptureFixture[str]) -> None:
    """The command tells its version."""
    with pytest.raises(SystemExit):
        cli.main(["--version"])

    assert capsys.readouterr().out == f"benchcall {kit.__version__}\n"


def test_a_stop_by_the_keyboard_is_no_crash(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Ctrl+C during the set-up ends with a sentence and the usual exit code."""

    def stopped(_environment: environment.Environment) -> Path:
        raise KeyboardInterrupt

    monkeypatch.setattr(environment, "ensure", stopped)

    assert cli.main(["lessons"]) == 130
    assert "Run the same command again" in capsys.readouterr().err


@pytest.fixture
def opened(monkeypatch: pytest.MonkeyPatch) -> list[launch.Opening]:
    """What would have been opened in JupyterLab."""
    openings: list[launch.Opening] = []
    monkeypatch.setattr(launch, "open_lessons", lambda opening: openings.append(opening) or 0)
    monkeypatch.setattr(environment, "ensure", lambda place: place.python)
    return openings


def test_a_clone_opens_its_own_lessons(clone: Path, opened: list[launch.Opening]) -> None:
    """In a clone the first lesson is opened where it lies, on a free port, in the browser."""
    assert cli.main(["lessons"]) == 0

    expected = launch.Opening(clone / ".venv" / "bin" / "python", clone / "lessons")
    if os.name != "nt":
        assert [expected] == opened


def test_the_choices_of_the_command_line_arrive(
    opened: list[launch.Opening], tmp_path: Path
) -> None:
    """Port, browser, lesson, folder and environment are those that were asked for."""
    own = tmp_path / "own"

    cli.main(
        [
            *("lessons", "x.ipynb", "--port", "9001", "--no-browser", "--folder", str(own)),
            *("--environment", str(tmp_path / "env")),
        ]
    )

    found = opened[0]
    assert (found.first, found.port, found.browser) == ("x.ipynb", 9001, False)
    assert own == found.lessons
    assert tmp_path / "env" in found.python.parents


def test_an_installed_kit_opens_a_copy(
    opened: list[launch.Opening], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Installed, the lessons lie among Python's files: the learner works on a copy at home."""
    monkeypatch.setattr(cli, "clone_folder", lambda: None)
    monkeypatch.setattr(environment, "without_news", lambda _prefix: None)
    monkeypatch.setattr(Path, "home", lambda: tmp_path)

    assert cli.main(["lessons"]) == 0

    assert opened[0].python == Path(sys.executable)
    assert tmp_path / "benchcall" / "lessons" == opened[0].lessons
    assert library.lessons().is_dir()


def test_an_installed_kit_without_pip_says_what_to_install(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Installed without the test tools and without pip, the self-test says what it needs."""
    monkeypatch.setattr(cli, "clone_folder", lambda: None)
    monkeypatch.setattr(cli, "_missing_test_tools", lambda: ["pytest==9.2.0"])
    monkeypatch.setitem(sys.modules, "pip", None)

    assert cli.main(["selftest"]) == 1
    assert "benchcall[test]" in capsys.readouterr().err


def test_set_up_trouble_reaches_the_person(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """The sentence of a failed set-up is all that is printed."""

    def fails(_environment: environment.Environment) -> Path:
        raise SetupError("One sentence. One step.")

    monkeypatch.setattr(environment, "ensure", fails)

    assert cli.main(["selftest"]) == 1
    assert capsys.readouterr().err == "One sentence. One step.\n"


def test_importing_the_kit_is_quick_and_light() -> None:
    """`import kit` loads no numpy and costs next to nothing; the rest comes when asked for."""
    code = "import sys, time; t = time.perf_counter(); import kit; t = time.perf_counter() - t;"
    code += "print(t, 'numpy' in sys.modules)"
    took, numpy = subprocess.check_output([sys.executable, "-c", code], text=True).split()

    assert float(took) < 0.2
    assert numpy == "False"
    assert callable(kit.open_visit)
    assert callable(kit.mark)
    with pytest.raises(AttributeError, match="'nothing'"):
        _ = kit.nothing
