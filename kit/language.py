"""The languages of the kit: gettext catalogues whose keys are the English texts themselves.

A text is written in English where it is said and translated at the last moment before it is
shown; journals and marks keep the English. What a catalogue lacks stays English.
"""

from __future__ import annotations

import gettext
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path

from kit.errors import UnknownNameError

DOMAIN = "benchcall"
LOCALE = Path(__file__).resolve().parent / "locale"
ENGLISH = "en"
# Tag, name in the language itself; who chooses one sees whether it has been reviewed.
LANGUAGES: dict[str, str] = {"en": "English", "es": "Español (en revisión)"}
AWAITING_REVIEW: dict[str, str] = {
    "es": "Traducción pendiente de revisión por un técnico de habla hispana. Si algo no está "
    "claro, vale el texto en inglés.",
}
# How lists of phrases are joined in English, and the same in other languages.
_JOINTS: dict[str, dict[str, str]] = {"es": {"; ": "; ", ", ": ", ", " and no ": " ni "}}
_NO_JOINTS: dict[str, str] = {}


def language_tag(tag: str) -> str:
    """Return a language of the kit by its tag; "es-MX" finds "es".

    Args:
        tag: a BCP 47 tag.

    Raises:
        UnknownNameError: the kit does not speak it.
    """
    main = tag.partition("-")[0].casefold()
    if main not in LANGUAGES:
        raise UnknownNameError("language", tag, list(LANGUAGES))
    return main


@dataclass(frozen=True, slots=True)
class Translator:
    """Maps English texts to one language; a text it does not know stays as it is.

    A list of known phrases is translated phrase by phrase, and a phrase is known whether it begins
    with a capital or not.

    Args:
        language: tag of the language.
        own: translations that come with a file of their own, such as a work order.
    """

    language: str = ENGLISH
    own: Mapping[str, str] = field(default_factory=dict)

    def __call__(self, english: str) -> str:
        """Return a text in this language."""
        if self.language == ENGLISH or not english:
            return english
        found = self.known(english)
        if found is None:
            found = self._list(english)
        return english if found is None else found

    def known(self, english: str) -> str | None:
        """Return the translation of one text, or None when there is none."""
        if english in self.own:
            return self.own[english]
        look_up = catalogue(self.language).gettext
        found = look_up(english)
        if found:
            return found
        first = english[:1]
        found = look_up(first.swapcase() + english[1:])
        if not found:
            return None
        return (found[:1].upper() if first.isupper() else found[:1].lower()) + found[1:]

    def _list(self, english: str) -> str | None:
        """Return a list with each phrase translated; a phrase may hold a joint itself."""
        for joint, ours in _JOINTS.get(self.language, _NO_JOINTS).items():
            pieces = english.split(joint)
            if len(pieces) == 1:
                continue
            said = self._pieces(pieces, joint)
            if said is not None:
                return ours.join(said)
        return None

    def _pieces(self, pieces: list[str], joint: str) -> list[str] | None:
        said: list[str] = []
        at = 0
        while at < len(pieces):
            for end in range(len(pieces), at, -1):  # the longest known phrase first
                found = self.known(joint.join(pieces[at:end]))
                if found is not None:
                    said.append(found)
                    at = end
                    break
            else:
                return None
        return said


def translator(language: str, own: Mapping[str, str] | None = None) -> Translator:
    """Return what maps English texts to a language; a language without a catalogue stays English.

    Args:
        language: a BCP 47 tag; what the kit does not speak is left in English.
        own: translations that come with a file of their own and are asked first.
    """
    main = language.partition("-")[0].casefold()
    if main not in LANGUAGES:
        return Translator()
    return Translator(main, {} if own is None else own)


class _Nothing(gettext.NullTranslations):
    """Says nothing of a text that no catalogue holds, so that it is told from a translated one."""

    def gettext(self, message: str) -> str:
        """Return nothing."""
        del message
        return ""


@cache
def catalogue(language: str) -> gettext.NullTranslations:
    """Return the catalogue of a language; it gives "" for what it lacks.

    Args:
        language: tag of a language of the kit.
    """
    found = gettext.translation(DOMAIN, LOCALE, [language], fallback=language == ENGLISH)
    found.add_fallback(_Nothing())
    return found
