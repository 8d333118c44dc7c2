"""Workbook cells of the papers: every text stored as text, so that nothing typed can become a formula."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from io import BytesIO

from openpyxl import Workbook
from openpyxl.styles import Alignment, Border, Font, Side
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.worksheet import Worksheet

from quotes.documents.lettering import clean
from quotes.documents.sheet import Paper

_BOLD = Font(bold=True)
_RULE = Border(bottom=Side(style="thin"))
_WRAP = Alignment(wrap_text=True, vertical="top")
_TOP = Alignment(vertical="top")

Value = str | int | Decimal | None


def put(
    sheet: Worksheet,
    row: int,
    column: int,
    value: Value,
    *,
    bold: bool = False,
    digits: int = 0,
    wrap: bool = True,
) -> None:
    """Write one cell: a text as a text whatever it begins with, an amount with its decimals."""
    if value is None or value == "":
        return
    cell = sheet.cell(row, column)
    if isinstance(value, str):
        cell.value = clean(value)
        cell.data_type = "s"
        # Keeps it a text when somebody edits the cell, too.
        cell.quotePrefix = True
        cell.alignment = _WRAP if wrap else _TOP
    else:
        cell.value = value
        if isinstance(value, Decimal):
            cell.number_format = "#,##0." + "0" * digits if digits else "#,##0"
        cell.alignment = _TOP
    if bold:
        cell.font = _BOLD


def heads(sheet: Worksheet, row: int, columns: Sequence[tuple[str, int]]) -> None:
    """The heads of a table, as (name, width in letters), with a rule under them."""
    for column, (name, width) in enumerate(columns, 1):
        put(sheet, row, column, name, bold=True)
        sheet.cell(row, column).border = _RULE
        sheet.column_dimensions[get_column_letter(column)].width = width


def finished(book: Workbook, paper: Paper) -> bytes:
    """The file, each sheet set to print on one width of the paper."""
    for page in book.worksheets:
        page.page_setup.orientation = "landscape"
        page.page_setup.paperSize = {"letter": page.PAPERSIZE_LETTER, "a4": page.PAPERSIZE_A4}[
            paper
        ]
        page.page_setup.fitToWidth, page.page_setup.fitToHeight = 1, 0
        page.sheet_properties.pageSetUpPr.fitToPage = True
    out = BytesIO()
    book.save(out)
    return out.getvalue()
