"""Pieces that stand on more than one paper: who it is from and for, the code of a page, titled texts."""

from __future__ import annotations

from collections.abc import Sequence

import segno

from quotes.documents.sheet import FAINT, HAIR, INK, LEFT, Sheet

# In points: the side of a page's code, the width of the column of titles.
LINK_SIDE, INDENT = 84.0, 108.0


def qr(sheet: Sheet, link: str, x: float, top: float, side: float, border: int = 0) -> None:
    """The code of an address, `side` points square; `border` modules of it are left white all round."""
    rows = list(segno.make(link, error="m", micro=False).matrix_iter(border=border))
    module = side / len(rows)
    path = sheet.canvas.beginPath()
    for down, row in enumerate(rows):
        for across, dark in enumerate(row):
            if dark:
                path.rect(x + across * module, top - (down + 1) * module, module, module)
    sheet.canvas.setFillColorRGB(*INK)
    sheet.canvas.drawPath(path, stroke=0, fill=1)
    sheet.canvas.linkURL(link, (x, top - side, x + side, top), relative=0)


def link_block(sheet: Sheet, link: str, title: str, how: str, after: str = "") -> None:
    """The code of a page with its title, how to open it, and its address to type."""
    sheet.need(LINK_SIDE + 14)
    top = sheet.y
    # Four white modules all round, as ISO/IEC 18004 asks.
    qr(sheet, link, LEFT, top, LINK_SIDE, border=4)
    x = LEFT + LINK_SIDE + 10
    wide = sheet.right - x
    sheet.words(x, top - 16, title, 11, bold=True)
    y = sheet.column(x, top - 30, how, wide, 8.5)
    y = sheet.column(x, y, link, wide, 8, colour=FAINT)
    if after:
        sheet.column(x, y - 2, after, wide, 8.5)
    sheet.y = top - LINK_SIDE - 12


def parties(sheet: Sheet, cells: Sequence[tuple[str, Sequence[str]]], most: int = 5) -> None:
    """Cells side by side: a name and the lines under it, the first of them large."""
    wide = (sheet.right - LEFT) / len(cells)
    sheet.y += 6
    lowest = sheet.y
    for at, (name, lines) in enumerate(cells):
        x, y = LEFT + at * wide, sheet.y - 8
        sheet.words(x + 6, y, name.upper(), 6, colour=FAINT)
        y -= 13
        for row, line in enumerate(lines):
            size = 9 if row else 10.5
            y = sheet.column(x + 6, y, line, wide - 12, size, bold=not row, most=most)
        lowest = min(lowest, y)
    low = lowest + 2
    sheet.box(LEFT, low, sheet.right - LEFT, sheet.y + 2 - low, 1.0)
    for at in range(1, len(cells)):
        sheet.rule(LEFT + at * wide, low, LEFT + at * wide, sheet.y + 2, 0.5)
    sheet.y = low - 16


def titled_texts(sheet: Sheet, blocks: Sequence[tuple[str, str]]) -> None:
    """Texts with their titles at the left; a title that stands already is not said again."""
    before = ""
    wide = sheet.right - LEFT - INDENT
    for title, text in blocks:
        rows = [
            row for part in text.splitlines() for row in sheet.lines_of(part, wide, 8, most=900)
        ]
        high = 1 if title == before else len(sheet.lines_of(title, INDENT - 10, 8, True))
        sheet.need(max(min(len(rows), 6), high) * 10.3 + 6)
        if title != before:
            sheet.rule(LEFT, sheet.y + 9, sheet.right, sheet.y + 9, 0.4, HAIR)
            sheet.column(LEFT, sheet.y, title, INDENT - 10, 8, bold=True)
            before = title
        for row in rows:
            sheet.need(10.3)
            sheet.words(LEFT + INDENT, sheet.y, row, 8)
            sheet.y -= 10.3
        sheet.y -= max(0, high - len(rows)) * 10.3 + 5
