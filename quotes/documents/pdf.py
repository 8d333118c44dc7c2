"""The quote on paper: lines and totals first, then each opening with its drawing and measures."""

from __future__ import annotations

from collections.abc import Sequence

import segno

from quotes.days import short_date
from quotes.documents.content import Document, LineRow, OpeningSheet, show_amount, show_price
from quotes.documents.paper_drawing import draw
from quotes.documents.sheet import DOUBT, FAINT, HAIR, INK, LEFT, RIGHT, Align, Sheet

# Columns of the lines: name, right edge or left edge, alignment.
_COLUMNS: tuple[tuple[str, float, Align], ...] = (
    ("No.", LEFT, "left"),
    ("Part", LEFT + 22, "left"),
    ("Quantity", LEFT + 250, "right"),
    ("Price", LEFT + 308, "right"),
    ("Discount", LEFT + 358, "right"),
    ("Net", LEFT + 412, "right"),
    ("Tax", LEFT + 462, "right"),
    ("Total", RIGHT, "right"),
)
_WHAT_WIDE = 186.0
_QR_SIDE = 84.0
_SHEET_HIGH = 188.0
_DRAWING_WIDE = 216.0


def quote_pdf(document: Document, link: str = "") -> bytes:
    """The document as a PDF. `link` is the customer's page; without it (a draft) there is no code."""
    sheet = Sheet(document.title, document.shop[0])
    _heads(sheet, document)
    _lines(sheet, document)
    _totals(sheet, document)
    _link(sheet, document, link)
    _texts(sheet, document)
    draw_openings(sheet, document.openings)
    return sheet.finish(
        [
            ("From", document.shop[0], 190),
            ("Quote", document.number, 66),
            ("Issue", str(document.issue) if document.issued_on else f"{document.issue} draft", 66),
            ("Date", _day(document.issued_on) or "not issued", 82),
            ("Holds until", _day(document.valid_until) or "not issued", 82),
        ]
    )


def _day(day: object) -> str:
    return short_date(day) if day else ""


def _heads(sheet: Sheet, document: Document) -> None:
    """Three cells: the shop, the customer, where it goes."""
    cells = (
        ("From", document.shop),
        ("For", document.customer),
        ("Goes to", document.ship_to or ("Address to come",)),
    )
    wide = (RIGHT - LEFT) / len(cells)
    sheet.y += 6
    lowest = sheet.y
    for at, (name, lines) in enumerate(cells):
        x, y = LEFT + at * wide, sheet.y - 8
        sheet.words(x + 6, y, name.upper(), 6, colour=FAINT)
        y -= 13
        for row, line in enumerate(lines):
            y = sheet.column(x + 6, y, line, wide - 12, 9 if row else 10.5, bold=not row, most=5)
        lowest = min(lowest, y)
    low = lowest + 2
    sheet.box(LEFT, low, RIGHT - LEFT, sheet.y + 2 - low, 1.0)
    for at in (1, 2):
        sheet.rule(LEFT + at * wide, low, LEFT + at * wide, sheet.y + 2, 0.5)
    sheet.y = low - 16
    sheet.words(LEFT, sheet.y, document.title, 14, bold=True)
    by = f"Amounts in {document.currency}. Terms: {document.terms_words}."
    sheet.words(RIGHT, sheet.y, by, 8, align="right", colour=FAINT)
    sheet.y -= 16


def _column_heads(sheet: Sheet, document: Document) -> None:
    for name, x, align in _COLUMNS:
        if name == "Discount" and not document.has_discount:
            continue
        sheet.words(x, sheet.y, name, 7, bold=True, align=align, colour=FAINT)
    sheet.rule(LEFT, sheet.y - 4, RIGHT, sheet.y - 4, 0.9)
    sheet.y -= 15


