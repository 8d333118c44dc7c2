"""A drawing as inline SVG for a page: every text is escaped on the way out. Knows no Django."""

from __future__ import annotations

from html import escape

from quotes.drawing import ARROW, Arrow, Box, Drawing, Line, Shape, Words


def to_svg(drawing: Drawing, name: str) -> str:
    """The drawing as an inline SVG element. `name` makes its ids unique on a page (letters, digits, -)."""
    body = "".join(_svg(shape) for shape in drawing.shapes)
    return (
        f'<svg class="drawing" role="img" aria-labelledby="{name}-title {name}-about" '
        f'viewBox="0 0 {drawing.width:.0f} {drawing.height:.0f}" xmlns="http://www.w3.org/2000/svg">'
        f'<title id="{name}-title">{_text(drawing.title)}</title>'
        f'<desc id="{name}-about">{_text(drawing.description)}</desc>{body}</svg>'
    )


def _text(text: str) -> str:
    # Control characters may not stand in XML at all, not even escaped.
    if not text.isprintable():
        text = "".join(c if c.isprintable() else " " for c in text)
    return escape(text)


def _line(s: Line) -> str:
    return f'<path class="{s.kind}" d="M{s.x1:.1f} {s.y1:.1f}L{s.x2:.1f} {s.y2:.1f}"/>'


def _box(s: Box) -> str:
    return (
        f'<rect class="{s.kind}" x="{s.x:.1f}" y="{s.y:.1f}" '
        f'width="{max(s.width, 0):.1f}" height="{max(s.height, 0):.1f}"/>'
    )


def _arrow(s: Arrow) -> str:
    back_x, back_y = s.x - s.dx * ARROW, s.y - s.dy * ARROW
    side_x, side_y = -s.dy * ARROW * 0.32, s.dx * ARROW * 0.32
    points = (
        f"{s.x:.1f},{s.y:.1f} {back_x + side_x:.1f},{back_y + side_y:.1f} "
        f"{back_x - side_x:.1f},{back_y - side_y:.1f}"
    )
    return f'<polygon class="head {s.kind}" points="{points}"/>'


def _words(s: Words) -> str:
    mark = ""
    x = s.x
    if s.mark:
        left = x - 3.4 * len(s.text) - 5 if s.anchor == "middle" else x - 6.8 * len(s.text) - 8
        mark = f'<path class="mark" d="M{left:.1f} {s.y + 1:.1f}l5.5 -10l5.5 10zm5.5 -6.6v3.3m0 1.3v.6"/>'
        x += 7 if s.anchor == "middle" else 0
    return (
        f'{mark}<text class="{s.kind}{" long" if len(s.text) > 10 else ""}" x="{x:.1f}" y="{s.y:.1f}" '
        f'text-anchor="{s.anchor}">{_text(s.text)}</text>'
    )


def _svg(shape: Shape) -> str:
    match shape:
        case Line():
            return _line(shape)
        case Box():
            return _box(shape)
        case Arrow():
            return _arrow(shape)
        case Words():
            return _words(shape)
