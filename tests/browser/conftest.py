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

from tests.browser.lab import CHROMIUM_ARGS, DESK, Lab, chromium_path, open_lesson, served


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


@pytest.fixture(scope="session")
def contexts(chromium: Any) -> Callable[[str, bool], Any]:
    """Return a function that gives a browser's profile, which keeps the scripts it has read."""
    known: dict[tuple[str, bool], Any] = {}

    def context(motion: str, touch: bool) -> Any:
        if (motion, touch) not in known:
            known[motion, touch] = chromium.new_context(reduced_motion=motion, has_touch=touch)
        return known[motion, touch]

    return context


@pytest.fixture
def open_page(chromium: Any, contexts: Callable[[str, bool], Any]) -> Iterator[Callable[..., Any]]:
    """Return a function that opens an empty page; in the end no script may have failed on it."""
    failed: list[str] = []
    opened: list[Any] = []

    def page_of(
        size: dict[str, int] = DESK,
        motion: str = "reduce",
        *,
        touch: bool = False,
        stranger: bool = False,
    ) -> Any:
        context = chromium.new_context() if stranger else contexts(motion, touch)
        page = context.new_page()
        opened.append(context if stranger else page)
        page.set_viewport_size(size)
        page.set_default_timeout(20_000)
        page.on("pageerror", lambda error: failed.append(str(error)))
        page.on("dialog", lambda dialog: dialog.accept())  # leaving an unsaved notebook
        return page

    yield page_of
    for one in opened:
        one.close()
    assert [] == failed


@pytest.fixture(scope="module")
def opened_once(
    labs: Callable[[str], Lab], contexts: Callable[[str, bool], Any]
) -> Iterator[Any]:
    """Open and run the first lesson once for a file; tests that ask for `lab` must stand below."""
    failed: list[str] = []
    lab = labs("JupyterLab Light")
    lab.begin_anew()
    page = contexts("reduce", False).new_page()
    page.set_viewport_size(DESK)
    page.set_default_timeout(20_000)
    page.on("pageerror", lambda error: failed.append(str(error)))
    page.on("dialog", lambda dialog: dialog.accept())
    open_lesson(page, lab)
    yield page
    page.close()
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
