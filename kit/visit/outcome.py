"""What comes out of a step of the visit, and what can be done next: all that a screen needs.

A screen talks to a visit in three ways only:

- `visit.actions()` returns a tuple of `ActionInfo`: what can be done now, in the order of the
  work. `phase` groups them for a screen (`PHASES` gives order and title). Each argument is an
  `ArgumentInfo`: `kind` is "choice" (one of `choices`), "choices" (any number of them), "number"
  (SI, with `measure` naming its kind of quantity, `low` and `high`), "text" or "flag". When
  `depends_on` names another argument, the choices are `choices_by[value of that argument]`.
  An argument whose `required` is False may be left out; `default` is then used.
  `visit.actions(everything=True)` adds what cannot be done now, with `available` False and `why`.
- `visit.step(name, **arguments)` returns an `Outcome`. `text` is ready to print in the learner's
  units; `readings` hold what instruments show, in SI; `traces` hold what instruments left in place
  showed while time passed (for a plot); `cautions` are to be shown where the hazard is met;
  `hazards` say what went wrong; `refused` with `why` says that nothing was done; `stopped` says
  that a trainer held the learner back. `pictures` name what is drawn, with a text equivalent.
- `visit.view()` returns a `View`: clock, what is open, locked, worn, in place, and the job sheet.
  It is what anybody standing there sees; nothing hidden is in it.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

PHASES: tuple[tuple[str, str], ...] = (
    ("before", "Before touching anything"),
    ("run", "Run and wait"),
    ("measure", "Measure and write down"),
    ("decide", "Decide"),
    ("safe", "Make safe"),
    ("indoor", "Indoor unit"),
    ("outdoor", "Outdoor unit"),
    ("gauges", "Gauges"),
    ("finish", "Put back and hand over"),
)


@dataclass(frozen=True, slots=True)
class Measure:
    """A number in SI with its kind of quantity, to be shown in the learner's units.

    Args:
        value: the number [SI unit of its kind].
        kind: name of the kind in `kit.quantities`.
    """

    value: float
    kind: str


@dataclass(frozen=True, slots=True)
class Line:
    """One sentence: an English template (the key of its translations) and what fills it.

    Args:
        template: English text with `{name}` where a value goes.
        values: what goes there; a `Measure` is rendered in the learner's units, a `Line` and
            words in the learner's language.
    """

    template: str
    values: tuple[tuple[str, str | int | float | Measure | Line], ...] = ()

    def render(self, units: str = "us", translate: Callable[[str], str] = str) -> str:
        """Return the sentence in the learner's units and language.

        Args:
            units: name of a unit system of `kit.quantities`.
            translate: maps an English template or word to the learner's language.
        """
        from kit.visit.wording import render_line

        return render_line(self, units, translate)


Filling = str | int | float | Measure | Line


def line(template: str, **values: Filling) -> Line:
    """Return a `Line` with its values in the order given."""
    return Line(template, tuple(values.items()))


@dataclass(frozen=True, slots=True)
class Reading:
    """What one instrument showed at one moment.

    Args:
        number: running number in this visit; `record(reading=number)` writes it down.
        instrument: name of the instrument.
        quantity: what it measures there (`dry_bulb`, `relative_humidity`, `current`, ...).
        kind: kind of quantity for units.
        place: where it was held.
        value: as displayed, at the display's resolution [SI unit of its kind].
        at_s: clock of the visit [s].
        steady: False while the figure on the display still moves.
    """

    number: int
    instrument: str
    quantity: str
    kind: str
    place: str
    value: float
    at_s: float
    steady: bool


@dataclass(frozen=True, slots=True)
class Trace:
    """What an instrument left in place showed while time passed; to plot, not to write down.

    Args:
        instrument: name of the instrument.
        quantity: what it measures.
        kind: kind of quantity for units.
        place: where it is.
        at_s: clock of each point [s].
        values: displayed values [SI unit of its kind].
    """

    instrument: str
    quantity: str
    kind: str
    place: str
    at_s: tuple[float, ...]
    values: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Caution:
    """A usual caution, shown where its hazard is met.

    Args:
        code: short name of the hazard (`mains`, `stored_charge`, `rotation`, ...).
        line: what to say.
    """

    code: str
    line: Line


@dataclass(frozen=True, slots=True)
class Hazard:
    """Something dangerous that was done, judged from the state of the machine and the learner.

    Args:
        code: short name of the rule broken.
        level: "note" (poor practice), "near_miss" or "critical".
        line: what happened and why it matters.
    """

    code: str
    level: str
    line: Line


@dataclass(frozen=True, slots=True)
class Picture:
    """A look that is drawn by the screen.

    Args:
        subject: what is drawn (`coil_face`, `wheel_blades`, `board`, `drain`, `filter`, ...).
        grade: how bad it looks, 0 (clean) to 4.
        alt: the same in words.
    """

    subject: str
    grade: int
    alt: Line


@dataclass(frozen=True, slots=True)
class Outcome:
    """What the learner saw, heard or read after one action; nothing hidden is in it.

    Args:
        number: number of the action in this visit, from 1.
        action: its name.
        args: its arguments after defaults were filled in.
        lines: what was seen, sentence by sentence.
        readings: what instruments showed.
        traces: what instruments left in place showed while time passed.
        cautions: usual cautions where a hazard is met.
        hazards: what went wrong.
        pictures: what is to be drawn.
        elapsed_s: time the action took [s].
        clock_s: clock of the visit afterwards [s].
        reason: why the action was refused, else None.
        stopped: True when a trainer held the learner back; the act itself was not done.
        units: unit system in which `text` is rendered; not part of the journal.
        translate: maps English texts to the language of `text`; not part of the journal.
    """

    number: int
    action: str
    args: Mapping[str, Any]
    lines: tuple[Line, ...]
    readings: tuple[Reading, ...] = ()
    traces: tuple[Trace, ...] = ()
    cautions: tuple[Caution, ...] = ()
    hazards: tuple[Hazard, ...] = ()
    pictures: tuple[Picture, ...] = ()
    elapsed_s: float = 0.0
    clock_s: float = 0.0
    reason: Line | None = None
    stopped: bool = False
    units: str = field(default="us", compare=False)
    translate: Callable[[str], str] = field(default=str, compare=False, repr=False)

    @property
    def refused(self) -> bool:
        """Whether the action could not be done."""
        return self.reason is not None

    @property
    def why(self) -> str:
        """Why the action was refused, in the learner's units and language; empty when done."""
        return "" if self.reason is None else self.reason.render(self.units, self.translate)

    @property
    def text(self) -> str:
        """Everything said, as plain text in the learner's units and language."""
        said = [*(h.line for h in self.hazards), *self.lines]
        if self.reason is not None:
            said.insert(0, self.reason)
        return " ".join(part.render(self.units, self.translate) for part in said)


