"""The factory order on paper, on the same sheet as the quotes: lines, then what each special is made to."""

from __future__ import annotations

from typing import TYPE_CHECKING

import segno

from quotes.documents.content import OpeningSheet
from quotes.documents.paper_drawing import draw
from quotes.documents.sheet import FAINT, HAIR, LEFT, RIGHT, Sheet

if TYPE_CHECKING:
    from ordering.documents.factory_order import Paper, Row

_QR_SIDE = 72.0
_PART, _WHAT, _WHAT_WIDE = LEFT + 96, LEFT + 186, 264.0
_DRAWING_WIDE, _DRAWING_HIGH = 190.0, 160.0


def factory_order_pdf(paper: Paper) -> bytes:
    sheet = Sheet(f"Factory order {paper.number}", paper.shop[0])
    _heads(sheet, paper)
    _rows(sheet, paper)
    _link(sheet, paper)
    _texts(sheet, paper)
    for row in paper.rows:
        for opening in row.openings:
            _opening(sheet, row, opening)
    return sheet.finish(
        [
            ("From", paper.shop[0], 190),
            ("Factory order", paper.number, 100),
            ("Date", f"{paper.sent_on:%d %b %Y}", 96),
            ("Pieces", str(sum(row.quantity for row in paper.rows)), 66),
        ]
    )


def _heads(sheet: Sheet, paper: Paper) -> None:
    half = (RIGHT - LEFT) / 2
    top = sheet.y + 6
    lowest = top
    for at, (name, lines) in enumerate((("From", paper.shop), ("To", paper.factory))):
        x = LEFT + at * half
        sheet.words(x + 6, top - 8, name.upper(), 6, colour=FAINT)
        y = top - 21
        for row, line in enumerate(lines):
            y = sheet.column(x + 6, y, line, half - 12, 9 if row else 10.5, bold=not row, most=4)
        lowest = min(lowest, y)
    sheet.box(LEFT, lowest + 2, RIGHT - LEFT, top - lowest, 1.0)
    sheet.rule(LEFT + half, lowest + 2, LEFT + half, top + 2, 0.5)
    sheet.y = lowest - 16
    sheet.words(LEFT, sheet.y, f"Factory order {paper.number}", 14, bold=True)
    sheet.words(
        RIGHT, sheet.y, "Please write our line on each parcel.", 8, align="right", colour=FAINT
    )
    sheet.y -= 18


def _column_heads(sheet: Sheet) -> None:
    for x, name in ((LEFT, "Our line"), (_PART, "Part"), (_WHAT, "Description")):
        sheet.words(x, sheet.y, name, 7, bold=True, colour=FAINT)
    sheet.words(RIGHT, sheet.y, "Quantity", 7, bold=True, align="right", colour=FAINT)
    sheet.rule(LEFT, sheet.y - 4, RIGHT, sheet.y - 4, 0.9)
    sheet.y -= 15


def _rows(sheet: Sheet, paper: Paper) -> None:
    _column_heads(sheet)
    for row in paper.rows:
        said = "; ".join(word for word in (row.description, row.remake) if word)
        lines = sheet.lines_of(said, _WHAT_WIDE, 8.5)
        if sheet.need(max(len(lines), 1) * 11 + 6):
            _column_heads(sheet)
        plural = "" if row.quantity == 1 else "s"
        sheet.words(LEFT, sheet.y, row.reference, 9, bold=True)
        numbers = sheet.lines_of(row.part_number or "special", 86, 9, True, 3)
        for at, number in enumerate(numbers):
            sheet.words(_PART, sheet.y - 11 * at, number, 9, bold=True)
        sheet.words(
            RIGHT, sheet.y, f"{row.quantity} {row.unit}{plural}", 9, bold=True, align="right"
        )
        y = sheet.y
        for line in lines:
            sheet.words(_WHAT, y, line, 8.5)
            y -= 11
        sheet.y = min(y, sheet.y - 11 * len(numbers))
        sheet.rule(LEFT, sheet.y + 6, RIGHT, sheet.y + 6, 0.4, HAIR)
        sheet.y -= 5


def _link(sheet: Sheet, paper: Paper) -> None:
    sheet.need(_QR_SIDE + 14)
    top = sheet.y
    matrix = [
        list(row) for row in segno.make(paper.link, error="m", micro=False).matrix_iter(border=4)
    ]
    side = _QR_SIDE / len(matrix)
    sheet.canvas.setFillColorRGB(0, 0, 0)
    path = sheet.canvas.beginPath()
    for row, cells in enumerate(matrix):
        for column, dark in enumerate(cells):
            if dark:
                path.rect(LEFT + column * side, top - (row + 1) * side, side, side)
    sheet.canvas.drawPath(path, stroke=0, fill=1)
    sheet.canvas.linkURL(paper.link, (LEFT, top - _QR_SIDE, LEFT + _QR_SIDE, top), relative=0)
    x, wide = LEFT + _QR_SIDE + 10, RIGHT - LEFT - _QR_SIDE - 10
    sheet.words(x, top - 16, "Give a date, move it, mark what has shipped", 11, bold=True)
    y = sheet.column(
        x, top - 30, "Open this page by the code or its address; no sign-in:", wide, 8.5
    )
    sheet.column(x, y, paper.link, wide, 8, colour=FAINT)
    sheet.y = top - _QR_SIDE - 12


def _texts(sheet: Sheet, paper: Paper) -> None:
    for title, text in (("Note", paper.note), ("Please mind", paper.caution)):
        if not text:
            continue
        rows = sheet.lines_of(text, RIGHT - LEFT - 78, 8.5, most=40)
        sheet.need(len(rows) * 11 + 6)
        sheet.words(LEFT, sheet.y, title, 8.5, bold=True)
        for row in rows:
            sheet.need(12)
            sheet.words(LEFT + 78, sheet.y, row, 8.5)
            sheet.y -= 11
        sheet.y -= 5


def _opening(sheet: Sheet, row: Row, opening: OpeningSheet) -> None:
    sheet.need(max(_DRAWING_HIGH, 24 + 12 * len(opening.measures)) + 24)
    sheet.rule(LEFT, sheet.y, RIGHT, sheet.y, 0.9)
    sheet.y -= 16
    top = sheet.y
    sheet.words(LEFT, top, f"{row.reference}: {opening.name}", 11, bold=True)
    draw(sheet, opening.drawing, RIGHT - _DRAWING_WIDE, top + 4, _DRAWING_WIDE, _DRAWING_HIGH)
    y = top - 16
    said = [opening.split, f"Finish {opening.finish}" if opening.finish else ""]
    for words in [w for w in said if w]:
        y = sheet.column(LEFT, y, words, RIGHT - LEFT - _DRAWING_WIDE - 20, 8.5)
    for measure in opening.measures:
        words = f"{measure.label}: {measure.understood}"
        y = sheet.column(LEFT, y, words, RIGHT - LEFT - _DRAWING_WIDE - 20, 9, bold=True)
    sheet.y = min(y, top - _DRAWING_HIGH) - 10
