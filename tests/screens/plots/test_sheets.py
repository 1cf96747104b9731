"""What holds for every chart: readable, safe, well formed, in both palettes."""

from __future__ import annotations

import re

import pytest

from kit.machine import Command, Condition, Surroundings, load_spec, settle
from kit.screens.plots import air_chart, airflow_chart, cycle_chart, split_chart
from kit.screens.plots.axes import steps
from kit.screens.plots.labels import Labels
from kit.screens.plots.pen import LIGHT, STYLES, WIDTH
from tests.screens.plots.reading import ES, SI, SVG, US, boxes, parsed
from tests.screens.test_colours import contrast, palette

NAMES = ('a "b" <c> & d', "healthy")
SHOWN_PX = 600  # the width below which a chart scrolls instead of shrinking (parts/plot.css)


def charts():
    """Return one of each, with a name that would break careless markup."""
    spec = load_spec("wall-12k-r454b")
    around, command = Surroundings(300.0, 0.5, 308.15, 0.4), Command("cooling", 289.15)
    truths = [settle(spec, c, around, command) for c in (Condition(), Condition(wheel_fouling=0.6))]
    return {
        "air": air_chart([(NAMES[0], 300.0, 0.5), (NAMES[1], 286.5, 0.9)], joined=True),
        "cycle": cycle_chart("R-454B", list(zip(NAMES, truths, strict=True))),
        "airflow": airflow_chart(spec, [(NAMES[0], Condition()),
                                        (NAMES[1], Condition(filter_loading=0.5))]),
        "split": split_chart([(n, [0.0, 600.0], [0.0, 9.0 + i]) for i, n in enumerate(NAMES)], 9.5),
    }  # fmt: skip


CHARTS = charts()
EACH = pytest.mark.parametrize("name", CHARTS)
VOICES = pytest.mark.parametrize("voice", [US, SI, ES], ids=["us", "si", "es"])


@EACH
@VOICES
def test_a_chart_is_well_formed_and_says_what_it_shows(name, voice):
    """One picture with its words, no value that is none, names kept as they were typed."""
    svg = CHARTS[name].draw(voice)
    root = parsed(svg)
    assert f"{SVG}svg" == root.tag
    assert "img" == root.get("role")
    assert voice.line(CHARTS[name].alt) == root.get("aria-label")
    assert not re.search(r"\bnan\b|\binf\b", svg)
    assert NAMES[0] in root.get("aria-label", "")
    assert any(NAMES[0] in (t.text or "") for t in root.iter(f"{SVG}text"))


@EACH
@VOICES
def test_no_word_is_smaller_than_13_pixels_or_off_the_sheet(name, voice):
    """At the smallest size a chart is shown in; letters are reckoned on the wide side."""
    root = parsed(CHARTS[name].draw(voice))
    sizes = {float(t.get("font-size", "0")) for t in root.iter(f"{SVG}text")}
    assert min(sizes) * SHOWN_PX / WIDTH >= 13.0
    for text, left, right in boxes(root):
        assert left >= -2, text
        assert right <= WIDTH + 2, text


@EACH
@pytest.mark.parametrize("tone", ["light", "dark"])
def test_words_and_lines_can_be_seen(name, tone):
    """4.5 to 1 for words, 3 to 1 for what carries meaning (WCAG 2.2), on either ground."""
    colours = palette(tone)
    root = parsed(CHARTS[name].draw(US))
    for one in root.iter():
        inks = {k: re.findall(r"--bc-([a-z-]+)", one.get(k, "")) for k in ("fill", "stroke")}
        if one.tag == f"{SVG}text":
            (ink,) = inks["fill"]
            for ground in ("card", "back"):
                assert contrast(colours[ink], colours[ground]) >= 4.5, ink
        elif float(one.get("stroke-width", "0")) >= 1.8 and not one.get("data-point"):
            rim = inks["stroke"] == ["card"]  # around a point, whose colour is inside
            (ink,) = inks["fill"] if rim else inks["stroke"]
            for ground in ("card", "back"):
                assert contrast(colours[ink], colours[ground]) >= 3.0, ink


def test_colours_are_those_of_the_screens():
    """What stands behind a variable is its light value; a chart has no colours of its own."""
    colours = palette("light")
    assert {name: colours[name] for name in LIGHT} == LIGHT


@pytest.mark.parametrize("tone", ["light", "dark"])
def test_styles_differ_without_colour_and_can_be_seen(tone):
    """Dash and shape tell series apart; each colour has 3 to 1 (WCAG 2.2, 1.4.11)."""
    assert len(STYLES) == len({one.dash for one in STYLES})
    assert 4 == len({one.marker for one in STYLES})
    colours = palette(tone)
    for one in STYLES:
        (ink,) = re.findall(r"--bc-([a-z-]+)", one.colour)
        assert contrast(colours[ink], colours["card"]) >= 3.0


@pytest.mark.parametrize(
    ("low", "high", "expected"),
    [(0, 100, [0, 20, 40, 60, 80, 100]), (40, 90, [40, 50, 60, 70, 80, 90]),
     (0.1, 0.9, [0, 0.2, 0.4, 0.6, 0.8, 1.0]), (-3, 4, [-4, -2, 0, 2, 4])],
)  # fmt: skip
def test_figures_of_an_axis_are_round_and_enclose_what_is_shown(low, high, expected):
    """At most seven of them."""
    assert expected == pytest.approx(steps(low, high))


def test_words_keep_off_lines_and_off_each_other():
    """Two names of one point do not lie on one another, and both stand inside the frame."""
    labels = Labels((0.0, 0.0, 300.0, 200.0))
    labels.keep_clear([(0.0, 100.0), (300.0, 100.0)])
    for text in ("first name", "second name", "third name"):
        labels.put((290.0, 100.0), (text,))
    places = labels._words
    for i, one in enumerate(places):
        assert 0 <= one[0] <= one[2] <= 300
        assert 0 <= one[1] <= one[3] <= 200
        for other in places[:i]:
            apart = one[2] <= other[0] or other[2] <= one[0] or one[3] <= other[1]
            assert apart or other[3] <= one[1]
