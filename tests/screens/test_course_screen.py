"""The start page shows how far one has come, what to practise, and lets one take it all away."""

from __future__ import annotations

import json
from datetime import date

import pytest

import kit
from kit import library
from kit.marking.script import load_script, play
from kit.records.keeping import imported
from kit.records.progress import (
    FILE,
    Answer,
    CriticalNote,
    Progress,
    RowNote,
    VisitNote,
    note_answer,
    note_visit,
    progress_store,
    read_progress,
)
from kit.records.store import migrations
from kit.screens import course, lesson
from kit.screens.course_screen import CourseScreen, page_language
from kit.screens.folder import keep_language, learner_folder, read_notes

NAME, ORDER = "00-start-here", "spring-check-01"
TODAY = date(2026, 3, 10)
NOON = "2026-03-{day:02d}T12:00:00.000+00:00"


@pytest.fixture(autouse=True)
def folder(tmp_path, monkeypatch):
    """Keep what a learner writes in a folder of the test's own."""
    monkeypatch.setenv("BENCHCALL_DATA", str(tmp_path / "learner"))
    return learner_folder()


def page(folder) -> CourseScreen:
    """Return the start page on a certain day."""
    return CourseScreen(folder, today=lambda: TODAY)


def ask(screen: CourseScreen, do: str, **more) -> None:
    """Send what the view sends, and see that it was answered."""
    sent = screen.answered + 1
    screen.receive({"do": do, "sent": sent, **more})
    assert sent == screen.answered


def row(screen: CourseScreen, name: str) -> dict:
    """Return what the page says of a lesson."""
    return next(one for one in (*screen.lessons, *screen.others) if one["name"] == name)


def visit(day: int = 10, **changes) -> VisitNote:
    """Return a visit that lost points at the bus and had a critical error."""
    values = {
        "at": NOON.format(day=day), "head": f"{day:064d}", "learner": "p-1", "lesson": NAME,
        "work_order": ORDER, "rubric": "visit", "points": 70.5, "out_of": 90.0, "passed": False,
        "rows": (RowNote("dc-bus", "safe", "DC bus waited for and measured below 50 V", 0.5, 2.0),),
        "critical": (CriticalNote("chemicals", "Acid indoors"),),
    }  # fmt: skip
    return VisitNote(**{**values, **changes})


def done(folder) -> None:
    """Answer all tasks of the first lesson and hand its visit over."""
    store = progress_store(folder)
    for task in ("guess-humidity", "split", "target", "air-sheet", "handbook"):
        note_answer(store, Answer(NOON.format(day=9), NAME, task, "right", "p-1"))
    note_visit(store, visit(critical=(), passed=True))


def test_a_new_learner_sees_every_lesson_not_begun(folder):
    """In order, each with a link, its time and its tasks, and one piece of advice."""
    screen = page(folder)
    every = [*screen.lessons, *screen.others]
    assert [one.stem for one in sorted(library.lessons().glob("[0-9]*.ipynb"))] == [
        one["name"] for one in every
    ]
    assert {("○", "not begun")} == {(one["sign"], one["state"]) for one in every}
    first = screen.lessons[0]
    assert (f"{NAME}.ipynb", "00") == (first["href"], first["number"])
    assert ["about 90 min", "0 of 5 tasks"] == first["facts"]
    assert f"0 of {len(screen.lessons)} done" == screen.done
    assert ["next"] == [one["tone"] for one in screen.advice]
    assert first["title"] == screen.advice[0]["title"]


def test_the_page_goes_along_with_the_work(folder):
    """Begun after an answer, done after all and a hand-over, with the best marks."""
    lesson(NAME).task("split").answer(split="16.6")
    begun = row(page(folder), NAME)
    assert ("◐", "begun") == (begun["sign"], begun["state"])
    assert ["about 90 min", "1 of 5 tasks", "visit not handed over yet"] == begun["facts"]
    screen = page(folder)
    assert ("go-on", "Go on with") == (screen.advice[0]["tone"], screen.advice[0]["head"])
    assert "The visit is still open, and tasks: 4." == screen.advice[0]["reason"]
    done(folder)
    ask(screen, "update")
    finished = row(screen, NAME)
    assert ("✓", "done") == (finished["sign"], finished["state"])
    assert "best marks: passed, 70.5 of 90" == finished["facts"][-1]
    assert screen.done.startswith("1 of ")


