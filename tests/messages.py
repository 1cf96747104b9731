"""Every text that a learner may see, and the catalogues of its translations.

    python -m tests.messages              say which texts lack a translation, and which are stale
    python -m tests.messages --update     bring the .po up to the texts, and the .mo up to the .po
    python -m tests.messages --add es FILE   the same, with translations from a JSON object

The English text is the key. Texts are found in three ways: sentences in the code (any text with a
space that is not a docstring, an error for instructors or on the list below), the registries of the
visit and the marking as they are when the kit runs, and the data files.
"""

from __future__ import annotations

import argparse
import ast
import csv
import io
import json
import re
import string
import sys
import tomllib
from collections.abc import Iterable, Iterator, Mapping
from datetime import UTC, datetime
from functools import cache
from pathlib import Path

from babel.messages.catalog import Catalog
from babel.messages.mofile import read_mo, write_mo
from babel.messages.pofile import read_po, write_po

import kit
from kit import library
from kit.language import DOMAIN, ENGLISH, LANGUAGES, LOCALE

KIT = Path(kit.__file__).resolve().parent
TAGS = tuple(tag for tag in LANGUAGES if tag != ENGLISH)
ROOMS = ("visit", "marking", "screens", "faults")
# Files that hold no text for learners: forms that instructors write, and what checks them.
NOT_FOR_LEARNERS = {
    "visit/circuit_facts.py", "visit/fitted.py", "visit/instruments.py", "visit/own_words.py",
    "visit/site_facts.py", "visit/streams.py", "visit/work_order.py",
    "marking/events.py", "marking/key.py", "marking/rubric.py", "marking/rubric_form.py",
    "marking/script.py", "marking/vocabulary.py", "marking/remedies.py", "marking/signs.py",
    "faults/_definition.py",
}  # fmt: skip
# Errors raised here are met by learners.
LEARNERS_ERRORS = ("quantities.py", "screens/**/*.py", "journal/lock.py", "journal/file.py",
                   "journal/opening.py", "journal/recorder.py", "errors.py",
                   "records/*.py")  # fmt: skip
# Calls whose arguments are shown.
SPEAKERS = {"line", "plain", "words", "said", "translate"}
# Fields of a fault that nobody is shown.
FAULT_FIELDS = ("title", "complaint")
RUBRIC_KEYS = ("title", "why", "next_time")
_WORDS = re.compile(r"[A-Za-z]\S*\s+\S*[A-Za-z]|[A-Za-z]{2,}[.!?]$")
_HEADING = re.compile(r"[A-Z][a-z-]+$")
_MARKUP = re.compile(r"^[a-z]+[-_]|[<>#=/]{1}\S*$|^M\d|^\.|^bc-")


@cache
def messages() -> dict[str, set[str]]:
    """Return every text with the places it comes from."""
    found: dict[str, set[str]] = {}
    for where, text in (*_from_code(), *_from_registries(), *_from_data()):
        if text and any(c.isalpha() for c in re.sub(r"\{\w*\}", "", text)):
            found.setdefault(text, set()).add(where)
    return {text: found[text] for text in sorted(found) if text not in NOT_SHOWN}


def _from_code() -> Iterator[tuple[str, str]]:
    for room in ROOMS:
        for path in sorted((KIT / room).rglob("*.py")):
            name = path.relative_to(KIT).as_posix()
            if name not in NOT_FOR_LEARNERS and room != "faults":
                yield from ((f"kit/{name}", text) for text in _sentences(path))
    for pattern in LEARNERS_ERRORS:
        for path in sorted(KIT.glob(pattern)):
            name = path.relative_to(KIT).as_posix()
            yield from ((f"kit/{name}", text) for text in _errors(path))


def _sentences(path: Path) -> Iterator[str]:
    tree = ast.parse(path.read_text(encoding="utf-8"))
    passed_over = _docstrings(tree)
    said: set[int] = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Raise):
            passed_over |= {id(inner) for inner in ast.walk(node)}
        elif isinstance(node, ast.JoinedStr):
            passed_over |= {id(piece) for piece in node.values}
        elif isinstance(node, ast.Call) and _name(node.func) in SPEAKERS:
            parts = (*node.args, *(keyword.value for keyword in node.keywords))
            said |= {id(constant) for part in parts for constant in _spoken(part)}
        elif isinstance(node, ast.Tuple) and path.parent.name == "tasks":
            said |= {id(one) for one in node.elts if _is_heading(one)}
        elif isinstance(node, ast.Call) and _name(node.func) == "compile":
            passed_over |= {id(inner) for inner in ast.walk(node)}
    for node in ast.walk(tree):
        if isinstance(node, ast.Constant) and isinstance(node.value, str):
            spoken = id(node) in said or _WORDS.search(node.value)
            if spoken and id(node) not in passed_over and not _MARKUP.match(node.value):
                yield node.value


def _is_heading(part: ast.expr) -> bool:
    """Tell whether this may be the heading of a table: one word that begins with a capital."""
    text = part.value if isinstance(part, ast.Constant) else None
    return isinstance(text, str) and bool(_HEADING.match(text))


