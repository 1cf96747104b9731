"""The form of a rubric's file, stated once: the loader checks by it, the JSON Schema is made of it.

`datasets/rubrics/make_schema.py` writes the schema that lies beside the rubrics for editors.
"""

from __future__ import annotations

import json
import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from kit.errors import KitError, UnknownNameError
from kit.marking.critical import KINDS
from kit.marking.vocabulary import VOCABULARY, words_of

SCHEMA_ID = "rubric.schema.json"
_JSON = {"words": "string", "number": "number", "flag": "boolean", "names": "array",
         "table": "object", "tables": "array"}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Field:
    """One line of a table of the file.

    Args:
        kind: "words", "number", "flag", "names" (a list of words), "table" or "tables".
        says: what it is, for an editor.
        required: whether it must stand there.
        low: least number; an exclusive limit when `above`.
        high: greatest number.
        above: whether the number must be above `low`.
        holds: name of the form of the tables within.
    """

    kind: str
    says: str
    required: bool = True
    low: float = -math.inf
    high: float = math.inf
    above: bool = False
    holds: str = ""


FORMS: Mapping[str, Mapping[str, Field]] = {
    "rubric": {
        "id": Field("words", "Name of the rubric, also that of its file."),
        "title": Field("words", "Label."),
        "least": Field("number", "Share of all points needed to pass.", low=0, high=1),
        "block": Field("tables", "Groups of rows.", holds="block"),
        "row": Field("tables", "What is looked at.", holds="row"),
        "order": Field("tables", "What must come before what.", required=False, holds="order"),
        "critical": Field("table", "Critical errors that fail at once, with their words."),
    },
    "block": {
        "name": Field("words", "Short name."),
        "title": Field("words", "Label."),
        "least": Field("number", "Share of its points needed to pass.", low=0, high=1),
    },
    "row": {
        "name": Field("words", "Short name, once only."),
        "block": Field("words", "Name of its block."),
        "title": Field("words", "What is looked at."),
        "points": Field("number", "What it is worth.", low=0, high=100, above=True),
        "criterion": Field("words", "Name of the criterion that judges it."),
        "args": Field("table", "Arguments of the criterion.", required=False),
        "when": Field("names", "Facts that must all hold for the row to apply.", required=False),
        "unless": Field("names", "Facts of which none may hold.", required=False),
        "why": Field("words", "Why it matters, in a trainer's words."),
        "next_time": Field("words", "What to do next time."),
    },
    "order": {
        "title": Field("words", "In words."),
        "first": Field("words", "Event that must come first."),
        "then": Field("words", "Event that must come after it."),
        "voids": Field("names", "Rows that earn nothing otherwise."),
        "optional": Field("flag", "Whether the first may be left out.", required=False),
    },
}


def checked(data: Mapping[str, Any], file: str) -> None:
    """Refuse data that breaks the form; every message names file, table and field.

    Args:
        data: what the file says.
        file: its name.

    Raises:
        UnknownNameError: a field that does not exist; the nearest is named.
        KitError: a field is missing or of the wrong kind.
    """
    _table(data, "rubric", file)
    for name, words in data["critical"].items():
        if name not in KINDS:
            raise UnknownNameError(f"critical error in {file}", name, list(KINDS))
        if not isinstance(words, str):
            raise KitError(f"{file}, `critical.{name}`: {words!r} is no text. Write words.")


def checked_args(where: str, args: Mapping[str, Any], kinds: Mapping[str, str]) -> None:
    """Refuse arguments of the wrong kind, or with words that do not exist.

    Args:
        where: file and row, for messages.
        args: arguments in the rubric; all their names exist.
        kinds: name to annotation of the criterion's function.

    Raises:
        UnknownNameError: a word that does not exist; the nearest is named.
        KitError: an argument of the wrong kind.
    """
    for name, value in args.items():
        wanted = kinds[name].removesuffix(" | None")
        if not _fits(value, wanted):
            raise KitError(f"{where}, `args.{name}` is {value!r}; it must be {_SAID[wanted]}.")
        known = words_of(name)
        if known is None:
            continue
        for word in _flat(value):
            if word not in known and word:
                kind = f"{VOCABULARY[name][0]} in {where}, `args.{name}`"
                raise UnknownNameError(kind, word, list(known))


def schema() -> dict[str, Any]:
    """Return the JSON Schema of a rubric, for editors."""
    from kit.marking.criterion import criteria, parameters
    from kit.marking.events import EVENTS
    from kit.marking.key import FACTS

    made = _object("rubric")
    row = made["properties"]["row"]["items"]
    row["properties"]["criterion"]["enum"] = sorted(criteria())
    for name in ("when", "unless"):
        row["properties"][name]["items"]["enum"] = list(FACTS)
    row["allOf"] = [
        {
            "if": {"properties": {"criterion": {"const": name}}},
            "then": _args_schema(parameters(name)),
        }
        for name in sorted(criteria())
    ]
    order = made["properties"]["order"]["items"]["properties"]
    for name in ("first", "then"):
        order[name]["enum"] = list(EVENTS)
    made["properties"]["critical"] = {
        "type": "object",
        "description": FORMS["rubric"]["critical"].says,
        "properties": {k: {"type": "string", "description": v[0]} for k, v in KINDS.items()},
        "additionalProperties": False,
    }
    head = {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "$id": SCHEMA_ID,
        "title": "Rubric",
    }
    return {**head, **made}


