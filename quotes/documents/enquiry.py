"""The enquiry on paper: what is asked and by when first, then the drawing and the measures."""

from __future__ import annotations

from collections.abc import Sequence

from quotes.days import short_date
from quotes.documents.blocks import parties, qr
from quotes.documents.pdf import draw_openings
from quotes.documents.sheet import FAINT, HAIR, INK, LEFT, Paper, Sheet
from quotes.enquiries import Asked, Asking

_QR_SIDE = 84.0


def enquiry_pdf(asking: Asking, link: str = "", paper: Paper = "letter") -> bytes:
    """What a letter asks as a PDF; `link` is the factory's own page to answer on."""
    asked = asking.first
    sheet = Sheet(asking.title, asked.shop[0], paper)
    _heads(sheet, asking)
    _questions(sheet, asking, link)
    if asking.is_several:
        _list(sheet, asking.items)
    _words(sheet, asking)
    draw_openings(sheet, [one.opening for one in asking.items if one.opening], said="As measured")
    return sheet.finish(
        [
            ("From", asked.shop[0], 190),
            ("Enquiry", asked.number, 82),
            ("Date", short_date(asked.sent_on), 82),
            ("Answer by", short_date(asked.answer_by), 90),
        ]
    )


def _heads(sheet: Sheet, asking: Asking) -> None:
    """Two cells: who asks, who is asked; the title under them."""
    asked = asking.first
    whom = [word for word in (asked.factory, asked.contact) if word]
    parties(sheet, (("From", asked.shop), ("To", whom)), most=3)
    sheet.words(LEFT, sheet.y, asking.title, 14, bold=True)
    sheet.y -= 20


def _questions(sheet: Sheet, asking: Asking, link: str) -> None:
    """What is wanted and what is asked about it, beside the code of the link."""
    top = sheet.y
    wide = sheet.right - LEFT - (_QR_SIDE + 20 if link else 0)
    y = sheet.column(LEFT, top, asking.subject, wide, 10, bold=True, most=3)
    if asking.first.why and not asking.is_several:
        y = sheet.column(LEFT, y - 1, f"Why we ask: {asking.first.why}", wide, 8.5, colour=INK)
    y = sheet.column(
        LEFT,
        y - 5,
        "Please tell us, for each of them" if asking.is_several else "Please tell us",
        wide,
        7,
        bold=True,
        colour=FAINT,
    )
    sheet.rule(LEFT, y + 5, LEFT + wide, y + 5, 0.7)
    y -= 5
    for number, question in enumerate(asking.questions, 1):
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


def _list(sheet: Sheet, items: Sequence[Asked]) -> None:
    """A row for each: which, how many of what, and why we ask."""
    at = (LEFT, LEFT + 150, LEFT + 390)
    wide = (144, 234, sheet.right - LEFT - 390)

    def heads() -> None:
        for x, name in zip(at, ("Which", "What", "Why we ask"), strict=True):
            sheet.words(x, sheet.y, name, 7, bold=True, colour=FAINT)
        sheet.rule(LEFT, sheet.y - 4, sheet.right, sheet.y - 4, 0.7)
        sheet.y -= 15

    heads()
    for asked in items:
        cells = (asked.place, f"{asked.count} of {asked.what}", asked.why)
        high = max(len(sheet.lines_of(t, w, 8.5)) for t, w in zip(cells, wide, strict=True)) * 11
        if sheet.need(high + 6):
            heads()
        lowest = min(
            sheet.column(x, sheet.y, text, w, 8.5)
            for x, text, w in zip(at, cells, wide, strict=True)
        )
        sheet.rule(LEFT, lowest + 6, sheet.right, lowest + 6, 0.4, HAIR)
        sheet.y = lowest - 5
    sheet.y -= 8


def _words(sheet: Sheet, asking: Asking) -> None:
    """What the desk wrote, whole: over as many pages as it needs."""
    said = [one for one in asking.items if one.words]
    if not said:
        return
    sheet.need(36)
    sheet.words(LEFT, sheet.y, "From us", 7, bold=True, colour=FAINT)
    sheet.y -= 12
    for asked in said:
        place = f"{asked.place}: " if asking.is_several else ""
        for part in f"{place}{asked.words}".splitlines():
            for row in sheet.lines_of(part, sheet.right - LEFT, 9, most=900):
                sheet.need(12)
                sheet.words(LEFT, sheet.y, row, 9)
                sheet.y -= 12
    sheet.y -= 12
