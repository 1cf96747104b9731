"""Open the lessons by the kit's own command, and drive one notebook page in Chromium."""

from __future__ import annotations

import json
import os
import secrets
import shutil
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from kit import launch, library

DESK = {"width": 1366, "height": 768}
TABLET = {"width": 1024, "height": 1366}
FIRST = "00-start-here.ipynb"
CHROMIUM_ARGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--no-first-run",
]


def chromium_path() -> str | None:
    """Return the system's Chromium, or None when there is none."""
    named = os.environ.get("BENCHCALL_CHROMIUM")
    found = named or shutil.which("chromium") or shutil.which("chromium-browser")
    return found if found and Path(found).exists() else None


def free_port() -> int:
    """Return a TCP port nobody listens on just now."""
    with socket.socket() as sock:
        sock.bind(("127.0.0.1", 0))
        return int(sock.getsockname()[1])


@dataclass(frozen=True)
class Lab:
    """The lessons open in JupyterLab: address, token, notebook folder, the learner's own folder."""

    url: str
    token: str
    folder: Path
    learner_folder: Path
    started_in_s: float

    def begin_anew(self) -> None:
        """End every kernel, forget what the learner did and put the lessons back as they were."""
        for kind in ("sessions", "kernels"):
            for one in json.loads(self._ask("GET", f"api/{kind}")):
                with suppress(urllib.error.HTTPError):  # a kernel that went with its session
                    self._ask("DELETE", f"api/{kind}/{one['id']}")
        shutil.rmtree(self.learner_folder, ignore_errors=True)
        for found in self.folder.iterdir():  # the folder itself stays: the server works in it
            shutil.rmtree(found) if found.is_dir() else found.unlink()
        launch.lessons_copy(library.lessons(), self.folder)

    def _ask(self, method: str, path: str) -> bytes:
        headers = {"Authorization": f"token {self.token}"}
        request = urllib.request.Request(f"{self.url}/{path}", method=method, headers=headers)  # noqa: S310 - our own server
        with urllib.request.urlopen(request, timeout=30) as answer:  # noqa: S310 - our own server
            return bytes(answer.read())


def _settings(config: Path, theme: str) -> dict[str, str]:
    """Write the learner's choice of a theme and return what makes it used."""
    themes = config / "settings" / "@jupyterlab" / "apputils-extension"
    themes.mkdir(parents=True)
    chosen = json.dumps({"theme": theme})
    (themes / "themes.jupyterlab-settings").write_text(chosen, encoding="utf-8")
    return {
        "JUPYTER_CONFIG_DIR": str(config),
        "JUPYTERLAB_SETTINGS_DIR": str(config / "settings"),
        "JUPYTERLAB_WORKSPACES_DIR": str(config / "workspaces"),
    }


def wait_until_up(url: str, process: subprocess.Popen[bytes], seconds: float = 90.0) -> None:
    """Return when a server answers; raise when it ended or took too long."""
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        if process.poll() is not None:
            raise RuntimeError(f"The server ended with code {process.returncode}.")
        try:
            with urllib.request.urlopen(url, timeout=5):  # noqa: S310 - our own server
                return
        except urllib.error.HTTPError:
            return  # it answers, if only that it wants a token
        except OSError:
            time.sleep(0.05)
    raise RuntimeError(f"Nothing answered at {url} within {seconds:.0f} s.")


@contextmanager
def served(scratch: Path, *words: str, theme: str = "JupyterLab Light") -> Iterator[Lab]:
    """Run the kit's own command with everything of its own below `scratch`.

    Args:
        scratch: an empty folder.
        words: command and options, such as "lessons".
        theme: theme of the notebook.
    """
    port, token = free_port(), secrets.token_hex(8)
    url, learner_folder = f"http://127.0.0.1:{port}", scratch / "learner"
    env = os.environ | _settings(scratch / "config", theme)
    env |= {"BENCHCALL_DATA": str(learner_folder), "JUPYTER_RUNTIME_DIR": str(scratch / "runtime")}
    env |= {"JUPYTER_TOKEN": token}
    command = [sys.executable, "-m", "kit", *words, "--no-browser", f"--port={port}"]
    command += ["--folder", str(scratch / "lessons"), "--environment", sys.prefix]
    begin = time.monotonic()
    with (scratch / "server.log").open("wb") as log:
        process = subprocess.Popen(
            command, cwd=library.root(), env=env, stdout=log, stderr=subprocess.STDOUT
        )
        try:
            wait_until_up(f"{url}/api/status", process)
            up = time.monotonic() - begin
            yield Lab(url, token, scratch / "lessons", learner_folder, up)
        finally:
            process.terminate()
            try:
                process.wait(15)
            except subprocess.TimeoutExpired:
                process.kill()
                process.wait(10)


def open_notebook(page: Any, lab: Lab, name: str) -> None:
    """Open a notebook alone in the window and wait until its kernel is idle."""
    page.goto(f"{lab.url}/lab/tree/{name}?reset&token={lab.token}")
    page.wait_for_selector(".jp-Notebook .jp-Cell", timeout=60_000)
    page.wait_for_selector(".jp-StatusBar-Widget :text('| Idle')", timeout=60_000)


def run_all(page: Any) -> None:
    """Choose Run > Run All Cells, as a person would."""
    page.get_by_role("menuitem", name="Run", exact=True).click()
    page.get_by_role("menuitem", name="Run All Cells", exact=True).click()


def open_lesson(page: Any, lab: Lab, name: str = FIRST) -> None:
    """Open a lesson, run all of it and bring the visit's screen into sight."""
    open_notebook(page, lab, name)
    run_all(page)
    show_visit(page)


def show_visit(page: Any) -> None:
    """Wait for the visit's screen and bring it into sight."""
    screen = page.locator(".bc-visit").last
    screen.wait_for(state="attached", timeout=60_000)
    page.locator(".bc-visit .bc-clock").last.wait_for(state="attached")
    page.wait_for_selector(".jp-StatusBar-Widget :text('| Idle')", timeout=60_000)
    page.evaluate("document.querySelector('.bc-visit').scrollIntoView()")
    page.wait_for_timeout(300)
