"""The template to fill in, and the sender's own workbook with the answers beside each line."""

from __future__ import annotations

import io
import re
from collections.abc import Mapping
from copy import copy
from dataclasses import dataclass, fields
from decimal import ROUND_FLOOR, Decimal
from typing import Any

from openpyxl import Workbook
from openpyxl.cell.cell import ILLEGAL_CHARACTERS_RE, Cell
from openpyxl.styles import Alignment, Border, Font, Side
from openpyxl.styles.cell_style import StyleArray
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.datavalidation import DataValidation
from openpyxl.worksheet.worksheet import Worksheet

from quotes.schedule.columns import CANNOT, COUNT, FINISH, LABEL, Field, fields_of
from quotes.schedule.pause import collector_paused
from quotes.schedule.read import MOST_COUNT, MOST_LINES
from sizing.table import SizeTable
from sizing.workbook.safe import open_book

HEAD_ROW = 3
FIRST, LAST = HEAD_ROW + 1, HEAD_ROW + MOST_LINES


@dataclass(frozen=True)
class Result:
    """What stands beside one line. `certainty` is 0 to 1 or None; `price` is for one piece or pair."""

    outcome: str
    part: str = ""
    words: str = ""
    certainty: float | None = None
    price: Decimal | None = None
    changed: str = ""


HEADINGS = {
    "outcome": "Desk: outcome",
    "part": "Desk: part",
    "words": "Desk: question or reason",
    "certainty": "Desk: certainty",
    "price": "Desk: price",
    "changed": "Desk: changed from",
}
FORMATS = {"certainty": "0.0%", "price": "#,##0.00##"}
WIDTHS = {"outcome": 14, "part": 18, "words": 60, "certainty": 12, "price": 16, "changed": 32}


@collector_paused()
def annotated_bytes(
    content: bytes,
    *,
    title: str,
    head_row: int,
    own: int,
    results: Mapping[int, Result],
    currency: str,
    sold_as: str,
) -> bytes:
    """The sender's workbook with our columns after the column `own`, filled in the rows of `results`.

    Prices are in `currency`, for one of what the family is sold by: "piece" or "pair".
    """
    book = open_book(content)
    _cut_off(book)
    sheet = book[title]
    places = _places(sheet, head_row, own)
    _head(sheet, head_row, own, places, f" per {sold_as} ({currency})")
    styles = _styles(sheet, head_row, places)
    for row, result in results.items():
        for name, column in places.items():
            _fill(sheet, row, column, name, getattr(result, name), styles[name])
    return _saved(book)


def _head(
    sheet: Worksheet, head_row: int, own: int, places: Mapping[str, int], per_one: str
) -> None:
    """Our headings, in the look of the sender's last one; `per_one` says what a price is for."""
    pattern = sheet.cell(head_row, own)
    for name, column in places.items():
        heading = sheet.cell(head_row, column)
        _write(heading, HEADINGS[name] + (per_one if name == "price" else ""))
        heading.font = copy(pattern.font) if pattern.has_style else Font(bold=True)
        heading.fill, heading.border = copy(pattern.fill), copy(pattern.border)
        heading.alignment = Alignment(wrap_text=True, vertical="top")
        sheet.column_dimensions[get_column_letter(column)].width = WIDTHS[name]


def _fill(
    sheet: Worksheet, row: int, column: int, name: str, value: Any, style: StyleArray
) -> None:
    if value is None or value == "":
        # Only a cell of an earlier round has something to lose.
        if (row, column) in sheet._cells:
            sheet.cell(row, column).value = None
        return
    cell = sheet.cell(row, column)
    if name == "certainty":
        # Never rounded up to a certainty that it is not.
        cell.value = Decimal(value).quantize(Decimal("0.001"), ROUND_FLOOR)
    elif name == "price":
        cell.value = value
    else:
        _write(cell, value)
    cell._style = style


# What fetches from other files, programs or the net: references to other workbooks (numbered, or
# by file name), links to programs, and functions that ask a server.
_REACHES_OUT = re.compile(
    r"(?<![\w\]])\[\d+\]|\[[^\]]+\.xl\w+\]|\|"
    r"|\b(?:WEBSERVICE|RTD|CALL|REGISTER|IMAGE|IMPORT\w+)\s*\(",
    re.IGNORECASE,
)


def _cut_off(book: Workbook) -> None:
    """The sender's formulas stay, but those that reach out of the workbook become plain text."""
    for sheet in book.worksheets:
        for cell in sheet._cells.values():
            if cell.data_type == "f":
                text = str(getattr(cell.value, "text", cell.value))
                if _REACHES_OUT.search(text):
                    _write(cell, text)
    for names in (book.defined_names, *(sheet.defined_names for sheet in book.worksheets)):
        for name in [n for n, defined in names.items() if _REACHES_OUT.search(defined.value or "")]:
            del names[name]


