"""SVG in plain text: elements, specks set by a fixed rule, and the frame with title and text."""

from __future__ import annotations

from xml.sax.saxutils import escape, quoteattr

WIDTH, HEIGHT = 240, 144
# Flat colours of our own; what is wrong is told by shape and cover as well, never by colour alone.
PAPER, INK, SHADE = "#f4f6f5", "#2b3338", "#9aa5ab"
METAL, DUST, FELT, SLIME = "#c3ccd1", "#8d8273", "#675d50", "#5f7a4a"
WATER, ICE, COPPER = "#7fb2cf", "#e3f1f9", "#b97a45"
GREEN, BURN, LEAF, WHITE = "#3c7359", "#2a1d14", "#7c8f3c", "#ffffff"
# The plane's most even sequence (generalised golden ratio); textbook.
_STEP_X, _STEP_Y = 0.7548776662466927, 0.5698402909980532


def element(tag: str, /, **values: str | float) -> str:
    """Return one empty element.

    Args:
        tag: its name.
        values: its attributes; an underscore stands for a hyphen.
    """
    said = " ".join(f"{k.replace('_', '-')}={quoteattr(_text(v))}" for k, v in values.items())
    return f"<{tag} {said}/>"


def rect(x: float, y: float, w: float, h: float, fill: str, **more: str | float) -> str:
    """Return a filled rectangle."""
    return element("rect", x=x, y=y, width=w, height=h, fill=fill, **more)


def circle(x: float, y: float, r: float, fill: str, **more: str | float) -> str:
    """Return a filled circle."""
    return element("circle", cx=x, cy=y, r=r, fill=fill, **more)


def stroke(d: str, colour: str = INK, width: float = 2.0, **more: str | float) -> str:
    """Return a line along a path."""
    return element("path", d=d, fill="none", stroke=colour, stroke_width=width, **more)


def shape(d: str, fill: str, **more: str | float) -> str:
    """Return a filled path."""
    return element("path", d=d, fill=fill, **more)


def specks(
    count: int, x: float, y: float, w: float, h: float, fill: str, size: float = 2.0
) -> list[str]:
    """Return specks spread evenly, always the same ones.

    Args:
        count: how many.
        x: left edge of their field.
        y: its upper edge.
        w: its width.
        h: its height.
        fill: their colour.
        size: size of the smallest.
    """
    return [
        circle(
            x + w * ((i * _STEP_X) % 1.0), y + h * ((i * _STEP_Y) % 1.0), size + (i % 3) * 0.8, fill
        )
        for i in range(1, count + 1)
    ]


def document(name: str, title: str, told: str, parts: list[str]) -> str:
    """Return the whole SVG.

    Args:
        name: name from which the ids of title and text are made.
        title: what is drawn.
        told: the same in words.
        parts: elements, back to front.
    """
    head = (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH} {HEIGHT}" role="img" '
        f'aria-labelledby="{name}-title {name}-desc">'
    )
    words = (
        f'<title id="{name}-title">{escape(title)}</title>'
        f'<desc id="{name}-desc">{escape(told)}</desc>'
    )
    back = rect(0, 0, WIDTH, HEIGHT, PAPER)
    return f"{head}{words}{back}{''.join(parts)}</svg>"


def _text(value: str | float) -> str:
    return value if isinstance(value, str) else f"{round(value, 2):g}"
