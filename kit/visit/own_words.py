"""A work order's own texts in other languages: one optional table a language, with the same keys.

    [es]
    title = "..."
    brief = ["...", "..."]              as many lines as the English has

    [es.customer.says]
    what = "..."

    [[es.site.hazard]]
    name = "paper_dust"
    text = "..."

The same, without the `es.`, may lie in a file of the work order's name in a folder `es` beside it:
a translation that comes later then leaves the work order, and the journals made with it, as they
are. What a translation leaves out stays English.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

from kit.errors import KitError, UnknownNameError
from kit.language import ENGLISH, LANGUAGES

TAGS = tuple(tag for tag in LANGUAGES if tag != ENGLISH)
_KEYS = ("title", "brief", "customer", "site")
_SITE = ("hazard", "other_lock", "person_at_unit")


def own_words(data: Mapping[str, Any], file: str) -> dict[str, dict[str, str]]:
    """Return, for each language of a work order, its texts by their English.

    Args:
        data: the whole work order, its English part checked already.
        file: its name, for messages.

    Raises:
        UnknownNameError: a key, a topic or a hazard that the English part does not have.
        KitError: something other than words, or another number of lines.
    """
    return {tag: dict(_pairs(data, data[tag], tag, file)) for tag in TAGS if tag in data}


def beside(path: Path) -> dict[str, Any]:
    """Return the translations of a work order that lie in folders beside it, by language.

    Args:
        path: the work order's file.

    Raises:
        KitError: a translation is not a TOML file.
    """
    found: dict[str, Any] = {}
    for tag in TAGS:
        file = path.parent / tag / path.name
        if not file.is_file():
            continue
        try:
            found[tag] = tomllib.loads(file.read_text(encoding="utf-8"))
        except (tomllib.TOMLDecodeError, UnicodeDecodeError) as error:
            name = f"{tag}/{file.name}"
            raise KitError(f"{name} is not a TOML file: {error}. Mend that line.") from error
    return found


def _pairs(data: Mapping[str, Any], table: Any, tag: str, file: str) -> Iterator[tuple[str, str]]:
    _only(table, _KEYS, tag, file)
    if "title" in table:
        yield data["title"], _text(table["title"], f"{tag}.title", file)
    yield from _brief(data, table, tag, file)
    customer = table.get("customer", {})
    _only(customer, ("says",), f"{tag}.customer", file)
    said = data["customer"].get("says", {})
    says = customer.get("says", {})
    _only(says, tuple(said), f"{tag}.customer.says", file)
    for topic, text in says.items():
        yield said[topic], _text(text, f"{tag}.customer.says.{topic}", file)
    yield from _site(data.get("site", {}), table.get("site", {}), tag, file)


def _brief(
    data: Mapping[str, Any], table: Mapping[str, Any], tag: str, file: str
) -> Iterator[tuple[str, str]]:
    lines = table.get("brief", [])
    if not isinstance(lines, list) or (lines and len(lines) != len(data["brief"])):
        raise KitError(
            f"{file}: `{tag}.brief` must be a list of {len(data['brief'])} lines in quotes, "
            "one for each English line."
        )
    for english, text in zip(data["brief"], lines, strict=False):
        yield english, _text(text, f"{tag}.brief", file)


def _site(english: Mapping[str, Any], table: Any, tag: str, file: str) -> Iterator[tuple[str, str]]:
    _only(table, _SITE, f"{tag}.site", file)
    for key in ("other_lock", "person_at_unit"):
        if key in table:
            if key not in english:
                raise UnknownNameError(f"key in {file} {tag}.site", key, list(english))
            yield english[key], _text(table[key], f"{tag}.site.{key}", file)
    hazards = {hazard["name"]: hazard["text"] for hazard in english.get("hazard", [])}
    found = table.get("hazard", [])
    if not isinstance(found, list):
        raise KitError(f"{file}: `{tag}.site.hazard` must be `[[{tag}.site.hazard]]` tables.")
    for hazard in found:
        _only(hazard, ("name", "text"), f"{tag}.site.hazard", file)
        name = _text(hazard.get("name"), f"{tag}.site.hazard.name", file)
        if name not in hazards:
            raise UnknownNameError(f"hazard in {file} {tag}.site.hazard", name, list(hazards))
        yield hazards[name], _text(hazard.get("text"), f"{tag}.site.hazard.text", file)


def _only(table: Any, known: tuple[str, ...], name: str, file: str) -> None:
    if not isinstance(table, Mapping):
        raise KitError(f"{file}: `{name}` must be a table. Write `[{name}]` and its lines.")
    for key in table:
        if key not in known:
            raise UnknownNameError(f"key in {file} {name}", key, list(known))


def _text(value: Any, where: str, file: str) -> str:
    if not isinstance(value, str) or not value.strip():
        raise KitError(f"{file}: `{where}` must be words in quotes.")
    return value
