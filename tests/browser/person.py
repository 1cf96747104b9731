"""A learner in front of the screen, by mouse or by keyboard alone; and a whole visit as steps."""

from __future__ import annotations

import time
from collections.abc import Callable, Mapping, Sequence
from typing import Any

from kit.screens.offers import Offer, offer_dict, offers
from kit.screens.voice import Voice
from kit.visit.actions import registry
from kit.visit.outcome import ActionInfo

NOTEBOOK = "00-start-here.ipynb"


class Person:
    """Does things on the visit's screen by mouse.

    Args:
        page: a page with the lesson open and run.
    """

    def __init__(self, page: Any) -> None:
        self.page = page
        self.screen = page.locator(".bc-visit").first

    def press(self, key: str) -> None:
        """Press the control with this key and wait until the screen has answered."""
        self.screen.locator(f"[data-k='{key}']:visible").first.click()
        self.settled()

    def settled(self) -> None:
        """Wait until the kernel has answered and the clock stands."""
        self.page.wait_for_function(
            "() => { const e = document.querySelector('.bc-visit');"
            " return e && e.getAttribute('aria-busy') !== 'true'"
            " && !e.classList.contains('bc-passing'); }"
        )

    def go(self, part: str) -> None:
        """Go to a part of the site."""
        self.press(f"spot.{part}")
        self.page.wait_for_selector(f".bc-visit [data-k='spot.{part}'][aria-pressed='true']")

    def do(self, action: str) -> None:
        """Do an action that asks nothing; a caution not told before is read first."""
        self._reach(action)
        opened = self.screen.locator(f"[data-k='go.{action}']")
        if not opened.count():
            self.press(f"offer.{action}")
        if opened.count():
            self.press(f"go.{action}")

    def pick(self, action: str, choice: str) -> None:
        """Do an action by picking one of its choices."""
        self._open(action)
        self.press(f"pick.{action}.{choice}")

    def fill(self, action: str, **fields: Any) -> None:
        """Fill in an action's form and send it."""
        self._open(action)
        for name, value in fields.items():
            self._enter(f"{action}.{name}", value)
        self.press(f"go.{action}")

    def write(self, line: str) -> str:
        """Write the newest reading that fits a line on it, and return what it shows."""
        rows = self.screen.locator(".bc-readings li").filter(has=self.page.locator(".bc-write"))
        for row in rows.all():
            key = row.locator(".bc-write button").get_attribute("data-k").removesuffix(".go")
            if row.locator(f"option[value='{line}']").count():
                shown = row.locator(".bc-figure").inner_text()
                self._enter(key, line)
                self.press(f"{key}.go")
                return str(shown)
        raise AssertionError(f"no reading can be written on {line}")

    def wait(self, minutes: float) -> None:
        """Let time pass."""
        if minutes in (1, 5, 10):
            self.press(f"wait.{minutes}")
        else:
            self._enter("wait.own", str(minutes))
            self.press("wait.go")

    def _reach(self, action: str) -> None:
        """Open kinds of work until the action is in the list."""
        button = self.screen.locator(f"[data-k='offer.{action}']")
        closed = self.screen.locator("[data-k^='group.'][aria-expanded='false']")
        while not button.count() and closed.count():
            self.press(closed.first.get_attribute("data-k"))
        button.wait_for()

    def _open(self, action: str) -> None:
        self._reach(action)
        button = self.screen.locator(f"[data-k='offer.{action}']")
        if button.get_attribute("aria-expanded") == "false":
            self.press(f"offer.{action}")

    def _gathered(self, key: str, values: list[Any]) -> bool:
        """Pick from a long list one after the other; False when there are boxes to tick."""
        if not self.screen.locator(f"[data-k='{key}.add']").count():
            return False
        for one in values:
            self._enter(f"{key}.next", one)
            self.press(f"{key}.add")
        return True

    def _enter(self, key: str, value: Any) -> None:
        if isinstance(value, list):
            for one in [] if self._gathered(key, value) else value:
                self.screen.locator(f"[data-k='{key}.{one}']").check()
            return
        radio = self.screen.locator(f"[data-k='{key}.{value}']")
        if radio.count():
            radio.check()
            return
        control = self.screen.locator(f"[data-k='{key}']")
        if control.evaluate("e => e.tagName") == "SELECT":
            control.select_option(str(value))
        else:
            control.fill(str(value))


