"""Every text a learner meets has its translation, and the translation fits."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from kit import library
from kit.errors import UnknownNameError
from kit.journal import replay
from kit.journal.replay import Replay
from kit.language import AWAITING_REVIEW, LANGUAGES, Translator, language_tag, translator
from kit.marking import load_rubric, marked
from kit.marking.feedback import feedback
from kit.marking.plot import plot_text, visit_plot
from kit.visit.outcome import Outcome, line
from kit.visit.pictures import picture_svg
from kit.visit.work_order import load_work_order
from tests import messages
from tests.listening import Listening, own_texts

HERE = Path(__file__).parent
JOURNALS = (
    *sorted(library.answer_keys("practice").glob("*/*.jsonl")),
    *sorted((HERE / "golden").glob("*.jsonl")),
)
# Words that stand in nearly every English sentence and in no Spanish one.
ENGLISH = re.compile(r"\b(the|is|are|and|of|not|with|your|you|it|was|to|at|for)\b", re.IGNORECASE)


@pytest.mark.parametrize("tag", messages.TAGS)
def test_every_text_is_translated(tag) -> None:
    """`python -m tests.messages` names the same texts."""
    assert [] == messages.untranslated(messages.read(tag))


@pytest.mark.parametrize("tag", messages.TAGS)
def test_no_translation_is_stale(tag) -> None:
    """A text that is no more takes its translation with it."""
    assert [] == messages.stale(messages.read(tag))


@pytest.mark.parametrize("tag", messages.TAGS)
def test_a_translation_has_the_places_of_its_text(tag) -> None:
    """A {name} that is missing or unknown would lose a figure, or stop the visit."""
    assert [] == messages.broken(messages.read(tag))


@pytest.mark.parametrize("tag", messages.TAGS)
def test_no_translation_is_left_in_english(tag) -> None:
    """Words of every English sentence show a text that was copied and not translated."""
    menu = "Restart Kernel and Run All Cells"  # JupyterLab's own
    said = {
        re.sub(r"\{\w*\}", "", str(m.string)).replace(menu, "") for m in messages.read(tag) if m.id
    }

    assert set() == {text for text in said if ENGLISH.search(text)}


@pytest.mark.parametrize("tag", messages.TAGS)
def test_what_is_compiled_is_what_is_written(tag) -> None:
    """The .mo that travels with the kit holds what the .po says."""
    written = {str(m.id): str(m.string) for m in messages.read(tag) if m.id and m.string}

    assert written == messages.compiled(tag)


def test_the_texts_were_found() -> None:
    """A search that finds nothing must not pass for a catalogue that is whole."""
    found = messages.messages()

    assert len(found) > 1500
    for text in (
        "Pull the disconnect",  # an action
        "You pour {much} into the pan.",  # a sentence of a step
        "Dirty air filter",  # a fault
        "Multimeter (CAT III 600 V)",  # an instrument's data file
        "Wheel brushed blade by blade",  # a rubric's
        "Time on site",  # the screen
        "{typed} is not a number. Type digits, such as 72.5.",  # an error
    ):
        assert text in found


@pytest.fixture(scope="module", params=JOURNALS, ids=lambda path: f"{path.parent.name}/{path.stem}")
def visit(request) -> Replay:
    """Return a whole visit done again."""
    path = request.param
    order = None
    if path.parent.name == "golden":
        order = load_work_order(path.with_suffix(".toml"))
    return replay(path, order)


def spoken(outcome: Outcome, ear: Listening) -> list[str]:
    """Return everything an outcome says."""
    lines = [
        *outcome.lines,
        *(hazard.line for hazard in outcome.hazards),
        *(caution.line for caution in outcome.cautions),
        *([outcome.reason] if outcome.reason else []),
    ]
    drawn = [picture_svg(picture, "us", ear) for picture in outcome.pictures]
    return [*(one.render("us", ear) for one in lines), *drawn]


def test_a_whole_visit_speaks_no_english(visit) -> None:
    """From the first step to the last row of the mark nothing is said that has no translation."""
    ear = Listening(translator("es"), own_texts(visit.order))
    for step in visit.steps:
        spoken(step.outcome, ear)
    for name in ("visit", "spring-check"):
        feedback(marked(visit, load_rubric(name)), "us", ear)
    plot_text(visit_plot(visit), "us", ear)

    assert set() == ear.missing


def test_a_list_is_translated_piece_by_piece() -> None:
    """Several findings in one sentence are several texts; a text with a joint in it stays whole."""
    found = line("Found: {what}.", what="Dirty air filter; The room is humid; the machine is sound")

    assert (
        "Encontrado: Filtro de aire sucio; La habitación está húmeda; el equipo está en buen "
        "estado." == found.render("us", translator("es"))
    )


def test_a_text_is_known_with_and_without_its_capital() -> None:
    """A label inside a sentence begins small."""
    spanish = translator("es")

    assert ("Filtro de aire sucio", "filtro de aire sucio") == (
        spanish("Dirty air filter"),
        spanish("dirty air filter"),
    )


def test_what_nobody_translated_stays() -> None:
    """A name, or the text of an instructor's own rubric, is shown as it was written."""
    assert "Marlo Quillfeather" == translator("es")("Marlo Quillfeather")


def test_a_files_own_translation_goes_first() -> None:
    """A work order may call a thing as its house calls it."""
    own = translator("es", {"Customer": "Patrona"})

    assert ("Patrona", "Cliente") == (own("Customer"), translator("es")("Customer"))


@pytest.mark.parametrize(("tag", "language"), [("es", "es"), ("es-MX", "es"), ("EN", "en")])
def test_a_region_finds_its_language(tag, language) -> None:
    """A browser names Spanish by country."""
    assert language == language_tag(tag) == translator(tag).language


def test_an_unknown_language_is_named() -> None:
    """The nearest one is offered; texts stay English."""
    with pytest.raises(UnknownNameError, match="language named 'xx'"):
        language_tag("xx")
    assert Translator() == translator("xx")


def test_spanish_says_that_it_awaits_review() -> None:
    """Until a technician whose language it is has read it, nobody takes it for more than it is."""
    header = messages.read("es").header_comment

    assert "AWAITING REVIEW" in header
    assert messages.AWAITING in (messages.po_path("es").read_text("utf-8"))
    assert set(AWAITING_REVIEW) == set(LANGUAGES) - {"en"}
