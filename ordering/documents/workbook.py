"""The factory order as a workbook: what to make, and the measures of each special.

Every text is stored as text, so that nothing anybody typed can become a formula.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from io import BytesIO
from typing import TYPE_CHECKING

from openpyxl import Workbook
from openpyxl.styles import Alignment, Border, Font, Side
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.worksheet import Worksheet

from quotes.documents.lettering import clean

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
_RULE = Border(bottom=Side(style="thin"))
_WRAP = Alignment(wrap_text=True, vertical="top")


def factory_order_workbook(paper: Paper) -> bytes:
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
        _put(sheet, row, 1, name, bold=True)
        _put(sheet, row, 2, text, wrap=False)
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
    for page in book.worksheets:
        page.page_setup.orientation = "landscape"
        page.page_setup.fitToWidth, page.page_setup.fitToHeight = 1, 0
        page.sheet_properties.pageSetUpPr.fitToPage = True
    out = BytesIO()
    book.save(out)
    return out.getvalue()


def _table(
    sheet: Worksheet,
    top: int,
    heads: Sequence[tuple[str, int]],
    rows: Iterable[Sequence[str | int]],
) -> None:
    for column, (name, width) in enumerate(heads, 1):
        _put(sheet, top, column, name, bold=True)
        sheet.cell(top, column).border = _RULE
        sheet.column_dimensions[get_column_letter(column)].width = width
    for at, row in enumerate(rows, top + 1):
        for column, value in enumerate(row, 1):
            _put(sheet, at, column, value)


def _put(
    sheet: Worksheet,
    row: int,
    column: int,
    value: str | int,
    *,
    bold: bool = False,
    wrap: bool = True,
) -> None:
    cell = sheet.cell(row, column)
    if isinstance(value, str):
        cell.value = clean(value)
        # A text stays a text whatever it begins with.
        cell.data_type = "s"
    else:
        cell.value = value
    if wrap:
        cell.alignment = _WRAP
    if bold:
        cell.font = Font(bold=True)