def _spoken(part: ast.expr) -> Iterator[ast.Constant]:
    """Give the texts that a part of a call may come to, those of inner calls left out."""
    if isinstance(part, ast.Constant):
        yield part
    elif isinstance(part, ast.IfExp):
        yield from (*_spoken(part.body), *_spoken(part.orelse))
    elif isinstance(part, ast.BoolOp):
        yield from (constant for value in part.values for constant in _spoken(value))
    elif isinstance(part, ast.Starred | ast.List | ast.Tuple):
        inside = [part.value] if isinstance(part, ast.Starred) else part.elts
        yield from (constant for value in inside for constant in _spoken(value))


def _errors(path: Path) -> Iterator[str]:
    """Give the templates of errors, which stand first in the call."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Call) and _name(node.func).endswith(("Error", "__init__")):
            for part in node.args:
                text = part.value if isinstance(part, ast.Constant) else None
                if isinstance(text, str) and _WORDS.search(text):
                    yield text


def _name(function: ast.expr) -> str:
    return function.attr if isinstance(function, ast.Attribute) else getattr(function, "id", "")


def _docstrings(tree: ast.Module) -> set[int]:
    return {
        id(statement.value)
        for node in ast.walk(tree)
        if isinstance(node, ast.Module | ast.ClassDef | ast.FunctionDef)
        for statement in node.body
        if isinstance(statement, ast.Expr)
    }


def _from_registries() -> Iterator[tuple[str, str]]:
    from kit.faults import fault, fault_names
    from kit.machine.condition import KNOB_NAMES
    from kit.machine.truth import LIMIT_NAMES
    from kit.marking import critical, plot
    from kit.quantities import KINDS
    from kit.visit import actions, looks, outcome, places, sheet, state, topics
    from kit.visit.instruments import instrument, instrument_names
    from kit.visit.measuring import QUANTITIES
    from kit.visit.pictures import drawing, subjects

    for act in actions.registry().values():
        yield f"action {act.name}", act.title
        for argument in act.arguments:
            where = f"action {act.name}.{argument.name}"
            yield where, argument.title
            tables = (argument.choices, *argument.choices_by.values())
            yield from ((where, label) for table in tables for label in table.values())
    yield from (("phase", title) for _, title in outcome.PHASES)
    for topic in topics.TOPICS.values():
        yield from (("topic", text) for text in (topic.title, topic.question))
    yield from (("place", place.title) for place in places.PLACES.values())
    yield from (("look", look.title) for look in looks.LOOKS.values())
    yield from (("picture", drawing(subject)[0]) for subject in subjects())
    yield from (("quantity", title) for title in QUANTITIES.values())
    yield from (("instrument", instrument(name).title) for name in instrument_names())
    for item in sheet.ITEMS.values():
        yield from (("job sheet", text) for text in (item.title, *item.words.values()))
    for table in (state.PARTS, state.PROTECTION, state.WORN, sheet.WHEN):
        yield from (("part", text) for text in table.values())
    for name in fault_names():
        yield from ((f"fault {name}", getattr(fault(name), key)) for key in FAULT_FIELDS)
    yield from (("critical error", title) for title, _ in critical.KINDS.values())
    yield from (("plot", title) for title in plot.TOLD.values())
    yield from (("numbers", text) for text in ("split", "target"))  # criteria/method.py
    yield from (("knob", name.replace("_", " ")) for name in KNOB_NAMES)
    stops = [name for name in LIMIT_NAMES if name.endswith("_stop")]  # what the lamp stands for
    yield from (("lamp", stop.removesuffix("_stop").replace("_", " ")) for stop in stops)
    for kind in KINDS:
        plain = kind.replace("_", " ")
        yield from (("kind", text) for text in (plain, f"The {plain}"))
    yield from _from_screens()


def _from_screens() -> Iterator[tuple[str, str]]:
    from kit.screens import offers, site, spots, voice, words
    from kit.screens.page import lesson_names, lesson_tasks
    from kit.screens.so_far import so_far_task

    tables = (words.VISIT_WORDS, spots.SPOTS, spots.GROUPS, offers.CAUTION_NAMES, site._WORN)
    yield from (("screen", text) for table in tables for text in table.values())
    yield from (("screen", label) for _, label in voice.UNITS)
    lessons = [task for name in lesson_names() for task in lesson_tasks(name)]
    for task in (*lessons, so_far_task(Path())):
        yield from (("task", text) for text in (task.title, task.button))
        for field in task.fields:
            yield "task", field.title
            yield from (("task", choice.label) for choice in field.choices)


def _from_data() -> Iterator[tuple[str, str]]:
    for path in sorted(library.datasets("rubrics").glob("*.toml")):
        data = tomllib.loads(path.read_text(encoding="utf-8"))
        where = f"datasets/rubrics/{path.name}"
        yield where, data["title"]
        for table in (*data["block"], *data["row"], *data.get("order", [])):
            yield from ((where, table[key]) for key in RUBRIC_KEYS if key in table)
        yield from ((where, text) for text in data["critical"].values())
    course = tomllib.loads(library.datasets("course.toml").read_text(encoding="utf-8"))
    yield from (("datasets/course.toml", path["title"]) for path in course["path"])


# Texts that the search finds and no learner sees, each with the reason.
NOT_SHOWN: dict[str, str] = {
    "top up": "names a stream of random numbers",
    "Give a whole number from 0 (clean) to 4.": "for whoever draws another picture",
    " and no ": "joins a list, which kit/language.py translates",
    "kind of quantity": "no learner types the name of a kind",
    "unit system": "no learner types the name of a system",
    "Erasing cannot be undone: ask the learner first, then say sure=True.": "for programmers",
}
AWAITING = "awaiting a native technician's review"
STARTED = datetime(2026, 1, 1, tzinfo=UTC)  # fixed: the same texts give the same file


def po_path(tag: str) -> Path:
    """Return the source of a language's catalogue."""
    return LOCALE / tag / "LC_MESSAGES" / f"{DOMAIN}.po"