def test_a_visit_under_way_begins_a_lesson(folder):
    """Before anything is marked or answered."""
    screen = lesson(NAME).visit(ORDER)
    assert "begun" == row(page(folder), NAME)["state"]
    screen.desk.visit.close()


def test_advice_gives_its_reason_in_plain_words(folder):
    """What happened, when, on which job, and where to practise it."""
    note_visit(progress_store(folder), visit(day=8))
    first, second = page(folder).advice[:2]
    assert ("critical", "✕", "Critical error", "Acid indoors") == _head(first)
    assert "You had it 2 days ago in “Spring cooling check, wall unit" in first["reason"]
    assert ("block", "–", "Points lost", "Making safe") == _head(second)
    assert second["reason"].startswith("You lost 1.5 points 2 days ago in “Spring cooling check")
    assert [{"title": visit().rows[0].title, "points": "0.5 / 2"}] == second["rows"]
    assert ["04-making-safe.ipynb"] == [link["href"] for link in second["links"]]


def test_points_lost_in_several_visits_are_told_together(folder):
    """One block, its dearest rows, whichever visit they come from."""
    store, rows = progress_store(folder), visit().rows
    note_visit(store, visit(day=8, critical=()))
    other = RowNote("tried-start", "safe", "Start tried with the lock on", 0.0, 2.0)
    note_visit(store, visit(day=9, rows=(other,), critical=()))
    advice = page(folder).advice[0]
    assert "You lost 3.5 points in your last visits." == advice["reason"]
    assert [other.title, rows[0].title] == [row["title"] for row in advice["rows"]]


def _head(advice: dict) -> tuple[str, ...]:
    return tuple(advice[key] for key in ("tone", "sign", "head", "title"))


@pytest.mark.parametrize(
    ("at", "said"),
    [(NOON.format(day=10), "today"), (NOON.format(day=9), "yesterday"),
     (NOON.format(day=1), "9 days ago"), ("2027-01-01T00:00:00.000+00:00", "today"),
     ("no time", "some time ago")],
)  # fmt: skip
def test_a_day_is_said_as_people_say_it(folder, at, said):
    """No date to work out; a clock that was wrong does no harm."""
    note_visit(progress_store(folder), visit(at=at))
    assert f" {said} in “" in page(folder).advice[0]["reason"]


def test_no_name_of_a_work_order_is_shown(folder):
    """It would tell what is wrong; an order that is gone is told without it."""
    store = progress_store(folder)
    note_visit(store, visit(work_order="low-charge-01"))
    note_visit(store, visit(day=9, work_order="own-order-77", rows=(), head=f"{9:064d}"))
    screen = page(folder)
    shown = json.dumps([screen.lessons, screen.others, screen.advice])
    assert "low-charge-01" not in shown
    assert "own-order-77" not in shown


def test_the_way_is_chosen_and_kept(folder):
    """Other lessons stay within reach."""
    screen = page(folder)
    first = {one["name"] for one in screen.lessons}
    every = first | {one["name"] for one in screen.others}
    ask(screen, "path", to="new-hire")
    again = page(folder)
    for shown in (screen, again):
        assert ["new-hire"] == [one["value"] for one in shown.paths if one["now"]]
        assert 0 < len(shown.lessons) < len(first)
        assert every == {one["name"] for one in (*shown.lessons, *shown.others)}
    ask(screen, "path", to="nowhere")
    assert "new-hire" == read_notes(folder / "learner.json")["path"]


def test_the_page_speaks_the_learners_language(folder):
    """All of it at once, lessons' titles and links too, and the choice is kept for all pages."""
    note_visit(progress_store(folder), visit())
    screen = page(folder)
    ask(screen, "language", to="es")
    assert ("es", "Mi curso") == (screen.words["lang"], screen.words["title"])
    assert "es" == read_notes(folder / "learner.json")["language"]
    assert f"es/{NAME}.ipynb" == row(screen, NAME)["href"]
    assert row(screen, NAME)["title"].startswith("Empiece aquí")
    assert "empezada" == row(screen, NAME)["state"]
    assert "hoy en «" in screen.advice[0]["reason"]
    english, spanish = page(folder), screen
    keep_language(folder, "en")
    english = page(folder)
    same = {key for key, text in english.words.items() if text == spanish.words[key]}
    assert set() == same
    ask(screen, "language", to="xx")
    assert "es" == screen.words["lang"]


