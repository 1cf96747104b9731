"""Serve the lessons as plain pages without code, for a classroom screen or a kiosk."""

from __future__ import annotations

import os
import secrets
import sys
import threading
import time
import urllib.error
import urllib.request
import webbrowser
from pathlib import Path
from urllib.parse import quote

from kit.environment import clean_environ
from kit.launch import FIRST_LESSON, Opening, check_lesson, choose_port, run_until_stopped

START_PAGE = "my-course.ipynb"
TEMPLATES = Path(__file__).resolve().parent / "screens" / "pages"
_UP_WITHIN_S = 60.0
_IDLE_S = 30  # a page that went away without a word gives the learner's visits free after this time


def open_pages(opening: Opening) -> int:
    """Serve pages until it is stopped and return the server's exit code.

    Args:
        opening: what to open and how.

    Raises:
        LaunchError: no such lesson, or the port is taken.
    """
    check_lesson(opening, f"{START_PAGE}, or try {FIRST_LESSON}")
    port = choose_port(opening.port)
    token = os.environ.get("JUPYTER_TOKEN") or secrets.token_urlsafe(24)
    address = f"http://127.0.0.1:{port}/voila/render/{quote(opening.first)}?token={token}"
    sys.stdout.write(
        f"The lessons as pages: {address}\n"
        "Leave this window open while you work; press Ctrl+C here to stop.\n"
        "One person at a time on this computer: the pages share one record of work.\n"
    )
    sys.stdout.flush()
    if opening.browser:
        threading.Thread(target=_show, args=(port, address), daemon=True).start()
    environ = clean_environ(os.environ) | {
        "JUPYTER_TOKEN": token,  # not on the command line, where others on the machine could see it
        "JUPYTER_PATH": os.pathsep.join(
            filter(None, [str(TEMPLATES), os.environ.get("JUPYTER_PATH")])
        )
    }
    return run_until_stopped(command(opening, port), opening.lessons, environ)


def command(opening: Opening, port: int) -> list[str]:
    """Return the command line that starts the pages' server; who lacks the token is kept out.

    Args:
        opening: what to open and how.
        port: TCP port.
    """
    return [
        str(opening.python), "-m", "voila", str(opening.lessons), "--no-browser",
        f"--port={port}", "--Voila.port_retries=0", "--Voila.auto_token=True",
        # A page that is left says so by a beacon, which can bear no header; the cookie that stands
        # for the token does not go with requests from other sites.
        "--Voila.tornado_settings=disable_check_xsrf=True",
        "--template=benchcall", "--VoilaConfiguration.strip_sources=True",
        "--VoilaConfiguration.file_allowlist=.^",  # pages are rendered; no file is handed out
        "--MappingKernelManager.cull_interval=10",
        f"--MappingKernelManager.cull_idle_timeout={_IDLE_S}",
        "--Voila.log_level=ERROR",
    ]  # fmt: skip


def _show(port: int, address: str) -> None:
    """Open the browser once the server answers."""
    end = time.monotonic() + _UP_WITHIN_S
    while time.monotonic() < end:
        try:
            urllib.request.urlopen(f"http://127.0.0.1:{port}/voila/static/main.js", timeout=2)
        except urllib.error.HTTPError:
            break  # it answers
        except OSError:
            time.sleep(0.2)
            continue
        break
    webbrowser.open(address)
