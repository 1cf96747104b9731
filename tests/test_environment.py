from __future__ import annotations

import errno
import json
import os
import shutil
import signal
import socket
import subprocess
import sys
from pathlib import Path, PurePosixPath, PureWindowsPath

import pytest

from kit import environment
from kit.environment import Environment, clean_environ, ensure, is_ready, pip_note, python_in
from kit.pip_trouble import TROUBLES, SetupError, explain_pip

EMPTY_LOCK = "# nothing to install: the test needs no network\n"
# A package that no test installs; the hash is only well formed.
ONE_PACKAGE = f"six==1.17.0 --hash=sha256:{'0' * 64}\n"


ENSURE = """
import sys
from pathlib import Path
from kit.environment import Environment, ensure
top = Path(sys.argv[1])
ensure(Environment(top / ".venv", top, "requirements.lock"))
"""


@pytest.fixture
def place(tmp_path: Path) -> Environment:
    """An environment to be made beside a clone whose lock file lists nothing."""
    for name in (environment.LESSONS_LOCK, environment.TEST_LOCK):
        (tmp_path / name).write_text(EMPTY_LOCK, encoding="utf-8")
    return Environment(tmp_path / ".venv", tmp_path, environment.LESSONS_LOCK)


@pytest.fixture(scope="session")
def finished(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, str]:
    """A finished environment beside its clone, made once, and what was said while it was made."""
    top = tmp_path_factory.mktemp("finished")
    for name in (environment.LESSONS_LOCK, environment.TEST_LOCK):
        (top / name).write_text(EMPTY_LOCK, encoding="utf-8")
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("PIP_CONFIG_FILE", os.devnull)
        patch.setenv("PIP_INDEX_URL", "http://127.0.0.1:9/simple")
        done = subprocess.run(
            [sys.executable, "-c", ENSURE, str(top)], capture_output=True, text=True, check=True
        )
    return top, done.stdout


@pytest.fixture
def ready(place: Environment, finished: tuple[Path, str], no_index: None) -> Environment:
    """A finished environment of the test's own: a copy, since environment and clone can move."""
    shutil.copytree(finished[0] / ".venv", place.folder, symlinks=True)
    return place


@pytest.fixture
def no_index(monkeypatch: pytest.MonkeyPatch) -> None:
    """No way to a package index: nobody listens on that port, and nothing is cached."""
    monkeypatch.setenv("PIP_CONFIG_FILE", os.devnull)
    monkeypatch.setenv("PIP_INDEX_URL", "http://127.0.0.1:9/simple")
    monkeypatch.setenv("PIP_NO_CACHE_DIR", "1")
    monkeypatch.delenv("PIP_FIND_LINKS", raising=False)


def test_the_environments_python_is_found_on_every_system() -> None:
    """Windows keeps Python in Scripts, the others in bin."""
    assert PurePosixPath("/c/.venv/bin/python") == python_in(
        PurePosixPath("/c/.venv"), windows=False
    )
    assert PureWindowsPath(r"C:\c\.venv\Scripts\python.exe") == python_in(
        PureWindowsPath(r"C:\c\.venv"), windows=True
    )


def test_what_would_lead_python_astray_is_left_out() -> None:
    """The environment's programs see the owner's proxy and index but no other Python's folders."""
    found = clean_environ(
        {"PYTHONPATH": "x", "PYTHONHOME": "y", "PIP_TARGET": "z", "HTTPS_PROXY": "p", "PATH": "q"}
    )

    assert {"HTTPS_PROXY": "p", "PATH": "q"}.items() <= found.items()
    assert not {"PYTHONPATH", "PYTHONHOME", "PIP_TARGET"} & found.keys()


def test_an_environment_is_made_and_says_so(finished: tuple[Path, str]) -> None:
    """Each step is announced, and JupyterLab will not ask for news."""
    top, said = finished

    assert all(f"[{number}/3]" in said for number in (1, 2, 3))
    news = top / ".venv" / "etc" / "jupyter" / "labconfig" / "page_config.json"
    disabled = json.loads(news.read_text(encoding="utf-8"))["disabledExtensions"]
    assert disabled["@jupyterlab/apputils-extension:announcements"] is True


