"""The measuring sheet on paper: where each measure is taken, how, a box for it, and the code of the page.

Blank for a family, or filled with what a caller has said of one opening.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from quotes.documents.blocks import qr
from quotes.documents.paper_drawing import draw
from quotes.documents.sheet import FAINT, HAIR, INK, LEFT, Paper, Sheet
from quotes.drawing import Drawing
from quotes.measuring import Place
from sizing.cautions import Caution
from sizing.wording import gettext as _

_QR_SIDE = 92.0
_DRAWING_WIDE, _DRAWING_HIGH = 300.0, 226.0
_BOX_WIDE, _BOX_HIGH = 106.0, 24.0


@dataclass(frozen=True)
class MeasuringSheet:
    """`rows` are the named lines to write on, each with what is known already ("" for a blank one)."""

    family: str
    shop: tuple[str, ...]
    drawing: Drawing
    places: Sequence[Place]
    rows: Sequence[tuple[str, str]]
    finishes: Sequence[str]
    finish: str
    cautions: Sequence[Caution]
    address: str

    @property
    def title(self) -> str:
        return _("Measuring sheet: {family}").format(family=self.family)


def measuring_pdf(asked: MeasuringSheet, paper: Paper = "letter") -> bytes:
    sheet = Sheet(asked.title, asked.shop[0], paper)
    sheet.words(LEFT, sheet.y - 6, asked.title, 14, bold=True)
    sheet.y -= 18
    _drawing_and_words(sheet, asked)
    for place in asked.places:
        _place(sheet, place)
    _finishes(sheet, asked)
    _cautions(sheet, asked.cautions)
    return sheet.finish(
        [(_("From"), asked.shop[0], 190), (_("Measuring sheet"), asked.family, 260)]
    )


def _drawing_and_words(sheet: Sheet, asked: MeasuringSheet) -> None:
    """The drawing at the left; who and which window, and the code of the page, beside it."""
    top = sheet.y
    high = min(_DRAWING_HIGH, asked.drawing.height * min(1, _DRAWING_WIDE / asked.drawing.width))
    sheet.box(LEFT, top - high - 8, _DRAWING_WIDE, high + 8, 0.7)
    draw(sheet, asked.drawing, LEFT + 4, top - 4, _DRAWING_WIDE - 8, high)
    x = LEFT + _DRAWING_WIDE + 16
    y = top - 2
    for name, known in asked.rows:
        sheet.words(x, y - 6, name.upper(), 6.5, colour=FAINT)
        sheet.words(x, y - 20, known, 10, bold=True)
        sheet.rule(x, y - 24, sheet.right, y - 24, 0.5)
        y -= 31
    qr(sheet, asked.address, x, y - 4, _QR_SIDE)
    text = x + _QR_SIDE + 10
    words = _("Type your numbers on this page: it checks them and sends them to us.")
    low = sheet.column(text, y - 14, words, sheet.right - text, 8.5, bold=True)
    low = sheet.column(text, low - 2, asked.address, sheet.right - text, 7, colour=FAINT, most=4)
    contact = [line for line in asked.shop[1:] if line]
    low = sheet.column(
        text,
        low - 2,
        _("Or: {contact}").format(contact=", ".join(contact)),
        sheet.right - text,
        7.5,
        most=5,
    )
    sheet.y = min(top - high - 16, y - _QR_SIDE - 10, low - 8)


def _place(sheet: Sheet, place: Place) -> None:
    """One measure: its letter in a balloon, what and how, and the box to write in."""
    wide = sheet.right - LEFT - _BOX_WIDE - 42
    how = sheet.lines_of(place.how_to, wide, 8.5) if place.how_to else []
    avoid = sheet.lines_of(place.avoid, wide, 8.5) if place.avoid else []
    high = max(16 + 11 * (len(how) + len(avoid)), _BOX_HIGH + 6)
    sheet.need(high + 4)
    top = sheet.y
    sheet.canvas.setLineWidth(1.1)
    sheet.canvas.setStrokeColorRGB(*INK)
    sheet.canvas.circle(LEFT + 11, top - 11, 10, stroke=1, fill=0)
    sheet.words(LEFT + 11, top - 14.5, place.letter, 10.5, bold=True, align="middle")
    sheet.words(LEFT + 30, top - 10, place.label, 10, bold=True)
    y = top - 22
    for line in how:
        sheet.words(LEFT + 30, y, line, 8.5)
        y -= 11
    for line in avoid:
        sheet.words(LEFT + 30, y, line, 8.5, colour=FAINT)
        y -= 11
    box = sheet.right - _BOX_WIDE
    sheet.box(box, top - _BOX_HIGH, _BOX_WIDE - 22, _BOX_HIGH, 1.0)
    sheet.words(box + 6, top - 17, place.said, 11.5, bold=True)
    sheet.words(sheet.right, top - 16, place.unit, 9, align="right")
    sheet.rule(LEFT, top - high, sheet.right, top - high, 0.4, HAIR)
    sheet.y = top - high - 4


def _finishes(sheet: Sheet, asked: MeasuringSheet) -> None:
    names = [name for name in asked.finishes if name]
    if not names:
        return
    sheet.need(24)
    sheet.words(LEFT + 30, sheet.y - 12, _("Finish"), 10, bold=True)
    x = LEFT + 94
    for name in names:
        sheet.box(x, sheet.y - 14, 11, 11, 1.0)
        if name.casefold() == asked.finish.casefold():
            for rise in (0, 11):
                sheet.rule(x, sheet.y - 14 + rise, x + 11, sheet.y - 3 - rise, 1.2)
        sheet.words(x + 16, sheet.y - 12, name, 9.5)
        x += 34 + 6 * len(name)
    sheet.y -= 26


def _cautions(sheet: Sheet, cautions: Sequence[Caution]) -> None:
    wide = sheet.right - LEFT - 14
    for caution in cautions:
        lines = sheet.lines_of(caution.text, wide, 7.5)
        sheet.need(9.5 * (len(lines) + 1) + 4)
        top = sheet.y
        sheet.words(LEFT + 14, top - 7, caution.title, 7.5, bold=True)
        for line in lines:
            sheet.y -= 9.5
            sheet.words(LEFT + 14, sheet.y - 7, line, 7.5)
        sheet.y -= 9.5
        sheet.rule(LEFT + 4, top, LEFT + 4, sheet.y, 2)
        sheet.y -= 4
