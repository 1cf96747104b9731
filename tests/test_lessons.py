"""Every lesson keeps its form, gives nothing away, is built from its text, and runs."""

from __future__ import annotations

import importlib.util
import json
import re
from pathlib import Path

import nbformat
import pytest

from kit import library
from kit.screens import tasks
from kit.screens.page import lesson_names, lesson_tasks

LONGEST_CODE = 12  # lines of a cell
LONGEST_TEXT = 110  # words of a cell
USUAL_TEXT = 30
SCREENS = (
    r"\.(?:task|visit|any_visit|so_far|examination|progress|order_desk|class_desk)\("
)
FEWEST_CELLS, MOST_CELLS = 20, 45
PARTS = ("afterwards", "Before you begin", "Time needed", "Safety", "Summary", "Sources")
FILES = sorted(library.lessons().glob("[0-9]*.ipynb"))
RUN_TWICE = ("00-start-here", "15-mixed-practice", "16-practice-examination")
TAUGHT = [path for path in FILES if lesson_tasks(path.stem)]  # the others are pages of visits alone


def cells(path: Path, kind: str) -> list[str]:
    """Return the sources of a notebook's cells of one kind."""
    return [c.source for c in nbformat.read(path, as_version=4).cells if c.cell_type == kind]


def prose(path: Path) -> str:
    """Return all text of a lesson."""
    return "\n\n".join(cells(path, "markdown"))


@pytest.fixture(params=FILES, ids=lambda path: path.stem)
def lesson(request) -> Path:
    """Return each lesson in turn."""
    return request.param


@pytest.fixture(params=TAUGHT, ids=lambda path: path.stem)
def taught(request) -> Path:
    """Return each lesson that has tasks in turn."""
    return request.param


def test_every_module_of_tasks_belongs_to_a_lesson():
    """A module of tasks that no lesson bears the name of would never be met."""
    modules = {path.stem for path in Path(tasks.__file__).parent.glob("[a-z]*.py")}
    assert modules <= {path.stem.partition("-")[2].replace("-", "_") for path in FILES}
    assert [path.stem for path in FILES] == lesson_names()


def test_outputs_and_counts_are_stripped(lesson):
    """A change to a lesson shows in a diff, and nothing stored can rot."""
    raw = json.loads(lesson.read_text("utf-8"))
    for cell in raw["cells"]:
        if cell["cell_type"] == "code":
            assert [] == cell["outputs"]
            assert cell["execution_count"] is None


