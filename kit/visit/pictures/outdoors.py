"""The outdoor unit: its coil, ice, lines and the space around it."""

from __future__ import annotations

from kit.visit.pictures.svg import (
    BURN,
    COPPER,
    DUST,
    FELT,
    ICE,
    INK,
    LEAF,
    METAL,
    SHADE,
    WHITE,
    circle,
    element,
    rect,
    shape,
    specks,
    stroke,
)


def outdoor_coil(grade: int) -> list[str]:
    """Return the rear face of the outdoor coil."""
    parts = [rect(8, 6, 224, 132, "#d9e0e3", stroke=INK, stroke_width=3)]
    parts += [stroke(f"M{x} 8 V136", "#7b878e", 1) for x in range(12, 232, 4)]
    parts += [stroke(f"M8 {y} H232", SHADE, 3) for y in (38, 72, 106)]
    if grade >= 2:
        low = 136 - (0, 0, 44, 96, 128)[grade]
        parts.append(
            shape(f"M10 136 V{low} q28 -10 55 0 t55 0 t55 0 t55 0 V136 Z", DUST,
                  opacity=0.55 + 0.1 * grade)
        )  # fmt: skip
    parts += specks((0, 45, 80, 130, 190)[grade], 12, 10, 216, 124, FELT, 1 + 0.4 * grade)
    for i in range((0, 1, 3, 5, 8)[grade]):
        x, y = 22 + (i * 61) % 180, 118 - (i * 29) % 92
        parts.append(shape(f"M{x} {y} q14 -14 26 3 q-14 12 -26 -3 Z", LEAF, stroke=INK,
                           stroke_width=0.8))  # fmt: skip
    return parts


def outdoor_ice(grade: int) -> list[str]:
    """Return the outdoor coil under frost or ice."""
    parts = [rect(8, 6, 224, 132, "#d9e0e3", stroke=INK, stroke_width=3)]
    parts += [stroke(f"M{x} 8 V136", "#7b878e", 1) for x in range(12, 232, 4)]
    if grade:
        low = 136 - (0, 30, 66, 104, 130)[grade]
        parts.append(
            shape(f"M10 136 V{low} q18 8 37 0 t37 0 t37 0 t37 0 t37 0 t35 0 V136 Z", ICE,
                  opacity=0.5 + 0.12 * grade, stroke=SHADE, stroke_width=1)
        )  # fmt: skip
        parts += [
            stroke(f"M{14 + (i * 71) % 210} {130 - (i * 37) % (137 - low)} l6 6 m0 -6 l-6 6",
                   SHADE, 1.4)
            for i in range(7 * grade)
        ]  # fmt: skip
    if grade == 4:
        parts += [shape(f"M{x} 136 l6 -34 l6 34 Z", ICE, stroke=SHADE) for x in range(16, 220, 22)]
    return parts


def pipework(grade: int) -> list[str]:
    """Return both lines at the outdoor unit, with oil at a nut."""
    parts = [rect(8, 10, 84, 124, METAL, stroke=INK, stroke_width=2)]
    for y, wide in ((48, 20), (98, 14)):
        parts.append(stroke(f"M128 {y} H232", "#54616a", wide + 8))
        parts.append(stroke(f"M92 {y} H132", COPPER, wide * 0.5))
        parts.append(
            shape(f"M92 {y - 12} h22 l5 12 l-5 12 h-22 Z", "#c9a05e", stroke=INK, stroke_width=2)
        )
    if grade:
        parts.append(
            element("ellipse", cx=106, cy=62 + 3 * grade, rx=8 + 6 * grade, ry=5 + 5 * grade,
                    fill=BURN, opacity=0.3 + 0.13 * grade)
        )  # fmt: skip
        parts += specks(9 * grade, 92, 52, 12 * grade, 8 + 14 * grade, BURN, 1.2)
    for i in range(max(grade - 1, 0)):
        y = 84 + 14 * i
        parts.append(shape(f"M{104 + 4 * i} {y - 8} q5 8 0 10 q-5 -2 0 -10 Z", BURN))
    return parts


def clearance(grade: int) -> list[str]:
    """Return the outdoor unit from above with what stands around it."""
    parts = [rect(8, 8, 224, 18, "#d8cfc2", stroke=SHADE, stroke_width=1)]
    parts.append(rect(72, 46, 96, 36, METAL, stroke=INK, stroke_width=3))
    parts.append(circle(120, 64, 13, WHITE, stroke=INK, stroke_width=2))
    if grade:
        y = 132 - 9 * grade
        wide = 40 + 40 * grade
        parts.append(rect(120 - wide / 2, y, wide, 9, FELT, stroke=INK, stroke_width=1))
    for i in range(3):
        x = 96 + 24 * i
        end = 130 if grade == 0 else 130 - 9 * grade
        parts.append(stroke(f"M{x} 84 V{end - 4} m-5 -6 l5 6 l5 -6", INK, 2))
    for side in range(grade):
        left = side % 2 == 0
        x = 58 - 6 * side if left else 182 + 6 * side
        parts.append(stroke(f"M{x} {118 - 8 * grade} Q{x + (-22 if left else 22)} 70 {x} 36 "
                            f"m-6 7 l6 -7 l6 7", BURN, 2.5))  # fmt: skip
    return parts


DRAWINGS = {
    "outdoor_coil": ("Rear face of the outdoor coil", outdoor_coil),
    "outdoor_ice": ("Outdoor coil", outdoor_ice),
    "pipework": ("Lines at the outdoor unit", pipework),
    "clearance": ("Outdoor unit from above", clearance),
}
