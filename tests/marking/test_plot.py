"""The plot of a visit: figures from the journal, an SVG of them, and the same in words."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from itertools import pairwise

import pytest

from kit.marking.plot import TOLD, axis, plot_text, visit_plot
from kit.marking.plot_svg import COLOURS, plot_svg
from kit.visit.actions import registry
from kit.visit.pictures.svg import PAPER
from tests.screens.test_colours import contrast

SVG = "{http://www.w3.org/2000/svg}"


def parsed(svg: str) -> ET.Element:
    """Return the tree of what the kit itself has drawn."""
    return ET.fromstring(svg)  # noqa: S314 - not from anybody else


@pytest.fixture(scope="module")
def plot(model):
    """Return the plot of the model visit."""
    return visit_plot(model)


def test_every_temperature_read_is_a_point(model, plot) -> None:
    """What the learner saw on a display is on the paper, at its minute."""
    read = {
        (f"{r.place}:{r.quantity}", r.at_s / 60, r.value)
        for step in model.steps
        for r in step.outcome.readings
        if r.kind == "temperature"
    }
    drawn = {(one.name, at, kelvin) for one in plot.series for at, kelvin in one.points}

    assert read
    assert read == drawn


def test_what_was_left_in_place_is_a_line(model, plot) -> None:
    """Each stretch of watching is one piece; nothing is drawn where nobody watched."""
    watched = sum(
        len(t.values) for s in model.steps for t in s.outcome.traces if t.kind == "temperature"
    )
    pieces = [piece for one in plot.series for piece in one.traces]

    assert watched == sum(len(piece) for piece in pieces)
    for piece in pieces:
        gaps = [b[0] - a[0] for a, b in pairwise(piece)]
        assert all(0 < gap <= 2.0 for gap in gaps)


def test_actions_stand_at_their_minute_in_order(model, plot) -> None:
    """Decisions, isolation, cleaning, power: numbered as they came."""
    told = [tick.title for tick in plot.ticks]

    assert list(range(1, len(plot.ticks) + 1)) == [tick.number for tick in plot.ticks]
    assert sorted(t.at_min for t in plot.ticks) == [t.at_min for t in plot.ticks]
    assert told.index("Disconnect out") < told.index("Indoor coil washed") < told.index("Pour test")
    assert "Handed over" == told[-1]
    assert set(TOLD) <= set(registry())


def test_what_a_trainer_stopped_is_marked(short_plot) -> None:
    """A critical error stands out, by a sign and not by colour alone."""
    stopped = next(tick for tick in short_plot.ticks if tick.tone == "critical")

    assert "(stopped)" in plot_text(short_plot)
    assert "✕" in plot_svg(short_plot)
    assert stopped.title == registry()["open_indoor"].title


@pytest.fixture
def short_plot(tmp_path):
    """Return the plot of a visit that a trainer stopped at once."""
    import kit
    from kit.journal import replay

    visit = kit.open_visit("spring-check-01", seed=1, journal=tmp_path / "short.jsonl")
    visit.step("open_indoor", part="front_panel")
    visit.step("open_indoor", part="indoor_casing")
    visit.close()
    return visit_plot(replay(tmp_path / "short.jsonl"))


def test_the_svg_is_sound_and_carries_its_words(plot) -> None:
    """Well formed, with title and text equivalent, every series and every number in it."""
    drawn = plot_svg(plot)
    tree = parsed(drawn)
    words = " ".join(text for text in tree.itertext() if text)

    assert "img" == tree.attrib["role"]
    assert plot.title == tree.find(f"{SVG}title").text
    assert plot_text(plot) == tree.find(f"{SVG}desc").text
    assert all(one.title in words for one in plot.series)
    numbers = {node.text for node in tree.findall(f"{SVG}text")}
    assert {str(tick.number) for tick in plot.ticks} <= numbers
    assert "nan" not in drawn


def test_nothing_lies_outside_the_paper(plot) -> None:
    """Points and ticks have places inside the frame."""
    tree = parsed(plot_svg(plot))
    _, _, width, height = (float(n) for n in tree.attrib["viewBox"].split())

    for node in tree.iter(f"{SVG}circle"):
        assert 0 < float(node.attrib["cx"]) < width
        assert 0 < float(node.attrib["cy"]) < height
    for node in tree.iter(f"{SVG}text"):
        assert 0 <= float(node.attrib["x"]) <= width
        assert 0 < float(node.attrib["y"]) <= height


def test_units_follow_the_learner(plot) -> None:
    """°F or °C on the axis and in the words, the same journal."""
    us, si = plot_svg(plot, "us"), plot_svg(plot, "si")

    assert ">°F<" in us
    assert ">°C<" in si
    assert "°F" not in plot_text(plot, "si")


def test_words_can_be_translated(plot) -> None:
    """Every word goes through the learner's language."""
    said = plot_text(plot, "us", lambda words: f"«{words}»")

    assert "«Indoor coil washed»" in said
    assert all("«" in one for one in said.splitlines())


def test_the_same_journal_gives_the_same_picture(model, plot) -> None:
    """A pure function: to the byte."""
    assert plot_svg(plot) == plot_svg(visit_plot(model))


@pytest.mark.parametrize("colour", COLOURS)
def test_lines_can_be_seen(colour) -> None:
    """At least 4.5 to 1 against the paper, as WCAG 2.2 asks of text (1.4.3)."""
    assert contrast(colour, PAPER) >= 4.5


@pytest.mark.parametrize(
    ("low", "high"), [(0, 1), (55.2, 88.1), (-7, 3), (20, 20), (0, 400), (283.15, 305), (0, 0.3)]
)
def test_an_axis_encloses_what_it_shows(low, high) -> None:
    """Round steps, not too many."""
    found = axis(low, high)

    assert found[0] <= low <= high <= found[-1]
    assert 2 <= len(found) <= 10
    assert 1 == len({round(b - a, 9) for a, b in pairwise(found)})


def test_an_empty_visit_has_an_empty_plot(tmp_path) -> None:
    """Nothing read, nothing drawn, no error."""
    import kit
    from kit.journal import replay

    kit.open_visit("spring-check-01", seed=1, journal=tmp_path / "none.jsonl").close()
    empty = visit_plot(replay(tmp_path / "none.jsonl"))

    assert () == empty.series
    assert parsed(plot_svg(empty)).attrib["role"] == "img"
