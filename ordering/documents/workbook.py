"""The factory order as a workbook: what to make, and the measures of each special."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from openpyxl import Workbook
from openpyxl.worksheet.worksheet import Worksheet

from quotes.documents.cells import finished, heads, put
from quotes.documents.sheet import Paper as Size

if TYPE_CHECKING:
    from ordering.documents.factory_order import Paper

_ORDER = (
    ("Our line", 14),
    ("Part", 20),
    ("Description", 60),
    ("Quantity", 10),
    ("Sold as", 9),
    ("Note", 28),
)
_MADE_TO = (
    ("Our line", 14),
    ("Opening", 26),
    ("Measure", 28),
    ("Size", 28),
    ("Finish", 14),
    ("Split", 40),
)


def factory_order_workbook(paper: Paper, size: Size = "letter") -> bytes:
    """An .xlsx file: sheet "Order", and "Made to" if there is a special."""
    book = Workbook()
    sheet = book.active
    sheet.title = "Order"
    head = (
        ("Factory order", paper.number),
        ("Date", paper.sent_on.isoformat()),
        ("From", ", ".join(paper.shop)),
        ("To", ", ".join(paper.factory)),
        ("Your page", paper.link),
        ("Note", paper.note),
    )
    for row, (name, text) in enumerate(head, 1):
        put(sheet, row, 1, name, bold=True)
        put(sheet, row, 2, text, wrap=False)
    _table(
        sheet, len(head) + 2, _ORDER,
        ((r.reference, r.part_number or "special", r.description, r.quantity, r.unit, r.remake)
         for r in paper.rows),
    )  # fmt: skip
    made_to = [
        (
            row.reference,
            opening.name,
            measure.label,
            measure.understood,
            opening.finish,
            opening.split,
        )
        for row in paper.rows
        for opening in row.openings
        for measure in opening.measures
    ]
    if made_to:
        _table(book.create_sheet("Made to"), 1, _MADE_TO, made_to)
    return finished(book, size)


def _table(
    sheet: Worksheet,
    top: int,
    columns: Sequence[tuple[str, int]],
    rows: Iterable[Sequence[str | int]],
) -> None:
    heads(sheet, top, columns)
    for at, row in enumerate(rows, top + 1):
        for column, value in enumerate(row, 1):
            put(sheet, at, column, value)
