"""The course's file fits the lessons, the rubric and the critical errors it speaks of."""

from __future__ import annotations

import importlib.util
import re
import tomllib

import nbformat
import pytest

from kit import library
from kit.errors import KitError
from kit.marking import load_rubric
from kit.marking.critical import KINDS
from kit.screens.course_plan import (
    lesson_link,
    lesson_title,
    load_course,
    translated,
)
from kit.screens.page import lesson_names, lesson_tasks

DATA = tomllib.loads(library.datasets("course.toml").read_text("utf-8"))
NUMBERS = {one["number"]: one for one in DATA["lesson"]}
COURSE = load_course()


def prose(name: str) -> str:
    """Return all text of a lesson."""
    cells = nbformat.read(library.lessons(f"{name}.ipynb"), as_version=4).cells
    return "\n\n".join(cell.source for cell in cells if cell.cell_type == "markdown")


def test_every_lesson_is_in_the_course():
    """In the order of their numbers, each with its time."""
    assert lesson_names() == [one.name for one in COURSE.lessons]
    assert [] == [one.name for one in COURSE.lessons if one.minutes <= 0]
    assert sorted(NUMBERS) == [one["number"] for one in DATA["lesson"]]


@pytest.mark.parametrize("name", lesson_names())
def test_the_minutes_are_those_the_lesson_states(name):
    """The times of its parts together, or the longest of a range."""
    said = re.search(r"\*\*Time needed:\*\*(.*?)(?:\.|$)", prose(name))[1]
    figures = [int(figure) for figure in re.findall(r"\d+", said)]
    plans = {one.name: one.plan for one in COURSE.lessons}
    if " each visit" in said:
        figures[-1] *= len(plans[name].orders)
    whole = max(figures) if " to " in said else sum(figures)
    assert whole == NUMBERS[name.partition("-")[0]]["minutes"]


def test_blocks_are_those_of_the_rubric_and_each_is_taught():
    """Whatever costs points, there is a lesson to practise it in."""
    known = {block.name for block in load_rubric("visit").blocks}
    assert known == {block for one in NUMBERS.values() for block in one["blocks"]}
    assert known >= set(DATA["critical"].values())


def test_every_kind_of_critical_error_has_its_block():
    """None is left without a lesson, and none is made up."""
    assert set(KINDS) == set(DATA["critical"])
    assert {code for _, codes in KINDS.values() for code in codes} == set(COURSE.critical_blocks)
    assert "safe" == COURSE.critical_blocks["live_work"]


def test_paths_lead_to_lessons_that_are_there():
    """Each way has lessons, none twice, and each lesson lies on a way."""
    for path, told in zip(COURSE.paths, DATA["path"], strict=True):
        assert told["lessons"] == [name.partition("-")[0] for name in path.lessons]
        assert len(set(path.lessons)) == len(path.lessons)
    assert set(lesson_names()) == {name for path in COURSE.paths for name in path.lessons}


def test_what_a_lesson_asks_for_is_read_from_its_page():
    """Tasks, visits and looks of the trainer need not be told a second time."""
    plans = {one.name: one.plan for one in COURSE.lessons}
    first, safe = plans["00-start-here"], plans["04-making-safe"]
    assert ("spring-check-01",) == first.orders
    for one in COURSE.lessons:
        assert sorted(task.name for task in lesson_tasks(one.name)) == sorted(one.plan.tasks)
    assert "guess-humidity" in first.tasks
    assert {"two-faults-01": ("so far two-faults-01 safe",)} == safe.parts
    assert ("safe",) == safe.blocks
    assert ("",) == plans["15-mixed-practice"].orders


def test_titles_are_the_notebooks_own_in_each_language():
    """A lesson that is not there in a language has its English title."""
    assert lesson_title("00-start-here", "en").startswith("Start here: ")
    assert lesson_title("00-start-here", "es").startswith("Empiece aquí: ")
    assert not translated("00-start-here", "xx")
    assert lesson_title("00-start-here", "xx") == lesson_title("00-start-here", "en")


@pytest.mark.parametrize("page", ["en", "es"])
@pytest.mark.parametrize("language", ["en", "es", "xx"])
def test_links_lead_from_either_folder_to_a_lesson(page, language):
    """A relative link holds in JupyterLab and on a page that is served."""
    here = library.lessons(*([] if page == "en" else [page]))
    found = (here / lesson_link("00-start-here", language, page)).resolve()
    folder = "es" if language == "es" else "lessons"
    assert (folder, True) == (found.parent.name, found.is_file())


@pytest.mark.parametrize("text", ["", "not toml", "[[path]]\nname = 'a'\n", "lesson = 3"])
def test_a_course_that_cannot_be_used_is_told(tmp_path, text):
    """An instructor who changed the file reads what is wrong with it."""
    (tmp_path / "course.toml").write_text(text)
    with pytest.raises(KitError, match=r"course\.toml cannot be used"):
        load_course(tmp_path / "course.toml")


@pytest.mark.parametrize("inside", ["", "es"])
def test_the_start_page_is_built_from_its_text(inside):
    """Byte for byte, without outputs, and with the same one line of code in each language."""
    place = library.lessons("_source", "build.py")
    spec = importlib.util.spec_from_file_location("lesson_builder", place)
    builder = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(builder)
    text = library.lessons("_source", inside, "my-course.md").read_text("utf-8")
    stored = library.lessons(inside, "my-course.ipynb").read_text("utf-8")
    assert builder.notebook(text) == stored
    code = [source for kind, source in builder.cells(text) if kind == "code"]
    assert ["from kit.screens import course\n\ncourse()"] == code


def test_the_start_page_defers_to_those_who_decide():
    """A tick there is no permission to work on a unit."""
    note = prose("my-course").partition("## Safety")[2]
    for word in ("never replace", "local codes", "licence", "site rules", "supervisor"):
        assert word in note


def test_the_start_page_runs_twice_in_one_kernel(tmp_path, monkeypatch):
    """Run All again shows it again: the name `course` stays what a page calls."""
    monkeypatch.setenv("BENCHCALL_DATA", str(tmp_path))
    for _ in range(2):
        spoken: dict = {}
        exec("from kit.screens import course\nshown = course()", spoken)  # noqa: S102 - the cell
        assert spoken["shown"].lessons


def test_the_ways_are_those_that_paths_md_tells():
    """One truth for both: the lessons of each way, and the time of each lesson."""
    text = library.lessons("paths.md").read_text("utf-8")
    every, *ways = text.split("\n## ")[1:]
    times = dict(re.findall(r"^\| \[(\d\d) .*?\| (\d+ min[^|]*)\|", every, re.MULTILINE))
    assert set(NUMBERS) == set(times)
    for number, said in times.items():
        figures = [int(figure) for figure in re.findall(r"\d+", said)]
        assert NUMBERS[number]["minutes"] in {figures[0], sum(figures)}, "once, or with one attempt"
    for way, path in zip(ways, DATA["path"], strict=True):
        rows = "\n".join(line for line in way.splitlines() if line.startswith("|"))
        assert path["lessons"] == re.findall(r"\[(\d\d)\]", rows)
