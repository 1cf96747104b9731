"""Pan, drain and hose."""

from __future__ import annotations

from kit.visit.pictures.svg import (
    FELT,
    INK,
    METAL,
    SHADE,
    SLIME,
    WATER,
    circle,
    rect,
    shape,
    specks,
    stroke,
)


def pan(grade: int) -> list[str]:
    """Return the drain pan with the mouth of the drain."""
    parts = [shape("M14 50 L30 118 H210 L226 50", METAL, stroke=INK, stroke_width=3)]
    parts.append(circle(120, 112, 10, INK))
    level = (0, 0, 6, 30, 58)[grade]
    if level:
        spread = level * 0.24
        parts.append(
            shape(f"M30 117 H210 L{210 + spread:g} {117 - level} H{30 - spread:g} Z", WATER,
                  opacity=0.75)
        )  # fmt: skip
    if grade:
        wide = 14 + 24 * grade
        parts.append(
            shape(
                f"M{120 - wide} 118 q{wide * 0.5:g} -{6 + 6 * grade} {wide} -{3 + 2 * grade} "
                f"q{wide * 0.6:g} -{2 + 3 * grade} {wide} {3 + 2 * grade} Z",
                SLIME,
            )
        )
        parts += specks(12 * grade, 120 - wide, 104 - 3 * grade, 2 * wide, 12 + 2 * grade, FELT, 1)
    return parts


def drain_end(grade: int) -> list[str]:
    """Return the end of the drain hose with what comes out of it."""
    parts = [
        shape("M20 18 H96 Q132 18 132 54 V96 H96 V60 Q96 54 90 54 H20 Z", "#dfe3e1", stroke=INK,
              stroke_width=3),
        rect(96, 88, 36, 8, SHADE),
    ]  # fmt: skip
    if grade:
        wide = 8 * grade
        parts.append(
            shape(f"M{114 - wide / 2:g} 94 q-6 {10 + 3 * grade} 2 {16 + 5 * grade} "
                  f"q{wide / 2:g} 5 {wide} -2 q5 -{8 + 3 * grade} 0 -{14 + 5 * grade} Z",
                  SLIME, stroke=FELT, stroke_width=1)
        )  # fmt: skip
    drops = (5, 4, 2, 1, 0)[grade]
    for i in range(drops):
        y = 110 + 7 * i
        parts.append(shape(f"M148 {y - 8} q6 8 0 10 q-6 -2 0 -10 Z", WATER))
    if grade == 0:
        parts.append(rect(110, 96, 8, 40, WATER))
    if grade == 4:
        parts.append(stroke("M98 90 L130 98 M130 90 L98 98", INK, 3))
    return parts


def hose(grade: int) -> list[str]:
    """Return the run of the drain hose from the wall to its end, with a level beside it."""
    sag = (0, 8, 24, 40, 54)[grade]
    parts = [rect(8, 12, 26, 120, "#e4ddd2", stroke=SHADE, stroke_width=1)]
    run = f"M34 36 C80 {42 + sag * 1.5:g} 120 {50 + sag * 1.6:g} 160 {62 - sag * 0.5:g} L228 80"
    parts.append(stroke(run, INK, 14))
    parts.append(stroke(run, "#dfe3e1", 10))
    if grade >= 2:
        parts.append(stroke(f"M74 {40 + sag:g} q26 {sag * 0.34:g} 52 0", WATER, 7))
    # A level laid on: its bubble wanders off the middle with the fault.
    parts.append(rect(136, 104, 88, 20, "#d9c86a", stroke=INK, stroke_width=2, rx=3))
    parts.append(rect(158, 108, 44, 12, "#eef4e2", stroke=INK, stroke_width=1))
    parts.append(stroke("M174 108 v12 M186 108 v12", INK, 1))
    parts.append(circle(186 - 5.5 * grade, 114, 4.5, SHADE, stroke=INK, stroke_width=1))
    return parts


DRAWINGS = {
    "pan": ("Drain pan", pan),
    "drain": ("End of the drain hose", drain_end),
    "hose": ("Run of the drain hose, with a level", hose),
}
