"""One JupyterLab and one Chromium for all browser tests; each test gets a page and a folder."""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from tests.browser.lab import CHROMIUM_ARGS, DESK, Lab, chromium_path, open_lesson, running_lab


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Mark what is in this folder, and skip it where there is no Chromium."""
    here = Path(__file__).parent
    for item in items:
        if here not in item.path.parents:
            continue
        item.add_marker(pytest.mark.browser)
        if chromium_path() is None:
            reason = "no Chromium on this machine: install it, or name one in BENCHCALL_CHROMIUM"
            item.add_marker(pytest.mark.skip(reason=reason))


@pytest.fixture(scope="session")
def chromium() -> Iterator[Any]:
    """Start the browser once."""
    playwright = pytest.importorskip("playwright.sync_api", reason="playwright is not installed")
    with playwright.sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=chromium_path(), args=CHROMIUM_ARGS)
        yield browser
        browser.close()


@pytest.fixture
def lab(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Lab]:
    """Run JupyterLab on a copy of the lessons, with a learner's folder of its own.

    An indirect parameter names another theme of the notebook.
    """
    from kit import library

    scratch = tmp_path
    theme = getattr(request, "param", "JupyterLab Light")
    folder = scratch / "lessons"
    shutil.copytree(library.lessons(), folder, ignore=shutil.ignore_patterns("_*", ".*"))
    with running_lab(folder, scratch, theme) as lab:
        yield lab


@pytest.fixture
def open_page(chromium: Any) -> Iterator[Callable[..., Any]]:
    """Return a function that opens an empty page; in the end no script may have failed on it."""
    failed: list[str] = []
    contexts = []

    def opened(size: dict[str, int] = DESK, motion: str = "reduce") -> Any:
        context = chromium.new_context(viewport=size, reduced_motion=motion)
        contexts.append(context)
        page = context.new_page()
        page.set_default_timeout(20_000)
        page.on("pageerror", lambda error: failed.append(str(error)))
        page.on("dialog", lambda dialog: dialog.accept())  # leaving an unsaved notebook
        return page

    yield opened
    for context in contexts:
        context.close()
    assert [] == failed


@pytest.fixture
def lesson(lab: Lab, open_page: Callable[..., Any]) -> Any:
    """Open the first lesson on a laptop's screen and run all of it."""
    page = open_page()
    open_lesson(page, lab)
    return page


@pytest.fixture
def keep_shot(request: pytest.FixtureRequest) -> Any:
    """Return a function that keeps a screenshot below artefacts/, to be looked at by a person."""
    top = Path(os.environ.get("BENCHCALL_ARTEFACTS", request.config.rootpath / "artefacts"))
    try:
        top.mkdir(parents=True, exist_ok=True)
    except OSError:
        return lambda page, name: None
    return lambda page, name: page.screenshot(path=str(top / f"{name}.png"))