def test_cells_are_few_and_short(lesson):
    """A page for people who learn at the bench."""
    texts = [len(text.split()) for text in cells(lesson, "markdown")]
    codes = [len(code.splitlines()) for code in cells(lesson, "code")]
    assert len(texts) + len(codes) <= MOST_CELLS
    assert max(texts) <= LONGEST_TEXT
    assert sorted(texts)[len(texts) // 2] <= USUAL_TEXT + 10
    assert max(codes) <= LONGEST_CODE


def test_what_teaches_is_cut_into_pieces(taught):
    """One thought a cell."""
    assert len(cells(taught, "markdown") + cells(taught, "code")) >= FEWEST_CELLS


def test_code_is_folded(lesson):
    """A learner meets the screen and not the code."""
    for cell in nbformat.read(lesson, as_version=4).cells:
        if cell.cell_type == "code":
            assert cell.metadata.get("jupyter", {}).get("source_hidden") is True


@pytest.mark.parametrize("part", PARTS)
def test_every_lesson_has_its_parts(lesson, part):
    """Objectives, what to know, time, safety, summary, sources."""
    assert part in prose(lesson)


def test_the_safety_note_defers_to_those_who_decide(lesson):
    """An exercise replaces no code, licence, site rule or supervisor."""
    note = next(text for text in cells(lesson, "markdown") if "## Safety" in text)
    for word in ("never replaces", "local codes", "licence", "site rules", "supervisor"):
        assert word in note


def test_there_are_three_checked_tasks_a_prediction_and_a_visit(taught):
    """Each lesson lets the learner do things and answers them."""
    code = "\n".join(cells(taught, "code"))
    tasks = tasks_of(taught)
    used = set(re.findall(r'\.task\("([a-z-]+)"\)', code))
    assert set(tasks) == used
    assert len([t for t in tasks.values() if not t.once]) >= 3
    assert any(t.once for t in tasks.values())
    assert re.search(r"\.(?:visit|any_visit|examination|order_desk|class_desk)\(", code)


def tasks_of(lesson: Path) -> dict:
    """Return the tasks of a lesson by name."""
    return {task.name: task for task in lesson_tasks(lesson.stem)}


def test_the_screens_of_a_lesson_have_names_of_their_own(taught):
    """Who hears a page must be able to tell its screens apart."""
    titles = [task.title for task in tasks_of(taught).values()]
    assert sorted(set(titles)) == sorted(titles)


def test_no_answer_stands_in_the_lesson(taught):
    """What its solved notebook types is nowhere in the text."""
    solved = library.answer_keys("practice", taught.name)
    typed = re.findall(r"answer\((.*?)\)", "\n".join(cells(solved, "code")))
    values = {v for call in typed for v in re.findall(r'="(-?\d+\.\d+)"', call)}
    assert values
    assert set() == values & set(re.findall(r"-?\d+\.\d+", prose(taught)))


def test_a_lesson_is_built_from_its_text(lesson):
    """The notebook is what the builder makes of the text beside it, byte for byte."""
    text = library.lessons("_source", f"{lesson.stem}.md")
    place = library.lessons("_source", "build.py")
    spec = importlib.util.spec_from_file_location("lesson_builder", place)
    builder = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(builder)
    assert builder.notebook(text.read_text("utf-8")) == lesson.read_text("utf-8")


def test_the_lesson_in_spanish_has_the_same_screens(lesson):
    """A learner who reads Spanish does the same: cell for cell, with the same code."""
    english = nbformat.read(lesson, as_version=4).cells
    spanish = nbformat.read(library.lessons("es", lesson.name), as_version=4).cells
    assert [c.cell_type for c in english] == [c.cell_type for c in spanish]
    for ours, theirs in zip(english, spanish, strict=True):
        if ours.cell_type == "code":
            assert ours.source == theirs.source
        elif len(ours.source.split()) > 3:
            assert ours.source != theirs.source


def test_every_lesson_is_on_a_path():
    """paths.md leads to each lesson, and only to files that are there."""
    paths = library.lessons("paths.md").read_text("utf-8")
    linked = set(re.findall(r"\]\(([^)#]+)\)", paths))
    assert {path.name for path in FILES} <= linked
    for name in linked:
        assert library.lessons(name).is_file()


@pytest.mark.slow
@pytest.mark.parametrize("name", RUN_TWICE)
def test_a_lesson_runs_again_in_the_same_folder(name, tmp_path, monkeypatch):
    """Run All shows every screen and raises nothing, also when it goes on with earlier work.

    One lesson of each kind; all of them are run by the stages "notebooks" and "browser".
    """
    lesson = library.lessons(f"{name}.ipynb")
    nbclient = pytest.importorskip("nbclient")
    monkeypatch.setenv("BENCHCALL_DATA", str(tmp_path))
    monkeypatch.setenv("PYTHONPATH", str(library.root()))
    for _ in range(2):
        notebook = nbformat.read(lesson, as_version=4)
        nbclient.NotebookClient(notebook, timeout=120, kernel_name="python3").execute()
        shown = [
            output
            for cell in notebook.cells
            if cell.cell_type == "code"
            for output in cell.outputs
            if "application/vnd.jupyter.widget-view+json" in output.get("data", {})
        ]
        calls = "\n".join(cells(lesson, "code"))
        assert len(re.findall(SCREENS, calls)) == len(shown)


def test_the_solved_notebook_keeps_outputs_to_be_checked(taught):
    """A solved notebook without stored outputs would pass without checking anything."""
    solved = nbformat.read(library.answer_keys("practice", taught.name), as_version=4)
    marked = [c for c in solved.cells if "NBVAL_CHECK_OUTPUT" in c.source]
    assert len(marked) >= 5
    for cell in marked:
        assert cell.execution_count is not None
        assert any(out.get("text") or out.get("data") for out in cell.outputs)
