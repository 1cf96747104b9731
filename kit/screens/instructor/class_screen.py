"""The desk where an instructor reads a class: marks, what to teach next, one learner's feedback."""

from __future__ import annotations

import threading
from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import datetime
from pathlib import Path
from types import SimpleNamespace
from typing import Any, ClassVar, NoReturn

import anywidget
import traitlets

from kit.errors import KitError
from kit.language import ENGLISH, LANGUAGES, translator
from kit.screens import offers, source
from kit.screens.folder import learner_folder, read_notes, write_notes
from kit.screens.instructor import class_table, handed_in, report, texts
from kit.screens.instructor.marking import Marker, Row, StoppedError, read_class
from kit.screens.instructor.own_orders import order_files
from kit.screens.traits import synced
from kit.screens.voice import UNITS, Voice
from kit.visit.outcome import ArgumentInfo, Choice, Line, line

DEMO, HANDED_IN, OTHER = "demo", "handed_in", "other"
REPORTS = "reports"
PARTS = ("common.js", "forms.js", "../instructor/desk.js")
_NOTES = "class.json"


class ClassScreen(anywidget.AnyWidget):
    """The desk for a class.

    Args:
        folder: where the page keeps what was chosen last and the reports.
        language: tag of the language to begin with.
        spoken: called with the tag of a language that the instructor has chosen.
        marker: marks journals; one of its own when left out.
    """

    _esm: ClassVar[str] = source.script("instructor/class_screen.js", *PARTS)
    _css: ClassVar[str] = source.style(
        "parts/paper.css", "task_screen.css", "instructor/desk.css", "instructor/class.css"
    )

    words = synced(traitlets.Dict())
    places = synced(traitlets.Dict())
    progress = synced(traitlets.Dict())
    table = synced(traitlets.List())
    lost = synced(traitlets.List())
    told = synced(traitlets.List())
    visits = synced(traitlets.List())
    opened = synced(traitlets.Dict(allow_none=True, default_value=None))
    files = synced(traitlets.List())
    problem = synced(traitlets.Dict(allow_none=True, default_value=None))
    notice = synced(traitlets.Dict(allow_none=True, default_value=None))
    answered = synced(traitlets.Int(0))

    def __init__(
        self,
        folder: Path,
        language: str = ENGLISH,
        spoken: Callable[[str], None] | None = None,
        marker: Marker | None = None,
    ) -> None:
        super().__init__()
        self._folder, self._spoken = folder, spoken
        self._voice = Voice("us", translator(language), language)
        self._marker = marker or Marker()
        self._thread: threading.Thread | None = None
        self._rows: list[Row] = []
        self._read_from: Path | None = None
        self._open: tuple[Row, dict[str, Any]] | None = None
        self._said: tuple[str, Line] | None = None
        self.progress = {"running": False, "done": 0, "all": 0, "text": ""}
        self._draw()
        self.on_msg(lambda _widget, content, _buffers: self.receive(content))

    @property
    def rows(self) -> tuple[Row, ...]:
        """Every file read, with its mark or why it has none."""
        return tuple(self._rows)

    def receive(self, request: Mapping[str, Any]) -> None:
        """Do what the view asks, and tell it that it was taken up; reading goes on by itself.

        Args:
            request: `do` names what is asked; `sent` numbers the request.
        """
        todo: dict[str, Callable[[], None]] = {
            "read": lambda: self.read(str(request.get("where")), str(request.get("folder") or "")),
            "cancel": self.cancel,
            "open": lambda: self.show_marks(str(request.get("file"))),
            "override": lambda: self.override(**dict(request.get("args") or {})),
            "export": self.export,
            "units": lambda: self._units(str(request.get("to"))),
            "language": lambda: self._language(str(request.get("to"))),
        }
        handler = todo.get(str(request.get("do")))
        try:
            if handler is not None:
                self.problem, self._said = None, None
                handler()
        except offers.FormError as problem:
            self._refuse(problem.field_name, problem.said(self._voice.translate))
        except KitError as error:
            self._refuse("", error.said(self._voice.translate))
        finally:
            self._draw_notice()
            self.answered = max(self.answered + 1, int(request.get("sent") or 0))

    def read(self, where: str = DEMO, folder: str = "") -> None:
        """Begin to read and mark a class; `wait` returns when it is done.

        Args:
            where: "demo", "handed_in" or "other".
            folder: path of another folder.

        Raises:
            KitError: there is no such folder.
        """
        self._idle()
        top = self._place(where, folder)
        try:
            found = handed_in.journals(top)
        except KitError:
            self._stop(line("There is no folder {folder}. Copy its whole path from the file "
                            "manager.", folder=repr(str(top))))  # fmt: skip
        self._rows, self._open, self._read_from = [], None, top
        self.files = []
        write_notes(self._notes, {"where": where, "folder": folder})
        self._draw_places()
        language = self._voice.language

        def work() -> None:
            self._rows = read_class(found, self._marker, self._progressed, language)
            count = len(self._rows)
            if self._marker.stop.is_set():
                self._said = ("warn", line("Stopped: {n} of {all} files were read.",
                                           n=count, all=len(found.files)))  # fmt: skip
            elif not found.files:
                self._said = ("warn", line("No journal lies in this folder, nor in one below it. "
                                           "A journal's name ends with .jsonl."))  # fmt: skip
            elif found.more:
                self._said = ("warn", line("There were too many files; the first {n} were read.",
                                           n=count))  # fmt: skip
            else:
                self._said = ("good", line("{n} files were read.", n=count))

        self._begin(work, len(found.files))

    def cancel(self) -> None:
        """Stop what is under way; what was read so far is shown."""
        self._marker.stop.set()

    def wait(self, seconds: float | None = None) -> bool:
        """Wait until what is under way is done; return whether it is.

        Args:
            seconds: longest to wait [s]; without end when left out.
        """
        if self._thread is not None:
            self._thread.join(seconds)
        return self._thread is None or not self._thread.is_alive()

    def show_marks(self, file: str) -> None:
        """Begin to fetch one visit's marks as the learner sees them.

        Args:
            file: its path below the folder of the class.

        Raises:
            KitError: no such visit was marked.
        """
        self._ask(self._row(file), "open", {})

    def override(self, **typed: Any) -> None:
        """Change one row of the mark that is open; the kit's own points stay beside it.

        Args:
            typed: `row`, `points`, `assessor` and `reason` as typed or chosen.

        Raises:
            FormError: something is missing or cannot be read.
            KitError: no visit is open.
        """
        if self._open is None:
            self._stop(line("Show the marks of a visit first."))
        info: Any = SimpleNamespace(name="override")
        form = offers.Offer("override", info, "", "", self._override_fields())
        args = offers.arguments(form, typed, self._voice.units)
        self._ask(self._open[0], "override", args)

    def export(self) -> None:
        """Write the table for a spreadsheet and the page to print into the folder of reports.

        Raises:
            KitError: nothing was read yet, or the disk does not take it.
        """
        self._idle()
        if not self._rows:
            self._stop(line("Read a class first."))
        now = datetime.now().astimezone()
        name = f"class-{now:%Y-%m-%d-%H%M%S}"
        made = (
            (f"{name}.csv", "text/csv", "\ufeff" + report.csv_text(self._rows, self._voice)),
            (f"{name}.html", "text/html",
             report.html_text(self._rows, str(self._read_from), self._voice, now)),
        )  # fmt: skip
        folder = learner_folder() / REPORTS
        try:
            folder.mkdir(exist_ok=True)
            for file, _, text in made:
                (folder / file).write_bytes(text.encode("utf-8"))
        except OSError as error:
            reason = str(error.strerror)
            self._stop(line("The report cannot be written: {reason}.", reason=reason))
        self.files = [{"name": n, "kind": k, "text": t} for n, k, t in made]
        self._said = ("good", line("Saved in {folder}.", folder=str(folder)))

    def speak(self, language: str) -> None:
        """Say everything in another language from now on.

        Args:
            language: tag of a language of the kit.
        """
        self._voice = replace(self._voice, translate=translator(language), language=language)
        self._draw()

    @property
    def _notes(self) -> Path:
        return self._folder / _NOTES

    def _place(self, where: str, folder: str) -> Path:
        if where == DEMO:
            return handed_in.demo_class()
        if where == HANDED_IN:
            return handed_in.handed_in_folder()
        typed = folder.strip().strip('"')
        if not typed:
            raise offers.FormError("folder", "{field}: nothing was given.",
                                   field=texts.CLASS_WORDS["folder"])  # fmt: skip
        return Path(typed).expanduser()

    def _row(self, file: str) -> Row:
        found = next((r for r in self._rows if r.file == file and "points" in r.found), None)
        if found is None:
            self._stop(line("Choose a visit that was marked."))
        return found

    def _ask(self, row: Row, what: str, args: Mapping[str, Any]) -> None:
        """Have the marker open a visit or change its mark, away from the page."""
        self._idle()
        orders = [str(p) for p in order_files(self._read_from or row.path.parent)]
        voice = self._voice

        def work() -> None:
            try:
                said = self._marker.ask(
                    do=what, path=str(row.path), orders=orders, units=voice.units,
                    language=voice.language, args=dict(args),
                )  # fmt: skip
            except StoppedError:
                return
            if "error" in said:
                self._refuse("", str(said["error"]))
                return
            row.found = said
            self._open = (row, said)
            if what == "override":
                self._said = ("good", line(
                    "Written down beside the journal; the kit's own points stay."))

        self._begin(work, 1)

    def _begin(self, work: Callable[[], None], count: int) -> None:
        self._marker.stop.clear()
        self.progress = {"running": True, "done": 0, "all": count, "text": ""}

        def run() -> None:
            try:
                work()
            except Exception as error:  # nobody would see it in this thread
                self._refuse("", f"{type(error).__name__}: {error}")
                raise
            finally:
                self._marker.close()  # it takes memory while it waits
                self.progress = {**self.progress, "running": False}
                self._draw()

        self._thread = threading.Thread(target=run, name="class_desk", daemon=True)
        self._thread.start()

    def _progressed(self, done: int, count: int, file: str) -> None:
        said = line("{n} of {all} files are read. Now: {file}", n=done, all=count, file=file)
        text = self._voice.line(said)
        self.progress = {"running": True, "done": done, "all": count, "text": text}

    def _idle(self) -> None:
        if self._thread is not None and self._thread.is_alive():
            self._stop(line("Reading is still under way. Wait until it is done, or stop it."))

    def _stop(self, said: Line) -> NoReturn:
        raise KitError("{reason}", reason=self._voice.line(said))

    def _refuse(self, field: str, text: str) -> None:
        self.problem = {"field": field, "text": text}

    def _units(self, to: str) -> None:
        if to in dict(UNITS):
            self._voice = replace(self._voice, units=to)
            self._again()

    def _language(self, to: str) -> None:
        if to in LANGUAGES:
            self.speak(to)
            if self._spoken is not None:
                self._spoken(to)
            self._again()

    def _again(self) -> None:
        """Fetch the open visit's feedback once more, in other units or another language."""
        if self._open is not None and self.wait(0):
            self._ask(self._open[0], "open", {})

    def _draw(self) -> None:
        voice = self._voice
        with self.hold_sync():
            self.words = texts.said(texts.CLASS_WORDS, voice)
            self._draw_places()
            self.table = class_table.class_table(self._rows, voice)
            self.lost = class_table.lost_table(self._rows, voice) if self.table else []
            self.told = class_table.told_table(self._rows, voice)
            self.visits = class_table.visit_choices(self._rows, voice)
            self.opened = self._opened()
            self._draw_notice()

    def _draw_places(self) -> None:
        voice, kept = self._voice, read_notes(self._notes)
        waiting = str(handed_in.handed_in_folder())
        choices = (
            (DEMO, voice.words("the demo class (invented, from the answer keys)")),
            (HANDED_IN, voice.line(line("my folder for what is handed in: {folder}",
                                        folder=waiting))),
            (OTHER, voice.words("another folder")),
        )  # fmt: skip
        self.places = {
            "choices": [{"value": value, "label": label} for value, label in choices],
            "where": kept.get("where", DEMO),
            "folder": kept.get("folder", ""),
            "units": voice.unit_choices(),
            "languages": voice.language_choices(),
            "review": voice.review,
        }

    def _draw_notice(self) -> None:
        said = self._said
        self.notice = None if said is None else {
            "tone": said[0], "text": self._voice.line(said[1])
        }  # fmt: skip

    def _opened(self) -> dict[str, Any] | None:
        if self._open is None:
            return None
        row, said = self._open
        return {
            "file": row.file,
            "title": f"{row.learner}: {class_table.title(said, self._voice)}",
            "key": class_table.key_text(said, self._voice),
            "verdict": said["verdict"],
            "fields": [offers.field_dict(f, self._voice) for f in self._override_fields()],
        }

    def _override_fields(self) -> tuple[ArgumentInfo, ...]:
        if self._open is None:
            return ()
        words = self._voice.words
        rows = tuple(
            Choice(name, f"{words(title)}: {points:g} / {out_of:g}")
            for name, title, _, points, out_of in self._open[1]["rows"]
        )
        most = max(out_of for *_, out_of in self._open[1]["rows"])
        return (
            ArgumentInfo("row", "Row of the rubric", "choice", choices=rows),
            ArgumentInfo("points", "Points you give", "number", low=0.0, high=float(most)),
            ArgumentInfo("assessor", "Your name", "text"),
            ArgumentInfo("reason", "Your reason, in a sentence", "text"),
        )
