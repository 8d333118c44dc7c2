"""The window drawing on paper: the same shapes as on the page, scaled into a box."""

from __future__ import annotations

from collections.abc import Sequence

from quotes.documents.sheet import DOUBT, FAINT, INK, WASH, Sheet
from quotes.drawing import ARROW, Arrow, Box, Drawing, Line, Shape, Words

_PENS: dict[str, tuple[float, Sequence[float], tuple[float, ...]]] = {
    "object": (1.5, INK, ()),
    "thin": (0.5, FAINT, ()),
    "pane": (0.8, INK, ()),
    "dimension": (0.5, INK, ()),
    "doubt": (1.1, DOUBT, (4, 2.5)),
    "missing": (0.8, FAINT, (1.2, 2.4)),
}
_LETTERING = {
    "value": (13.0, True, INK),
    "note": (10.5, False, FAINT),
    "doubt": (11.0, True, DOUBT),
}


def draw(sheet: Sheet, drawing: Drawing, x: float, top: float, width: float, height: float) -> None:
    """Draw into the box under `top`, as large as fits, never larger than on the page."""
    scale = min(width / drawing.width, height / drawing.height, 1.0)
    canvas = sheet.canvas
    canvas.saveState()
    canvas.translate(x + (width - drawing.width * scale) / 2, top)
    canvas.scale(scale, scale)
    for shape in drawing.shapes:
        _shape(sheet, shape)
    canvas.restoreState()


def _shape(sheet: Sheet, shape: Shape) -> None:
    """One shape; the sheet's y runs down, the paper's up."""
    if isinstance(shape, Words):
        _words(sheet, shape)
        return
    line, colour, dash = _PENS.get(shape.kind, _PENS["thin"])
    if isinstance(shape, Line):
        sheet.rule(shape.x1, -shape.y1, shape.x2, -shape.y2, line, colour, dash)
    elif isinstance(shape, Box):
        high = max(shape.height, 0)
        fill = WASH if shape.kind == "pane" else None
        sheet.box(shape.x, -shape.y - high, max(shape.width, 0), high, line, colour, fill)
    elif isinstance(shape, Arrow):
        back_x, back_y = shape.x - shape.dx * ARROW, shape.y - shape.dy * ARROW
        side_x, side_y = -shape.dy * ARROW * 0.32, shape.dx * ARROW * 0.32
        path = sheet.canvas.beginPath()
        path.moveTo(shape.x, -shape.y)
        path.lineTo(back_x + side_x, -(back_y + side_y))
        path.lineTo(back_x - side_x, -(back_y - side_y))
        path.close()
        sheet.canvas.setFillColorRGB(*colour)
        sheet.canvas.drawPath(path, stroke=0, fill=1)


def _words(sheet: Sheet, shape: Words) -> None:
    size, bold, colour = _LETTERING.get(shape.kind, _LETTERING["note"])
    align = {"start": "left", "middle": "middle", "end": "right"}[shape.anchor]
    # The mark before a doubtful measure, as a sign that prints without colour.
    text = f"! {shape.text}" if shape.mark else shape.text
    sheet.words(shape.x, -shape.y, text, size, bold=bold, align=align, colour=colour)
