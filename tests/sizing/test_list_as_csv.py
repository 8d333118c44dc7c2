"""A list as CSV: RFC 4180, a line at a time, and no cell that a spreadsheet takes for a formula."""

import csv
import io
from datetime import date, datetime
from decimal import Decimal

import pytest

from sizing.columns import Column, csv_lines

COLUMNS = (Column("What", lambda row: row), Column("On the page only", str, filed=False))


def read(rows):
    return list(csv.reader(io.StringIO("".join(csv_lines(COLUMNS, rows)).removeprefix("\ufeff"))))


CASES = {
    "number": (-12, "-12"),
    "amount": (Decimal("-3.50"), "-3.50"),
    "day": (date(2031, 4, 18), "2031-04-18"),
    "moment": (datetime(2031, 4, 18, 9, 5), "2031-04-18 09:05"),
    "nothing": (None, ""),
    "quotes and lines": ('20 1/4", left\nsecond', '20 1/4", left\nsecond'),
    "letters with marks": ("Zoë Ünal", "Zoë Ünal"),
}


@pytest.mark.parametrize("value, text", CASES.values(), ids=CASES.keys())
def test_values(value, text):
    """Numbers stand bare, days as ISO 8601 has them, words as they are."""
    assert read([value]) == [["What"], [text]]


@pytest.mark.parametrize(
    "text", ["=1+1", "+1+1", "-1+1", "@SUM(A1)", "\t=1+1", " =1", "|calc", "＝1+1"]
)
def test_no_formula(text):
    """What begins like a formula gets a ' before it, so that it is read as words."""
    assert read([text])[1] == [f"'{text}"]


def test_a_line_at_a_time():
    """The first line is there before the second row is read: no list is too long."""
    taken = []

    def rows():
        for number in range(1_000_000):
            taken.append(number)
            yield number

    lines = csv_lines(COLUMNS, rows())
    assert next(lines) == "\ufeffWhat\r\n" and taken == []
    assert next(lines) == "0\r\n" and taken == [0]
