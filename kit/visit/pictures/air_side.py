"""Filter, coil and wheel of the indoor unit."""

from __future__ import annotations

from kit.visit.pictures.svg import (
    DUST,
    FELT,
    ICE,
    INK,
    METAL,
    SHADE,
    SLIME,
    WHITE,
    circle,
    rect,
    shape,
    specks,
    stroke,
)

_COVER = (0.0, 0.12, 0.45, 0.8, 1.0)  # share covered by dirt at each grade


def filter_mesh(grade: int) -> list[str]:
    """Return the air filter, held to the light."""
    parts = [rect(12, 10, 216, 124, WHITE, stroke=INK, stroke_width=3, rx=6)]
    parts += [stroke(f"M{x} 12 V132", SHADE, 0.8) for x in range(20, 228, 8)]
    parts += [stroke(f"M14 {y} H226", SHADE, 0.8) for y in range(18, 132, 8)]
    parts += [stroke("M84 12 V132", INK, 2), stroke("M156 12 V132", INK, 2)]
    if grade >= 2:
        height = 116 * _COVER[grade]
        wavy = f"M16 14 H224 V{14 + height:g} q-26 -9 -52 0 t-52 0 t-52 0 t-52 0 Z"
        parts.append(shape(wavy, DUST, opacity=0.45 + 0.13 * grade))
    parts += specks((0, 40, 90, 150, 210)[grade], 16, 14, 208, 116, FELT, 1.2 + 0.35 * grade)
    return parts


def coil_face(grade: int) -> list[str]:
    """Return the face of the indoor coil: fins upright, tubes behind."""
    parts = [rect(8, 8, 224, 128, "#dfe6ea", stroke=INK, stroke_width=2)]
    parts += [rect(8, y, 224, 7, METAL) for y in (26, 56, 86, 116)]
    parts += [stroke(f"M{x} 8 V136", "#74818a", 1.4) for x in range(12, 232, 5)]
    for patch in range((0, 2, 5, 8, 11)[grade]):
        r = 8 + 5 * grade
        x, y = 10 + (patch * 83) % (210 - 2 * r), 20 + (patch * 47) % (104 - r)
        parts.append(
            shape(f"M{x} {y} q{r} -{r * 0.5:g} {2 * r} 4 q4 {r} -{r} {r} q-{r} -2 -{r} -{r} Z",
                  DUST, opacity=0.85)
        )  # fmt: skip
    if grade == 4:
        parts.append(rect(8, 8, 224, 116, FELT, opacity=0.88))
    parts += specks((0, 45, 90, 130, 120)[grade], 10, 10, 220, 124, FELT, 1.0 + 0.3 * grade)
    return parts


def coil_film(grade: int) -> list[str]:
    """Return a few fins close up, with what sticks to them."""
    parts = []
    for i, x in enumerate(range(16, 232, 24)):
        parts.append(rect(x, 8, 5, 128, METAL, stroke=INK, stroke_width=0.8))
        thick = 1.6 * grade
        if grade:
            lean = (i * 7) % 5
            parts.append(
                shape(
                    f"M{x - thick:g} 8 H{x + 5 + thick:g} V{120 + lean} "
                    f"q-{2.5 + thick:g} {4 * grade} -{5 + 2 * thick:g} 0 Z",
                    SLIME if grade > 1 else DUST,
                    opacity=0.35 + 0.14 * grade,
                )
            )
    parts += specks(22 * grade, 12, 8, 220, 126, INK if grade > 3 else SLIME, 0.8 + 0.4 * grade)
    return parts


def coil_ice(grade: int) -> list[str]:
    """Return the indoor coil under ice."""
    parts = coil_face(0)
    if grade:
        depth = (0, 26, 60, 100, 128)[grade]
        parts.append(rect(8, 8, 224, depth, ICE, opacity=0.55 + 0.1 * grade))
        parts += [
            shape(f"M{x} {8 + depth} q6 {5 + 3 * grade} 12 0 Z", ICE, stroke=SHADE,
                  stroke_width=0.8)
            for x in range(10, 220, 16)
        ]  # fmt: skip
        parts += [
            stroke(f"M{x} {y} l5 5 m0 -5 l-5 5", SHADE, 1.2)
            for x, y in ((20 + (i * 71) % 200, 12 + (i * 37) % max(depth - 8, 8))
                         for i in range(6 * grade))
        ]  # fmt: skip
    return parts


def wheel_blades(grade: int) -> list[str]:
    """Return the blades of the blower wheel, seen through the outlet."""
    parts = [stroke("M6 20 H234 M6 126 H234", INK, 3)]
    for x in range(22, 226, 22):
        parts.append(stroke(f"M{x} 124 q-22 -50 10 -102", "#55626a", 4))
        if grade:
            full = (0, -11, 0, 14, 26)[grade]  # how far dust fills the hollow of the blade
            parts.append(
                shape(f"M{x} 122 q-20 -48 10 -98 q{full:g} 48 -10 98 Z", DUST, opacity=0.95)
            )
        if grade > 2:
            parts += [circle(x + 4, 40 + 26 * i, 2 + grade, FELT) for i in range(4)]
    if grade == 4:
        parts.append(rect(8, 30, 224, 88, FELT, opacity=0.75))
        parts += specks(70, 10, 32, 220, 84, INK, 1.2)
    return parts


DRAWINGS = {
    "filter": ("Air filter, held to the light", filter_mesh),
    "coil_face": ("Face of the indoor coil", coil_face),
    "coil_film": ("Fins of the indoor coil, close up", coil_film),
    "coil_ice": ("Indoor coil", coil_ice),
    "wheel_blades": ("Blades of the blower wheel", wheel_blades),
}
