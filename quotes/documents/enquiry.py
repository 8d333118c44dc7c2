"""The enquiry on paper: what is asked and by when first, then the drawing and the measures."""

from __future__ import annotations

import segno

from quotes.days import short_date
from quotes.documents.pdf import draw_openings
from quotes.documents.sheet import FAINT, INK, LEFT, RIGHT, Sheet
from quotes.enquiries import Asked

_QR_SIDE = 84.0
_HALF = (RIGHT - LEFT) / 2


def enquiry_pdf(asked: Asked, link: str = "") -> bytes:
    """What an enquiry asks as a PDF; `link` is the factory's own page to answer on."""
    sheet = Sheet(asked.title, asked.shop[0])
    _heads(sheet, asked)
    _questions(sheet, asked, link)
    _words(sheet, asked.words)
    if asked.opening:
        draw_openings(sheet, [asked.opening], said="As measured")
    return sheet.finish(
        [
            ("From", asked.shop[0], 190),
            ("Enquiry", asked.number, 82),
            ("Date", short_date(asked.sent_on), 82),
            ("Answer by", short_date(asked.answer_by), 90),
        ]
    )


def _heads(sheet: Sheet, asked: Asked) -> None:
    """Two cells: who asks, who is asked; the title under them."""
    sheet.y += 6
    top, lowest = sheet.y, sheet.y
    cells = (("From", asked.shop), ("To", (asked.factory, asked.contact)))
    for at, (name, lines) in enumerate(cells):
        x, y = LEFT + at * _HALF, top - 8
        sheet.words(x + 6, y, name.upper(), 6, colour=FAINT)
        y -= 13
        for row, line in enumerate(word for word in lines if word):
            size = 9 if row else 10.5
            y = sheet.column(x + 6, y, line, _HALF - 12, size, bold=not row, most=3)
        lowest = min(lowest, y)
    low = lowest + 2
    sheet.box(LEFT, low, RIGHT - LEFT, top + 2 - low, 1.0)
    sheet.rule(LEFT + _HALF, low, LEFT + _HALF, top + 2, 0.5)
    sheet.y = low - 18
    sheet.words(LEFT, sheet.y, asked.title, 14, bold=True)
    sheet.y -= 20


def _questions(sheet: Sheet, asked: Asked, link: str) -> None:
    """What is wanted and what is asked about it, beside the code of the link."""
    top = sheet.y
    wide = RIGHT - LEFT - (_QR_SIDE + 20 if link else 0)
    y = sheet.column(LEFT, top, f"{asked.count} of {asked.what}", wide, 10, bold=True, most=3)
    if asked.why:
        y = sheet.column(LEFT, y - 1, f"Why we ask: {asked.why}", wide, 8.5, colour=INK)
    y = sheet.column(LEFT, y - 5, "Please tell us", wide, 7, bold=True, colour=FAINT)
    sheet.rule(LEFT, y + 5, LEFT + wide, y + 5, 0.7)
    y -= 5
    for number, question in enumerate(asked.questions, 1):
        sheet.words(LEFT, y, f"{number}", 9, bold=True)
        y = sheet.column(LEFT + 16, y, question, wide - 16, 9) - 2
    if link:
        _code(sheet, link, top)
        y = min(y, top - _QR_SIDE - 20)
        y = sheet.column(
            LEFT, y, f"Answer on this page, no sign-in needed: {link}", RIGHT - LEFT, 8
        )
    sheet.y = y - 12


def _words(sheet: Sheet, words: str) -> None:
    """What the desk wrote, whole: over as many pages as it needs."""
    if not words:
        return
    sheet.need(36)
    sheet.words(LEFT, sheet.y, "From our desk", 7, bold=True, colour=FAINT)
    sheet.y -= 12
    for part in words.splitlines():
        for row in sheet.lines_of(part, RIGHT - LEFT, 9, most=900):
            sheet.need(12)
            sheet.words(LEFT, sheet.y, row, 9)
            sheet.y -= 12
    sheet.y -= 12


def _code(sheet: Sheet, link: str, top: float) -> None:
    code = segno.make(link, error="m")
    rows = list(code.matrix_iter(border=0))
    side = _QR_SIDE / len(rows)
    x, y = RIGHT - _QR_SIDE, top + 8 - _QR_SIDE
    sheet.canvas.setFillColorRGB(*INK)
    for up, row in enumerate(reversed(rows)):
        for at, dark in enumerate(row):
            if dark:
                sheet.canvas.rect(x + at * side, y + up * side, side, side, stroke=0, fill=1)
    sheet.words(x + _QR_SIDE / 2, y - 10, "answer here", 7, align="middle", colour=FAINT)
