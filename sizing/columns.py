"""The columns of a list, said once: the page's headings, the CSV and the workbook are made of them.

Knows no Django. Rows may be of any type and come one by one: neither file keeps them in memory.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from typing import IO, Any

from openpyxl import Workbook
from openpyxl.cell import WriteOnlyCell
from openpyxl.cell.cell import ILLEGAL_CHARACTERS_RE
from openpyxl.styles import Font
from openpyxl.utils import get_column_letter

Value = str | int | Decimal | date | datetime | None

XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
# A sheet of a workbook holds 1,048,576 rows by its format (ECMA-376); the heading is one of them.
MOST_ROWS = 1_048_575
# What a spreadsheet takes for the beginning of a formula, typed wide as well.
FORMULA = re.compile(r"^\s*[=+\-@|\uff1d\uff0b\uff0d\uff20]")
# The byte order mark: without it a spreadsheet reads names with accents in the wrong letters.
BOM = "\ufeff"
_DAY, _MOMENT, _NUMBER = "yyyy-mm-dd", "yyyy-mm-dd hh:mm", "#,##0.00##"


@dataclass(frozen=True)
class Column:
    """`value` gives a row's cell for the files; moments are the shop's local time, without a zone.

    `drawn` gives what the page shows instead, markup where it says so (`__html__`) and plain words otherwise.
    `css` is the look of the page's cell, a figure's by itself; `told`: on a phone it says its column's words;
    `heads`: it is what the row is about. `shown`: whether the page has this column too, `filed`: whether the
    files have it.
    """

    words: str
    value: Callable[[Any], Value]
    figure: bool = False
    shown: bool = True
    filed: bool = True
    drawn: Callable[[Any], str] | None = None
    css: str = ""
    told: bool = False
    heads: bool = False


class _Line:
    """A file that gives back what is written to it: the one line."""

    def write(self, text: str) -> str:
        return text


def csv_lines(columns: Sequence[Column], rows: Iterable[Any]) -> Iterator[str]:
    """The list as RFC 4180 has it, a line at a time, headings first."""
    writer = csv.writer(_Line())
    filed = [column for column in columns if column.filed]
    yield BOM + writer.writerow([harmless(column.words) for column in filed])
    for row in rows:
        yield writer.writerow([_in_csv(column.value(row)) for column in filed])


def _in_csv(value: Value) -> str | int | Decimal:
    if value is None:
        return ""
    if isinstance(value, datetime):
        return value.isoformat(" ", "minutes")
    if isinstance(value, date):
        return value.isoformat()
    return harmless(value) if isinstance(value, str) else value


def harmless(text: str) -> str:
    """A text that no spreadsheet takes for a formula: one that begins like one gets a ' before it."""
    return f"'{text}" if FORMULA.match(text) else text


def write_workbook(
    file: IO[bytes], title: str, columns: Sequence[Column], rows: Iterable[Any]
) -> None:
    """The list as an .xlsx file with real numbers and days; more rows than a sheet holds fill a next one."""
    book = Workbook(write_only=True)
    filed = [column for column in columns if column.filed]
    cells, left = _begin(book, title, filed), MOST_ROWS
    for row in rows:
        if left == 0:
            cells, left = _begin(book, title, filed), MOST_ROWS
        cells.sheet.append(cells.row(column.value(row) for column in filed))
        left -= 1
    book.save(file)


def _begin(book: Workbook, title: str, columns: Sequence[Column]) -> _Cells:
    sheet = book.create_sheet(re.sub(r"[\[\]:*?/\\]", " ", title)[:28])
    sheet.freeze_panes = "A2"
    for place, column in enumerate(columns, 1):
        sheet.column_dimensions[get_column_letter(place)].width = 12 if column.figure else 22
    heads = _Cells(sheet).row(column.words for column in columns)
    for cell in heads:
        cell.font = Font(bold=True)
    sheet.append(heads)
    return _Cells(sheet)


class _Cells:
    """The cells of a sheet's row. A row is written before the next is asked for, so each serves again."""

    def __init__(self, sheet: Any) -> None:
        self.sheet = sheet
        self.made: dict[tuple[int, type], Any] = {}

    def row(self, values: Iterable[Value]) -> list[Any]:
        return [self._cell(place, value) for place, value in enumerate(values)]

    def _cell(self, place: int, value: Value) -> Any:
        """A text as a text whatever it begins with; a number and a day as what they are."""
        if value is None or value == "":
            return None
        key = (place, type(value))
        if key not in self.made:
            self.made[key] = self._fresh(value)
        cell = self.made[key]
        if isinstance(value, str):
            cell.value = ILLEGAL_CHARACTERS_RE.sub("", value)
            cell.data_type = "s"
        else:
            cell.value = value
        return cell

    def _fresh(self, value: Value) -> Any:
        cell = WriteOnlyCell(self.sheet)
        if isinstance(value, str):
            # Keeps it a text when somebody edits the cell, too.
            cell.quotePrefix = True
        elif not isinstance(value, int):
            days = _MOMENT if isinstance(value, datetime) else _DAY
            cell.number_format = _NUMBER if isinstance(value, Decimal) else days
        return cell
