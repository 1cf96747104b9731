"""Start JupyterLab as the launcher does, and drive one notebook page in Chromium."""

from __future__ import annotations

import json
import os
import shutil
import socket
import subprocess
import sys
import time
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

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
    """A running JupyterLab: its address, its notebook folder and the learner's own folder."""

    url: str
    folder: Path
    learner_folder: Path
    started_in_s: float


def _settings(config: Path, theme: str) -> dict[str, str]:
    """Write the launcher's settings (no announcements) and return what makes them used."""
    themes = config / "settings" / "@jupyterlab" / "apputils-extension"
    themes.mkdir(parents=True)
    chosen = json.dumps({"theme": theme})
    (themes / "themes.jupyterlab-settings").write_text(chosen, encoding="utf-8")
    lab_config = config / "labconfig"
    lab_config.mkdir(parents=True)
    off = {"disabledExtensions": {"@jupyterlab/apputils-extension:announcements": True}}
    (lab_config / "page_config.json").write_text(json.dumps(off), encoding="utf-8")
    return {
        "JUPYTER_CONFIG_DIR": str(config),
        "JUPYTERLAB_SETTINGS_DIR": str(config / "settings"),
        "JUPYTERLAB_WORKSPACES_DIR": str(config / "workspaces"),
    }


def _wait_until_up(url: str, process: subprocess.Popen[bytes], seconds: float = 60.0) -> None:
    """Return when the server answers; raise when it ended or took too long."""
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        if process.poll() is not None:
            raise RuntimeError(f"JupyterLab ended with code {process.returncode}.")
        try:
            with urllib.request.urlopen(f"{url}/api/status", timeout=1):  # noqa: S310 - our own
                return
        except OSError:
            time.sleep(0.05)
    raise RuntimeError(f"JupyterLab did not answer at {url} within {seconds:.0f} s.")


@contextmanager
def running_lab(folder: Path, scratch: Path, theme: str = "JupyterLab Light") -> Iterator[Lab]:
    """Run JupyterLab on `folder` with everything of its own below `scratch`."""
    learner_folder = scratch / "learner"
    url = f"http://127.0.0.1:{(port := free_port())}"
    env = os.environ | _settings(scratch / "config", theme)
    env |= {"BENCHCALL_DATA": str(learner_folder), "JUPYTER_RUNTIME_DIR": str(scratch / "runtime")}
    env["PYTHONPATH"] = os.pathsep.join(
        filter(None, [str(Path(__file__).resolve().parents[2]), env.get("PYTHONPATH")])
    )
    command = [sys.executable, "-m", "jupyterlab", "--no-browser", f"--ServerApp.port={port}"]
    command += ["--ServerApp.port_retries=0", "--IdentityProvider.token=", "--allow-root"]
    command += [f"--ServerApp.root_dir={folder}"]
    begin = time.monotonic()
    with (scratch / "lab.log").open("wb") as log:
        process = subprocess.Popen(command, env=env, stdout=log, stderr=subprocess.STDOUT)
        try:
            _wait_until_up(url, process)
            yield Lab(url, folder, learner_folder, time.monotonic() - begin)
        finally:
            process.terminate()
            try:
                process.wait(10)
            except subprocess.TimeoutExpired:
                process.kill()
                process.wait(10)


def open_notebook(page: Any, lab: Lab, name: str) -> None:
    """Open a notebook alone in the window and wait until its kernel is idle."""
    page.goto(f"{lab.url}/lab/tree/{name}?reset")
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