def test_links_hold_on_the_page_in_spanish(folder, tmp_path, monkeypatch):
    """A kernel begins in the folder of its notebook."""
    (tmp_path / "es").mkdir()
    monkeypatch.chdir(tmp_path / "es")
    assert "es" == page_language()
    assert f"../{NAME}.ipynb" == row(page(folder), NAME)["href"]
    monkeypatch.chdir(tmp_path)
    assert "en" == page_language()


def test_an_export_is_written_and_its_place_told(folder):
    """One file with everything and the opaque id."""
    done(folder)
    screen = page(folder)
    ask(screen, "export")
    (path,) = folder.glob("progress-*.json")
    data = json.loads(path.read_text("utf-8"))
    assert ("good", True) == (screen.told["tone"], str(path) in screen.told["text"])
    assert read_progress(progress_store(folder)) == imported(data)
    learner = read_notes(folder / "learner.json")["id"]
    assert (learner, kit.__version__) == (data["learner"], data["kit"])


def test_erasing_takes_two_steps(folder):
    """A request without the confirmation erases nothing."""
    done(folder)
    screen = page(folder)
    for more in ({}, {"sure": "yes"}, {"sure": False}):
        ask(screen, "erase", **more)
        assert read_progress(progress_store(folder)).visits
        assert screen.told is None
    ask(screen, "erase", sure=True)
    assert Progress() == read_progress(progress_store(folder))
    assert "not begun" == row(screen, NAME)["state"]
    assert "were erased" not in screen.told["text"]


@pytest.fixture
def worked(folder):
    """Answer a task and hand a visit over, as a learner does."""
    here = lesson(NAME)
    here.task("split").answer(split="16.6")
    screen = here.open_visit(ORDER)
    play(load_script(library.answer_keys("practice", ORDER, "weak.toml")), screen.desk.visit)
    screen.refresh()
    return read_progress(progress_store(folder))


def test_what_was_lost_is_taken_in_again_from_the_work(folder, worked):
    """A file that broke, or was erased alone, is made good with one press."""
    (folder / FILE).write_bytes(b"broken " * 1000)
    screen = page(folder)
    assert "put aside" in screen.told["text"]
    assert "begun" == row(screen, NAME)["state"], "its visit lies there"
    ask(screen, "update")
    assert "answers 1, visits 1" in screen.told["text"]
    found = read_progress(progress_store(folder))
    assert worked.visits == found.visits
    assert [(one.task, one.tone) for one in worked.answers] == [
        (one.task, one.tone) for one in found.answers
    ]
    ask(screen, "update")
    assert "Up to date." == screen.told["text"]


def test_visits_and_answers_are_erased_on_request(folder, worked):
    """Then nothing is left to take in, and every lesson begins anew."""
    screen = page(folder)
    ask(screen, "erase", sure=True, work=True)
    assert "were erased" in screen.told["text"]
    assert [] == list((folder / NAME).iterdir())
    ask(screen, "update")
    assert Progress() == read_progress(progress_store(folder))
    assert lesson(NAME).task("split").reply is None


def test_a_visit_open_on_another_page_is_named_and_left(folder):
    """Nothing is pulled from under a page that is in use."""
    open_now = lesson(NAME).visit(ORDER)
    screen = page(folder)
    ask(screen, "erase", sure=True, work=True)
    assert f"{NAME}/{ORDER}.jsonl" in screen.told["text"]
    assert open_now.desk.visit.journal.exists()
    open_now.desk.visit.close()


def test_progress_of_a_newer_kit_is_told_and_the_lessons_are_shown(folder):
    """The page still opens every lesson."""
    done(folder)
    store = progress_store(folder)
    with store.writing() as db:
        db.execute(f"PRAGMA user_version = {len(migrations()) + 1}")
    screen = page(folder)
    assert ("bad", True) == (screen.told["tone"], "newer kit" in screen.told["text"])
    assert screen.lessons
    ask(screen, "erase", sure=True)
    assert "newer kit" in screen.told["text"]


def test_a_senseless_request_is_answered(folder):
    """The page never waits for ever."""
    screen = page(folder)
    for request in ({}, {"do": "fly"}, {"do": "path"}, {"do": "language"}):
        ask(screen, request.get("do", ""))
    assert screen.told is None


def test_a_place_that_takes_nothing_is_told_in_the_screens_place(monkeypatch, tmp_path):
    """One plain sentence, no traceback."""
    (tmp_path / "file").write_text("")
    monkeypatch.setenv("BENCHCALL_DATA", str(tmp_path / "file" / "inside"))
    assert "cannot be made" in course().text
