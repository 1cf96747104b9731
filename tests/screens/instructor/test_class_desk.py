"""A class is read whole: good journals are marked, any other is one line with its reason."""

from __future__ import annotations

import csv
import io
import json
import shutil
import sys

import pytest

import kit
from kit import library
from kit.errors import KitError
from kit.journal.entry import sealed
from kit.journal.file import LARGEST_FILE, START
from kit.marking.override import overrides_path
from kit.screens import lesson
from kit.screens.instructor import handed_in, marking
from kit.screens.instructor.class_screen import ClassScreen
from kit.screens.instructor.class_table import lost_rows
from kit.screens.instructor.marking import Marker, StoppedError, read_class
from kit.screens.instructor.order_screen import OrderScreen
from kit.screens.instructor.report import csv_text, html_text, safe
from kit.screens.voice import Voice

ORDER = "heating-check-01"


@pytest.fixture
def marker():
    """Return a process that marks, ended with the test."""
    made = Marker()
    yield made
    made.close()


@pytest.fixture
def inbox(tmp_path, key):
    """Return a folder with a careful learner's journal in a subfolder of its own."""
    folder = tmp_path / "inbox"
    (folder / "ana").mkdir(parents=True)
    shutil.copyfile(key(ORDER, "careful"), folder / "ana" / "visit.jsonl")
    return folder


def told(rows) -> dict[str, str]:
    """Return what is said of each file."""
    return {row.file: " ".join(one.render() for one in row.told) for row in rows}


def forged(source, target) -> None:
    """Write a journal in which one reading was bettered and the chain made whole again."""
    entries = [json.loads(one) for one in source.read_text("utf-8").splitlines()]
    changed = next(e for e in entries if e["kind"] == "action" and e["outcome"].get("readings"))
    changed["outcome"]["readings"][0]["si"] += 1.0
    previous, lines = START, []
    for entry in entries:
        plain = {k: v for k, v in entry.items() if k not in ("hash", "previous")}
        raw, previous = sealed(plain, previous)
        lines.append(raw)
    target.write_bytes(b"".join(one + b"\n" for one in lines))


def test_good_torn_forged_foreign_huge_and_twice(inbox, key, marker):
    """Each of them is one row; the good one counts, the others say why they do not."""
    good = inbox / "ana" / "visit.jsonl"
    shutil.copyfile(good, inbox / "copy of ana.jsonl")
    (inbox / "torn.jsonl").write_bytes(good.read_bytes()[:-400])
    forged(key("dirty-coil-01", "weak"), inbox / "better.jsonl")
    (inbox / "foreign.jsonl").write_bytes(b"%PDF-1.7 no journal\n")
    (inbox / "empty.jsonl").write_bytes(b"")
    with (inbox / "huge.jsonl").open("wb") as file:
        file.write(good.read_bytes())
        file.truncate(LARGEST_FILE * 3)
    (inbox / "nested.jsonl").write_text("[" * 100_000 + "\n", encoding="utf-8")
    rows = read_class(handed_in.journals(inbox), marker)
    said = told(rows)
    assert 8 == len(rows)
    assert ["ana/visit.jsonl"] == [row.file for row in rows if row.counts]
    assert "same journal as ana/visit.jsonl" in said["copy of ana.jsonl"]
    assert "fewer steps" in said["torn.jsonl"]
    assert "cut off" in said["torn.jsonl"]
    assert "follows from the actions" in said["better.jsonl"]
    assert "no journal" in said["foreign.jsonl"]
    assert "empty" in said["empty.jsonl"]
    assert "huge.jsonl" in said
    assert said["huge.jsonl"]
    assert "no journal" in said["nested.jsonl"]
    mine = next(row for row in rows if row.counts)
    theirs = kit.mark(key(ORDER, "careful"))
    assert (theirs.points, theirs.out_of) == (mine.found["points"], mine.found["out_of"])


def test_one_that_takes_too_long_is_told_and_the_next_is_marked(inbox, key):
    """The process is ended and started anew; nobody waits for ever."""
    slow = Marker(limit_s=0.05)
    try:
        said = slow.ask(do="mark", path=str(inbox / "ana" / "visit.jsonl"), orders=[])
        assert "not marked within" in said["error"]
        slow.limit_s = 60.0
        said = slow.ask(do="mark", path=str(inbox / "ana" / "visit.jsonl"), orders=[])
        assert "error" not in said
    finally:
        slow.close()


def test_stopping_keeps_what_was_read(inbox, key, marker):
    """A class of many can be stopped at any file."""
    for n in range(3):
        shutil.copyfile(key(ORDER, "weak"), inbox / f"{n}.jsonl")
    rows = read_class(
        handed_in.journals(inbox), marker,
        lambda done, _all, _file: marker.stop.set() if done == 1 else None,
    )  # fmt: skip
    assert 1 == len(rows)
    with pytest.raises(StoppedError):
        marker.ask(do="mark", path=str(inbox / "ana" / "visit.jsonl"), orders=[])


