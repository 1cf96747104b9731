"""Fields of tasks, one line each."""

from __future__ import annotations

from kit.visit.outcome import ArgumentInfo, Choice


def number(
    name: str, title: str, kind: str, low: float | None = None, high: float | None = None
) -> ArgumentInfo:
    """Return a field for a number.

    Args:
        name: its name in the answer.
        title: English label.
        kind: kind of quantity, which gives its unit.
        low: lowest number taken [SI]; what is below is refused with the reason.
        high: highest number taken [SI].
    """
    return ArgumentInfo(name, title, "number", measure=kind, low=low, high=high)


def choice(name: str, title: str, **choices: str) -> ArgumentInfo:
    """Return a field for one of some choices.

    Args:
        name: its name in the answer.
        title: English label.
        choices: value to English label.
    """
    return ArgumentInfo(name, title, "choice", choices=_choices(choices))


def several(name: str, title: str, **choices: str) -> ArgumentInfo:
    """Return a field for any number of some choices.

    Args:
        name: its name in the answer.
        title: English label.
        choices: value to English label.
    """
    return ArgumentInfo(name, title, "choices", choices=_choices(choices))


def _choices(choices: dict[str, str]) -> tuple[Choice, ...]:
    return tuple(Choice(value, label) for value, label in choices.items())
