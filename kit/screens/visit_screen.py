"""The screen for a whole visit: one widget; its state is here, its view only draws and asks."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING, Any, ClassVar

import anywidget
import traitlets

from kit.errors import KitError
from kit.language import LANGUAGES
from kit.screens import bench, curve, marks, offers, site, source, spots, told, words
from kit.screens.traits import synced
from kit.screens.voice import UNITS, Voice

if TYPE_CHECKING:
    from kit.screens.revealed import Revealed
    from kit.visit.outcome import ActionInfo, View

PARTS = ("common.js", "site.js", "curve.js", "forms.js", "plot.js")
STUMBLED = (
    "The kit stumbled here ({error}). Nothing that was done before is lost: choose Kernel, then "
    "Restart Kernel and Run All Cells."
)
_UNREAD = "Not read yet. Choose the job sheet on the picture, then read the work order."
FIRST_SPOT = "job_sheet"
WAITS_MIN = (1, 5, 10)


class VisitScreen(anywidget.AnyWidget):
    """A visit on the screen.

    Args:
        desk: holds the open `visit`, its `mark()` and `renew()`; see `kit.screens.desk`.
        units: unit system to begin with.
        spoken: called with the tag of a language that the learner has chosen.
        feedback_charts: whether the air as written down and the circuit as found stand beside the
            marks; before the hand-over they are nowhere.
    """

    _esm: ClassVar[str] = source.script("visit_screen.js", *PARTS)
    _css: ClassVar[str] = source.style("parts/paper.css", "parts/plot.css", "visit_screen.css")

    words = synced(traitlets.Dict())
    card = synced(traitlets.Dict())
    clock = synced(traitlets.Dict())
    waiting = synced(traitlets.Dict(allow_none=True))
    site = synced(traitlets.Dict())
    offers = synced(traitlets.List())
    said = synced(traitlets.Dict())
    story = synced(traitlets.List())
    tray = synced(traitlets.List())
    sheet = synced(traitlets.Dict())
    curve = synced(traitlets.Dict())
    verdict = synced(traitlets.Dict(allow_none=True, default_value=None))
    problem = synced(traitlets.Dict(allow_none=True, default_value=None))
    done = synced(traitlets.Dict())
    answered = synced(traitlets.Int(0))
    nth = synced(traitlets.Int(1))  # tells screens of one name on a page apart

    def __init__(
        self,
        desk: Any,
        units: str = "us",
        spoken: Callable[[str], None] | None = None,
        feedback_charts: bool = True,
    ) -> None:
        super().__init__()
        self.desk, self._spot, self._spoken = desk, FIRST_SPOT, spoken
        self._feedback_charts = feedback_charts
        self._revealed: Revealed | None = None
        self._voice = self._voiced(units)
        self._offers: dict[str, offers.Offer] = {}
        self._requests: dict[str, Callable[[Mapping[str, Any]], None]] = {
            "step": self._step,
            "write": self._write,
            "select": self._select,
            "units": self._units,
            "language": self._language,
            "again": self._again,
        }
        self.refresh()
        self.on_msg(lambda _widget, content, _buffers: self.receive(content))

    def receive(self, request: Mapping[str, Any]) -> None:
        """Do what the view asks, and tell it that it was done.

        Args:
            request: `do` names what is asked; `sent` numbers the request.
        """
        try:
            handler = self._requests.get(str(request.get("do")))
            if handler is not None:
                self.problem = None
                handler(request)
        except offers.FormError as problem:
            self._refuse(request, problem.field_name, problem.said(self._voice.translate))
        except KitError as error:
            self._refuse(request, "", error.said(self._voice.translate))
        except Exception as error:  # a learner must never face a dead button
            self._refuse(request, "", self._voice.words(STUMBLED).format(error=error))
            raise  # the notebook's log keeps the whole of it
        finally:
            self.answered = max(self.answered + 1, int(request.get("sent") or 0))

    def refresh(self) -> None:
        """Bring every trait up to the visit as it is now; unchanged ones are not sent again."""
        visit, voice = self.desk.visit, self._voice
        view, actions, outcomes = visit.view(), visit.actions(everything=True), visit.outcomes
        self._view = view
        titles = {action.name: action.title for action in actions}
        open_now = () if view.closed else actions  # nothing is left to do after the hand-over
        self._offers = {offer.key: offer for offer in offers.offers(open_now)}
        with self.hold_sync():
            self.words = words.visit_words(voice)
            self.card = self._card(view)
            self.waiting = self._waiting(actions)
            self.site = site.site(view, self._spot, voice)
            self.offers = offers.offer_dicts(self._offers.values(), voice, told.cautions(outcomes))
            self.said = told.said(outcomes, titles, voice)
            self.story = told.story(outcomes, titles, voice)
            self.tray = bench.tray(view, voice)
            self.sheet = bench.job_sheet(view, voice)
            self.curve = curve.curve(outcomes, view, voice)
            self.clock = {"s": view.clock_s}
            self.verdict = self._verdict() if view.closed else None

    def _verdict(self) -> dict[str, Any]:
        mark, plot = self.desk.mark()
        return marks.verdict(mark, self._voice, plot, self._charts())

    def _charts(self) -> dict[str, Any] | None:
        """Return the charts beside the marks; only of a visit that is closed."""
        from kit.screens.revealed import Revealed
        from kit.visit.work_order import WorkOrder

        order = self.desk.visit.order
        # A desk may know no more of a work order than what is printed on it.
        if not (self._feedback_charts and self._view.closed and isinstance(order, WorkOrder)):
            return None
        if self._revealed is None:
            self._revealed = Revealed(order)
        return self._revealed.charts(self._view.sheet, self._voice)

    def _card(self, view: View) -> dict[str, Any]:
        voice, order = self._voice, self.desk.visit.order
        read = any(outcome.action == "read_work_order" for outcome in self.desk.visit.outcomes)
        brief = " ".join(voice.words(line) for line in order.brief)
        lines = [
            [voice.words("Customer"), order.customer],
            [voice.words("To do"), brief],
            [voice.words("Time allowed"), f"{order.allowed_min:g} {voice.words('min')}"],
        ]
        return {
            "title": voice.words(view.work_order),
            # its id would tell what is wrong
            "under": " · ".join([order.customer, *([voice.language_name] if voice.review else [])]),
            "lines": lines if read else [],
            "begun": bool(self.desk.visit.outcomes),
            "unread": "" if read else voice.words(_UNREAD),
            "safety": voice.words(_general()),
            "notice": voice.line(self.desk.notice) if self.desk.notice else "",
            "review": voice.review,
            "units": voice.unit_choices(),
            "languages": voice.language_choices(),
        }

    def _waiting(self, actions: tuple[ActionInfo, ...]) -> dict[str, Any] | None:
        wait = next((a for a in actions if a.name == "wait" and a.available), None)
        if wait is None:
            return None
        argument = wait.arguments[0]
        return {"name": "wait", "field": argument.name, "offers": list(WAITS_MIN)}

    def _select(self, request: Mapping[str, Any]) -> None:
        spot = str(request.get("part"))
        if spot in spots.SPOTS:
            self._spot = spot
            self.site = site.site(self._view, spot, self._voice)

    def _units(self, request: Mapping[str, Any]) -> None:
        wanted = str(dict(request.get("args") or {}).get("to"))
        if wanted in dict(UNITS):
            self.desk.visit.units = wanted  # noted in the journal, for the next time
            self._voice = self._voiced(wanted)
            self.refresh()

    def _language(self, request: Mapping[str, Any]) -> None:
        wanted = str(dict(request.get("args") or {}).get("to"))
        if wanted in LANGUAGES:
            self.speak(wanted)
            if self._spoken is not None:
                self._spoken(wanted)

    def speak(self, language: str) -> None:
        """Say everything in another language from now on; the journal notes it, no value changes.

        Args:
            language: tag of a language of the kit.
        """
        self.desk.visit.language = language
        self._voice = self._voiced(self._voice.units)
        self.refresh()

    def _voiced(self, units: str) -> Voice:
        visit = self.desk.visit
        return Voice(units, visit.translate, visit.translate.language)

    def _again(self, _: Mapping[str, Any]) -> None:
        self.desk.renew()
        self._spot = FIRST_SPOT
        self.refresh()

    def _step(self, request: Mapping[str, Any]) -> None:
        key = str(request.get("action"))
        offer = self._offers.get(key)
        if offer is None:
            raise KitError("That can no longer be done here. Look at the list again.")
        typed = dict(request.get("args") or {})
        self._do(key, offer.info.name, offers.arguments(offer, typed, self._voice.units))

    def _write(self, request: Mapping[str, Any]) -> None:
        typed = dict(request.get("args") or {})
        item, _, when = str(typed.get("line")).partition("/")
        number = float(typed.get("reading") or 0)
        self._do("record", "record", {"item": item, "when": when, "reading": number})

    def _do(self, key: str, action: str, arguments: Mapping[str, Any]) -> None:
        outcome = self.desk.visit.step(action, **arguments)
        if not outcome.refused:
            kept = ["instrument", "at"] if action in ("read", "place", "lift") else []
            self.done = {
                "action": key,
                "keep": [f"{key}.{name}" for name in kept],
                "number": outcome.number,
            }
        self.refresh()

    def _refuse(self, request: Mapping[str, Any], field_name: str, text: str) -> None:
        self.problem = {
            "action": str(request.get("action")),
            "field": field_name,
            "text": text,
            "number": self.answered,
        }


def _general() -> str:
    from kit.visit.cautions import GENERAL

    return GENERAL