@dataclass(frozen=True, slots=True)
class Choice:
    """One value an argument can take.

    Args:
        value: what to pass to `step`.
        label: English words for a button or list (the key of their translations).
    """

    value: str
    label: str


@dataclass(frozen=True, slots=True)
class ArgumentInfo:
    """One argument of an action, with all a screen needs to ask for it.

    Args:
        name: keyword for `step`.
        title: English label.
        kind: "choice", "choices", "number", "text" or "flag".
        required: whether it must be given.
        default: value used when it is left out.
        choices: allowed values of a choice.
        depends_on: name of the argument that decides the choices, else "".
        choices_by: choices for each value of `depends_on`.
        measure: kind of quantity of a number; "" for a plain number.
        low: lowest number allowed [SI unit of its kind].
        high: highest number allowed [SI unit of its kind].
        measure_by: kind of quantity for each value of `depends_on`, when that decides it.
    """

    name: str
    title: str
    kind: str
    required: bool = True
    default: Any = None
    choices: tuple[Choice, ...] = ()
    depends_on: str = ""
    choices_by: Mapping[str, tuple[Choice, ...]] = field(default_factory=dict)
    measure: str = ""
    low: float | None = None
    high: float | None = None
    measure_by: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class ActionInfo:
    """One action as a screen offers it.

    Args:
        name: what to pass to `step`.
        title: English words for its button.
        phase: one of the names in `PHASES`.
        part: part of the site it is done at (`customer`, `remote`, `indoor`, `outdoor`,
            `disconnect`, `drain`, `job_sheet`, `instruments`); for a drawn site.
        arguments: what to ask for.
        takes_s: time it usually takes [s]; some take longer by their arguments.
        available: whether it can be done now.
        why: why not, when it cannot; in English.
        cautions: usual cautions to show beside it.
        reason: why not, to be shown in the learner's units and language.
    """

    name: str
    title: str
    phase: str
    part: str
    arguments: tuple[ArgumentInfo, ...]
    takes_s: float
    available: bool = True
    why: str = ""
    cautions: tuple[Caution, ...] = ()
    reason: Line | None = None


@dataclass(frozen=True, slots=True)
class SheetEntry:
    """One line of the learner's job sheet.

    Args:
        item: name of the line (`return_dry_bulb`, `split`, `pour_test`, ...).
        title: English label.
        when: "as_found" or "as_left".
        kind: kind of quantity; "" for words.
        value: number [SI unit of its kind] or words.
        reading: number of the reading it was copied from, else None.
        at_s: clock when it was written [s].
    """

    item: str
    title: str
    when: str
    kind: str
    value: float | str
    reading: int | None
    at_s: float


@dataclass(frozen=True, slots=True)
class View:
    """What anybody standing there sees; a screen draws it.

    Args:
        clock_s: clock of the visit [s].
        work_order: title of the work order.
        mode: what the remote shows ("off", "cooling", ...).
        setpoint_k: what the remote shows [K].
        fan: what the remote shows.
        disconnect_pulled: whether the disconnect is out.
        locked: whether the learner's lock is on it.
        tagged: whether the learner's tag is on it.
        running: whether the indoor unit can be heard to blow air.
        open_parts: covers and parts now off.
        protected: protection now in place.
        worn: protective equipment now worn.
        placed: place of each instrument left somewhere.
        water: water seen below the indoor unit.
        ice: ice seen on the indoor coil or the pipes.
        sheet: the job sheet so far.
        readings: every reading taken so far.
        closed: True after the hand-over.
        outdoor_fan_turning: whether the outdoor fan can be seen to turn.
        gauges_on: whether gauges hang at the outdoor unit.
    """

    clock_s: float
    work_order: str
    mode: str
    setpoint_k: float
    fan: str
    disconnect_pulled: bool
    locked: bool
    tagged: bool
    running: bool
    open_parts: tuple[str, ...]
    protected: tuple[str, ...]
    worn: tuple[str, ...]
    placed: Mapping[str, str]
    water: bool
    ice: bool
    sheet: tuple[SheetEntry, ...]
    readings: tuple[Reading, ...]
    closed: bool
    outdoor_fan_turning: bool = False
    gauges_on: bool = False
