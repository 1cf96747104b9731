"""The course as its screen shows it: rows of lessons, what to practise, words; all of it plain."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import UTC, date, datetime
from typing import TYPE_CHECKING, Any

from kit.errors import KitError
from kit.records.summary import BEGUN, DONE, NOT_BEGUN, Advice, LessonState
from kit.screens.course_plan import Course, CourseLesson, lesson_link, lesson_title
from kit.visit.outcome import Line, line

if TYPE_CHECKING:
    from kit.records.progress import VisitNote
    from kit.screens.voice import Voice

_SIGNS = {NOT_BEGUN: "○", BEGUN: "◐", DONE: "✓"}
_TONES = {NOT_BEGUN: "new", BEGUN: "begun", DONE: "done"}
_MOST_LINKS, _MOST_ROWS = 2, 3


def course_words(voice: Voice) -> dict[str, str]:
    """Return the words of the start page in the learner's language, and the language's tag."""
    say = voice.words
    return {
        "lang": voice.language,
        "title": say("My course"),
        "language": say("Language"),
        "path": say("Which way fits you?"),
        "next": say("What to practise next"),
        "practise_in": say("Practise it in"),
        "nothing": say("Nothing is left over from your marks. Any visit keeps you in practice."),
        "lessons": say("The lessons on your way"),
        "others": say("The other lessons"),
        "kept": say("What is kept of you"),
        "kept_text": say(
            "Your progress lies in a file on this computer, under an id drawn by chance. Nothing "
            "leaves it unless you export it."
        ),
        "update": say("Bring up to date"),
        "export": say("Export my progress"),
        "erase": say("Erase my progress"),
        "erase_text": say(
            "This erases what is noted here of your answers and marks. It cannot be undone."
        ),
        "erase_work": say(
            "Also erase my visits and answers, so that every lesson begins anew"
        ),
        "erase_sure": say("Yes, erase it"),
        "erase_not": say("No, keep it"),
        "review": voice.review,
        "silent": say(
            "No answer from the kernel for 12 seconds. Nothing you did is lost: choose Run, then "
            "Run All Cells."
        ),
    }  # fmt: skip


def lesson_row(
    lesson: CourseLesson, state: LessonState, voice: Voice, page_language: str
) -> dict[str, Any]:
    """Return one lesson as the view shows it: its state by a sign and by a word.

    Args:
        lesson: the lesson.
        state: how far the learner has come in it.
        voice: language.
        page_language: tag of the language whose folder the page lies in.
    """
    return {
        "name": lesson.name,
        "number": lesson.name.partition("-")[0],
        "title": lesson_title(lesson.name, voice.language),
        "href": lesson_link(lesson.name, voice.language, page_language),
        "tone": _TONES[state.state],
        "sign": _SIGNS[state.state],
        "state": _said(state.state, voice),
        "facts": voice.lines(_facts(lesson, state)),
    }


def _said(state: str, voice: Voice) -> str:
    if state == DONE:
        return voice.words("done")
    return voice.words("begun") if state == BEGUN else voice.words("not begun")


def _facts(lesson: CourseLesson, state: LessonState) -> list[Line]:
    facts = []
    if lesson.minutes:
        facts.append(line("about {minutes} min", minutes=lesson.minutes))
    if state.tasks:
        facts.append(line("{done} of {all} tasks", done=state.tasks_done, all=state.tasks))
    if state.best is not None:
        facts.append(_best(state.best))
    elif state.visit_done is False and state.state == BEGUN:
        facts.append(line("visit not handed over yet"))
    return facts


def _best(best: VisitNote) -> Line:
    return line(
        "best marks: {passed}, {points} of {out_of}",
        passed="passed" if best.passed else "not passed",
        points=f"{best.points:g}",
        out_of=f"{best.out_of:g}",
    )


def advice_row(
    advice: Advice,
    states: Mapping[str, LessonState],
    voice: Voice,
    page_language: str,
    today: date,
) -> dict[str, Any]:
    """Return one thing to practise as the view shows it, with the reason in plain words.

    Args:
        advice: what to practise, and why.
        states: how far the learner has come, by lesson.
        voice: language.
        page_language: tag of the language whose folder the page lies in.
        today: the day it is shown on.
    """
    links = _links(advice, states, voice, page_language)
    title = voice.words(advice.title)
    if advice.kind == "block":
        title = voice.words(_block_title(advice))
    elif advice.kind != "critical":
        title = links[0]["title"] if links else ""
    return {
        "tone": advice.kind,
        "sign": {"critical": "✕", "block": "–", "go-on": "◐", "next": "○"}[advice.kind],
        "head": _head(advice.kind, voice),
        "title": title,
        "reason": voice.line(_reason(advice, states, voice, today)),
        "rows": [
            {"title": voice.words(row.title), "points": f"{row.points:g} / {row.out_of:g}"}
            for row in advice.rows[:_MOST_ROWS]
        ],
        "links": links,
    }


def _links(
    advice: Advice, states: Mapping[str, LessonState], voice: Voice, page_language: str
) -> list[dict[str, str]]:
    names = [name for name in advice.lessons if name in states][:_MOST_LINKS]
    if not names:  # nothing teaches it: the page where it was met
        names = [one.lesson for one in advice.visits if one.lesson in states][:1]
    return [
        {
            "href": lesson_link(name, voice.language, page_language),
            "title": lesson_title(name, voice.language),
            "number": name.partition("-")[0],
        }
        for name in names
    ]


def _head(kind: str, voice: Voice) -> str:
    if kind == "critical":
        return voice.words("Critical error")
    if kind == "block":
        return voice.words("Points lost")
    return voice.words("Go on with") if kind == "go-on" else voice.words("Next on your way")


def _block_title(advice: Advice) -> str:
    from kit.marking.rubric import load_rubric

    try:
        blocks = load_rubric(advice.visits[0].rubric).blocks
    except KitError:  # a rubric that is no more
        return advice.block
    return next((one.title for one in blocks if one.name == advice.block), advice.block)


def _reason(advice: Advice, states: Mapping[str, LessonState], voice: Voice, today: date) -> Line:
    if advice.visits:
        latest = advice.visits[0]
        when, job = _when(latest.at, today), _job(latest.work_order, voice)
        if advice.kind == "critical":
            return line(
                "You had it {when} in “{job}”. It fails a visit whatever the points.",
                when=when, job=job,
            )  # fmt: skip
        if len(advice.visits) > 1:
            return line("You lost {lost} points in your last visits.", lost=f"{advice.lost:g}")
        return line(
            "You lost {lost} points {when} in “{job}”.", lost=f"{advice.lost:g}", when=when, job=job
        )
    state = states.get(advice.lessons[0]) if advice.lessons else None
    if advice.kind == "next" or state is None:
        return line("You have not begun it yet.")
    left = state.tasks - state.tasks_done
    if left and state.visit_done is False:
        return line("The visit is still open, and tasks: {tasks}.", tasks=left)
    if left:
        return line("Tasks still open: {tasks}.", tasks=left)
    return line("Its visit is still open.")


def _when(at: str, today: date) -> Line:
    try:
        moment = datetime.fromisoformat(at)
    except ValueError:
        return line("some time ago")
    day = (moment if moment.tzinfo else moment.replace(tzinfo=UTC)).astimezone().date()
    days = (today - day).days
    if days <= 0:
        return line("today")
    return line("yesterday") if days == 1 else line("{days} days ago", days=days)


def _job(work_order: str, voice: Voice) -> str:
    """Return the title on the work order's paper; its name would tell what is wrong."""
    from kit.visit.work_order import load_work_order

    try:
        order = load_work_order(work_order)
    except KitError:  # an instructor's own, or one that is no more
        return voice.words("a job that is not on this computer")
    return order.words(voice.language)(order.title)


def path_choices(course: Course, chosen: str, voice: Voice) -> list[dict[str, Any]]:
    """Return the ways through the course as a switch shows them.

    Args:
        course: the course.
        chosen: name of the way the learner takes.
        voice: language.
    """
    return [
        {"value": one.name, "label": voice.words(one.title), "now": one.name == chosen}
        for one in course.paths
    ]


def so_far(rows: Sequence[Mapping[str, Any]], voice: Voice) -> str:
    """Return how many lessons of the learner's way are done, in words.

    Args:
        rows: what `lesson_row` returned for each.
        voice: language.
    """
    done = sum(row["tone"] == _TONES[DONE] for row in rows)
    return voice.line(line("{done} of {all} done", done=done, all=len(rows)))