def _styles(sheet: Worksheet, head_row: int, places: Mapping[str, int]) -> dict[str, StyleArray]:
    """The style of each column of ours, worked out once: openpyxl is slow at it cell by cell."""
    styles = {}
    for name, column in places.items():
        heading = sheet.cell(head_row, column)
        kept = copy(heading._style)
        heading.style = "Normal"
        heading.alignment = Alignment(wrap_text=name in ("words", "changed"), vertical="top")
        heading.number_format = FORMATS.get(name, "@")
        styles[name], heading._style = heading._style, kept
    return styles


def _places(sheet: Worksheet, head_row: int, own: int) -> dict[str, int]:
    """Where each column of ours goes: where it stood when the workbook went out before, or at the end."""
    stood = {
        str(cell.value).casefold(): cell.column
        for cell in sheet[head_row]
        if cell.value is not None
    }
    places, free = {}, own + 1
    for name in (f.name for f in fields(Result)):
        heading = HEADINGS[name].casefold()
        places[name] = next((at for text, at in stood.items() if text.startswith(heading)), free)
        free = max(free, places[name] + 1)
    return places


def template_bytes(table: SizeTable) -> bytes:
    """A workbook to fill in, one window a line: `read_schedule` reads it as it is."""
    book = Workbook()
    book.properties.creator = "Sashdesk"
    sheet = book.active
    sheet.title = "Windows"
    columns = fields_of(table)
    _instructions(sheet, table, len(columns))
    line = Side(style="thin")
    for column, field in enumerate(columns, start=1):
        heading = sheet.cell(HEAD_ROW, column)
        _write(heading, field.title)
        heading.font, heading.border = Font(bold=True), Border(bottom=line)
        heading.alignment = Alignment(wrap_text=True, vertical="bottom")
        sheet.column_dimensions[heading.column_letter].width = 24 if field.code == LABEL else 16
        # As text: a spreadsheet would make a date of 3/8.
        sheet.column_dimensions[heading.column_letter].number_format = "@"
        if field.code != COUNT:
            for row in range(FIRST, FIRST + 100):
                sheet.cell(row, column).number_format = "@"
        _validate(sheet, field, heading.column_letter)
    sheet.row_dimensions[HEAD_ROW].height = 46
    sheet.freeze_panes = sheet.cell(FIRST, 2)
    sheet.print_title_rows = f"{HEAD_ROW}:{HEAD_ROW}"
    sheet.page_setup.orientation, sheet.page_setup.fitToHeight = "landscape", 0
    sheet.sheet_properties.pageSetUpPr.fitToPage = True
    if any(table.finishes):
        finishes = book.create_sheet("Finishes")
        for row, finish in enumerate(("Finish", *table.finishes), start=1):
            _write(finishes.cell(row, 1), finish)
        allowed = DataValidation(
            "list", formula1=f"=Finishes!$A$2:$A${len(table.finishes) + 1}", allow_blank=True
        )
        allowed.error = "Choose one of the finishes on the sheet Finishes, or leave it blank."
        _add(sheet, allowed, [f.code for f in columns].index(FINISH) + 1)
    return _saved(book)


def _instructions(sheet: Worksheet, table: SizeTable, width: int) -> None:
    _write(sheet.cell(1, 1), f"Window schedule: {table.name}")
    sheet.cell(1, 1).font = Font(bold=True, size=14)
    unit = "inches" if table.unit.value == "in" else "millimetres"
    example = "17 3/8" if table.unit.value == "in" else "441"
    _write(
        sheet.cell(2, 1),
        f"One window a line, up to {MOST_LINES:,}. Type each measure as you read it, such as "
        f"{example}; a bare number is in {unit}. Leave a measure blank if it is not taken yet, write "
        f"{CANNOT} if nobody can take it. A blank quantity counts as one. You may add columns of your "
        "own; they come back to you as they are.",
    )
    sheet.merge_cells(start_row=2, start_column=1, end_row=2, end_column=width)
    sheet.cell(2, 1).alignment = Alignment(wrap_text=True, vertical="top")
    sheet.row_dimensions[2].height = 48


def _validate(sheet: Worksheet, field: Field, letter: str) -> None:
    """A word of help at each measure, and a whole number for the count."""
    if field.code == COUNT:
        rule = DataValidation(
            "whole", operator="between", formula1="1", formula2=str(MOST_COUNT), allow_blank=True
        )
        rule.error = f"Type a whole number from 1 to {MOST_COUNT:,}."
    elif field.how_to:
        rule = DataValidation(
            "textLength", operator="lessThanOrEqual", formula1="60", allow_blank=True
        )
        rule.error = "Type one measure, such as 17 3/8."
        rule.promptTitle, rule.prompt = field.heading[:32], field.how_to[:255]
        rule.showInputMessage = True
    else:
        return
    _add(sheet, rule, sheet[f"{letter}1"].column)


def _add(sheet: Worksheet, rule: DataValidation, column: int) -> None:
    letter = get_column_letter(column)
    rule.showErrorMessage = True
    sheet.add_data_validation(rule)
    rule.add(f"{letter}{FIRST}:{letter}{LAST}")


def _write(cell: Cell, text: str) -> None:
    """As text whatever it begins with: what somebody typed must never become a formula."""
    cell.value = ILLEGAL_CHARACTERS_RE.sub("", text)
    cell.data_type = "s"


def _saved(book: Workbook) -> bytes:
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()
