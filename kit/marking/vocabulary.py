"""Words that arguments of criteria may hold, by the argument's name."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from functools import cache


def _items() -> Collection[str]:
    from kit.visit.sheet import ITEMS

    return ITEMS


def _when() -> Collection[str]:
    from kit.visit.sheet import WHEN

    return WHEN


def _places() -> Collection[str]:
    from kit.visit.actions import registry
    from kit.visit.places import PLACES

    registry()  # importing the steps brings every place
    return PLACES


def _actions() -> Collection[str]:
    from kit.visit.actions import registry

    return registry()


def _topics() -> Collection[str]:
    from kit.visit.topics import TOPICS

    return TOPICS


def _parts() -> Collection[str]:
    from kit.visit.looks import LOOKS

    return LOOKS


def _knobs() -> Collection[str]:
    from kit.machine.condition import KNOB_NAMES

    return KNOB_NAMES


def _explain() -> Collection[str]:
    from kit.visit.steps.finish import EXPLAIN

    return EXPLAIN


def _recommendations() -> Collection[str]:
    from kit.visit.steps.decide import RECOMMENDATIONS

    return RECOMMENDATIONS


def _decisions() -> Collection[str]:
    from kit.visit.steps.decide import DECISIONS

    return DECISIONS


def _events() -> Collection[str]:
    from kit.marking.events import EVENTS

    return EVENTS


def _wear() -> Collection[str]:
    from kit.visit.state import WORN

    return WORN


def _protection() -> Collection[str]:
    from kit.visit.state import PROTECTION

    return PROTECTION


def _fans() -> Collection[str]:
    from kit.visit.steps.run import FANS

    return FANS


def _methods() -> Collection[str]:
    from kit.visit.actions import registry

    return sorted(
        {
            choice
            for act in registry().values()
            for argument in act.arguments
            if argument.name == "method"
            for choice in argument.choices
        }
    )


def _findings() -> Collection[str]:
    from kit.faults import fault_names
    from kit.visit.steps.decide import NO_FAULTS

    return [*fault_names(), *NO_FAULTS]


# argument: words for its kind, and where its words come from. "|" joins several that will do.
VOCABULARY: Mapping[str, tuple[str, Callable[[], Collection[str]]]] = {
    "item": ("line of the job sheet", _items),
    "items": ("line of the job sheet", _items),
    "when": ("column of the job sheet", _when),
    "places": ("place", _places),
    "action": ("action", _actions),
    "actions": ("action", _actions),
    "topics": ("topic", _topics),
    "parts": ("thing to look at", _parts),
    "knobs": ("knob", _knobs),
    "explain": ("explanation", _explain),
    "wanted": ("recommendation", _recommendations),
    "wrong": ("recommendation", _recommendations),
    "choice": ("decision", _decisions),
    "choices": ("decision", _decisions),
    "first": ("event", _events),
    "then": ("event", _events),
    "until": ("event", _events),
    "wear": ("protective equipment", _wear),
    "protection": ("protection", _protection),
    "fan": ("fan setting", _fans),
    "methods": ("method", _methods),
    "alike": ("finding", _findings),
}


@cache
def words_of(argument: str) -> tuple[str, ...] | None:
    """Return the words that an argument may hold, or None when it holds no words.

    Args:
        argument: its name.
    """
    found = VOCABULARY.get(argument)
    return None if found is None else tuple(found[1]())
