"""A drawn look shows how bad it is, says the same in words, and loads nothing from anywhere."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET

import pytest

from kit.errors import OutOfRangeError, UnknownNameError
from kit.visit import looks
from kit.visit.outcome import Picture, line
from kit.visit.pictures import picture_svg, subjects

GRADES = range(5)
SVG = "{http://www.w3.org/2000/svg}"
# What must at least be drawn.
NEEDED = {
    "coil_face", "wheel_blades", "board", "drain", "filter", "outdoor_coil", "wires", "sensor",
    "pan",
}  # fmt: skip


def tree(text: str) -> ET.Element:
    """Return our own text as a tree."""
    return ET.fromstring(text)  # noqa: S314 - nobody else wrote it


def drawn(subject: str, grade: int) -> ET.Element:
    """Return a picture as a tree."""
    return tree(picture_svg(Picture(subject, grade, line("It looks so."))))


@pytest.mark.parametrize("subject", subjects())
@pytest.mark.parametrize("grade", GRADES)
def test_a_picture_has_a_title_and_a_text_equivalent(subject, grade) -> None:
    """Who cannot see it is told the same."""
    root = drawn(subject, grade)
    title, desc = root.find(f"{SVG}title"), root.find(f"{SVG}desc")

    assert title is not None
    assert title.text
    assert desc is not None
    assert "It looks so." == desc.text
    assert f"{title.get('id')} {desc.get('id')}" == root.get("aria-labelledby")


@pytest.mark.parametrize("subject", subjects())
def test_five_grades_give_five_pictures(subject) -> None:
    """How bad it is can be seen."""
    assert 5 == len({"".join(ET.tostring(p, "unicode") for p in list(drawn(subject, g))[2:])
                     for g in GRADES})  # fmt: skip


@pytest.mark.parametrize("subject", subjects())
def test_a_picture_is_plain_vector_drawing(subject) -> None:
    """No raster, no script, no reference to anything outside."""
    for grade in GRADES:
        tags = {one.tag.removeprefix(SVG) for one in drawn(subject, grade).iter()}
        assert tags <= {"svg", "title", "desc", "rect", "circle", "ellipse", "path"}
        text = picture_svg(Picture(subject, grade, line("Plain.")))
        assert not re.search(r"href|url\(|on\w+=", text)


def test_words_cannot_break_out_of_the_picture() -> None:
    """What is said is text, whatever letters are in it."""
    text = picture_svg(Picture("pan", 2, line("{x}", x="</desc><script>a & b</script>")))

    assert "</desc><script>a & b</script>" == tree(text).find(f"{SVG}desc").text


def test_title_and_words_speak_the_readers_language() -> None:
    """Both go through the same translation as everything else."""
    text = picture_svg(Picture("pan", 0, line("Clean.")), translate=str.upper)

    assert "DRAIN PAN" in text
    assert "CLEAN." in text


def test_an_unknown_subject_names_the_nearest() -> None:
    """A slip of the pen is answered with what was meant."""
    with pytest.raises(UnknownNameError, match="filter"):
        picture_svg(Picture("filtre", 0, line("x")))


@pytest.mark.parametrize("grade", [-1, 5])
def test_a_grade_out_of_range_is_refused(grade) -> None:
    """It is never pulled into the range."""
    with pytest.raises(OutOfRangeError, match="grade"):
        picture_svg(Picture("pan", grade, line("x")))


def test_everything_a_look_shows_can_be_drawn(arrived) -> None:
    """No look names a subject without a drawing, and what must be drawn is there."""
    shown = {p.subject for look in looks.LOOKS.values() for p in look.see(arrived)[1]}

    assert shown | NEEDED <= set(subjects())