def _lines(sheet: Sheet, document: Document) -> None:
    _column_heads(sheet, document)
    for line in document.lines:
        blocks = _what(sheet, line)
        high = sum(size * 1.28 for _, size, _ in blocks) + 6
        if sheet.need(high):
            _column_heads(sheet, document)
        _figures(sheet, document, line)
        y = sheet.y
        for text, size, bold in blocks:
            sheet.words(_COLUMNS[1][1], y, text, size, bold=bold)
            y -= size * 1.28
        sheet.rule(LEFT, y + 4, RIGHT, y + 4, 0.4, HAIR)
        sheet.y = y - 7


def _what(sheet: Sheet, line: LineRow) -> list[tuple[str, float, bool]]:
    """(text, size, bold) lines of the part column."""
    texts = [(line.part_number, 9.0, True)] if line.part_number else []
    texts.append((line.description, 8.0, False))
    if line.openings:
        texts.append((f"For {line.for_words}", 7.0, False))
    if line.lead:
        texts.append((f"Lead time {line.lead}", 7.0, False))
    if line.break_percent:
        texts.append((f"{line.break_percent.normalize():f} % off for the quantity", 7.0, False))
    return [
        (row, size, bold)
        for text, size, bold in texts
        for row in sheet.lines_of(text, _WHAT_WIDE, size, bold, most=40)
    ]


def _figures(sheet: Sheet, document: Document, line: LineRow) -> None:
    currency = document.currency
    plural = "s" if line.quantity != 1 else ""
    figures = [
        str(line.number),
        None,
        f"{line.quantity} {line.unit}{plural}",
        show_price(line.unit_price, currency),
        *(
            show_amount(amount, currency)
            for amount in (line.discount, line.net, line.tax, line.total)
        ),
    ]
    for text, (name, x, align) in zip(figures, _COLUMNS, strict=True):
        if text is not None and (name != "Discount" or document.has_discount):
            sheet.words(x, sheet.y, text, 8.5, align=align)


def _totals(sheet: Sheet, document: Document) -> None:
    sheet.y -= 4
    for label, amount in document.totals:
        strong = label.startswith("Total")
        rows = sheet.lines_of(label, 300, 9, strong, 3)
        sheet.need(len(rows) * 12 + 6)
        if strong:
            sheet.rule(LEFT + 200, sheet.y + 10, RIGHT, sheet.y + 10, 0.9)
        shown = show_amount(amount, document.currency, code=strong)
        sheet.words(RIGHT, sheet.y, shown, 10 if strong else 9, bold=strong, align="right")
        for row in rows:
            sheet.words(LEFT + 412, sheet.y, row, 9, bold=strong, align="right")
            sheet.y -= 12
        sheet.y -= 2


def _link(sheet: Sheet, document: Document, link: str) -> None:
    if not link:
        return
    sheet.need(_QR_SIDE + 14)
    top = sheet.y
    code = segno.make(link, error="m", micro=False)
    matrix = [list(row) for row in code.matrix_iter(border=4)]
    side = _QR_SIDE / len(matrix)
    sheet.canvas.setFillColorRGB(0, 0, 0)
    path = sheet.canvas.beginPath()
    for row, cells in enumerate(matrix):
        for column, dark in enumerate(cells):
            if dark:
                path.rect(LEFT + column * side, top - (row + 1) * side, side, side)
    sheet.canvas.drawPath(path, stroke=0, fill=1)
    sheet.canvas.linkURL(link, (LEFT, top - _QR_SIDE, LEFT + _QR_SIDE, top), relative=0)
    x, wide = LEFT + _QR_SIDE + 10, RIGHT - LEFT - _QR_SIDE - 10
    sheet.words(x, top - 16, "Check the measures and accept", 11, bold=True)
    y = sheet.column(x, top - 30, "Open this page by the code or its address:", wide, 8.5)
    y = sheet.column(x, y, link, wide, 8, colour=FAINT)
    sheet.column(x, y - 2, f"The offer holds until {_day(document.valid_until)}.", wide, 8.5)
    sheet.y = top - _QR_SIDE - 10


