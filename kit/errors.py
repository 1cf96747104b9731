"""The kit's errors: one base class, each message says what, where and what to do."""

from __future__ import annotations

from collections.abc import Callable


class KitError(Exception):
    """Base of every error the kit raises on purpose.

    A message that a learner may meet is a template, the key of its translations, and what fills
    it; any other may be given ready.
    """

    def __init__(self, template: str = "", /, **values: object) -> None:
        """Build the message.

        Args:
            template: English text, with `{name}` where a value goes.
            values: what goes there; words are translated as well.
        """
        self.template, self.values = template, values
        super().__init__(self.said())

    def said(self, translate: Callable[[str], str] = str) -> str:
        """Return the message in the learner's language.

        Args:
            translate: maps an English template or word to that language.
        """
        template = translate(self.template)
        if not self.values:
            return template
        filled = {k: translate(v) if isinstance(v, str) else v for k, v in self.values.items()}
        return template.format(**filled)


class OutOfRangeError(KitError):
    """A value lies outside what the model or the form allows."""

    def __init__(self, name: str, value: object, low: object, high: object, advice: str) -> None:
        """Build the message.

        Args:
            name: what was given, with its unit in the name.
            value: the value as given.
            low: lowest value allowed.
            high: highest value allowed.
            advice: what to do next, one sentence.
        """
        self.name, self.value, self.low, self.high = name, value, low, high
        super().__init__(
            "{name} is {value}; it must lie from {low} to {high}. {advice}",
            name=name, value=value, low=low, high=high, advice=advice,
        )  # fmt: skip


class UnknownNameError(KitError):
    """A name is not in the list it was looked up in; the nearest one is named."""

    def __init__(self, kind: str, name: str, known: list[str]) -> None:
        """Build the message.

        Args:
            kind: what was looked up (unit, fault, action, ...).
            name: the name as given.
            known: every name that exists.
        """
        import difflib

        self.kind, self.name, self.known = kind, name, known
        near = difflib.get_close_matches(name, known, n=1, cutoff=0.3)
        hint = f"Did you mean {near[0]!r}?" if near else f"Known: {', '.join(sorted(known))}."
        super().__init__(f"There is no {kind} named {name!r}. {hint}")


class NotConvergedError(KitError):
    """The circuit's equations were not solved; no number is returned."""