def schema_text() -> str:
    """Return the schema as its file holds it."""
    return json.dumps(schema(), indent=2, ensure_ascii=False) + "\n"


def _table(data: Any, form: str, where: str) -> None:
    if not isinstance(data, Mapping):
        raise KitError(f"{where} must be a table, not {data!r}.")
    fields = FORMS[form]
    for name in data:
        if name not in fields:
            raise UnknownNameError(f"field in {where}", name, list(fields))
    for name, field in fields.items():
        if name not in data:
            if field.required:
                raise KitError(f"{where} lacks `{name}`. {field.says} Add that line.")
            continue
        _field(data[name], field, f"{where}, `{name}`")
        if field.kind == "tables":
            for number, one in enumerate(data[name], 1):
                _table(one, field.holds, f"{where}, {field.holds} {_called(one, number)}")


def _called(one: Any, number: int) -> str:
    name = one.get("name", one.get("title")) if isinstance(one, Mapping) else None
    return repr(name) if isinstance(name, str) and name else f"number {number}"


def _field(value: Any, field: Field, where: str) -> None:
    if field.kind == "number":
        _number(value, field, where)
    elif field.kind == "flag" and not isinstance(value, bool):
        raise KitError(f"{where} is {value!r}; write true or false.")
    elif field.kind == "words" and not (isinstance(value, str) and value.strip()):
        raise KitError(f'{where} is {value!r}; it must be words in quotes: "...".')
    elif field.kind == "table" and not isinstance(value, Mapping):
        raise KitError(f"{where} is {value!r}; it must be a table.")
    elif field.kind == "tables" and not (isinstance(value, list) and value):
        raise KitError(f"{where} must be a list of tables. Write [[{where.split('`')[-2]}]].")
    elif field.kind == "names" and not _fits(value, "list[str]"):
        raise KitError(f'{where} is {value!r}; it must be a list of words: ["...", "..."].')


def _number(value: Any, field: Field, where: str) -> None:
    fits = isinstance(value, int | float) and not isinstance(value, bool) and math.isfinite(value)
    if not fits:
        raise KitError(f"{where} is {value!r}; it must be a number.")
    if not field.low <= value <= field.high or (field.above and value == field.low):
        least = f"above {field.low:g}" if field.above else f"at least {field.low:g}"
        raise KitError(f"{where} is {value}; it must be {least} and at most {field.high:g}.")


_SAID = {
    "str": "words in quotes",
    "int": "a whole number",
    "float": "a number",
    "bool": "true or false",
    "list[str]": "a list of words",
    "list[list[str]]": "a list of lists of words",
}
_ARGS: Mapping[str, dict[str, Any]] = {
    "str": {"type": "string"},
    "int": {"type": "integer"},
    "float": {"type": "number"},
    "bool": {"type": "boolean"},
    "list[str]": {"type": "array", "minItems": 1, "items": {"type": "string"}},
    "list[list[str]]": {
        "type": "array",
        "items": {"type": "array", "items": {"type": "string"}},
    },
}


def _fits(value: Any, wanted: str) -> bool:
    if wanted == "bool":
        return isinstance(value, bool)
    if wanted in ("int", "float"):
        kinds = int if wanted == "int" else int | float
        return isinstance(value, kinds) and not isinstance(value, bool)
    if wanted == "str":
        return isinstance(value, str)
    if not (isinstance(value, list) and value):
        return False
    inner = wanted.removeprefix("list[").removesuffix("]")
    return all(_fits(one, inner) for one in value)


def _flat(value: Any) -> list[str]:
    if isinstance(value, str):
        return value.split("|")
    return [word for one in value for word in _flat(one)] if isinstance(value, list) else []


def _object(form: str) -> dict[str, Any]:
    properties = {}
    for name, field in FORMS[form].items():
        made: dict[str, Any] = {"type": _JSON[field.kind], "description": field.says}
        if field.kind == "words":
            made["minLength"] = 1
        if field.kind == "number":
            made["exclusiveMinimum" if field.above else "minimum"] = field.low
            made["maximum"] = field.high
        if field.kind == "names":
            made.update(minItems=1, items={"type": "string"})
        if field.kind == "tables":
            made.update(minItems=1, items=_object(field.holds))
        properties[name] = made
    return {
        "type": "object",
        "properties": properties,
        "required": [name for name, field in FORMS[form].items() if field.required],
        "additionalProperties": False,
    }


def _args_schema(given: Mapping[str, tuple[str, bool]]) -> dict[str, Any]:
    properties = {}
    for name, (annotation, _) in given.items():
        made = json.loads(json.dumps(_ARGS[annotation.removesuffix(" | None")]))
        known = words_of(name)
        if known is not None and made["type"] == "string" and name != "until":
            made["enum"] = sorted(known)
        # Lines of the job sheet may be joined by "|" where one of several will do.
        elif known is not None and annotation == "list[str]" and name != "items":
            made["items"]["enum"] = sorted(known)
        properties[name] = made
    needed = [name for name, (_, required) in given.items() if required]
    args = {"properties": properties, "required": needed, "additionalProperties": False}
    found: dict[str, Any] = {"properties": {"args": args}}
    if needed:
        found["required"] = ["args"]
    return found
