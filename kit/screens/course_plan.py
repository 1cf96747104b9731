"""The course as it is: lessons in order with their titles, what each asks for, ways through it."""

from __future__ import annotations

import ast
import json
import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from kit import library
from kit.errors import KitError
from kit.language import ENGLISH
from kit.records.summary import Plan
from kit.screens.page import lesson_names, so_far_name

# Calls on a page that show a visit; the order is the argument of the first, any does for the rest.
_VISITS = ("visit", "any_visit", "examination")


@dataclass(frozen=True, slots=True)
class CourseLesson:
    """One lesson of the course.

    Args:
        plan: what it asks for.
        minutes: how long it takes as a rule; 0 when the course does not say.
    """

    plan: Plan
    minutes: int

    @property
    def name(self) -> str:
        """Name of its notebook."""
        return self.plan.name


@dataclass(frozen=True, slots=True)
class CoursePath:
    """A way through the course.

    Args:
        name: its name.
        title: whom it is for, in English.
        lessons: names of its lessons in order.
    """

    name: str
    title: str
    lessons: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Course:
    """The whole course.

    Args:
        lessons: its lessons in order.
        paths: ways through it; the first is taken when the learner chooses none.
        critical_blocks: code of a critical error to the block that teaches to avoid it.
    """

    lessons: tuple[CourseLesson, ...]
    paths: tuple[CoursePath, ...]
    critical_blocks: Mapping[str, str]


def load_course(path: Path | None = None) -> Course:
    """Return the course; a lesson that is not there yet is left out of it.

    Args:
        path: the course's file; the kit's own when left out.

    Raises:
        KitError: the file cannot be read, or lacks something.
    """
    from kit.marking.critical import CODES

    path = library.datasets("course.toml") if path is None else path
    try:
        data = tomllib.loads(path.read_text(encoding="utf-8"))
        told = {str(one["number"]): one for one in data["lesson"]}
        lessons = tuple(_lesson(name, told.get(_number(name), {})) for name in lesson_names())
        paths = tuple(
            CoursePath(one["name"], one["title"], tuple(_on_path(one["lessons"])))
            for one in data["path"]
        )
        blocks = {code: str(data["critical"][kind]) for code, kind in CODES.items()}
    except (OSError, ValueError, KeyError, TypeError) as error:
        raise KitError(f"{path.name} cannot be used: {error!r}. Mend it, or take the kit's own."
                       ) from error  # fmt: skip
    return Course(lessons, paths, blocks)


def _number(name: str) -> str:
    return name.partition("-")[0]


def _lesson(name: str, told: Mapping[str, Any]) -> CourseLesson:
    tasks: list[str] = []
    orders: list[str] = []
    parts: dict[str, tuple[str, ...]] = {}
    for call in _calls(name):
        method = call.func.attr if isinstance(call.func, ast.Attribute) else ""
        given = [str(one.value) for one in call.args if isinstance(one, ast.Constant)]
        if method in _VISITS:
            orders.append(given[0] if method == "visit" else "")
        elif method == "task":  # the page names its tasks: their modules need not be loaded
            tasks.append(given[0])
        elif method == "so_far":
            part = so_far_name(given[0], tuple(given[1:]))
            parts[given[0]] = (*parts.get(given[0], ()), part)
    plan = Plan(name, tuple(tasks), tuple(orders), parts, tuple(told.get("blocks", ())))
    return CourseLesson(plan, int(told.get("minutes", 0)))


def _calls(name: str) -> Iterator[ast.Call]:
    """Give every call in a lesson's code."""
    for cell in _cells(library.lessons(f"{name}.ipynb"), "code"):
        yield from (node for node in ast.walk(ast.parse(cell)) if isinstance(node, ast.Call))


def _cells(path: Path, kind: str) -> Iterator[str]:
    notebook = json.loads(path.read_text(encoding="utf-8"))
    for cell in notebook["cells"]:
        if cell["cell_type"] == kind:
            yield "".join(cell["source"])


def _on_path(numbers: list[str]) -> Iterator[str]:
    for number in numbers:
        yield from (name for name in lesson_names() if _number(name) == number)


def translated(name: str, language: str) -> bool:
    """Tell whether a lesson is there in a language.

    Args:
        name: name of the lesson.
        language: tag of a language of the kit.
    """
    return language == ENGLISH or library.lessons(language, f"{name}.ipynb").is_file()


def lesson_title(name: str, language: str) -> str:
    """Return a lesson's title, the first heading of its notebook.

    Args:
        name: name of the lesson.
        language: tag of a language of the kit; where it is not there yet, it is English.
    """
    inside = [language] if language != ENGLISH and translated(name, language) else []
    for cell in _cells(library.lessons(*inside, f"{name}.ipynb"), "markdown"):
        for text in cell.splitlines():
            if text.startswith("# "):
                return text.removeprefix("# ").strip()
    return name


def lesson_link(name: str, language: str, page_language: str) -> str:
    """Return where a lesson lies, seen from a page beside the lessons.

    Args:
        name: name of the lesson.
        language: tag of the language to read it in.
        page_language: tag of the language whose folder the page lies in.
    """
    wanted = language if translated(name, language) else ENGLISH
    up = "" if page_language == ENGLISH else "../"
    if wanted == page_language:
        return f"{name}.ipynb"
    return f"{up}{name}.ipynb" if wanted == ENGLISH else f"{up}{wanted}/{name}.ipynb"
