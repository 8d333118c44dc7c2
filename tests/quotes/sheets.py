"""Schedules as senders write them, for tests: a grid of cells to workbook content and back."""

import io
from typing import Any

from openpyxl import Workbook, load_workbook

HEADINGS = (
    "Window", "Quantity", "Upper glass height", "Lower glass height", "Opening height",
    "Long point of the old liner", "Finish", "Sash weight",
)  # fmt: skip
# The demo liner's size with glass 20 1/4.
GOOD = ("Kitchen", 1, "20 1/4", "20 1/4", "47 7/8", "48 5/8", "slate", "9")


def grid(*rows: tuple, title: str = "Windows", first_row: int = 1) -> bytes:
    """A workbook with these rows; text stays text whatever it begins with."""
    book = Workbook()
    sheet = book.active
    sheet.title = title
    for row, cells in enumerate(rows, start=first_row):
        for column, value in enumerate(cells, start=1):
            cell = sheet.cell(row, column, value)
            if isinstance(value, str) and not value.startswith("=="):
                cell.data_type = "s"
            elif isinstance(value, str):
                cell.value = value[1:]
    return saved(book)


def saved(book: Workbook) -> bytes:
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def opened(content: bytes) -> Workbook:
    return load_workbook(io.BytesIO(content))


def with_cell(heading: str, value: Any, row: tuple = GOOD) -> tuple:
    """The good line with one cell changed."""
    cells = list(row)
    cells[HEADINGS.index(heading)] = value
    return tuple(cells)
