"""Colours that can be read: contrast of text and signs, light and dark, by WCAG 2.2."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

import kit.screens

CSS = (Path(kit.screens.__file__).parent / "parts" / "paper.css").read_text("utf-8")
TEXT = [  # (ink, paper)
    ("ink", "card"), ("ink", "back"), ("soft", "card"), ("soft", "back"), ("deep", "card"),
    ("deep-ink", "deep"), ("warn-ink", "warn"), ("bad-ink", "bad"), ("good-ink", "good"),
    ("good-ink", "card"), ("ink", "tint"),
]  # fmt: skip
SIGNS = [  # lines that carry meaning
    ("edge", "card"), ("deep", "back"), ("warn-edge", "card"), ("bad-edge", "card"),
    ("good-edge", "card"), ("line", "wall"), ("line", "sky"), ("line", "unit"),
]  # fmt: skip


def palette(tone: str) -> dict[str, str]:
    """Return the colours of the light or the dark palette."""
    bare = re.sub(r"/\*.*?\*/", "", CSS, flags=re.DOTALL)
    blocks = re.findall(r"^(\S[^{]*)\{([^}]*)\}", bare, re.MULTILINE)
    dark = tone == "dark"
    wanted = [body for head, body in blocks if "--bc-ink:" in body and ("dark" in head) == dark]
    found = dict(re.findall(r"--bc-([a-z-]+):\s*(#[0-9a-f]{6})", wanted[0]))
    assert len(found) > 20
    return found


def luminance(colour: str) -> float:
    """Return the relative luminance (WCAG 2.2, definition)."""
    parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    red, green, blue = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Return the contrast ratio (WCAG 2.2, definition)."""
    high, low = sorted((luminance(one), luminance(other)), reverse=True)
    return (high + 0.05) / (low + 0.05)


def test_the_formula_gives_the_known_ends():
    """Black on white is 21, a colour on itself 1 (WCAG 2.2)."""
    assert 21.0 == pytest.approx(contrast("#000000", "#ffffff"))
    assert 1.0 == contrast("#123456", "#123456")


@pytest.mark.parametrize("tone", ["light", "dark"])
@pytest.mark.parametrize(("ink", "paper"), TEXT)
def test_text_can_be_read(tone, ink, paper):
    """At least 4.5 to 1 (WCAG 2.2, 1.4.3), which axe cannot see inside a drawing."""
    colours = palette(tone)
    assert contrast(colours[ink], colours[paper]) >= 4.5


@pytest.mark.parametrize("tone", ["light", "dark"])
@pytest.mark.parametrize(("sign", "paper"), SIGNS)
def test_signs_can_be_seen(tone, sign, paper):
    """At least 3 to 1 for edges and lines that carry meaning (WCAG 2.2, 1.4.11)."""
    colours = palette(tone)
    assert contrast(colours[sign], colours[paper]) >= 3.0
