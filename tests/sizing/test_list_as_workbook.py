"""A list as a workbook: real numbers and days, words that stay words, as many sheets as the rows need."""

import io
from datetime import date, datetime
from decimal import Decimal

import pytest
from openpyxl import load_workbook

from sizing import columns
from sizing.columns import Column, write_workbook

COLUMN = (Column("What", lambda row: row),)


def read(rows):
    file = io.BytesIO()
    write_workbook(file, "Orders: open?", COLUMN, rows)
    return load_workbook(file)


CASES = {
    "whole number": (7, "n"),
    "amount": (Decimal("1234.5"), "n"),
    "day": (date(2031, 4, 18), "d"),
    "moment": (datetime(2031, 4, 18, 9, 5), "d"),
    "words": ("Zoë", "s"),
    "like a formula": ("=1+1", "s"),
    "like a number": ("00012", "s"),
}


@pytest.mark.parametrize("value, kind", CASES.values(), ids=CASES.keys())
def test_kinds(value, kind):
    """A number can be summed and a day sorted; what was typed is never reckoned."""
    cell = read([value]).worksheets[0]["A2"]
    assert cell.data_type == kind
    wanted = datetime.combine(value, datetime.min.time()) if type(value) is date else value
    assert cell.value == (float(value) if isinstance(value, Decimal) else wanted)


def test_empty_list_has_its_headings():
    """A list without a row is a sheet with its headings, not a broken file."""
    (sheet,) = read([]).worksheets
    assert [cell.value for cell in sheet[1]] == ["What"]


def test_rows_of_every_kind():
    """Rows whose cells are now words, now numbers, now empty stay each what it is."""
    rows = ["=1", 2, None, Decimal("3.5"), "four", date(2031, 4, 18), "", 5]
    (sheet,) = read(rows).worksheets
    cells = [row[0] for row in sheet.iter_rows(min_row=2)]
    assert [cell.data_type for cell in cells] == ["s", "n", "n", "n", "s", "d", "n", "n"]
    assert [cell.value for cell in cells][:5] == ["=1", 2, None, 3.5, "four"]
    assert cells[3].number_format == "#,##0.00##" and cells[7].number_format == "General"


def test_more_rows_than_a_sheet_holds(monkeypatch):
    """What a sheet cannot hold goes on in a next one, headings first; nothing is cut off."""
    monkeypatch.setattr(columns, "MOST_ROWS", 3)
    book = read(range(7))
    assert [sheet.max_row - 1 for sheet in book.worksheets] == [3, 3, 1]
    assert {sheet["A1"].value for sheet in book.worksheets} == {"What"}
    assert [r[0].value for s in book.worksheets for r in s.iter_rows(min_row=2)] == list(range(7))