def test_a_finished_environment_is_used_as_it_is(
    ready: Environment, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """A later start installs nothing, asks no network and says nothing."""
    monkeypatch.setattr(environment, "_make", lambda _place: pytest.fail("made again"))

    assert ready.python == ensure(ready)
    assert capsys.readouterr().out == ""


def test_a_clone_that_was_moved_still_works(ready: Environment) -> None:
    """The environment finds the clone it moved with: nothing is installed again."""
    (ready.clone / "marker_of_this_clone.py").write_text("", encoding="utf-8")

    assert is_ready(ready)  # it was made elsewhere
    code = "import marker_of_this_clone; print(marker_of_this_clone.__file__)"
    found = subprocess.check_output([ready.python, "-c", code], cwd="/", text=True)
    assert ready.clone == Path(found.strip()).parent


def test_a_new_lock_file_is_installed(ready: Environment) -> None:
    """After an update of the clone the environment is brought up to date, not made anew."""
    kept = ready.folder / "kept"
    kept.touch()
    (ready.clone / ready.lock).write_text(EMPTY_LOCK + "# changed\n", encoding="utf-8")

    assert not is_ready(ready)
    ensure(ready)
    assert is_ready(ready)
    assert kept.exists()


def test_the_tests_environment_serves_the_lessons_too(ready: Environment) -> None:
    """The test tools come on top of what the lessons need; neither command undoes the other."""
    (ready.clone / ready.lock).write_text(EMPTY_LOCK + "# changed\n", encoding="utf-8")
    ensure(Environment(ready.folder, ready.clone, environment.TEST_LOCK))

    assert is_ready(ready)


def test_an_interrupted_install_is_recovered(ready: Environment) -> None:
    """An install that was begun and not ended is made anew: half a package is never used."""
    rest = ready.folder / "rest-of-a-broken-install"
    rest.touch()
    ready.under_way.touch()

    assert not is_ready(ready)
    ensure(ready)
    assert is_ready(ready)
    assert not rest.exists()


def test_an_environment_that_does_not_start_is_made_anew(
    ready: Environment, monkeypatch: pytest.MonkeyPatch
) -> None:
    """An environment whose Python was removed from the machine is replaced."""
    ready.python.unlink()
    ready.python.symlink_to(ready.clone / "python-that-was-removed")
    called = []
    monkeypatch.setattr(environment, "_make_venv", called.append)

    assert not is_ready(ready)
    with pytest.raises(SetupError):  # the stand-in made nothing
        ensure(ready)
    assert [ready] == called


def test_no_network_gives_one_sentence(ready: Environment) -> None:
    """Without a network the set-up says so and what to do, and is not taken for finished."""
    (ready.clone / ready.lock).write_text(ONE_PACKAGE, encoding="utf-8")

    with pytest.raises(SetupError, match=r"could not be reached.*run the same command again"):
        ensure(ready)

    (ready.clone / ready.lock).write_text(EMPTY_LOCK, encoding="utf-8")
    assert not is_ready(ready)


@pytest.mark.parametrize("module", ["venv", "ensurepip"])
def test_a_python_without_venv_gives_one_sentence(
    module: str, place: Environment, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Debian ships Python without venv: the message names the package to install."""
    monkeypatch.setitem(sys.modules, module, None)

    with pytest.raises(SetupError, match="sudo apt install python3-venv"):
        ensure(place)


def test_a_full_disk_is_told_before_anything_is_made(
    place: Environment, monkeypatch: pytest.MonkeyPatch
) -> None:
    """With too little space the set-up does not begin, and names both figures."""
    usage = shutil.disk_usage(place.clone)._replace(free=123_000_000)
    monkeypatch.setattr(shutil, "disk_usage", lambda _path: usage)

    with pytest.raises(SetupError, match=r"123 MB free.*about 800 MB.*Free some space"):
        ensure(place)

    assert not place.folder.exists()


def test_a_disk_that_fills_up_gives_one_sentence(
    place: Environment, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A disk that fills up half way is told as what it is."""

    def full(*_args: object) -> None:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC), str(place.folder))

    monkeypatch.setattr(environment, "_make", full)

    with pytest.raises(SetupError, match="The disk is full"):
        ensure(place)


