"""One JupyterLab and one Chromium for all browser tests; each test gets a page and a folder."""

from __future__ import annotations

import json
import os
import sys
from collections.abc import Callable, Iterator
from contextlib import ExitStack
from pathlib import Path
from typing import Any

import pytest

from tests.browser.lab import CHROMIUM_ARGS, DESK, FIRST, Lab, chromium_path, open_lesson, served


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


@pytest.fixture(scope="session")
def labs(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Callable[[str], Lab]]:
    """Return a function that gives the running JupyterLab of a theme, started when first asked."""
    running: dict[str, Lab] = {}
    with ExitStack() as stack:

        def started(theme: str) -> Lab:
            if theme not in running:
                scratch = tmp_path_factory.mktemp("lab")
                running[theme] = stack.enter_context(served(scratch, "lessons", theme=theme))
            return running[theme]

        yield started


@pytest.fixture
def lab(request: pytest.FixtureRequest, labs: Callable[[str], Lab]) -> Lab:
    """Give JupyterLab on a fresh copy of the lessons, with an empty learner's folder.

    An indirect parameter names another theme of the notebook.
    """
    lab = labs(getattr(request, "param", "JupyterLab Light"))
    lab.begin_anew()
    return lab


@pytest.fixture(scope="module")
def pages(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Lab]:
    """Serve the lessons as pages, once for a file."""
    with served(tmp_path_factory.mktemp("pages"), "pages", FIRST) as lab:
        yield lab


def new_page(context: Any, failed: list[str]) -> Any:
    """Return an empty page; the scripts that fail on it are added to `failed`."""
    page = context.new_page()
    page.set_default_timeout(20_000)
    page.on("pageerror", lambda error: failed.append(str(error)))
    page.on("dialog", lambda dialog: dialog.accept())  # leaving an unsaved notebook
    return page


@pytest.fixture
def open_page(chromium: Any) -> Iterator[Callable[..., Any]]:
    """Return a function that opens an empty page; in the end no script may have failed on it."""
    failed: list[str] = []
    contexts: list[Any] = []

    def opened(
        size: dict[str, int] = DESK, motion: str = "reduce", *, touch: bool = False
    ) -> Any:
        context = chromium.new_context(viewport=size, reduced_motion=motion, has_touch=touch)
        contexts.append(context)
        return new_page(context, failed)

    yield opened
    for context in contexts:
        context.close()
    assert [] == failed


@pytest.fixture(scope="module")
def opened_once(labs: Callable[[str], Lab], chromium: Any) -> Iterator[Any]:
    """Open and run the first lesson once for a file; tests that ask for `lab` must stand below."""
    failed: list[str] = []
    lab = labs("JupyterLab Light")
    lab.begin_anew()
    context = chromium.new_context(viewport=DESK, reduced_motion="reduce")
    page = new_page(context, failed)
    open_lesson(page, lab)
    yield page
    context.close()
    assert [] == failed


@pytest.fixture
def lesson(lab: Lab, open_page: Callable[..., Any]) -> Any:
    """Open the first lesson on a laptop's screen and run all of it."""
    page = open_page()
    open_lesson(page, lab)
    return page


@pytest.fixture
def artefacts(request: pytest.FixtureRequest) -> Path:
    """Give the folder of what is kept to be looked at by a person."""
    top = Path(os.environ.get("BENCHCALL_ARTEFACTS", request.config.rootpath / "artefacts"))
    top.mkdir(parents=True, exist_ok=True)
    return top


@pytest.fixture
def keep_shot(artefacts: Path) -> Callable[[Any, str], Any]:
    """Return a function that keeps a screenshot."""
    return lambda page, name: page.screenshot(path=str(artefacts / f"{name}.png"))


@pytest.fixture
def keep_figure(artefacts: Path, capsys: pytest.CaptureFixture[str]) -> Callable[[str, str], None]:
    """Return a function that prints a measured figure and adds it to artefacts/figures.jsonl."""

    def keep(name: str, figure: str) -> None:
        with capsys.disabled():
            sys.stdout.write(f"\n{name}: {figure}\n")
        with (artefacts / "figures.jsonl").open("a", encoding="utf-8") as file:
            file.write(json.dumps({name: figure}) + "\n")

    return keep
