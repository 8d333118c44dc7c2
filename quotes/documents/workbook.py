"""The quote as a workbook: the lines with their totals, then every measure of every opening.

Amounts are numbers in the currency's own decimals; every text is stored as text, so that nothing
anybody typed can become a formula.
"""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from io import BytesIO

from openpyxl import Workbook
from openpyxl.styles import Alignment, Border, Font, Side
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.worksheet import Worksheet

from quotes.documents.content import Document, LineRow
from quotes.documents.lettering import clean
from sizing.prices import minor_units

_BOLD = Font(bold=True)
_RULE = Border(bottom=Side(style="thin"))
_WRAP = Alignment(wrap_text=True, vertical="top")
_LINE_HEADS = (
    "No.", "Part", "Description", "For", "Quantity", "Sold as", "Lead time", "Price",
    "Off for the quantity, %", "Discount", "Net", "Tax", "Total",
)  # fmt: skip
_LINE_WIDTHS = (6, 16, 46, 26, 10, 9, 34, 12, 12, 12, 12, 12, 14)
_FINER = ("Price", "Off for the quantity, %")
_OPENING_HEADS = (
    "Opening", "Family", "Count", "Finish", "Result", "Measure", "As you said", "Understood", "Fit",
)  # fmt: skip
_OPENING_WIDTHS = (24, 26, 8, 12, 28, 26, 16, 24, 40)

Value = str | int | Decimal | None


def quote_workbook(document: Document, link: str = "") -> bytes:
    """The document as an .xlsx file: sheets "Quote" and "Openings"."""
    book = Workbook()
    sheet = book.active
    sheet.title = "Quote"
    _quote(sheet, document, link)
    _openings(book.create_sheet("Openings"), document)
    for page in book.worksheets:
        page.page_setup.orientation = "landscape"
        page.page_setup.fitToWidth, page.page_setup.fitToHeight = 1, 0
        page.sheet_properties.pageSetUpPr.fitToPage = True
    out = BytesIO()
    book.save(out)
    return out.getvalue()


def _put(
    sheet: Worksheet, row: int, column: int, value: Value, *, bold: bool = False, digits: int = 0
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
        cell.alignment = _WRAP
    else:
        cell.value = value
        if isinstance(value, Decimal):
            cell.number_format = "#,##0." + "0" * digits if digits else "#,##0"
        cell.alignment = Alignment(vertical="top")
    if bold:
        cell.font = _BOLD


def _quote(sheet: Worksheet, document: Document, link: str) -> None:
    facts: list[tuple[str, str]] = [
        ("Quote", document.number),
        ("Issue", str(document.issue)),
        ("Date", document.issued_on.isoformat() if document.issued_on else "not issued"),
        ("Holds until", document.valid_until.isoformat() if document.valid_until else "not issued"),
        ("From", ", ".join(document.shop)),
        ("For", ", ".join(document.customer)),
        ("Goes to", ", ".join(document.ship_to) or "address to come"),
        ("Terms", document.terms_words),
        ("Amounts in", document.currency),
        ("Check and accept", link),
        ("Note", document.note),
    ]
    row = 1
    for name, text in facts:
        if text:
            _put(sheet, row, 1, name, bold=True)
            _put(sheet, row, 3, text)
            row += 1
    row += 1
    # A quote at list price has no use for columns of zeros.
    off = [] if document.has_discount else ["Discount"]
    if not any(line.break_percent for line in document.lines):
        off.append("Off for the quantity, %")
    heads = [head for head in _LINE_HEADS if head not in off]
    wide = [w for head, w in zip(_LINE_HEADS, _LINE_WIDTHS, strict=True) if head not in off]
    _heads(sheet, row, heads, wide)
    for line in document.lines:
        row += 1
        _line(sheet, row, line, document.currency, off)
    digits = minor_units(document.currency)
    row += 1
    for label, amount in document.totals:
        row += 1
        _put(sheet, row, 3, label, bold=label.startswith("Total"))
        _put(sheet, row, len(heads), amount, bold=label.startswith("Total"), digits=digits)
    row += 1
    for title, text in [
        *(("Please read", notice) for notice in document.notices),
        *document.cautions,
    ]:
        row += 1
        _put(sheet, row, 1, title, bold=True)
        _put(sheet, row, 3, text)


def _line(sheet: Worksheet, row: int, line: LineRow, currency: str, off: Sequence[str]) -> None:
    digits = minor_units(currency)
    values: Sequence[Value] = (
        line.number, line.part_number, line.description, "; ".join(line.openings), line.quantity,
        line.unit, line.lead, line.unit_price, line.break_percent, line.discount, line.net, line.tax,
        line.total,
    )  # fmt: skip
    shown = [pair for pair in zip(_LINE_HEADS, values, strict=True) if pair[0] not in off]
    for column, (head, value) in enumerate(shown, 1):
        _put(sheet, row, column, value, digits=4 if head in _FINER else digits)
    if line.unit_price is None:
        _put(sheet, row, 8, "to come")


def _openings(sheet: Worksheet, document: Document) -> None:
    _heads(sheet, 1, _OPENING_HEADS, _OPENING_WIDTHS)
    sheet.freeze_panes = "B2"
    row = 1
    for opening in document.openings:
        for measure in opening.measures:
            row += 1
            values = (
                opening.name, opening.family, opening.count, opening.finish, opening.result,
                measure.label, measure.said, measure.understood, measure.fit,
            )  # fmt: skip
            for column, value in enumerate(values, 1):
                _put(sheet, row, column, value)


def _heads(sheet: Worksheet, row: int, names: Sequence[str], widths: Sequence[int]) -> None:
    for column, (name, width) in enumerate(zip(names, widths, strict=True), 1):
        _put(sheet, row, column, name, bold=True)
        sheet.cell(row, column).border = _RULE
        sheet.column_dimensions[get_column_letter(column)].width = width