def test_a_folder_that_may_not_be_written_gives_one_sentence(
    place: Environment, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A clone in a place for administrators only: the message says where to put it."""
    monkeypatch.setattr(os, "access", lambda _path, _mode: False)

    with pytest.raises(SetupError, match=r"may not write in .*--environment"):
        ensure(place)


def test_a_venv_that_fails_gives_one_sentence(
    place: Environment, monkeypatch: pytest.MonkeyPatch
) -> None:
    """When Python's own venv fails, its last words and the next step are shown."""
    monkeypatch.setattr(sys, "_base_executable", sys.executable, raising=False)
    place.folder.write_text("a file where the folder should be", encoding="utf-8")

    with pytest.raises(SetupError, match="could not make an environment"):
        ensure(place)


@pytest.mark.parametrize(
    ("line", "sign"),
    [
        ("ERROR: Could not install packages due to an OSError: [Errno 28] No space left", "disk"),
        ("ERROR: [Errno 13] Permission denied: '/opt/kit/.venv/lib'", "not allowed to write"),
        ("HINT: ... does not have Windows Long Path support enabled. You can ...", "C:\\kit"),
        ("... SSLCertVerificationError: certificate verify failed ...", "PIP_CERT"),
        ("ERROR: THESE PACKAGES DO NOT MATCH THE HASHES FROM THE REQUIREMENTS FILE", "Update"),
        ("NewConnectionError(': Failed to establish a new connection: [Errno -3]", "internet"),
        ("socket.gaierror: [Errno 11001] getaddrinfo failed", "internet"),
        ("ReadTimeoutError: Read timed out. (read timeout=15)", "internet"),
        ("ERROR: No matching distribution found for numpy==2.4.6", "Python 3.11, 3.12 or 3.13"),
        ("error: something nobody thought of", "something nobody thought of"),
    ],
)
def test_pips_words_become_one_sentence_and_a_next_step(line: str, sign: str) -> None:
    """Whatever pip fails of, a person reads a sentence and what to do next."""
    told = explain_pip(["Collecting numpy", line, "[notice] unrelated"], "the log")

    assert sign in told
    assert "\n" not in told
    assert "run the same command" in told.lower()


def test_a_download_that_fails_for_a_full_disk_is_told_as_the_disk() -> None:
    """The cause is told, not what followed from it."""
    lines = ["WARNING: Retrying (Retry(total=2))", "OSError: [Errno 28] No space left on device"]

    assert "disk is full" in explain_pip(lines, "the log")
    assert len({trouble.sentence for trouble in TROUBLES}) == len(TROUBLES)


@pytest.mark.parametrize(
    ("line", "expected"),
    [
        ("Collecting numpy==2.4.6 (from -r requirements.lock (line 3))", "7 of about 90"),
        ("Installing collected packages: numpy", "unpacking"),
        ("WARNING: Retrying (Retry(total=2, connect=None)) after ...", "trying again"),
        ("  Downloading numpy-2.4.6.whl (16.0 MB)", None),
    ],
)
def test_progress_is_read_from_pip(line: str, expected: str | None) -> None:
    """Each line of pip that means something moves the note on."""
    note = pip_note(line, 7, 90)

    assert note == expected or (expected and note and note.endswith(expected))


def test_the_news_pop_up_is_off_and_other_settings_stay(tmp_path: Path) -> None:
    """A setting made by whoever looks after the machine is kept."""
    page_config = tmp_path / "etc" / "jupyter" / "labconfig" / "page_config.json"
    page_config.parent.mkdir(parents=True)
    page_config.write_text('{"disabledExtensions": ["a"], "other": 1}', encoding="utf-8")

    environment.without_news(tmp_path)
    environment.without_news(tmp_path)

    expected = {
        "disabledExtensions": {
            "a": True,
            "@jupyterlab/apputils-extension:announcements": True,
            "@voila-dashboards/jupyterlab-preview": True,
        },
        "other": 1,
    }
    assert expected == json.loads(page_config.read_text(encoding="utf-8"))


def start_ensure(top: Path) -> subprocess.Popen[str]:
    """Start a set-up in a process of its own."""
    return subprocess.Popen(
        [sys.executable, "-c", ENSURE, str(top)],
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        start_new_session=True,
    )


def test_two_windows_make_one_environment(ready: Environment) -> None:
    """Started twice at once, one makes the environment and the other waits and uses it."""
    (ready.clone / ready.lock).write_text(EMPTY_LOCK + "# changed\n", encoding="utf-8")
    windows = [start_ensure(ready.clone) for _ in range(2)]
    said = [window.communicate(timeout=120)[0] for window in windows]

    assert [window.returncode for window in windows] == [0, 0], said
    assert sorted("Setting up" in text for text in said) == [False, True]
    assert is_ready(ready)


@pytest.mark.skipif(sys.platform == "win32", reason="signals are sent as POSIX has them")
def test_a_set_up_that_is_killed_is_not_taken_for_finished(
    ready: Environment, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Killed in the middle of a download, the environment is known to be broken."""
    with socket.create_server(("127.0.0.1", 0)) as silent:  # accepts and never answers
        monkeypatch.setenv("PIP_INDEX_URL", f"http://127.0.0.1:{silent.getsockname()[1]}/simple")
        (ready.clone / ready.lock).write_text(ONE_PACKAGE, encoding="utf-8")
        window = start_ensure(ready.clone)
        silent.settimeout(60)
        silent.accept()[0].close()
        os.killpg(window.pid, signal.SIGKILL)
        window.communicate(timeout=30)

    (ready.clone / ready.lock).write_text(EMPTY_LOCK, encoding="utf-8")
    assert not is_ready(ready)
