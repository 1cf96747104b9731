"""A work order as the text of a TOML file: tables of words, numbers, flags and lists of these."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any


def dumps(data: Mapping[str, Any]) -> str:
    """Return the text of a TOML file.

    Args:
        data: words, numbers, flags, lists of words, tables of these, and lists of tables.
    """
    lines: list[str] = []
    _table(data, "", lines)
    return "\n".join(lines) + "\n"


def _table(data: Mapping[str, Any], path: str, lines: list[str]) -> None:
    tables: dict[str, Any] = {}
    for key, value in data.items():
        nested = isinstance(value, Mapping)
        if nested or (isinstance(value, list) and value and isinstance(value[0], Mapping)):
            tables[key] = value
        else:
            lines.append(f"{key} = {_value(value)}")
    for key, value in tables.items():
        name = f"{path}{key}"
        for one in [value] if isinstance(value, Mapping) else value:
            if not one:
                continue
            lines.extend(("", f"[{name}]" if isinstance(value, Mapping) else f"[[{name}]]"))
            _table(one, f"{name}.", lines)


def _value(value: Any) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return _quoted(value)
    if isinstance(value, list):
        return "[" + "".join(f"\n  {_quoted(one)}," for one in value) + "\n]"
    return repr(value)


def _quoted(text: str) -> str:
    """Return words as a basic string; whatever cannot stand in one is written by its number."""
    escaped = "".join(
        f"\\{letter}" if letter in '"\\' else letter if _plain(letter) else f"\\U{ord(letter):08X}"
        for letter in text
    )
    return f'"{escaped}"'


def _plain(letter: str) -> bool:
    return letter >= " " and letter != "\x7f"
