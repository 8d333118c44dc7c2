"""The enquiry on paper: what is asked and by when first, then the drawing and the measures."""

from __future__ import annotations

from quotes.days import short_date
from quotes.documents.blocks import parties, qr
from quotes.documents.pdf import draw_openings
from quotes.documents.sheet import FAINT, INK, LEFT, Paper, Sheet
from quotes.enquiries import Asked

_QR_SIDE = 84.0


def enquiry_pdf(asked: Asked, link: str = "", paper: Paper = "letter") -> bytes:
    """What an enquiry asks as a PDF; `link` is the factory's own page to answer on."""
    sheet = Sheet(asked.title, asked.shop[0], paper)
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
    whom = [word for word in (asked.factory, asked.contact) if word]
    parties(sheet, (("From", asked.shop), ("To", whom)), most=3)
    sheet.words(LEFT, sheet.y, asked.title, 14, bold=True)
    sheet.y -= 20


def _questions(sheet: Sheet, asked: Asked, link: str) -> None:
    """What is wanted and what is asked about it, beside the code of the link."""
    top = sheet.y
    wide = sheet.right - LEFT - (_QR_SIDE + 20 if link else 0)
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
        at = sheet.right - _QR_SIDE
        qr(sheet, link, at, top + 8, _QR_SIDE)
        sheet.words(
            at + _QR_SIDE / 2, top - _QR_SIDE - 2, "answer here", 7, align="middle", colour=FAINT
        )
        y = min(y, top - _QR_SIDE - 20)
        y = sheet.column(
            LEFT, y, f"Answer on this page, no sign-in needed: {link}", sheet.right - LEFT, 8
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
        for row in sheet.lines_of(part, sheet.right - LEFT, 9, most=900):
            sheet.need(12)
            sheet.words(LEFT, sheet.y, row, 9)
            sheet.y -= 12
    sheet.y -= 12
