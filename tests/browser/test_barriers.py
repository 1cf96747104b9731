"""No barrier for people who see, hear or move otherwise: axe-core inside the kit's own output."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.browser.person import Person

# Inside JupyterLab's scrolling frames axe silently skips its contrast rule. So the screens are
# taken out of them, and their own scrolling lists unrolled, for the time of the check.
_ALONE = """() => {
  const alone = document.createElement("main");
  alone.style.cssText = "position: absolute; inset: 0 auto auto 0; width: 1100px;";
  alone.style.background = "var(--jp-layout-color0)";
  alone.append(...document.querySelectorAll(".bc"));
  document.body.prepend(alone);
  const frame = document.getElementById("main") ?? document.getElementById("rendered_cells");
  frame.style.display = "none";
}"""
_UNROLLED = """body, html { overflow: visible !important; height: auto !important; }
.bc *:not(.bc-away) { contain: none !important; max-height: none !important; }
.bc :is(.bc-scroll, .bc-offers, .bc-said-body, ol) { overflow: visible !important; }
.bc :is(.bc-tray, .bc-sheet, .bc-place) { height: auto !important; }"""


def violations(page) -> list[str]:
    """Run axe-core on the kit's screens and return what it finds, in words."""
    axe = pytest.importorskip("axe_playwright_python", reason="axe-playwright-python is missing")
    if not page.locator("main > .bc").count():
        page.evaluate(_ALONE)
        page.add_style_tag(content=_UNROLLED)
    page.evaluate((Path(axe.__file__).parent / "axe.min.js").read_text("utf-8"))
    found = page.evaluate("() => axe.run({ include: [['.bc']] })")
    broken = [one["id"] for one in found["incomplete"] if "error" in one]
    assert [] == broken, "axe could not run a rule"
    return [
        f"{one['id']}: {node['target']} {node['failureSummary']}"
        for one in found["violations"]
        for node in one["nodes"]
    ]


def planted(page) -> list[str]:
    """Put a pale text into the screen, to see that the check is able to find one."""
    page.evaluate(
        "() => { const p = document.createElement('p'); p.textContent = 'pale';"
        "p.style.color = '#ddd'; p.id = 'pale'; document.querySelector('.bc-told').append(p); }"
    )
    return violations(page)


def everything_open(page) -> None:
    """Open folds and forms, take a reading, make a mistake: as much on the page as can be."""
    person = Person(page)
    person.go("job_sheet")
    person.do("read_work_order")
    person.go("instruments")
    person.fill("read", instrument="air_probe", at="return_grille")
    person.go("remote")
    person.fill("set_demand", mode="cooling", setpoint_k="12", fan="auto")
    for fold in ("fold.order", "fold.story"):
        page.locator(f".bc-visit [data-k='{fold}']").click()


def test_axe_finds_nothing_in_light_colours(lesson, keep_shot):
    """No violation in the visit and the tasks; and a planted one is found."""
    everything_open(lesson)
    keep_shot(lesson, "11-everything-open")
    assert [] == violations(lesson)
    assert any("color-contrast" in one for one in planted(lesson))


@pytest.mark.parametrize("lab", ["JupyterLab Dark"], indirect=True)
def test_axe_finds_nothing_in_dark_colours(lesson, keep_shot):
    """The same in the notebook's dark theme."""
    lesson.wait_for_selector("body[data-jp-theme-light='false']", state="attached")
    everything_open(lesson)
    lesson.evaluate("document.querySelector('.bc-visit').scrollIntoView()")
    keep_shot(lesson, "12-dark")
    assert [] == violations(lesson)
