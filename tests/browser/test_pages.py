"""The lessons as pages without code: the same screens, the same visit, nothing from elsewhere."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

import pytest

from tests.browser.lab import FIRST, Lab
from tests.browser.person import Person
from tests.browser.test_barriers import violations


@pytest.fixture
def page(pages: Lab, open_page: Callable[..., Any]) -> Iterator[Any]:
    """Open the first lesson as a page, and leave it as a person does, so that its program ends."""
    page = open_page()
    show(page, pages, FIRST)
    yield page
    page.goto("about:blank")


def show(page: Any, pages: Lab, name: str) -> None:
    """Open a lesson as a page and wait for its visit."""
    page.goto(f"{pages.url}/voila/render/{name}?token={pages.token}")
    page.locator(".bc-visit .bc-clock").last.wait_for(timeout=60_000)
    page.evaluate("document.querySelector('.bc-visit').scrollIntoView()")


def test_a_page_shows_the_screens_and_no_code(page, keep_shot):
    """A learner at a kiosk meets text and screens only."""
    keep_shot(page, "20-page-visit")
    assert 0 == page.locator(".jp-CodeMirrorEditor:visible, .highlight:visible").count()
    assert "here.task" not in page.locator("body").inner_text()
    assert page.locator(".bc-task").count() >= 5
    assert "reload the page instead" in page.locator(".benchcall-note").inner_text()


def test_a_visit_goes_on_after_the_page_is_reloaded(page, pages, keep_shot):
    """The page's program ends with the page, and the next one takes the journal up."""
    person = Person(page)
    person.go("remote")
    person.fill("set_demand", mode="cooling", setpoint_k="65", fan="auto")
    person.wait(5)
    before = page.locator(".bc-visit .bc-clock").inner_text()
    show(page, pages, FIRST)
    keep_shot(page, "21-page-reloaded")
    assert before == page.locator(".bc-visit .bc-clock").inner_text() != "0:00:00"
    assert "cooling, 65.0 °F" in page.locator(".bc-flags").inner_text()


def test_a_page_asks_nothing_of_other_hosts(page, pages):
    """A classroom without internet has all it needs."""
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    show(page, pages, FIRST)
    page.wait_for_timeout(500)
    own = (pages.url, "data:", "blob:")
    assert asked
    assert [] == [url for url in asked if not url.startswith(own)]


def test_who_lacks_the_token_is_kept_out(pages, open_page):
    """The address is for who started the pages."""
    page = open_page()
    page.goto(f"{pages.url}/voila/render/{FIRST}")
    assert "/login" in page.url
    assert 0 == page.locator(".bc-visit").count()


def test_axe_finds_nothing_on_a_page(page):
    """The second front end has no barriers of its own inside the kit's output."""
    assert [] == violations(page)
