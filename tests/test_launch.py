from __future__ import annotations

import os
import re
import signal
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from pathlib import Path

import pytest

from kit import launch
from kit.launch import LaunchError, Opening, choose_port, command, lessons_copy

EMPTY_NOTEBOOK = '{"cells": [], "metadata": {}, "nbformat": 4, "nbformat_minor": 5}'


def test_the_first_free_port_is_taken(monkeypatch: pytest.MonkeyPatch) -> None:
    """Lessons open in another window do not stop a second pair of lessons."""
    with socket.create_server(("127.0.0.1", 0)) as taken:
        port = taken.getsockname()[1]
        monkeypatch.setattr(launch, "FIRST_PORT", port)

        assert port < choose_port(None) <= port + launch.PORTS_TRIED


def test_any_free_port_can_be_had() -> None:
    """Port 0 means any, as everywhere."""
    assert choose_port(0) > 1023


def test_a_port_that_is_taken_is_refused() -> None:
    """A port asked for by number is that port or an error that says what to do."""
    with (
        socket.create_server(("127.0.0.1", 0)) as taken,
        pytest.raises(LaunchError, match=r"is taken .*Leave --port out"),
    ):
        choose_port(taken.getsockname()[1])


@pytest.mark.parametrize("port", [-1, 65536])
def test_what_is_no_port_is_refused(port: int) -> None:
    """A number that is no port is refused, with the range."""
    with pytest.raises(LaunchError, match="from 1024 to 65535"):
        choose_port(port)


def test_the_server_keeps_its_token_and_stays_on_this_machine(tmp_path: Path) -> None:
    """Nothing loosens what JupyterLab does by itself to keep others out."""
    line = " ".join(command(Opening(Path("python"), tmp_path), 8888))

    assert "token" not in line
    assert "password" not in line
    assert "ip=" not in line
    assert "disable_check_xsrf" not in line


def test_a_lesson_with_a_space_in_its_name_is_addressed(tmp_path: Path) -> None:
    """The address of a lesson is written as addresses are."""
    line = command(Opening(Path("python"), tmp_path, first="my lesson.ipynb"), 8888)

    assert "--LabApp.default_url=/lab/tree/my%20lesson.ipynb" in line


def test_an_unknown_lesson_is_refused(tmp_path: Path) -> None:
    """A lesson that is not there is told before anything starts."""
    with pytest.raises(LaunchError, match=r"no lesson 99\.ipynb in"):
        launch.open_lessons(Opening(Path(sys.executable), tmp_path, first="99.ipynb"))


def test_work_in_a_learners_own_folder_is_kept(tmp_path: Path) -> None:
    """New lessons are added to a learner's folder; what the learner has there is not touched."""
    source, own = tmp_path / "lessons", tmp_path / "own"
    for authors in (".ipynb_checkpoints", "_source"):
        (source / authors).mkdir(parents=True)
        (source / authors / "x.ipynb").write_text("x", encoding="utf-8")
    for name in ("a.ipynb", "b.ipynb"):
        (source / name).write_text("new", encoding="utf-8")
    own.mkdir()
    (own / "a.ipynb").write_text("mine", encoding="utf-8")

    assert own == lessons_copy(source, own)

    assert (own / "a.ipynb").read_text(encoding="utf-8") == "mine"
    assert (own / "b.ipynb").read_text(encoding="utf-8") == "new"
    assert sorted(path.name for path in own.iterdir()) == ["a.ipynb", "b.ipynb"]


def test_a_folder_that_cannot_be_written_is_told(tmp_path: Path) -> None:
    """A learner's folder that cannot be made is told with what to do."""
    (tmp_path / "lessons").mkdir()
    (tmp_path / "lessons" / "a.ipynb").touch()
    (tmp_path / "own").touch()

    with pytest.raises(LaunchError, match="--folder"):
        lessons_copy(tmp_path / "lessons", tmp_path / "own" / "deeper")


OPEN = """
import sys
from pathlib import Path
from kit.launch import Opening, open_lessons
sys.exit(open_lessons(Opening(Path(sys.executable), Path(sys.argv[1]), port=0, browser=False)))
"""


def status_of(url: str) -> int:
    """Return the HTTP status of an address on this machine."""
    try:
        with urllib.request.urlopen(url, timeout=10) as answer:  # noqa: S310 - this machine
            return int(answer.status)
    except urllib.error.HTTPError as error:
        return error.code


@pytest.mark.skipif(sys.platform == "win32", reason="signals are sent as POSIX has them")
def test_jupyterlab_opens_at_the_first_lesson_and_stops_when_told(tmp_path: Path) -> None:
    """The printed address opens the lesson with its token only, and one stop ends all."""
    (tmp_path / launch.FIRST_LESSON).write_text(EMPTY_NOTEBOOK, encoding="utf-8")
    log = tmp_path / "log"
    with log.open("w", encoding="utf-8") as page:
        window = subprocess.Popen(
            [sys.executable, "-c", OPEN, str(tmp_path)],
            stdout=page,
            stderr=subprocess.STDOUT,
            env=os.environ | {"JUPYTER_RUNTIME_DIR": str(tmp_path / "runtime")},
        )
        try:
            found = None
            end = time.monotonic() + 120
            while found is None and time.monotonic() < end and window.poll() is None:
                time.sleep(0.1)
                said = log.read_text(encoding="utf-8")
                found = re.search(r"http://127\.0\.0\.1:(\d+)/\S*\?token=(\w+)", said)
            assert found is not None, said
            address, lesson = f"http://127.0.0.1:{found[1]}", launch.FIRST_LESSON

            assert f"/lab/tree/{lesson}?" in found[0]
            assert status_of(f"{address}/api/contents/{lesson}") == 403
            assert status_of(f"{address}/api/contents/{lesson}?token={found[2]}") == 200
        finally:
            window.send_signal(signal.SIGINT)
            window.wait(60)

    with pytest.raises(OSError, match="refused"):
        status_of(f"{address}/api/status")