def test_the_last_attempt_handed_over_counts(tmp_path, marker, monkeypatch):
    """Three attempts of one learner at one job: begun last, handed over last, and an older one."""

    def row(file: str, wall: str, finished: bool) -> marking.Row:
        found = {"learner": "p-1", "order": ORDER, "wall": wall, "finished": finished,
                 "first": file, "lines": 9}  # fmt: skip
        return marking.Row(file, tmp_path / file, found)

    rows = [row("a", "2026-01-01", True), row("b", "2026-01-02", True),
            row("c", "2026-01-03", False)]  # fmt: skip
    marking._same_visit(rows)
    marking._attempts(rows)
    assert ["b"] == [one.file for one in rows if one.counts]
    assert "Another attempt" in told(rows)["a"]


def test_journals_without_an_id_are_told_apart_by_their_folder(tmp_path):
    """Two learners who gave no id are not taken for one."""
    found = {"learner": "", "order": ORDER, "wall": "", "finished": True, "lines": 9}
    rows = [
        marking.Row(file, tmp_path / file, {**found, "first": file})
        for file in ("ana/visit.jsonl", "ben/visit.jsonl", "carla.jsonl")
    ]
    marking._attempts(rows)
    assert ["ana", "ben", "carla"] == [row.learner for row in rows if row.counts]


def test_a_journal_of_an_own_work_order_is_marked_even_after_that_was_changed(own, marker):
    """The work order is found in the instructor's folder, an older state in `older`."""
    desk = OrderScreen()
    desk.load("kit:little-demand-01")
    path = desk.save(**desk.shown(name="job-0902"))
    folder = own / "in"
    folder.mkdir()
    visit = kit.open_visit(path, seed=3, learner="p-9", journal=folder / "x.jsonl")
    visit.step("read_work_order")
    visit.close()
    desk.save(over=True, **desk.shown(title="Another title"))
    (row,) = read_class(handed_in.journals(folder), marker)
    assert row.counts
    assert "job-0902" == row.found["order"]
    assert not row.found["finished"]
    shutil.rmtree(own / "work_orders")
    (row,) = read_class(handed_in.journals(folder), marker)
    assert "neither one of the kit's nor in your folder" in told([row])["x.jsonl"]


def test_links_are_not_followed_and_changes_are_no_journals(inbox):
    """A link in the folder does not lead out of it; an overrides file is read beside its own."""
    (inbox / "ana" / "visit.overrides.jsonl").write_text("{}\n", encoding="utf-8")
    if sys.platform != "win32":
        (inbox / "everything").symlink_to("/")
    found = handed_in.journals(inbox)
    assert ["visit.jsonl"] == [path.name for path in found.files]
    assert not found.more


@pytest.mark.parametrize("folder", ["/no/such/folder", "", "\0", __file__])
def test_a_folder_that_is_none_is_refused(folder):
    """The error names it; nothing is made."""
    screen = ClassScreen(handed_in.learner_folder())
    screen.receive({"do": "read", "where": "other", "folder": folder, "sent": 5})
    assert screen.wait(5)
    assert screen.problem["text"]
    assert 5 == screen.answered
    if folder:
        with pytest.raises(KitError):
            handed_in.journals(folder)


@pytest.mark.parametrize(
    "nasty", ["=1+1", "+1", "-1", "@SUM(A1)", "\tx", "\rx", " =cmd|' /C calc'!A0", "\uff1d1"]
)
def test_no_cell_is_a_formula(nasty):
    """Whatever a learner or a file is called, a spreadsheet shows it and works nothing out."""
    assert safe(nasty).startswith("'")
    assert "12.5" == safe("12.5")


@pytest.fixture
def screen(inbox, key):
    """Return a desk that has read two learners at one job."""
    shutil.copyfile(key(ORDER, "weak"), inbox / "=HYPERLINK(0).jsonl")
    made = ClassScreen(handed_in.learner_folder())
    made.read("other", str(inbox))
    assert made.wait(120)
    yield made
    made._marker.close()


