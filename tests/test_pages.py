"""The command that serves the lessons as pages: what it starts, and what it refuses."""

from __future__ import annotations

from pathlib import Path

import pytest

from kit import pages
from kit.launch import LaunchError, Opening


def test_the_server_stays_on_this_machine_and_wants_a_token(tmp_path: Path) -> None:
    """Others on the machine must not see the token in the list of programs."""
    line = " ".join(pages.command(Opening(Path("python"), tmp_path), 8888))

    assert "auto_token=True" in line
    assert "ip=" not in line
    assert "strip_sources=True" in line


def test_the_token_goes_by_the_environment(tmp_path, monkeypatch) -> None:
    """The address that is told bears the same token."""
    (tmp_path / "one.ipynb").write_text("{}", encoding="utf-8")
    seen = {}

    def run(command, folder, environ):
        seen.update(environ=environ, line=" ".join(command), folder=folder)
        return 0

    monkeypatch.setattr(pages, "run_until_stopped", run)
    monkeypatch.setenv("JUPYTER_TOKEN", "a-token")
    opening = Opening(Path("python"), tmp_path, "one.ipynb", 0, browser=False)

    assert 0 == pages.open_pages(opening)
    assert "a-token" == seen["environ"]["JUPYTER_TOKEN"]
    assert "a-token" not in seen["line"]
    assert str(pages.TEMPLATES) in seen["environ"]["JUPYTER_PATH"]


def test_the_pages_own_template_is_there() -> None:
    """A package without it would fetch styles from other hosts."""
    template = pages.TEMPLATES / "voila" / "templates" / "benchcall" / "index.html.j2"

    assert template.is_file()
    assert "https:" not in template.read_text("utf-8")


def test_an_unknown_page_is_refused(tmp_path: Path) -> None:
    """The message says what to leave out."""
    with pytest.raises(LaunchError, match=r"no lesson other\.ipynb .*Leave the name out"):
        pages.open_pages(Opening(Path("python"), tmp_path, "other.ipynb"))