class KeyboardPerson(Person):
    """Does the same with Tab, Enter, Space, arrow keys and letters only."""

    def press(self, key: str) -> None:
        """Tab to the control and press it."""
        self.tab_to(key)
        self.page.keyboard.press("Enter")
        self.settled()

    def tab_to(self, key: str) -> None:
        """Press Tab until the control has the focus; fail when it cannot be reached."""
        self.screen.locator(f"[data-k='{key}']").first.wait_for()
        self._tab(key, lambda focused: focused == key)

    def _tab(self, key: str, reached: Callable[[str], bool]) -> None:
        before = self.page.evaluate(_IS_BEFORE, key)
        for _ in range(300):
            if reached(self.page.evaluate(_FOCUSED) or ""):
                return
            self.page.keyboard.press("Shift+Tab" if before else "Tab")
        raise AssertionError(f"{key} cannot be reached with the Tab key")

    def _enter(self, key: str, value: Any) -> None:
        keyboard = self.page.keyboard
        if isinstance(value, list):
            for one in [] if self._gathered(key, value) else value:
                self.tab_to(f"{key}.{one}")
                keyboard.press("Space")
            return
        if self.screen.locator(f"[data-k='{key}.{value}']").count():
            self._radio(key, str(value))
            return
        self.tab_to(key)
        control = self.screen.locator(f"[data-k='{key}']")
        if control.evaluate("e => e.tagName") == "SELECT":
            self._select(control, str(value))
        else:
            keyboard.press("Control+A")
            keyboard.type(str(value))

    def _radio(self, key: str, value: str) -> None:
        group = self.screen.locator(f"input[type=radio][data-k^='{key}.']")
        first = group.first.get_attribute("data-k")
        self._tab(first, lambda focused: focused.startswith(f"{key}."))  # a group is one stop
        self.page.keyboard.press("Space")
        for _ in range(group.count()):
            if self.screen.locator(f"[data-k='{key}.{value}']").is_checked():
                return
            self.page.keyboard.press("ArrowDown")
        raise AssertionError(f"{key}.{value} cannot be chosen with the arrow keys")

    def _select(self, control: Any, value: str) -> None:
        self.page.keyboard.press("Home")
        for _ in range(60):
            if control.input_value() == value:
                return
            self.page.keyboard.press("ArrowDown")
        raise AssertionError(f"{value} cannot be chosen with the arrow keys")


# Key of the control that has the focus, when it belongs to the visit's screen.
_FOCUSED = "() => document.activeElement?.closest('.bc-visit') && document.activeElement.dataset.k"

# Whether the control comes before the focused element, so that the shorter way is taken.
_IS_BEFORE = """(key) => {
  const target = document.querySelector(`.bc-visit [data-k="${key}"]`);
  const active = document.activeElement;
  return Boolean(target && active && (active.compareDocumentPosition(target)
    & Node.DOCUMENT_POSITION_PRECEDING));
}"""


def play(person: Person, steps: Sequence[Mapping[str, Any]]) -> None:
    """Do the steps of a practice script on the screen, going where each one is offered."""
    spots = {}
    for offer in offers(_infos()):
        spots[offer.key] = offer
    there = ""
    figures: dict[tuple[str, str], str] = {}
    for step in steps:
        args = {name: value for name, value in step.items() if name not in ("do", "write")}
        if step["do"] == "wait":
            person.wait(args["minutes"])
            continue
        offer = spots[_key(step, spots)]
        if offer.spot != there:
            person.go(offer.spot)
            there = offer.spot
        _do(person, offer, args, figures)
        for line, when in step.get("write", {}).items():
            figures[line, when] = person.write(f"{line}/{when}")


def _do(
    person: Person, offer: Offer, args: dict[str, Any], figures: dict[tuple[str, str], str]
) -> None:
    when = args.get("when", "")
    if args.get("value") == "own":
        first, second = (figures[f"{side}_dry_bulb", when] for side in ("return", "supply"))
        args["value"] = f"{number(first) - number(second):.1f}"
    elif args.get("value") == "card":
        look_up(person, figures, when)
        said = person.screen.locator(".bc-said-body").inner_text()
        args["value"] = f"{number(said.split('card says ')[1]):.1f}"
    for argument in offer.arguments:
        value = args.get(argument.name)
        kind = argument.measure
        if argument.name in offer.measures and not isinstance(value, str):
            other, kinds = offer.measures[argument.name]
            kind = kinds[args[other]]
        if kind and isinstance(value, int | float):
            args[argument.name] = Voice().show(kind, value)
            figures[args.get("item", ""), when] = args[argument.name]
    args = {name: value for name, value in args.items() if name not in offer.preset}
    if not offer.arguments:
        person.do(offer.key)
    elif offer_dict(offer, Voice())["pick"]:
        person.pick(offer.key, next(iter(args.values())))
    else:
        person.fill(offer.key, **args)


def look_up(person: Person, figures: Mapping[tuple[str, str], str], when: str) -> None:
    """Look up the card for the entering and outdoor air written down."""
    asked = {"return_db_k": "return_dry_bulb", "return_wb_k": "return_wet_bulb"}
    asked["outdoor_db_k"] = "outdoor_dry_bulb"
    values = {name: str(number(figures[line, when])) for name, line in asked.items()}
    person.fill("look_up_target", **values)


def number(text: str) -> float:
    """Return the number at the start of a text."""
    return float(text.split(maxsplit=1)[0].strip("%"))


def _key(step: Mapping[str, Any], spots: Mapping[str, Offer]) -> str:
    if step["do"] in spots:
        return str(step["do"])
    if step["do"] == "record":
        return "record@words" if "words" in step else "record@figure"
    for key, offer in spots.items():
        if offer.info.name == step["do"]:
            first = offer.info.arguments[0].name
            mine = offer.preset or {c.value: "" for c in offer.arguments[0].choices}
            if step[first] in (mine.values() if offer.preset else mine):
                return key
    raise AssertionError(f"the screen offers no {step}")


def _infos() -> list[ActionInfo]:
    return [
        ActionInfo(
            a.name, a.title, a.phase, a.part, tuple(arg.info() for arg in a.arguments), a.takes_s
        )
        for a in registry().values()
    ]


def until(seconds: float, test: Any) -> None:
    """Wait until a test is true."""
    end = time.monotonic() + seconds
    while not test():
        if time.monotonic() > end:
            raise AssertionError("waited in vain")
        time.sleep(0.05)
