"""Board, wires, terminals and sensors."""

from __future__ import annotations

from kit.visit.pictures.svg import (
    BURN,
    COPPER,
    FELT,
    GREEN,
    INK,
    METAL,
    SHADE,
    WATER,
    WHITE,
    circle,
    element,
    rect,
    shape,
    specks,
    stroke,
)


def board(grade: int) -> list[str]:
    """Return the board outdoors."""
    parts = [rect(12, 10, 216, 124, GREEN, stroke=INK, stroke_width=2, rx=4)]
    parts += [rect(x, 24, 26, 44, "#20262a", rx=12) for x in (28, 62)]
    parts += [rect(104, 22, 18, 18, "#20262a"), rect(104, 50, 18, 18, "#20262a")]
    parts.append(rect(140, 22, 70, 46, METAL, stroke=INK, stroke_width=2))
    parts += [stroke(f"M{x} 74 V124", "#cfe3d8", 1.5) for x in range(30, 216, 12)]
    parts += [rect(x, 106, 24, 18, WHITE, stroke=INK, stroke_width=1) for x in (30, 66, 102)]
    parts += [stroke(f"M{x} 68 V74", SHADE, 3) for x in range(146, 210, 8)]
    if grade:
        parts.append(
            element("ellipse", cx=175, cy=46, rx=10 + 9 * grade, ry=7 + 6 * grade, fill=BURN,
                    opacity=0.3 + 0.15 * grade)
        )  # fmt: skip
        parts += specks(14 * grade, 175 - 9 * grade, 46 - 8 * grade, 18 * grade, 16 * grade, BURN)
    if grade >= 3:
        parts.append(stroke("M160 30 l12 14 l-6 6 l14 16 M186 26 l-8 16", WHITE, 2))
        parts.append(shape("M28 30 q13 -16 26 0 Z", "#20262a", stroke=WHITE, stroke_width=1))
    return parts


def wires(grade: int) -> list[str]:
    """Return the cable between the units where it enters."""
    parts = [rect(8, 8, 34, 128, "#e4ddd2", stroke=SHADE, stroke_width=1)]
    cut = (0, 0, 0, 10, 26)[grade]
    for i, colour in enumerate(("#8a4b32", "#3d4f8a", "#2f3437", "#7da04a")):
        y = 34 + 24 * i
        gnawed = i == 2 or (grade >= 4 and i == 1)
        if gnawed and cut:
            parts.append(stroke(f"M42 {y} H{126 - cut}", colour, 8))
            parts.append(stroke(f"M{126 + cut} {y} H232", colour, 8))
            parts += [
                stroke(f"M{126 - cut} {y + d} l{cut * 0.6:g} {d * 2}", COPPER, 1.6)
                for d in (-3, 0, 3)
            ]
            parts += [
                stroke(f"M{126 + cut} {y + d} l-{cut * 0.6:g} {d * 2}", COPPER, 1.6)
                for d in (-3, 0, 3)
            ]
            continue
        parts.append(stroke(f"M42 {y} H232", colour, 8))
        if gnawed and grade:
            parts += [
                shape(f"M{114 + 10 * n} {y - 4} q4 {5 + grade} 8 0 Z", WHITE) for n in range(grade)
            ]
    for n in range((0, 1, 2, 5, 9)[grade]):
        x, y = 70 + (n * 53) % 140, 122 + (n * 7) % 12
        parts.append(element("ellipse", cx=x, cy=y, rx=5, ry=2.4, fill=FELT))
    return parts


def terminals(grade: int) -> list[str]:
    """Return a terminal block."""
    parts = [rect(20, 34, 200, 76, "#e9e6da", stroke=INK, stroke_width=2, rx=4)]
    for i, x in enumerate((50, 97, 144, 191)):
        bad = i == 1 and grade
        parts.append(stroke(f"M{x} 8 V46", ("#8a4b32", "#2f3437", "#3d4f8a", "#7da04a")[i], 8))
        parts.append(circle(x, 70, 15, METAL, stroke=INK, stroke_width=2))
        turn = 14 * grade if bad else 0
        parts.append(
            stroke(f"M{x - 10} 70 H{x + 10}", INK, 4, transform=f"rotate({turn} {x} 70)")
        )
        if bad:
            parts.insert(
                1,
                circle(x, 66, 16 + 6 * grade, BURN, opacity=0.25 + 0.15 * grade),
            )
            parts.append(circle(x, 70, 15, BURN, opacity=0.12 * grade))
    if grade >= 3:
        parts.append(stroke("M84 96 q13 10 26 0 q-3 10 -13 10 q-10 0 -13 -10", BURN, 3))
    return parts


def sensor(grade: int) -> list[str]:
    """Return a sensor and its clip: home, wet at the plug, half out, out, broken off."""
    parts = [stroke(f"M{x} 12 V132", "#74818a", 1.4) for x in range(150, 232, 6)]
    parts.append(shape("M96 44 h34 v56 h-34 v-10 h22 v-36 h-22 Z", "#cfd6d2", stroke=INK,
                       stroke_width=2))  # fmt: skip
    x, y = ((106, 72), (106, 72), (124, 62), (150, 92), (172, 112))[grade]
    parts.append(stroke(f"M12 30 C46 30 40 {y} {x - 8} {y}", INK, 3))
    parts.append(element("ellipse", cx=x, cy=y, rx=12, ry=7, fill=COPPER, stroke=INK,
                         stroke_width=2))  # fmt: skip
    parts.append(rect(8, 20, 18, 20, WHITE, stroke=INK, stroke_width=2))
    if grade:
        parts += [circle(12 + 5 * i, 44 + 3 * (i % 2), 2.4, WATER) for i in range(grade)]
    if grade == 4:
        parts.append(stroke("M58 40 l8 14 M68 38 l-8 16", INK, 2))
        parts.append(rect(57, 34, 10, 14, "#f4f6f5"))
    return parts


DRAWINGS = {
    "board": ("Board of the outdoor unit", board),
    "wires": ("Cable between the units", wires),
    "terminals": ("Terminals", terminals),
    "sensor": ("Sensor and its clip", sensor),
}
