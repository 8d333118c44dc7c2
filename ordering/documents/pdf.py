"""The factory order on paper, on the same sheet as the quotes: lines, then what each special is made to."""

from __future__ import annotations

from typing import TYPE_CHECKING

from quotes.counted import counted
from quotes.documents.blocks import link_block, parties, titled_texts
from quotes.documents.content import OpeningSheet
from quotes.documents.paper_drawing import draw
from quotes.documents.sheet import FAINT, HAIR, LEFT, Sheet
from quotes.documents.sheet import Paper as Size

if TYPE_CHECKING:
    from ordering.documents.factory_order import Paper, Row

_PART, _WHAT, _WHAT_WIDE = LEFT + 96, LEFT + 186, 264.0
_DRAWING_WIDE, _DRAWING_HIGH = 190.0, 160.0


def factory_order_pdf(paper: Paper, size: Size = "letter") -> bytes:
    sheet = Sheet(f"Factory order {paper.number}", paper.shop[0], size)
    _heads(sheet, paper)
    _rows(sheet, paper)
    link_block(
        sheet,
        paper.link,
        "Give a date, move it, mark what has shipped",
        "Open this page by the code or its address; no sign-in:",
    )
    texts = (("Note", paper.note), ("Please mind", paper.caution))
    titled_texts(sheet, [(title, text) for title, text in texts if text])
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
    parties(sheet, (("From", paper.shop), ("To", paper.factory)), most=4)
    sheet.words(LEFT, sheet.y, f"Factory order {paper.number}", 14, bold=True)
    sheet.words(
        sheet.right,
        sheet.y,
        "Please write our line on each parcel.",
        8,
        align="right",
        colour=FAINT,
    )
    sheet.y -= 18


def _column_heads(sheet: Sheet) -> None:
    for x, name in ((LEFT, "Our line"), (_PART, "Part"), (_WHAT, "Description")):
        sheet.words(x, sheet.y, name, 7, bold=True, colour=FAINT)
    sheet.words(sheet.right, sheet.y, "Quantity", 7, bold=True, align="right", colour=FAINT)
    sheet.rule(LEFT, sheet.y - 4, sheet.right, sheet.y - 4, 0.9)
    sheet.y -= 15


def _rows(sheet: Sheet, paper: Paper) -> None:
    _column_heads(sheet)
    for row in paper.rows:
        said = "; ".join(word for word in (row.description, row.remake) if word)
        lines = sheet.lines_of(said, _WHAT_WIDE, 8.5)
        if sheet.need(max(len(lines), 1) * 11 + 6):
            _column_heads(sheet)
        sheet.words(LEFT, sheet.y, row.reference, 9, bold=True)
        numbers = sheet.lines_of(row.part_number or "special", 86, 9, True, 3)
        for at, number in enumerate(numbers):
            sheet.words(_PART, sheet.y - 11 * at, number, 9, bold=True)
        sheet.words(
            sheet.right, sheet.y, counted(row.quantity, row.unit), 9, bold=True, align="right"
        )
        y = sheet.y
        for line in lines:
            sheet.words(_WHAT, y, line, 8.5)
            y -= 11
        sheet.y = min(y, sheet.y - 11 * len(numbers))
        sheet.rule(LEFT, sheet.y + 6, sheet.right, sheet.y + 6, 0.4, HAIR)
        sheet.y -= 5


def _opening(sheet: Sheet, row: Row, opening: OpeningSheet) -> None:
    sheet.need(max(_DRAWING_HIGH, 24 + 12 * len(opening.measures)) + 24)
    sheet.rule(LEFT, sheet.y, sheet.right, sheet.y, 0.9)
    sheet.y -= 16
    top = sheet.y
    sheet.words(LEFT, top, f"{row.reference}: {opening.name}", 11, bold=True)
    draw(sheet, opening.drawing, sheet.right - _DRAWING_WIDE, top + 4, _DRAWING_WIDE, _DRAWING_HIGH)
    y = top - 16
    said = [opening.split, f"Finish {opening.finish}" if opening.finish else ""]
    for words in [w for w in said if w]:
        y = sheet.column(LEFT, y, words, sheet.right - LEFT - _DRAWING_WIDE - 20, 8.5)
    for measure in opening.measures:
        words = f"{measure.label}: {measure.understood}"
        y = sheet.column(LEFT, y, words, sheet.right - LEFT - _DRAWING_WIDE - 20, 9, bold=True)
    sheet.y = min(y, top - _DRAWING_HIGH) - 10