def read(tag: str) -> Catalog:
    """Return a language's catalogue as it stands."""
    with po_path(tag).open("rb") as file:
        return read_po(file, locale=tag, abort_invalid=True)


def compiled(tag: str) -> dict[str, str]:
    """Return what the .mo of a language holds, its header left out."""
    with po_path(tag).with_suffix(".mo").open("rb") as file:
        return {str(m.id): str(m.string) for m in read_mo(file) if m.id}


def untranslated(catalog: Catalog) -> list[str]:
    """Return every text that has no translation."""
    return [text for text in messages() if text not in catalog or not catalog[text].string]


def stale(catalog: Catalog) -> list[str]:
    """Return every translation whose text is no more."""
    known = messages()
    return [str(message.id) for message in catalog if message.id and message.id not in known]


def holes(text: str) -> list[str]:
    """Return the names of the places in a template where values go, each as often as it stands."""
    return sorted(name for _, name, _, _ in string.Formatter().parse(text) if name is not None)


def broken(catalog: Catalog) -> list[str]:
    """Return every text whose translation has other placeholders."""
    return [
        str(message.id)
        for message in catalog
        if message.id and message.string and set(holes(message.id)) != set(holes(message.string))
    ]


def update(tag: str, more: Mapping[str, str] | None = None) -> Catalog:
    """Bring a catalogue up to the texts: new ones get an empty translation, stale ones go.

    Args:
        tag: tag of the language.
        more: translations by text, which go before what stands there.
    """
    given = dict(more or {})
    unknown = sorted(set(given) - set(messages()))
    if unknown:
        sys.stdout.write(f"{tag}: not a text of the kit, left out: {unknown}\n")
    old = read(tag)
    new = Catalog(
        locale=tag, domain=DOMAIN, project=DOMAIN, version="1", fuzzy=False, charset="utf-8",
        header_comment=old.header_comment, last_translator="none yet", language_team=AWAITING,
        msgid_bugs_address="none", copyright_holder="The benchcall contributors",
        creation_date=STARTED, revision_date=STARTED,
    )  # fmt: skip
    for text, where in messages().items():
        said = given.get(text) or (old[text].string if text in old else "")
        new.add(text, said, auto_comments=sorted(where)[:1])
    return new


def save(tag: str, catalog: Catalog) -> None:
    """Write a catalogue's .po and .mo."""
    out = io.BytesIO()
    write_po(out, catalog, width=100, no_location=True, sort_output=True)
    po_path(tag).write_bytes(out.getvalue())
    out = io.BytesIO()
    write_mo(out, catalog)
    po_path(tag).with_suffix(".mo").write_bytes(out.getvalue())


def glossary() -> list[dict[str, str]]:
    """Return the terms of the trade with the Spanish that stands for each."""
    path = library.datasets("glossary_es.csv")
    rows = (line for line in path.read_text("utf-8").splitlines() if not line.startswith("#"))
    return list(csv.DictReader(rows))


def main(given: Iterable[str]) -> int:
    """Say what is lacking; with --update, write the catalogues anew."""
    parser = argparse.ArgumentParser(description="Texts and their translations.")
    parser.add_argument("--update", action="store_true", help="write .po and .mo anew")
    parser.add_argument("--add", nargs=2, metavar=("TAG", "FILE"), help="take in translations")
    wanted = parser.parse_args(list(given))
    lacking = 0
    if wanted.add:
        tag, file = wanted.add
        save(tag, update(tag, json.loads(Path(file).read_text("utf-8"))))
    for tag in TAGS:
        if wanted.update:
            save(tag, update(tag))
        catalog = read(tag)
        for title, texts in (
            ("has no translation", untranslated(catalog)),
            ("is no more", stale(catalog)),
            ("has other placeholders", broken(catalog)),
        ):
            lacking += len(texts)
            for text in texts:
                sys.stdout.write(f"{tag}: {title}: {text!r}\n")
        sys.stdout.write(f"{tag}: {len(messages())} texts, {lacking} to see to\n")
    return 1 if lacking else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
