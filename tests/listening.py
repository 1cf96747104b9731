"""A translator that remembers every text it was asked for and could not translate."""

from __future__ import annotations

import re

from kit.language import Translator
from kit.visit.work_order import WorkOrder

_FIGURE = re.compile(r"^[-+]?\d[\d.,:/]*( ?[^\s]+){0,2}$")  # "78.0 °F", "3 min", "12.5 kPa gauge"


class Listening:
    """Translates, and keeps what stayed English although it should not.

    Args:
        translate: the translator.
        free: texts that may stay as they are: names, and a work order's own words.
    """

    def __init__(self, translate: Translator, free: frozenset[str] = frozenset()) -> None:
        self.translate, self.free = translate, free
        self.missing: set[str] = set()
        self._said: set[str] = set()

    def __call__(self, english: str) -> str:
        """Return the translation, and remember when there is none."""
        said = self.translate(english)
        same = said == english and self.translate.known(english) is None
        if same and not self._may_stay(english):
            self.missing.add(english)
        self._said.add(said)
        return said

    def _may_stay(self, text: str) -> bool:
        letters = any(c.isalpha() for c in re.sub(r"\{\w*\}", "", text))
        figures = all(_FIGURE.match(one) for one in text.split(", "))
        whole = not letters or text in self.free or text in self._said or figures
        return bool(whole) or self._made_of_said(text)

    def _made_of_said(self, text: str) -> bool:
        """Return whether a text is a list of what was said in translation before."""
        for said in sorted(self._said, key=len, reverse=True):
            text = text.replace(said, "")
        return not text.strip("; ")


def own_texts(order: WorkOrder) -> frozenset[str]:
    """Return a work order's own English texts."""
    people = (order.people.other_lock, order.people.person_at_unit)
    hazards = (hazard.text for hazard in order.site_hazards)
    return frozenset(
        (order.title, order.customer, *order.brief, *order.says.values(), *hazards, *people)
    )