def _texts(sheet: Sheet, document: Document) -> None:
    """The note, the notices, the cautions."""
    blocks = [("Note", document.note)] if document.note else []
    blocks += [("Please read", text) for text in document.notices]
    blocks += document.cautions
    before = ""
    for title, text in blocks:
        wide = RIGHT - LEFT - 108
        rows = [
            row for part in text.splitlines() for row in sheet.lines_of(part, wide, 8, most=900)
        ]
        high = len(sheet.lines_of(title, 98, 8, True)) if title != "Please read" else 1
        sheet.need(max(min(len(rows), 6), high) * 10.3 + 6)
        if title != before:
            sheet.rule(LEFT, sheet.y + 9, RIGHT, sheet.y + 9, 0.4, HAIR)
            sheet.column(LEFT, sheet.y, title, 98, 8, bold=True)
            before = title
        for row in rows:
            sheet.need(10.3)
            sheet.words(LEFT + 108, sheet.y, row, 8)
            sheet.y -= 10.3
        sheet.y -= max(0, high - len(rows)) * 10.3 + 5


def draw_openings(
    sheet: Sheet, openings: Sequence[OpeningSheet], said: str = "As you said"
) -> None:
    """Each opening with its drawing and measures; `said` heads the column of what was said."""
    for opening in openings:
        if not sheet.need(_height(sheet, opening)):
            sheet.rule(LEFT, sheet.y, RIGHT, sheet.y, 0.9)
            sheet.y -= 16
        sheet.y = min(_opening(sheet, opening, said), sheet.y - _SHEET_HIGH) - 6


def _height(sheet: Sheet, opening: OpeningSheet) -> float:
    """How high an opening gets: its drawing, or its measures when their words take many lines."""
    wide = RIGHT - LEFT - _DRAWING_WIDE - 14
    rows = (
        max(len(sheet.lines_of(measure.fit, wide * 0.22, 7.5)), 1 + len(measure.said) // 14)
        for measure in opening.measures
    )
    return max(_SHEET_HIGH, 100 + sum(9.6 * min(count, 4) + 5 for count in rows))


def _opening(sheet: Sheet, opening: OpeningSheet, said: str) -> float:
    """Drawing left, title and measures right; returns the y under the measures."""
    top = sheet.y
    draw(sheet, opening.drawing, LEFT, top + 6, _DRAWING_WIDE, _SHEET_HIGH - 8)
    x = LEFT + _DRAWING_WIDE + 14
    wide = RIGHT - x
    y = sheet.column(x, top, opening.name, wide, 11, bold=True, most=3)
    count = f"{opening.count} alike" if opening.count > 1 else ""
    about = [opening.family, opening.finish, count, opening.split]
    y = sheet.column(x, y, ", ".join(word for word in about if word), wide, 8, colour=FAINT)
    y = sheet.column(x, y - 1, opening.result, wide, 9, bold=True) - 4
    edges = (x, x + wide * 0.3, x + wide * 0.48, x + wide * 0.77)
    for name, edge in zip(("Measure", said, "Understood", "Fit"), edges, strict=True):
        sheet.words(edge, y, name, 7, bold=True, colour=FAINT)
    sheet.rule(x, y - 4, RIGHT, y - 4, 0.7)
    y -= 14
    for measure in opening.measures:
        lowest = y
        cells = (measure.label, measure.said, measure.understood, measure.fit)
        for text, edge, after in zip(cells, edges, (*edges[1:], RIGHT + 4), strict=True):
            colour = DOUBT if measure.doubtful and edge == edges[-1] else INK
            lowest = min(
                lowest, sheet.column(edge, y, text, after - edge - 4, 7.5, colour=colour, most=4)
            )
        sheet.rule(x, lowest + 5, RIGHT, lowest + 5, 0.4, HAIR)
        y = lowest - 4
    if opening.cautions:
        y = sheet.column(
            x, y - 2, f"Caution: {'; '.join(opening.cautions)}.", wide, 7, colour=DOUBT
        )
    return y
