"""How a screen speaks: in the learner's units and language, at the last moment before it shows."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from kit.language import AWAITING_REVIEW, ENGLISH, LANGUAGES
from kit.quantities import unit_system

if TYPE_CHECKING:
    from kit.visit.outcome import Line

UNITS: tuple[tuple[str, str], ...] = (("us", "°F, psig, cfm"), ("si", "°C, kPa, L/s"))


@dataclass(frozen=True, slots=True)
class Voice:
    """The learner's units and language.

    Args:
        units: name of a unit system of `kit.quantities`.
        translate: maps English words to the learner's language.
        language: tag of that language.
    """

    units: str = "us"
    translate: Callable[[str], str] = str
    language: str = ENGLISH

    def unit_choices(self) -> list[dict[str, Any]]:
        """Return the unit systems as a switch shows them."""
        return [
            {"value": name, "label": self.words(label), "now": name == self.units}
            for name, label in UNITS
        ]

    def language_choices(self) -> list[dict[str, Any]]:
        """Return the languages as a switch shows them: by tag, with the name in its own words."""
        return [
            {
                "value": tag,
                "label": tag.upper(),
                "name": f"{tag.upper()}: {name}",
                "now": tag == self.language,
                "lang": tag,
            }
            for tag, name in LANGUAGES.items()
        ]

    @property
    def language_name(self) -> str:
        """Name of the language, in the language itself."""
        return LANGUAGES[self.language]

    @property
    def review(self) -> str:
        """What is to be said of the language as long as nobody has reviewed it."""
        return AWAITING_REVIEW.get(self.language, "")

    def words(self, english: str) -> str:
        """Return a label in the learner's language."""
        return self.translate(english)

    def line(self, line: Line) -> str:
        """Return a sentence in the learner's units and language."""
        return line.render(self.units, self.translate)

    def lines(self, lines: Iterable[Line]) -> list[str]:
        """Return sentences in the learner's units and language."""
        return [self.line(line) for line in lines]

    def show(self, kind: str, value: float) -> str:
        """Return a value with its unit.

        Args:
            kind: kind of quantity; "" for a plain number.
            value: what to show [SI].
        """
        return unit_system(self.units).show(kind, value) if kind else f"{value:g}"

    def number(self, kind: str, value: float) -> float:
        """Return an SI value as a number in the learner's unit."""
        return float(unit_system(self.units).number(kind, value))

    def unit(self, kind: str) -> str:
        """Return the symbol of the unit a kind is shown in; "" for a plain number."""
        return unit_system(self.units).unit(kind).symbol if kind else ""
