"""A work order's own texts in another language, in its file or beside it."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from kit import library
from kit.errors import KitError, UnknownNameError
from kit.visit.own_words import TAGS
from kit.visit.visit import Visit
from kit.visit.work_order import load_work_order, work_order_names

NAME = "spring-check-01"
SPANISH = """
[es]
title = "Revisión"

[es.customer.says]
drip = "Algunas mañanas."

[[es.site.hazard]]
name = "cat"
text = "Un gato."
"""


@pytest.fixture
def own_file(tmp_path: Path) -> Path:
    """Return a work order of an instructor's own, without translations beside it."""
    return Path(shutil.copy(library.datasets("work_orders", f"{NAME}.toml"), tmp_path / "own.toml"))


@pytest.mark.parametrize("tag", TAGS)
@pytest.mark.parametrize("name", work_order_names())
def test_every_work_order_of_the_kit_speaks_every_language(name, tag):
    """Paper, customer and hazards have their translation, line by line."""
    order = load_work_order(name)
    said = order.words(tag).own
    hazards = (hazard.text for hazard in order.site_hazards)
    own = {order.title, *order.brief, *order.says.values(), *hazards}

    assert set() == own - set(said)


def test_a_customer_answers_in_the_learners_language():
    """What the work order has them say follows the choice of language; so does a refusal."""
    visit = Visit(load_work_order(NAME), 7)
    visit.language = "es"

    assert "cucharada de agua" in visit.step("ask", topic="drip").text
    assert "ya está fuera" in (visit.step("pull_disconnect"), visit.step("pull_disconnect"))[1].why
    visit.language = "en"
    assert "spoonful of water" in visit.step("ask", topic="drip").text


def test_a_file_may_carry_its_own_translation(own_file):
    """An instructor sends one file; what it leaves out stays English."""
    own_file.write_text(own_file.read_text("utf-8") + SPANISH, encoding="utf-8")
    order = load_work_order(own_file)
    spanish = order.words("es-MX")

    assert ("Revisión", "Algunas mañanas.") == (spanish(order.title), spanish(order.says["drip"]))
    assert order.brief[0] == spanish(order.brief[0])


def test_a_translation_beside_the_file_leaves_its_digest(own_file):
    """A translation that comes later does not part the work order from journals made before."""
    before = load_work_order(own_file)
    (own_file.parent / "es").mkdir()
    (own_file.parent / "es" / own_file.name).write_text('title = "Revisión"\n', encoding="utf-8")
    after = load_work_order(own_file)

    assert before.digest == after.digest
    assert "Revisión" == after.words("es")(after.title)


def test_a_broken_translation_is_named(own_file):
    """The message names the file in the folder, not the work order."""
    (own_file.parent / "es").mkdir()
    (own_file.parent / "es" / own_file.name).write_text("title = ", encoding="utf-8")

    with pytest.raises(KitError, match=r"es/own\.toml is not a TOML file"):
        load_work_order(own_file)


@pytest.mark.parametrize(
    ("text", "error", "said"),
    [
        ("[es]\ntitel = 'x'", UnknownNameError, "titel"),
        ("[es]\ntitle = ''", KitError, r"es\.title"),
        ("[es]\nbrief = ['one line']", KitError, "list of 5 lines"),
        ("[es.customer.says]\nweather = 'x'", UnknownNameError, "weather"),
        ("[[es.site.hazard]]\nname = 'dog'\ntext = 'x'", UnknownNameError, "dog"),
        ("[es.site]\nother_lock = 'x'", UnknownNameError, "other_lock"),
        ("[es.customer]\nsays = 3", KitError, r"es\.customer\.says"),
    ],
)
def test_a_translation_without_its_english_is_refused(own_file, text, error, said):
    """A slip in a key is said at once; it would be English for ever."""
    own_file.write_text(f"{own_file.read_text('utf-8')}\n{text}\n", encoding="utf-8")

    with pytest.raises(error, match=said):
        load_work_order(own_file)
