"""Other people at the site: whose lock hangs beside the learner's, and who works at the unit."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from kit.errors import KitError, UnknownNameError

_KEYS = ("hazard", "other_lock", "person_at_unit")


@dataclass(frozen=True, slots=True)
class SiteFacts:
    """What a work order says of other people at the site.

    Args:
        other_lock: who hangs a lock of their own on the disconnect once it is out; "" for nobody.
        person_at_unit: who is at work at the unit when power is about to come back; "" for nobody.
    """

    other_lock: str = ""
    person_at_unit: str = ""


NOBODY_ELSE = SiteFacts()


def site_facts(table: Mapping[str, Any], file: str) -> SiteFacts:
    """Read the table `[site]` of a work order, its hazards left aside.

    Args:
        table: what the file says.
        file: its name, for messages.

    Raises:
        UnknownNameError: an unknown key.
        KitError: something other than words.
    """
    for key, value in table.items():
        if key not in _KEYS:
            raise UnknownNameError(f"key in {file} site", key, list(_KEYS))
        if key != "hazard" and not (isinstance(value, str) and value.strip()):
            raise KitError(f'{file}: `site.{key}` must be words. Write `{key} = "..."`.')
    return SiteFacts(table.get("other_lock", ""), table.get("person_at_unit", ""))