def test_the_desk_from_reading_to_report(screen, inbox, key, own):
    """Table, one learner's marks, a change by an assessor, and the files for others."""
    head, careful, weak = screen.table
    assert 2 == len(head)
    assert careful[1]["text"].startswith("Passed")
    assert weak[1]["text"].startswith("Not passed")
    before = kit.mark(inbox / "=HYPERLINK(0).jsonl")

    screen.receive({"do": "open", "file": "=HYPERLINK(0).jsonl", "sent": 1})
    assert screen.wait(120)
    assert "Dirty air filter (0.85)" in screen.opened["key"]
    assert screen.opened["verdict"]["total"].startswith("Not passed: 48.2")

    row = next(one for one in before.rows if one.points + 1 <= one.out_of)
    args = {"row": row.name, "points": f"{row.points + 1:g}", "assessor": "Oona Marrowby",
            "reason": "=I saw it done at the bench."}  # fmt: skip
    for wrong, says in (({"assessor": "O"}, "assessor"), ({"reason": "so"}, "reason"),
                        ({"points": "99"}, "out of range"),
                        ({"points": f"{row.points:g}"}, "already")):  # fmt: skip
        screen.receive({"do": "override", "args": {**args, **wrong}})
        assert screen.wait(120)
        assert says in screen.problem["text"]
    assert not overrides_path(inbox / "=HYPERLINK(0).jsonl").exists()
    raw = (inbox / "=HYPERLINK(0).jsonl").read_bytes()
    screen.receive({"do": "override", "args": args})
    assert screen.wait(120)
    assert screen.problem is None
    assert any("Oona Marrowby" in said for said in screen.opened["verdict"]["changed"])
    after = kit.mark(inbox / "=HYPERLINK(0).jsonl")
    assert before.points == after.points  # the kit's own stay
    assert before.points + 1 == pytest.approx(after.final.points)
    assert raw == (inbox / "=HYPERLINK(0).jsonl").read_bytes()
    assert "changed by an assessor" in screen.table[2][1]["text"]

    screen.export()
    text = next((own / "reports").glob("*.csv")).read_text("utf-8-sig")
    lines = list(csv.reader(io.StringIO(text)))
    assert all(len(line) == len(lines[0]) for line in lines)
    assert not any(cell.startswith(("=", "+", "-", "@")) for line in lines for cell in line)
    by_name = dict(zip(lines[0], lines[2], strict=True))
    assert ("weak", "Not passed", "49.2") == tuple(
        by_name[c] for c in ("Learner", "Result", "Points")
    )
    assert "48.2" == by_name["Points as the kit gave them"]
    assert "'=HYPERLINK(0).jsonl" == by_name["File"]
    page = next((own / "reports").glob("*.html")).read_text("utf-8")
    assert "<script" not in page
    assert "Autumn heating check" in page


def test_reading_goes_on_by_itself_and_can_be_stopped(screen, inbox):
    """The page stays alive while a class is read; what is asked meanwhile is refused."""
    screen.receive({"do": "read", "where": "other", "folder": str(inbox), "sent": 7})
    assert 7 == screen.answered
    assert screen.progress["running"]
    screen.receive({"do": "export"})
    assert "still under way" in screen.problem["text"]
    screen.receive({"do": "cancel"})
    assert screen.wait(60)
    assert not screen.progress["running"]
    assert screen.notice["text"].startswith("Stopped: ")
    assert len(screen.rows) < 2


def test_markup_in_a_name_is_shown_and_not_obeyed(tmp_path):
    """The page to print quotes whatever it shows."""
    row = marking.Row("<b>x</b>.jsonl", tmp_path, {"error": "no"}, counts=False)
    row.told.append(marking.line("{reason}", reason="<script>alert(1)</script>"))
    page = html_text([row], "<i>folder</i>", Voice(), marking_time())
    assert "<script" not in page
    assert "<b>x" not in page
    assert "<i>folder" not in page
    assert 2 == len(csv_text([row], Voice()).splitlines())


def marking_time():
    """Return a date to print."""
    from datetime import UTC, datetime

    return datetime(2026, 5, 12, 9, 30, tzinfo=UTC)


def test_what_the_class_lost_is_summed_by_row(tmp_path):
    """Points add up over learners; a learner counts once."""

    def row(who: str, points: float) -> marking.Row:
        rows = [["a", "First", "B", points, 2.0], ["b", "Second", "B", 1.0, 1.0]]
        return marking.Row(who, tmp_path, {"learner": who, "order": who, "rows": rows})

    (lost,) = lost_rows([row("x", 0.5), row("y", 2.0), row("z", 1.0)])
    assert ("a", 2.5, 6.0, 2, 3) == (
        lost.name, lost.points, lost.out_of, lost.learners, lost.visits
    )  # fmt: skip


def test_the_demo_class_is_made_of_the_answer_keys(own):
    """Three invented learners at three jobs, and what an inbox holds besides."""
    found = handed_in.journals(handed_in.demo_class())
    assert 12 == len(found.files)
    for who in handed_in.DEMO_LEARNERS:
        for order in handed_in.DEMO_ORDERS:
            theirs = library.answer_keys("practice", order, f"{who}.jsonl").read_bytes()
            assert theirs == (found.folder / who / f"{order}.jsonl").read_bytes()


def test_the_page_speaks_with_the_others(own):
    """A language chosen on one screen is spoken by the desk as well."""
    here = lesson("21-read-a-class")
    desk = here.class_desk()
    here.speak("es")
    assert "es" == desk.words["lang"]
